// The page to work from: ticks and readings kept on this device, what comes next, what changed since. The page works
// without it.
(function () {
  "use strict";
  var bar = document.querySelector("[data-progress]");
  if (!bar) return;
  var STORE = "benchleaf.job." + bar.getAttribute("data-progress");
  var MOST_UNDONE = 50;
  function one(what, within) { return (within || document).querySelector(what); }
  function all(what, within) { return Array.prototype.slice.call((within || document).querySelectorAll(what)); }
  function trimmed(text) { return text.replace(/\s+/g, " ").trim(); }

  // ---- What a step is: its procedure, its leg, its words and its count among equal ones, never its place. ----

  // The words of a step with its figures left out, and the figures as they are printed.
  function reading(step) {
    var act = one(".act", step), words = "", figures = [];
    (function walk(node) {
      node.childNodes.forEach(function (child) {
        if (child.nodeType === 3) words += child.nodeValue;
        else if (child.matches(".v")) {
          var name = one("a", child);
          words += name ? name.textContent : "";
          figures.push(trimmed(child.textContent));
        } else walk(child);
      });
    }(act));
    all(".target", step).forEach(function (target) { figures.push(trimmed(target.textContent)); });
    return { words: trimmed(words), figures: figures.join("; ") };
  }
  // A short name for a text (FNV-1a, twice with other beginnings).
  function short(text) {
    function hash(from) {
      for (var i = 0, h = from; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 16777619) >>> 0;
      return h.toString(36);
    }
    return hash(2166136261) + hash(84696351);
  }
  var met = {};
  var steps = all("[data-step]").map(function (block, at) {
    var proc = block.closest("[data-proc]"), read = reading(block);
    var name = short([proc.getAttribute("data-proc"), proc.getAttribute("data-legs"), read.words].join("|"));
    met[name] = (met[name] || 0) + 1;
    return {
      id: name + (met[name] > 1 ? "." + met[name] : ""), at: at, block: block, proc: proc,
      phase: block.closest(".phase"), words: read.words, figures: read.figures,
      tick: one(".tick input", block), fields: all("input[type=text][data-keep]", block)
    };
  });
  var byId = {};
  steps.forEach(function (step) { byId[step.id] = step; });
  // What is kept beside the steps: things to get ready, the reading that the next due ones count from.
  var loose = all("[data-keep]").filter(function (field) { return !field.closest("[data-step]"); });

  // ---- What is kept. ----

  function blank() { return { form: 2, begun: "", steps: {}, loose: {}, known: [] }; }
  var job = blank(), undone = [], full = false;
  function load() {
    job = blank();
    try {
      var kept = JSON.parse(localStorage.getItem(STORE) || "null");
      if (kept && kept.form === 2 && kept.steps && kept.loose && Array.isArray(kept.known)) job = kept;
    } catch (e) { /* kept by nobody, or not ours */ }
  }
  function save() {
    if (!job.begun) {
      var now = new Date();
      job.begun = [now.getFullYear(), now.getMonth() + 1, now.getDate()].join("-").replace(/-(\d)(?!\d)/g, "-0$1");
      job.known = steps.map(function (step) { return step.id; });
    }
    try { localStorage.setItem(STORE, JSON.stringify(job)); full = false; } catch (e) { full = true; }
  }
  function of(step) { return job.steps[step.id] || {}; }
  // Changes one step's entry; what it was can be brought back.
  function change(step, what, how) {
    remember(what);
    var entry = job.steps[step.id] || (job.steps[step.id] = {});
    entry.words = step.words.slice(0, 120);
    how(entry);
    if (!entry.done && !entry.skipped && !entry.until && !Object.keys(entry.read || {}).length) delete job.steps[step.id];
    save();
    show();
  }
  function remember(what) {
    undone.push({ what: what, was: JSON.stringify(job) });
    if (undone.length > MOST_UNDONE) undone.shift();
  }
  function isDone(step) { var entry = of(step); return !!entry.done && entry.figures === step.figures; }
  function isOpen(step) { return !isDone(step) && !of(step).skipped; }

  // ---- What is shown. ----

  function note(step, kind, text) {
    var line = one("." + kind, step.block);
    if (!text) { if (line) line.remove(); return; }
    if (!line) {
      line = document.createElement("p");
      line.className = "note " + kind;
      one(".do", step.block).insertBefore(line, one(".do", step.block).firstChild);
    }
    line.textContent = text;
  }
  function say(list, parent) {
    parent.textContent = "";
    parent.hidden = !list.length;
    if (!list.length) return;
    var head = document.createElement("p"), items = document.createElement("ul");
    head.innerHTML = "<strong>Changed since this job was begun</strong>";
    list.forEach(function (change) {
      var item = document.createElement("li");
      item.textContent = change.text;
      if (change.step) {
        var link = document.createElement("a");
        link.href = "#" + change.step.block.id;
        link.textContent = "Step " + (change.step.at + 1);
        item.insertBefore(document.createTextNode(": "), item.firstChild);
        item.insertBefore(link, item.firstChild);
      }
      items.appendChild(item);
    });
    parent.appendChild(head);
    parent.appendChild(items);
  }
  function changes() {
    var list = [];
    steps.forEach(function (step) {
      var entry = of(step), other = entry.done && entry.figures !== step.figures;
      if (other) list.push({ step: step, text: "was done with " + (entry.figures || "no figure") + "; now " + (step.figures || "no figure") + ". Do it again." });
      else if (job.begun && job.known.indexOf(step.id) < 0) list.push({ step: step, text: "is new, or its words changed." });
      note(step, "withdrawn", other ? "The tick was withdrawn. Done with: " + (entry.figures || "no figure") + ". Now: " + (step.figures || "no figure") + "." : "");
    });
    Object.keys(job.steps).forEach(function (id) {
      var entry = job.steps[id];
      if (byId[id]) return;
      var read = Object.keys(entry.read || {}).map(function (key) { return entry.read[key]; });
      list.push({ text: "No longer on this page: “" + entry.words + "”" + (entry.done ? ", done" : entry.skipped ? ", skipped" : "") + (read.length ? ", read " + read.join(", ") : "") + "." });
    });
    return list;
  }
  function counts() {
    all("[data-count]").forEach(function (place) {
      var of = steps.filter(function (step) { return step.phase && step.phase.id === place.getAttribute("data-count"); });
      var left = of.filter(isOpen).length;
      place.textContent = left ? of.length - left + " of " + of.length + " steps" : of.length + " steps, all done or skipped";
    });
    var things = all(".pull [data-keep]");
    one("[data-ready]").textContent = ", " + things.filter(function (box) { return box.checked; }).length + " ready";
  }
  function current() { return steps.filter(isOpen)[0]; }
  function show() {
    steps.forEach(function (step) {
      var entry = of(step);
      step.tick.checked = isDone(step);
      step.block.classList.toggle("is-skipped", !!entry.skipped);
      note(step, "skipped", entry.skipped ? "Skipped: " + entry.skipped : "");
      step.fields.forEach(function (field) {
        var kept = (entry.read || {})[field.getAttribute("data-keep")] || "";
        if (field.value !== kept) field.value = kept;
      });
    });
    loose.forEach(function (field) {
      var kept = job.loose[field.getAttribute("data-keep")];
      if (field.type === "checkbox") field.checked = !!kept;
      else if (field.value !== (kept || "")) field.value = kept || "";
    });
    var open = current(), left = steps.filter(isOpen).length, skipped = steps.filter(function (step) { return of(step).skipped; }).length;
    one("[data-done]").textContent = full ? "This device keeps nothing more: write it on the card." :
      steps.length - left + " of " + steps.length + " steps" + (skipped ? ", " + skipped + " skipped" : "");
    one("[data-fill]").setAttribute("width", String(steps.length ? 100 * (steps.length - left) / steps.length : 0));
    one("[data-where]").textContent = open ? trimmed(one("h3", open.proc).textContent) : "Every step is done or skipped";
    var next = one("[data-next]");
    next.hidden = one("[data-skip]").hidden = !open;
    if (open) { next.href = "#" + open.block.id; next.textContent = "To step " + (open.at + 1); }
    steps.forEach(function (step) { step.block.classList.toggle("is-next", step === open); });
    var undo = one("[data-undo]"), last = undone[undone.length - 1];
    undo.disabled = !last;
    undo.setAttribute("aria-label", last ? "Undo: " + last.what : "Undo");
    counts();
    say(changes(), one("[data-changed]"));
    one("[data-begun]").textContent = job.begun ? "Begun " + job.begun + " on this device. What is ticked and read is kept here and goes nowhere by itself." : "Nothing is ticked or read yet.";
    all("[data-due]").forEach(function (box) { box.dispatchEvent(new Event("benchleaf-filled")); });
  }

  // ---- Going about the page. ----

  // Shows a step from its first caution on, in full.
  function go(step) {
    all(".phase").forEach(function (phase) {
      var mine = steps.filter(function (other) { return other.phase === phase; });
      if (phase !== step.phase && !mine.some(isOpen)) phase.open = false;
    });
    if (step.phase) step.phase.open = true;
    all("details.brief", step.block).forEach(function (caution) { caution.open = true; });
    step.block.scrollIntoView();
    step.block.focus({ preventScroll: true });
  }
  function unfold(target) {
    for (var part = target; part; part = part.parentElement) if (part.tagName === "DETAILS") part.open = true;
  }
  document.addEventListener("click", function (event) {
    var link = event.target.closest && event.target.closest("main a[href]");
    if (!link || event.defaultPrevented || event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
    var to = link.getAttribute("href");
    if (to.charAt(0) === "#") {
      var target = document.getElementById(decodeURIComponent(to.slice(1)));
      var step = target && steps.filter(function (other) { return other.block === target; })[0];
      if (target) unfold(target);
      if (step) { event.preventDefault(); go(step); }
    } else if (link.closest(".proc") && !link.closest(".beside")) {
      event.preventDefault();
      lookUp(link);
    }
  });

  // A link of a step opens beside it.
  var beside = one("[data-beside]"), asked = null;
  function lookUp(link) {
    asked = link;
    var frame = one("iframe", beside) || beside.appendChild(document.createElement("iframe"));
    frame.title = "Looked up beside the step";
    frame.src = link.href;
    one("[data-beside-page]").href = link.href;
    beside.hidden = false;
    one("[data-beside-close]").focus();
  }
  function shut() {
    if (beside.hidden) return;
    beside.hidden = true;
    one("iframe", beside).remove();
    if (asked) asked.focus();
  }
  one("[data-beside-close]").addEventListener("click", shut);
  document.addEventListener("keydown", function (event) { if (event.key === "Escape") shut(); });

  // ---- Ticks, readings, things to get ready. ----

  steps.forEach(function (step) {
    step.tick.addEventListener("change", function () {
      var on = step.tick.checked;
      change(step, "step " + (step.at + 1) + (on ? " done" : " not done"), function (entry) {
        delete entry.skipped;
        if (on) { entry.done = 1; entry.figures = step.figures; } else { delete entry.done; delete entry.figures; }
      });
    });
    step.fields.forEach(function (field) {
      var begun = false;
      field.addEventListener("focus", function () { begun = false; });
      field.addEventListener("input", function () {
        var key = field.getAttribute("data-keep"), text = field.value;
        change(step, "reading at step " + (step.at + 1), function (entry) {
          entry.read = entry.read || {};
          if (text) entry.read[key] = text; else delete entry.read[key];
        });
        // One reading is one thing to undo, not one for each letter.
        if (begun) undone.splice(-1, 1);
        begun = true;
      });
    });
  });
  loose.forEach(function (field) {
    field.addEventListener(field.type === "checkbox" ? "change" : "input", function () {
      var key = field.getAttribute("data-keep"), value = field.type === "checkbox" ? (field.checked ? 1 : "") : field.value;
      if (value) job.loose[key] = value; else delete job.loose[key];
      save();
      show();
    });
  });
  one("[data-undo]").addEventListener("click", function () {
    var last = undone.pop();
    if (!last) return;
    job = JSON.parse(last.was);
    if (Object.keys(job.steps).length || Object.keys(job.loose).length) save();
    else { try { localStorage.removeItem(STORE); } catch (e) { /* was not kept */ } }
    show();
  });
  one("[data-clear]").addEventListener("click", function () {
    remember("clear all");
    job = blank();
    try { localStorage.removeItem(STORE); } catch (e) { /* was not kept */ }
    show();
  });

  // ---- Skip, with a reason. ----

  var ask = one("[data-ask]"), why = one("[data-ask-why]"), yes = one("[data-ask-yes]"), skipping = null;
  one("[data-skip]").addEventListener("click", function () {
    skipping = current();
    if (!skipping) return;
    one("[data-ask-step]").textContent = "Step " + (skipping.at + 1) + ": " + trimmed(one(".act", skipping.block).textContent);
    why.value = "";
    yes.disabled = true;
    ask.showModal();
    why.focus();
  });
  why.addEventListener("input", function () { yes.disabled = !why.value.trim(); });
  yes.addEventListener("click", function () {
    var reason = why.value.trim(), step = skipping;
    ask.close();
    change(step, "step " + (step.at + 1) + " skipped", function (entry) { entry.skipped = reason; delete entry.done; });
  });
  one("[data-ask-no]").addEventListener("click", function () { ask.close(); });

  // ---- A step that says how long to wait can be timed. ----

  var NUMBERS = { one: 1, two: 2, three: 3, four: 4, five: 5, six: 6, eight: 8, ten: 10, twelve: 12, fifteen: 15, twenty: 20, thirty: 30, sixty: 60 };
  function minutes(words) {
    var found = /\b(?:wait|rest|rests|drip|stand|settle|leave|soak|cool)\b[^.;]*?\b(\d+|[a-z]+)\s+minutes?\b/i.exec(words);
    return found ? Number(found[1]) || NUMBERS[found[1].toLowerCase()] || 0 : 0;
  }
  function clock(seconds) { return Math.floor(seconds / 60) + ":" + ("0" + seconds % 60).slice(-2); }
  var timed = steps.filter(function (step) {
    step.wait = minutes(step.words);
    if (!step.wait) return false;
    var line = document.createElement("p");
    line.className = "acts timer no-print";
    line.innerHTML = "<button type=\"button\"></button> <span role=\"status\"></span>";
    one(".do", step.block).insertBefore(line, one(".act", step.block).nextSibling);
    step.timer = line;
    one("button", line).addEventListener("click", function () {
      var runs = !!of(step).until;
      change(step, "timer of step " + (step.at + 1), function (entry) {
        if (runs) delete entry.until; else entry.until = Date.now() + step.wait * 60000;
      });
      tickTimers();
    });
    return true;
  });
  function tickTimers() {
    timed.forEach(function (step) {
      var until = of(step).until, left = until ? Math.ceil((until - Date.now()) / 1000) : 0;
      one("button", step.timer).textContent = until ? "Stop the timer" : "Start a timer: " + step.wait + " min";
      var said = one("span", step.timer), text = !until ? "" : left > 0 ? clock(left) + " left" : step.wait + " min are over";
      if (said.textContent !== text) said.textContent = text;
      // The last second is spoken, the ones before are only shown.
      said.setAttribute("aria-live", until && left <= 0 ? "polite" : "off");
    });
  }
  if (timed.length) window.setInterval(tickTimers, 1000);

  // ---- The start, another tab, a job that is resumed. ----

  window.addEventListener("storage", function (event) {
    if (event.key === STORE || event.key === null) { load(); undone = []; show(); tickTimers(); }
  });
  load();
  bar.hidden = false;
  one("[data-clear-part]").hidden = false;
  show();
  tickTimers();
  var first = current();
  if (window.location.hash) {
    var target = document.getElementById(decodeURIComponent(window.location.hash.slice(1)));
    if (target) { unfold(target); target.scrollIntoView(); }
  } else if (Object.keys(job.steps).length && first) {
    go(first);
  }
}());
