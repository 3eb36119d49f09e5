// The page to work from: ticks and readings kept on this device, what comes next, what changed since. The page works
// without it.
(function () {
  "use strict";
  var bar = document.querySelector("[data-progress]");
  if (!bar) return;
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
    function named(href) { return short([href, proc.getAttribute("data-legs"), read.words].join("|")); }
    function idOf(href) { return (/([^\/]+)\.html$/.exec(href) || ["", ""])[1]; }
    var href = proc.getAttribute("data-proc"), name = named(href), was = (proc.getAttribute("data-was") || "").split(" ").filter(Boolean);
    met[name] = (met[name] || 0) + 1;
    var again = met[name] > 1 ? "." + met[name] : "";
    return {
      // `former`: its names under the ids that its procedure had.
      id: name + again, former: was.map(function (href) { return named(href) + again; }), was: was.map(idOf), at: at, block: block, proc: proc,
      phase: block.closest(".phase"), words: read.words, figures: read.figures,
      tick: one(".tick input", block), fields: all("[data-keep]", block),
      procedure: idOf(href), found: !!one(".reading[data-found]", block)
    };
  });
  var byId = {};
  // A reading that stays outside says why, a part past its limit what became of it; made here, since only the script asks.
  function also(box, key, asked, title, options) {
    var label = document.createElement("label"), field = document.createElement(options ? "select" : "input");
    label.className = "also";
    label.hidden = true;
    label.appendChild(document.createElement("span")).textContent = title;
    (options || []).forEach(function (option) {
      var entry = field.appendChild(document.createElement("option"));
      entry.value = option[0];
      entry.textContent = option[1];
    });
    if (!options) { field.type = "text"; field.autocomplete = "off"; }
    field.setAttribute("data-keep", key + "#" + asked);
    field.setAttribute("data-also", asked);
    label.appendChild(field);
    box.appendChild(label);
  }
  steps.forEach(function (step) {
    byId[step.id] = step;
    step.boxes = [];
    all(".reading", step.block).forEach(function (box) {
      all("[data-keep]:not([data-also])", box).forEach(function (field) {
        var keep = field.getAttribute("data-keep"), side = /-(left|right)$/.exec(keep), leg = side ? { left: "Left: ", right: "Right: " }[side[1]] : "";
        step.boxes.push({ keep: keep, key: keep.replace(/-(left|right)$/, ""), unit: trimmed(one(".unit", field.parentNode).textContent), title: trimmed(one("legend b", box).textContent) });
        also(box, keep, "verdict", leg + "what became of it", [["", "say it"], ["keep", "keep: it went back"], ["watch", "watch: look again next time"], ["replace", "replace: a new one is in"]]);
        also(box, keep, "why", leg + "why");
      });
    });
    step.fields = all("[data-keep]", step.block);
  });
  // What is kept beside the steps: things to get ready, the reading that the next due ones count from.
  var loose = all("[data-keep]").filter(function (field) { return !field.closest("[data-step]"); });

  // ---- What is kept: one job among those begun on this device. ----

  var judge = window.benchleafJudge(JSON.parse(one("[data-asked]").getAttribute("data-asked")));
  var facts = JSON.parse(one("[data-job]").getAttribute("data-job"));
  var former = facts.was.map(function (id) { return id + "/" + facts.service; });
  var kept = window.benchleafKept(bar.getAttribute("data-progress"), former, function () { show(); });
  var fitted = window.benchleafFitted(kept, facts);
  var form = window.benchleafJobForm(kept, judge, function () {
    return steps.map(function (step) {
      return { id: step.id, procedure: step.procedure, was: step.was, words: step.words, figures: step.figures, found: step.found, boxes: step.boxes };
    });
  });
  function of(step) { return kept.job().steps[step.id] || {}; }
  // Changes one step's entry; what it was can be brought back.
  function change(step, what, how) {
    kept.change("steps", step.id, what, function (entry) {
      entry = entry || {};
      entry.words = step.words;
      entry.proc = step.procedure;
      if (step.found) entry.found = 1;
      how(entry);
      return entry.done || entry.skipped || entry.until || Object.keys(entry.read || {}).length ? entry : null;
    });
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
    if (kept.job().twice.length) {
      var seen = document.createElement("button");
      seen.type = "button";
      seen.textContent = "Seen: take away what two tabs wrote";
      seen.addEventListener("click", kept.seenTwice);
      head.appendChild(document.createTextNode(" "));
      head.appendChild(seen);
    }
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
  function printed(said) { return said && said.left ? said.left + " left, " + said.right + " right" : said || "no figure"; }
  function changes() {
    var list = [], job = kept.job();
    job.twice.forEach(function (text) { list.push({ text: text + "." }); });
    steps.forEach(function (step) {
      var entry = of(step), other = entry.done && entry.figures !== step.figures, said = entry.said || {};
      Object.keys(said).forEach(function (key) {
        var now = judge.saidOf(key);
        if (!other && JSON.stringify(now) !== JSON.stringify(said[key])) list.push({ step: step, text: "was set to " + printed(said[key]) + "; now it is " + printed(now) + ". Do it again." });
      });
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
  // What was done under the name that a procedure had is done.
  function follow(job) {
    steps.forEach(function (step) {
      step.former.forEach(function (id) {
        var at = job.known.indexOf(id);
        if (at >= 0) job.known[at] = step.id;
        if (!job.steps[id]) return;
        job.steps[step.id] = Object.assign({}, job.steps[id], job.steps[step.id], { proc: step.procedure, words: step.words });
        delete job.steps[id];
      });
    });
  }
  function show() {
    follow(kept.job());
    steps.forEach(function (step) {
      var entry = of(step);
      step.tick.checked = isDone(step);
      step.block.classList.toggle("is-skipped", !!entry.skipped);
      note(step, "skipped", entry.skipped ? "Skipped: " + entry.skipped : "");
      step.fields.forEach(function (field) {
        var text = (entry.read || {})[field.getAttribute("data-keep")] || "";
        if (field.value !== text) field.value = text;
      });
    });
    loose.forEach(function (field) {
      field.checked = !!kept.job().loose[field.getAttribute("data-keep")];
    });
    boxes.forEach(answer);
    var open = current(), left = steps.filter(isOpen).length, skipped = steps.filter(function (step) { return of(step).skipped; }).length;
    form.show();
    fitted.show();
    one("[data-done]").textContent = kept.isFull() ? "This device keeps nothing more. Save the job’s file now: what you write from here on is only in this tab." :
      kept.isAway() ? "Another tab took this job off the device. What you write next puts it back." :
      steps.length - left + " of " + steps.length + " steps" + (skipped ? ", " + skipped + " skipped" : "");
    one("[data-fill]").setAttribute("width", String(steps.length ? 100 * (steps.length - left) / steps.length : 0));
    one("[data-where]").textContent = open ? trimmed(one("h3", open.proc).textContent) : "Every step is done or skipped";
    var next = one("[data-next]");
    next.hidden = one("[data-skip]").hidden = !open;
    if (open) { next.href = "#" + open.block.id; next.textContent = "To step " + (open.at + 1); }
    steps.forEach(function (step) { step.block.classList.toggle("is-next", step === open); });
    var undo = one("[data-undo]"), last = kept.last();
    undo.disabled = !last;
    undo.setAttribute("aria-label", last ? "Undo: " + last.what : "Undo");
    counts();
    say(changes(), one("[data-changed]"));
    all("[data-due]").forEach(function (box) { box.dispatchEvent(new Event("benchleaf-filled")); });
  }

  // ---- What a reading says, under its box. It never refuses a reading and never changes it. ----

  bar.judge = judge.judge;
  bar.judgePair = judge.judgePair;
  bar.judgeSettled = function (key, texts, asLeft) { return judge.settled(key, texts, asLeft).words; };
  // The temperature that is written beside a reading on a leg, among those as found or as left: the last, as in the file.
  function temperature(warm, at, asLeft) {
    var text = "", oil = kept.job().rest.oil;
    steps.forEach(function (step) {
      if (step.found === asLeft) return;
      step.boxes.forEach(function (box) {
        var side = box.keep.slice(warm.by.length);
        if (box.key !== warm.by || side && side !== ["-left", "-right"][at]) return;
        var typed = (of(step).read || {})[box.keep];
        if (typed) text = /^[\s]*[-−–]?[\s]*[0-9.]+[\s]*$/.test(typed) && box.unit && box.unit !== warm.unit ? typed + " " + box.unit : typed;
      });
    });
    return text || (asLeft && warm.by === "oil.bench_temperature" && oil && oil.temperature) || "";
  }
  function answer(box) {
    var fields = all("input[data-keep]:not([data-also])", box), asLeft = !box.hasAttribute("data-found"), texts = ["", ""], parts = [], name = "", stays = {}, part = {};
    fields.forEach(function (field) {
      var keep = field.getAttribute("data-keep"), side = /-(left|right)$/.exec(keep);
      name = side ? keep.slice(0, side.index) : keep;
      var at = side && side[1] === "right" ? 1 : 0, text = field.value, table = judge.find(name);
      if (!table) return;
      if (!side && !table.legs[0]) at = 1;
      var unit = trimmed(one(".unit", field.parentNode).textContent), leg = table.legs[at];
      // A number alone is in the unit of its box.
      if (leg && /^[\s]*[0-9.]+[\s]*$/.test(text) && unit && unit !== leg.unit) text += " " + unit;
      texts[at] = text;
      var look = judge.look(name, at, text, asLeft, leg && leg.warm ? temperature(leg.warm, at, asLeft) : "");
      if (look.words) parts.push((fields.length > 1 ? ["Left: ", "Right: "][at] : "") + look.words);
      stays[keep] = look.outside && (asLeft || look.limit || look.impossible);
      part[keep] = look.limit || look.part && !asLeft;
    });
    if (asLeft && fields.length > 1) parts = parts.concat(judge.judgePair(name, texts[0], texts[1]) || []);
    var wrench = one("[data-also=wrench]", box), used = wrench && wrench.value && wrench.options[wrench.selectedIndex];
    var until = used && used.getAttribute("data-until"), day = kept.job().head.date || kept.job().begun;
    if (until && day && until < day) parts.push(used.getAttribute("data-after"));
    if (used && used.getAttribute("data-reads")) {
      var range = { id: used.value, reads: used.getAttribute("data-reads"), least: Number(used.getAttribute("data-least")), greatest: Number(used.getAttribute("data-greatest")) };
      parts = parts.concat(judge.wrenchOf(name, trimmed(one("legend b", box).textContent), texts, range) || []);
    }
    all("[data-also=why]", box).forEach(function (field) { parts = parts.concat(window.benchleafPersonal.told(field.value) || []); });
    three(box, name, asLeft);
    var line = one(".says", box), told = parts.join(". ");
    if (!line && told) {
      line = document.createElement("p");
      line.className = "says";
      line.setAttribute("role", "status");
      box.insertBefore(line, one(".three, .also", box));
    }
    if (line && line.textContent !== told) line.textContent = told;
    all("[data-also]", box).forEach(function (field) {
      var asked = field.getAttribute("data-also"), keep = field.getAttribute("data-keep").split("#")[0];
      if (asked === "verdict") field.closest("label").hidden = !field.value && !part[keep];
      if (asked === "why") field.closest("label").hidden = !field.value && !stays[keep] && !one("select[data-keep=\"" + keep + "#verdict\"]", box).value;
    });
  }
  // The sag that three readings come to, and the button that writes it into the box.
  function three(box, name, asLeft) {
    var place = one(".three", box);
    if (!place) return;
    var texts = all("input", place).map(function (field) { return field.value; });
    var read = judge.settled(name, texts, asLeft), line = one(".three-says", place), take = one("[data-take]", place);
    if (line.textContent !== read.words) line.textContent = read.words;
    take.hidden = read.sag === undefined;
    if (!take.hidden) take.textContent = "Write " + read.sag + " " + read.unit + " in the box";
    take.onclick = function () {
      var field = one("input", box), unit = trimmed(one(".unit", field.parentNode).textContent);
      field.value = read.sag + (unit === read.unit ? "" : " " + read.unit);
      field.dispatchEvent(new Event("input", { bubbles: true }));
    };
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
          // What it was set to, and by which card: the record may be another when the file is written.
          var said = step.found || field.hasAttribute("data-also") ? "" : judge.saidOf(key.replace(/-(left|right)$/, ""));
          if (said) { entry.card = facts.card || ""; (entry.said = entry.said || {})[key.replace(/-(left|right)$/, "")] = said; }
        });
        // One reading is one thing to undo, not one for each letter.
        if (begun) kept.asOne();
        begun = true;
      });
    });
  });
  loose.forEach(function (field) {
    field.addEventListener("change", function () {
      kept.change("loose", field.getAttribute("data-keep"), "thing to get ready", function () { return field.checked ? 1 : null; });
    });
  });
  one("[data-undo]").addEventListener("click", kept.undo);
  one("[data-clear]").addEventListener("click", kept.clear);

  // ---- Skip, with a reason. ----

  var ask = one("[data-ask]"), why = one("[data-ask-why]"), yes = one("[data-ask-yes]"), skipping = null;
  one("[data-skip]").addEventListener("click", function () {
    skipping = current();
    if (!skipping) return;
    one("[data-ask-step]").textContent = "Step " + (skipping.at + 1) + ": " + trimmed(one(".act", skipping.block).textContent);
    why.value = "";
    one("[data-ask-odd]").textContent = "";
    yes.disabled = true;
    ask.showModal();
    why.focus();
  });
  why.addEventListener("input", function () {
    yes.disabled = !why.value.trim();
    one("[data-ask-odd]").textContent = window.benchleafPersonal.told(why.value);
  });
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

  // ---- The start, a job that is resumed. ----

  bar.hidden = false;
  one("[data-clear-part]").hidden = false;
  var several = kept.start(function () { return steps.map(function (step) { return step.id; }); });
  show();
  tickTimers();
  var first = current();
  if (several.length) {
    form.choose();
  } else if (window.location.hash) {
    var target = document.getElementById(decodeURIComponent(window.location.hash.slice(1)));
    if (target) { unfold(target); target.scrollIntoView(); }
  } else if (Object.keys(kept.job().steps).length && first) {
    go(first);
  }
}());
