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
    boxes.forEach(answer);
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

  // ---- What a reading says, by the tables that the build wrote into the page. The library judges by the same. ----

  var tables = JSON.parse(one("[data-asked]").getAttribute("data-asked"));
  function rounded(number) { return Math.floor(number + 0.5 + 1e-6); }
  function said(number, digits) {
    digits = Math.min(digits, 4);
    while (digits < 6 && rounded(number * Math.pow(10, digits)) === 0) digits++;
    var of = Math.pow(10, digits), scaled = rounded(number * of), whole = Math.floor(scaled / of);
    var behind = digits ? String(scaled - whole * of) : "";
    while (behind.length < digits) behind = "0" + behind;
    behind = behind.replace(/0+$/, "");
    return behind ? whole + "." + behind : String(whole);
  }
  function eighths(turns) {
    var count = rounded(turns * 8), whole = Math.floor(count / 8), part = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"][count % 8];
    return whole ? whole + part : part || "under ⅛";
  }
  function oilAbove(depths, depth) {
    for (var at = 1; at < depths.length; at++) {
      var a = depths[at - 1], b = depths[at];
      if (depth >= a[0] && depth <= b[0]) return a[1] + (b[1] - a[1]) * (depth - a[0]) / (b[0] - a[0]);
    }
    return null;
  }
  function remedy(leg, figure, to, at, by) {
    var what = leg.remedy;
    if (!what) return "";
    if (what.words) return what.words[at];
    if (what.turn) return what.turn[at] + " " + by;
    if (what.oil) {
      var verb = ["draw off", "add"][at], here = oilAbove(what.oil, figure), there = oilAbove(what.oil, to);
      if (here === null || there === null) return verb + " oil";
      var amount = Math.abs(here - there);
      return verb + " " + said(amount, amount < 20 ? 1 : 0) + " mL";
    }
    var turns = Math.abs(figure - to) * what.turns;
    return eighths(turns) + (turns <= 1.06 ? " turn " : " turns ") + what.ways[at];
  }
  // The number that was typed, in the unit that is asked for; else what is wrong with it.
  function typed(table, leg, text) {
    var plain = text.replace(/[\u00a0\u202f]/g, " ").replace(/^ +| +$/g, ""), parts = /^([0-9.]*)([^]*)$/.exec(plain);
    var unit = parts[2].replace(/^ +| +$/g, ""), at = parts[1].indexOf(".");
    var whole = at < 0 ? parts[1] : parts[1].slice(0, at), behind = at < 0 ? null : parts[1].slice(at + 1);
    if (unit.charAt(0) === "," && whole) return { wrong: "write a decimal point, not a comma" };
    var digits = behind === null ? 0 : behind.length;
    if (!whole || behind === "" || (behind && behind.indexOf(".") >= 0) || whole.length + digits > 9) return { wrong: "not a number" };
    var figure = Number(whole + (behind || "")) / Math.pow(10, digits);
    if (!unit) return { figure: figure, digits: digits };
    var known = Object.prototype.hasOwnProperty.call(table.units, unit) && table.units[unit];
    if (!known) return { wrong: "not a unit of this box: write it in " + leg.unit };
    if (known[0] === 1 && known[1] === 0) return { figure: figure, digits: digits };
    return { figure: figure * known[0] + known[1], digits: leg.decimals };
  }
  // What a reading on one leg says; empty where nothing is asked for, or nothing was typed.
  function judge(key, at, text, asLeft) {
    var table = tables[key], leg = table && table.legs[at];
    if (!leg || !text.replace(/[ \u00a0\u202f]/g, "")) return "";
    var read = typed(table, leg, text);
    if (read.wrong) return read.wrong;
    var figure = read.figure, slack = 1e-9 * Math.max(Math.abs(figure), 1);
    var low = leg.least !== null && figure < leg.least - slack, high = leg.greatest !== null && figure > leg.greatest + slack;
    if (!low && !high) return "as asked: " + leg.said;
    // Where both are broken, the least is told, and the remedy is that of too much: as in the library.
    var side = high ? 1 : 0, to = leg.target !== null ? leg.target : low ? leg.least : leg.greatest;
    var by = said(Math.abs(figure - to), Math.max(leg.decimals, read.digits));
    by = by === "1" && /s$/.test(leg.unit) ? "1 " + leg.unit.slice(0, -1) : by + " " + leg.unit;
    if (leg.loose) return by + " " + ["less", "more"][side] + " than " + leg.said;
    var done = asLeft || leg.target === null ? remedy(leg, figure, to, side, by) : "";
    return by + " " + leg.called[side] + (done ? ": " + done : "");
  }
  // What left against right says; empty where they agree or one is no number.
  function judgePair(key, left, right) {
    var table = tables[key];
    if (!table || table.apart === null || !table.legs[0] || !table.legs[1]) return "";
    var l = typed(table, table.legs[0], left), r = typed(table, table.legs[1], right);
    if (l.wrong || r.wrong) return "";
    var apart = Math.abs(l.figure - r.figure), unit = table.legs[0].unit;
    if (apart <= table.apart + 1e-9 * Math.max(apart, 1)) return "";
    return "left and right differ by " + said(apart, Math.max(l.digits, r.digits)) + " " + unit + ", " + said(table.apart, 4) + " " + unit + " allowed";
  }
  bar.judge = judge;
  bar.judgePair = judgePair;
  // Says it under the boxes. It never refuses a reading and never changes it.
  function answer(box) {
    var fields = all("input[data-keep]", box), asLeft = !box.hasAttribute("data-found"), texts = ["", ""], parts = [], name = "";
    fields.forEach(function (field) {
      var keep = field.getAttribute("data-keep"), side = /-(left|right)$/.exec(keep);
      name = side ? keep.slice(0, side.index) : keep;
      var at = side && side[1] === "right" ? 1 : 0, text = field.value, table = tables[name];
      if (!table) return;
      if (!side && !table.legs[0]) at = 1;
      var unit = trimmed(one(".unit", field.parentNode).textContent), leg = table.legs[at];
      // A number alone is in the unit of its box.
      if (leg && /^[\s]*[0-9.]+[\s]*$/.test(text) && unit && unit !== leg.unit) text += " " + unit;
      texts[at] = text;
      var words = judge(name, at, text, asLeft);
      if (words) parts.push((fields.length > 1 ? ["Left: ", "Right: "][at] : "") + words);
    });
    if (asLeft && fields.length > 1) parts = parts.concat(judgePair(name, texts[0], texts[1]) || []);
    var line = one(".says", box), told = parts.join(". ");
    if (!line && told) {
      line = document.createElement("p");
      line.className = "says";
      line.setAttribute("role", "status");
      box.appendChild(line);
    }
    if (line && line.textContent !== told) line.textContent = told;
  }
  var boxes = all("[data-step] .reading");

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
