// Search, theme, printing, sums. Every page works without it.
(function () {
  "use strict";
  var root = document.documentElement;
  root.classList.remove("no-js");

  // A device may refuse storage; then nothing is remembered and all else works.
  var store = {
    get: function (key) { try { return localStorage.getItem(key); } catch (e) { return null; } },
    set: function (key, value) { try { localStorage.setItem(key, value); } catch (e) { /* not remembered */ } },
    drop: function (key) { try { localStorage.removeItem(key); } catch (e) { /* was not remembered */ } }
  };
  function each(what, run) { Array.prototype.forEach.call(document.querySelectorAll(what), run); }

  // Theme.
  var prefersDark = window.matchMedia("(prefers-color-scheme: dark)");
  function isDark() { var set = root.getAttribute("data-theme"); return set ? set === "dark" : prefersDark.matches; }
  var kept = store.get("benchleaf.theme");
  if (kept === "dark" || kept === "light") root.setAttribute("data-theme", kept);
  each("[data-theme-switch]", function (button) {
    function name() { button.textContent = isDark() ? "Light" : "Dark"; button.setAttribute("aria-label", "Switch to " + (isDark() ? "light" : "dark") + " colors"); }
    button.hidden = false;
    name();
    button.addEventListener("click", function () {
      var next = isDark() ? "light" : "dark";
      root.setAttribute("data-theme", next);
      store.set("benchleaf.theme", next);
      name();
    });
  });

  // Looked up from another page, beside a step: the site's own frame is left out.
  if (window.self !== window.top) root.classList.add("framed");

  // What is folded is printed all the same, and is folded again afterwards.
  var folded = [];
  window.addEventListener("beforeprint", function () {
    each("main details:not([open])", function (part) { folded.push(part); part.open = true; });
  });
  window.addEventListener("afterprint", function () {
    folded.forEach(function (part) { part.open = false; });
    folded = [];
  });

  // Kept on a device that opened it, where a server can vouch for the worker: pages are read without a network then. A
  // working copy is not kept.
  var ours = document.currentScript && document.currentScript.src;
  if (ours && /^https?:$/.test(window.location.protocol) && window.isSecureContext && navigator.serviceWorker && !document.querySelector(".live-bar")) {
    navigator.serviceWorker.register(new URL("../offline.js", ours).href).catch(function () { /* read with a network only */ });
  }
  // A page that comes from the device says its day, on each side of a card as well.
  var keptOn = root.getAttribute("data-kept") || window.benchleafKept || "";
  if (keptOn) each(".card .who h2 + p, .card .cb p:first-child", function (line) {
    var note = document.createElement("b");
    note.textContent = "Kept, as of " + keptOn + ". ";
    line.insertBefore(note, line.firstChild);
  });

  // Print.
  each("[data-print]", function (button) {
    button.hidden = false;
    button.addEventListener("click", function () { window.print(); });
  });

  function thin(text) {
    return text.replace(/^\d{5,}/, function (whole) { return whole.replace(/\B(?=(\d{3})+$)/g, "\u202f"); });
  }

  // When it is next due: the reading and the interval, added. Without a reading the box stays empty.
  function showDue(box) {
    Array.prototype.forEach.call(box.querySelectorAll("[data-add]"), function (out) {
      var unit = out.getAttribute("data-unit"), now = "";
      Array.prototype.forEach.call(box.querySelectorAll("[data-now]"), function (f) { if (f.getAttribute("data-now") === unit) now = f.value; });
      now = now.replace(/[\s'\u2019]/g, "");
      // A point or a comma may part thousands or decimals; only a plain number is added up.
      // Digits in threes, as on the page beside it.
      out.textContent = thin(/^\d+(\.\d{1,2})?$/.test(now) ? String(Math.round((Number(now) + Number(out.getAttribute("data-add"))) * 100) / 100) : "");
    });
  }

  each("[data-due]", function (box) {
    box.addEventListener("input", function () { showDue(box); });
    box.addEventListener("benchleaf-filled", function () { showDue(box); });
    showDue(box);
  });

  // Search: what is found is worked out in search.js, which the home page has before this.
  each("[data-find]", function (box) {
    var shown = [], at = -1;
    var input = box.querySelector("input"), list = box.querySelector("ul"), said = box.querySelector("[data-said]");
    box.hidden = false;
    function address(entry) { return list.getAttribute("data-root") + (entry.p || "forks/" + encodeURIComponent(entry.i) + ".html"); }
    function pick(n) {
      at = n;
      Array.prototype.forEach.call(list.children, function (li, i) { li.setAttribute("aria-selected", i === n ? "true" : "false"); });
      if (n >= 0) { input.setAttribute("aria-activedescendant", "hit-" + n); list.children[n].scrollIntoView({ block: "nearest" }); }
      else input.removeAttribute("aria-activedescendant");
    }
    function look() {
      var found = window.benchleafSearch.answer(window, input.value, 12, code);
      shown = found.hits;
      list.textContent = "";
      shown.forEach(function (entry, i) {
        var li = document.createElement("li");
        li.id = "hit-" + i;
        li.setAttribute("role", "option");
        li.setAttribute("data-to", address(entry));
        function part(tag, kind, text) { var el = document.createElement(tag); el.className = kind; el.textContent = text; li.appendChild(el); li.appendChild(document.createTextNode(" ")); }
        part("b", "machine", entry.t || entry.m || entry.f);
        if (entry.part) part("span", "part", entry.part);
        if (entry.t) part("span", "fork", entry.k);
        if (entry.d) part("strong", "tag dr", "DRAFT");
        if (entry.a) part("span", "years", entry.a === entry.b ? String(entry.a) : entry.b > 2199 ? "since " + entry.a : entry.a + "–" + entry.b);
        if (entry.s) part("span", "seen", entry.s);
        if (entry.m) part("span", "fork", entry.f);
        li.addEventListener("click", function () { window.location.href = address(entry); });
        list.appendChild(li);
      });
      list.hidden = !shown.length;
      input.setAttribute("aria-expanded", shown.length ? "true" : "false");
      said.textContent = found.said;
      pick(shown.length ? 0 : -1);
    }
    input.addEventListener("input", look);
    input.addEventListener("keydown", function (event) {
      if (event.key === "ArrowDown" && shown.length) { pick((at + 1) % shown.length); event.preventDefault(); }
      else if (event.key === "ArrowUp" && shown.length) { pick((at + shown.length - 1) % shown.length); event.preventDefault(); }
      else if (event.key === "Enter" && at >= 0) { window.location.href = address(shown[at]); event.preventDefault(); }
      else if (event.key === "Escape") { input.value = ""; look(); }
    });
    if (input.value) look();
  });

  // Look-up of a card's code.
  function code(text) {
    var plain = text.toUpperCase().replace(/[\s\-\u2010-\u2015\u2212_.]/g, "").replace(/O/g, "0").replace(/[IL]/g, "1");
    return /^[0-9A-HJKMNP-TV-Z]{8}$/.test(plain) ? plain.slice(0, 4) + "-" + plain.slice(4) : null;
  }
  // What is known of a typed code: current cards by their own code, else by their values'; else replaced ones.
  function lookUp(list, text) {
    var wanted = code(text);
    if (!wanted) return { code: null, now: [], old: [] };
    var now = list.filter(function (e) { return !e.w && e.c === wanted; });
    if (!now.length) now = list.filter(function (e) { return !e.w && e.v === wanted; });
    var old = now.length ? [] : list.filter(function (e) { return e.w && (e.c === wanted || e.v === wanted); });
    return { code: wanted, now: now, old: old };
  }
  window.benchleafCodeSearch = { code: code, lookUp: lookUp };

  each("[data-codes]", function (box) {
    var input = box.querySelector("input"), said = box.querySelector("[data-said]"), home = box.getAttribute("data-root");
    box.hidden = false;
    // A list that was kept knows nothing of what was released since.
    var list = document.getElementById("current");
    if (keptOn && list) list.textContent = "As of " + keptOn;
    function line(word, text, page) {
      var p = document.createElement("p"), b = document.createElement("b");
      b.textContent = word + ".";
      p.appendChild(b);
      p.appendChild(document.createTextNode(" " + text + (page ? " " : "")));
      if (page) {
        var a = document.createElement("a");
        a.href = home + page;
        a.className = "go";
        a.textContent = "The card as it is now";
        p.appendChild(a);
      }
      said.appendChild(p);
    }
    function look() {
      said.textContent = "";
      var text = input.value.trim(), found = lookUp(window.benchleafCodes || [], text);
      var letters = text.replace(/[^0-9A-Za-z]/g, "").length;
      if (!text || (!found.code && letters < 8)) return;
      if (!found.code) line("No code", "A code has eight letters and digits, without I, L, O and U.");
      found.now.forEach(function (e) {
        if (keptOn) line("As of " + keptOn, "Nothing had replaced it: " + e.t + ". Whether anything has since is not known here.", e.p);
        else line("Current", e.t + ".", e.p);
      });
      found.old.forEach(function (e) { line("Superseded", e.t + ". " + e.w, e.p); });
      if (found.code && !found.now.length && !found.old.length) line("Unknown", (keptOn ? "As of " + keptOn + ", no card had been released under " : "No card is current or was released under ") + found.code + ". Do not work from it.");
    }
    input.addEventListener("input", look);
    input.addEventListener("keydown", function (event) { if (event.key === "Escape") { input.value = ""; look(); } });
    // A code that was typed into the search comes with the address.
    if (!input.value && window.location.hash) input.value = decodeURIComponent(window.location.hash.slice(1));
    if (input.value) look();
  });
}());
