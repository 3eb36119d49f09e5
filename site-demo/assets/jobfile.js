// A job's file, in the notation of the shop's records: how it is written, and how one is read again. Nothing here knows
// the page or the store.
window.benchleafJobFile = (function () {
  "use strict";
  var LARGEST = 256 * 1024, DEEPEST = 8;
  function isMap(thing) { return !!thing && typeof thing === "object" && !Array.isArray(thing); }
  // What nobody sees is written out, as the shop's program writes it.
  var UNSEEN = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}\p{Cn}\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u2800\u3164\uffa0\ufe00-\ufe0d\u{e0000}-\u{e0fff}]/gu;
  function seen(text) {
    return String(text).replace(/[\t\r\n]+/g, " ").replace(UNSEEN, function (c) {
      if (c === "\u200c" || c === "\u200d") return c;
      var number = c.codePointAt(0).toString(16).toUpperCase();
      while (number.length < 4) number = "0" + number;
      return "<U+" + number + ">";
    });
  }
  function scalar(text) {
    text = seen(text);
    return /^[0-9]+(\.[0-9]+)? [A-Za-z°µ·/]+$/.test(text) || /^[a-z][a-z0-9]*([-.][a-z0-9]+)*$/.test(text) && !/^(true|false|null|yes|no|on|off|y|n)$/.test(text) ? text : JSON.stringify(text);
  }
  function name(key) { return /^[A-Za-z_][A-Za-z0-9_.-]*$/.test(key) ? key : JSON.stringify(seen(key)); }
  function flow(thing) {
    if (Array.isArray(thing)) return "[" + thing.map(flow).join(", ") + "]";
    if (!isMap(thing)) return scalar(thing);
    return "{" + Object.keys(thing).map(function (key) { return name(key) + ": " + flow(thing[key]); }).join(", ") + "}";
  }
  // A record as a file. `page` is what the page needs beside it, as one text.
  function write(record) {
    var out = "# yaml-language-server: $schema=../../schema/job.schema.json\n";
    Object.keys(record).forEach(function (key) {
      var thing = record[key];
      if (key === "page") out += "page: '" + seen(thing).replace(/'/g, "''") + "'\n";
      else if (Array.isArray(thing)) out += thing.length ? name(key) + ":\n" + thing.map(function (item) { return "  - " + flow(item) + "\n"; }).join("") : "";
      else if (isMap(thing) && (key === "found" || key === "left")) {
        out += Object.keys(thing).length ? key + ":\n" + Object.keys(thing).map(function (one) { return "  " + name(one) + ": " + flow(thing[one]) + "\n"; }).join("") : "";
      } else out += name(key) + ": " + (key === "date" ? JSON.stringify(seen(thing)) : flow(thing)) + "\n";
    });
    return out;
  }

  // Reads what is written so, and what a hand writes like it. Gives the record; throws a sentence with the line.
  function parse(text) {
    if (text.length > LARGEST) throw "the file is too large for a job";
    var at = 0;
    var lines = text.replace(/^\ufeff/, "").split(/\r\n|\n|\r/).map(function (line, n) {
      return { n: n + 1, indent: /^ */.exec(line)[0].length, text: line.trim() };
    }).filter(function (line) { return line.text && line.text.charAt(0) !== "#" && line.text !== "---"; });
    function wrong(line, what) { throw "line " + line.n + ": " + what; }
    function key(line, text) {
      var found = /^(?:"([^"\\]*)"|'([^']*)'|([A-Za-z0-9_.-]+))\s*:(?:\s+|$)/.exec(text);
      if (!found) wrong(line, "this cannot be read here");
      return { name: found[1] || found[2] || found[3] || "", rest: text.slice(found[0].length) };
    }
    function set(line, map, name, thing) {
      if (Object.prototype.hasOwnProperty.call(map, name) || name === "__proto__") wrong(line, "`" + name + "` stands here twice, or is no key");
      map[name] = thing;
    }
    // One value on a line: a text, a map in braces or a list in brackets.
    function inline(line, text, depth) {
      var here = 0;
      if (depth > DEEPEST) wrong(line, "it goes too deep");
      function skip() { while (text.charAt(here) === " ") here++; }
      function quoted() {
        var mark = text.charAt(here), found = (mark === "\"" ? /^"(?:[^"\\]|\\.)*"/ : /^'(?:[^']|'')*'/).exec(text.slice(here));
        if (!found) wrong(line, "a quotation mark is missing");
        here += found[0].length;
        if (mark === "'") return found[0].slice(1, -1).replace(/''/g, "'");
        try { return JSON.parse(found[0]); } catch (e) { return wrong(line, "this text cannot be read here"); }
      }
      function one(inside, deep) {
        skip();
        if (deep > DEEPEST) wrong(line, "it goes too deep");
        var first = text.charAt(here);
        if (first === "\"" || first === "'") return quoted();
        if (first === "{" || first === "[") return several(first, deep);
        if (/[|>&*!%@`]/.test(first)) wrong(line, "this way of writing cannot be read here");
        var found = (inside ? /^[^,{}[\]]*/ : /^.*/).exec(text.slice(here))[0], comment = found.search(/(^|\s)#/);
        here += found.length;
        return (comment < 0 ? found : found.slice(0, comment)).trim();
      }
      function several(first, deep) {
        var out = first === "{" ? {} : [], last = first === "{" ? "}" : "]";
        here++;
        for (;;) {
          skip();
          if (text.charAt(here) === last) { here++; return out; }
          if (here >= text.length) wrong(line, "`" + last + "` is missing");
          if (first === "{") {
            var found = key(line, text.slice(here));
            here = text.length - found.rest.length;
            set(line, out, found.name, one(true, deep + 1));
          } else out.push(one(true, deep + 1));
          skip();
          if (text.charAt(here) === ",") here++;
          else if (text.charAt(here) !== last) wrong(line, "`" + last + "` is missing");
        }
      }
      var thing = one(false, depth);
      skip();
      if (here < text.length && text.charAt(here) !== "#") wrong(line, "something stands behind the value");
      return thing;
    }
    function block(indent, depth) {
      if (depth > DEEPEST) wrong(lines[at], "it goes too deep");
      var isList = lines[at].text.charAt(0) === "-", out = isList ? [] : {};
      while (at < lines.length && lines[at].indent === indent) {
        var line = lines[at], text = line.text;
        if ((text.charAt(0) === "-") !== isList) wrong(line, "a list and a map stand at one depth");
        if (isList) {
          text = text.slice(1).trim();
          if (text.charAt(0) !== "{" && /^[A-Za-z_]+:(\s|$)/.test(text)) {
            // `- part: …` with the rest of the map below it.
            line.indent += line.text.length - text.length;
            line.text = text;
            out.push(block(line.indent, depth + 1));
          } else { at++; out.push(inline(line, text, depth)); }
          continue;
        }
        var found = key(line, text);
        at++;
        if (found.rest && found.rest.charAt(0) !== "#") set(line, out, found.name, inline(line, found.rest, depth));
        else if (at < lines.length && (lines[at].indent > indent || lines[at].indent === indent && lines[at].text.charAt(0) === "-")) set(line, out, found.name, block(lines[at].indent, depth + 1));
        else set(line, out, found.name, "");
      }
      if (at < lines.length && lines[at].indent > indent) wrong(lines[at], "this is set in too far");
      return out;
    }
    if (!lines.length) throw "the file is empty";
    var record = block(lines[0].indent, 0);
    if (at < lines.length) wrong(lines[at], "this is set in otherwise than the lines before");
    if (!isMap(record)) throw "the file holds no job";
    return record;
  }


  // ---- From what is kept to a record. ----

  function copy(thing) { return thing === undefined ? {} : JSON.parse(JSON.stringify(thing)); }
  // `oil.air_gap-left` is the left box of `oil.air_gap`; `torque.axle#wrench` is what stands beside its boxes.
  function named(keep) {
    var found = /^([^#]*?)(?:-(left|right))?(?:#(\w+))?$/.exec(keep);
    return { key: found[1], side: found[2] || "", beside: found[3] || "" };
  }
  var THREE = ["extended", "below", "above"];
  var HEAD = { distance: ["km", "mi"], hours: ["h"], mass: ["kg", "lb"] };
  // A number of the head with its unit; else null, and it stands in the notes as it was typed.
  function amount(text, unit, units) {
    var plain = text.replace(/[\u00a0\u202f ]+/g, " ").trim(), found = /^([0-9][0-9 ]*(?:\.[0-9]+)?) ?([a-z]*)$/.exec(plain);
    if (!found || found[2] && units.indexOf(found[2]) < 0) return null;
    return found[1].replace(/ /g, "") + " " + (found[2] || unit);
  }
  // What a number with a comma or a point before three digits may mean: 21,400 may be 21400 or 21.4.
  function meanings(text) {
    var plain = text.trim(), found = /^([0-9]{1,3})[.,]([0-9]{3})(?: ?[a-z]+)?$/.exec(plain);
    return found ? [found[1] + found[2], found[1] + "." + found[2].replace(/0+$/, "")].map(function (one) { return one.replace(/\.$/, ""); }) : [];
  }
  function isAmount(name, text, unit) { return !HEAD[name] || !text || amount(text, unit, HEAD[name]) !== null; }

  function same(a, b) { return JSON.stringify(a) === JSON.stringify(b); }
  // The codes of the cards by which values were set, and what each was set to, by key.
  function askedBy(job) {
    var codes = [], said = {};
    Object.keys(job.steps).forEach(function (id) {
      var entry = job.steps[id];
      if (entry.found || entry.card === undefined || !entry.said) return;
      if (codes.indexOf(entry.card) < 0) codes.push(entry.card);
      Object.keys(entry.said).forEach(function (key) { said[key] = { said: entry.said[key], card: entry.card }; });
    });
    return { codes: codes, said: said };
  }

  // The procedures with steps that have neither a tick nor a reason, in order, and how many each.
  function openOf(job, steps) {
    var list = [], at = {};
    steps.forEach(function (step) {
      var entry = job.steps[step.id] || {};
      if (entry.skipped || entry.done && entry.figures === step.figures) return;
      if (at[step.procedure] === undefined) at[step.procedure] = list.push([step.procedure, 0]) - 1;
      list[at[step.procedure]][1]++;
    });
    return list;
  }

  // `facts` is what the build says of the page; `steps` the steps as data.
  function toRecord(facts, job, steps, judge) {
    var head = job.head, rest = copy(job.rest), notes = head.notes ? [head.notes] : [], known = {}, out = {};
    var lines = { found: rest.found || {}, left: rest.left || {} };
    steps.forEach(function (step) { known[step.id] = step; });
    function amountOf(name, label, unit) {
      if (!head[name]) return undefined;
      var said = amount(head[name], unit, HEAD[name]);
      if (said === null) notes.push(label + " was typed as “" + head[name] + "”.");
      return said === null ? undefined : said;
    }
    function put(when, keep, text, unit) {
      var name = named(keep), line = lines[when][name.key] || (lines[when][name.key] = {}), at = name.side || "";
      if (name.beside) {
        var place = at ? line[at] || (line[at] = {}) : line;
        var beside = THREE.indexOf(name.beside) < 0 ? { value: text } : judge.written(name.key, text, "");
        place[name.beside] = beside.value !== undefined ? beside.value : text;
        return;
      }
      var said = judge.written(name.key, text, unit), there = at ? line[at] || (line[at] = {}) : line;
      if (there.value !== undefined || there.typed !== undefined) {
        var was = there.value !== undefined ? there.value : there.typed;
        if (was !== text) notes.push(name.key + (at ? " " + at : "") + ", as " + when + ", was read twice: " + was + ", " + text + ".");
        delete there.value;
        delete there.typed;
      }
      if (said.typed !== undefined) there.typed = said.typed; else there.value = said.value;
    }
    var skipped = [], done = {}, asked = askedBy(job);
    var all = steps.filter(function (step) { return job.steps[step.id]; }).map(function (step) { return step.id; });
    Object.keys(job.steps).forEach(function (id) { if (!known[id]) all.push(id); });
    all.forEach(function (id) {
      var entry = job.steps[id], step = known[id], read = entry.read || {}, when = entry.found ? "found" : "left", units = {};
      (step ? step.boxes : []).forEach(function (box) { units[box.keep] = box.unit; });
      Object.keys(read).forEach(function (keep) { put(when, keep, read[keep], units[keep] || ""); });
      if (entry.done) done[id] = entry.figures || "";
      if (!entry.skipped) return;
      var keys = [];
      (step ? step.boxes : []).forEach(function (box) { if (keys.indexOf(box.key) < 0) keys.push(box.key); });
      keys.forEach(function (key) { skipped.push({ what: key, why: entry.skipped }); });
      if (!keys.length) skipped.push({ what: entry.proc || "", step: step ? step.words : entry.words || "", why: entry.skipped });
    });
    // A line is written as short as it can be; where it was set, with the target as it is printed.
    function line(key, thing, isLeft) {
      var short = {};
      ["left", "right"].forEach(function (side) {
        if (!thing[side]) return;
        var only = Object.keys(thing[side]);
        short[side] = only.length === 1 && only[0] === "value" ? thing[side].value : thing[side];
      });
      Object.keys(thing).forEach(function (name) { if (name !== "left" && name !== "right") short[name] = thing[name]; });
      // What is said of both legs is said once.
      ["verdict", "why"].forEach(function (name) {
        var left = isMap(short.left) && short.left[name], right = isMap(short.right) && short.right[name];
        if (!left || left !== right) return;
        short[name] = left;
        ["left", "right"].forEach(function (side) {
          short[side] = Object.assign({}, short[side]);
          delete short[side][name];
          if (Object.keys(short[side]).length === 1 && short[side].value !== undefined) short[side] = short[side].value;
        });
      });
      var said = isLeft ? targetOf(key) : "";
      if (isMap(said)) short.target = short.left || short.right ? said : said.left;
      else if (said) short.target = said;
      return Object.keys(short).length === 1 && short.value !== undefined ? short.value : short;
    }
    // The target as it was printed when the value was set. Where cards of two codes were worked from, it is that of the
    // newest, and what was set by the other is told.
    function targetOf(key) {
      var now = judge.saidOf(key), then = asked.said[key];
      if (!then || same(then.said, now)) return now;
      if (asked.codes.length === 1) return then.said;
      notes.push(key + " was set to " + (isMap(then.said) ? then.said.left + " left, " + then.said.right + " right" : then.said) + (then.card ? ", as the card " + then.card + " said." : "."));
      return now;
    }
    function linesOf(when) {
      var list = {};
      Object.keys(lines[when]).forEach(function (key) { list[key] = line(key, lines[when][key], when === "left"); });
      return list;
    }
    function some(map) {
      Object.keys(map).forEach(function (key) { if (map[key] === undefined || map[key] === "") delete map[key]; });
      return Object.keys(map).length ? map : undefined;
    }
    out.fork = facts.fork;
    out.service = facts.service;
    out.card = asked.codes.length === 1 ? asked.codes[0] || undefined : facts.card;
    out.machine = some({ maker: head.maker, model: head.model, frame: head.frame }) || {};
    out.date = head.date || job.begun;
    out.distance = amountOf("distance", "The distance", facts.distance);
    out.hours = amountOf("hours", "The hours", "h");
    out.complaint = head.complaint;
    out.rider = some({ mass: amountOf("mass", "The rider’s mass", "kg"), use: head.use });
    out.oil = head.oil ? some(Object.assign(rest.oil || {}, { oil: head.oil, batch: head.batch })) : undefined;
    if (!head.oil && head.batch) notes.push("Batch of the oil: " + head.batch + ".");
    out.found = linesOf("found");
    out.left = linesOf("left");
    out.parts = Object.keys(job.parts).map(function (name) { return some(copy(job.parts[name])); }).filter(function (part) { return part && part.part; }).concat(rest.parts || []);
    Object.keys(job.parts).forEach(function (name) {
      var part = job.parts[name];
      if (!part.part) notes.push("A part was fitted that has no name: " + [part.size, part.number].filter(Boolean).join(", ") + ".");
    });
    out.skipped = skipped.concat(rest.skipped || []);
    out.done_by = head.done_by;
    out.read_back_by = head.read_back_by;
    out.notes = notes.join(" ");
    Object.keys(rest).forEach(function (key) { if (!(key in out)) out[key] = rest[key]; });
    Object.keys(out).forEach(function (key) { if (out[key] === undefined || out[key] === "") delete out[key]; });
    out.page = JSON.stringify({ id: job.id, begun: job.begun, done: done, open: openOf(job, steps), ready: Object.keys(job.loose) });
    return out;
  }

  // ---- From a record to what is kept. Throws a sentence where it is no job of this page. ----

  function text(thing) { return thing === undefined || thing === null || typeof thing === "object" ? "" : String(thing); }
  // Whether a file says these words of a step; earlier files held their first 120 letters.
  function isSaid(words, said) { return said === words || said.length === 120 && said === words.slice(0, 120); }
  function fromRecord(record, facts, job, steps) {
    var fork = text(record.fork), service = text(record.service), head = job.head, rest = {};
    if (!fork || !service) throw "the file holds no job";
    if (fork !== facts.fork && facts.was.indexOf(fork) < 0 || service !== facts.service) throw "it is a job of " + fork + ", " + service + ": read it on that page";
    var inside = {};
    try { inside = JSON.parse(text(record.page) || "{}"); } catch (e) { /* it is read without its ticks */ }
    if (!isMap(inside)) inside = {};
    var byId = Object.create(null), byKeep = Object.create(null);
    steps.forEach(function (step) {
      byId[step.id] = step;
      step.boxes.forEach(function (box) { var name = (step.found ? "found " : "left ") + box.keep; byKeep[name] = byKeep[name] || { step: step, box: box }; });
    });
    function entry(step) {
      var made = { words: step.words, proc: step.procedure };
      if (step.found) made.found = 1;
      return job.steps[step.id] || (job.steps[step.id] = made);
    }
    function alone(said, unit) { return unit && said.slice(-unit.length - 1) === " " + unit ? said.slice(0, -unit.length - 1) : said; }
    var machine = isMap(record.machine) ? record.machine : {}, rider = isMap(record.rider) ? record.rider : {}, oil = isMap(record.oil) ? record.oil : {};
    head.maker = text(machine.maker);
    head.model = text(machine.model);
    head.frame = text(machine.frame);
    head.date = text(record.date);
    head.distance = alone(text(record.distance), facts.distance);
    head.hours = alone(text(record.hours), "h");
    head.mass = alone(text(rider.mass), "kg");
    head.use = text(rider.use);
    head.oil = text(oil.oil);
    head.batch = text(oil.batch);
    ["complaint", "done_by", "read_back_by", "notes"].forEach(function (name) { head[name] = text(record[name]); });
    Object.keys(head).forEach(function (name) { if (!head[name]) delete head[name]; });
    if (oil.temperature) rest.oil = { temperature: text(oil.temperature) };
    ["found", "left"].forEach(function (when) {
      Object.keys(isMap(record[when]) ? record[when] : {}).forEach(function (key) {
        var line = record[when][key], places = isMap(line) ? line : { value: line };
        var sides = ["left", "right"].filter(function (side) { return places[side] !== undefined; });
        var readings = sides.length ? sides : [""], lost = false;
        readings.forEach(function (side) {
          var thing = side ? places[side] : places, place = byKeep[when + " " + key + (side ? "-" + side : "")];
          var said = isMap(thing) ? text(thing.typed !== undefined ? thing.typed : thing.value) : text(thing);
          if (!place) { lost = true; return; }
          var read = entry(place.step).read || (entry(place.step).read = {});
          if (said) read[place.box.keep] = alone(said, place.box.unit);
          // What is said of the line is said of each leg that does not say its own.
          ["verdict", "why"].forEach(function (name) {
            var own = side && isMap(thing) && thing[name] || places[name];
            if (own) read[(side ? place.box.keep : key) + "#" + name] = text(own);
          });
          if (places.wrench) read[key + "#wrench"] = text(places.wrench);
          if (when === "left" && places.target) {
            var its = entry(place.step), target = places.target;
            its.card = text(record.card);
            (its.said = its.said || {})[key] = isMap(target) ? { left: text(target.left), right: text(target.right) } : text(target);
          }
          THREE.forEach(function (name) { if (places[name]) read[key + "#" + name] = alone(text(places[name]), place.box.unit); });
        });
        // What has no box here is kept, and goes into the next file as it is.
        if (lost) {
          var kept = (rest[when] = rest[when] || {})[key] = copy(places);
          delete kept.target;
          sides.forEach(function (side) {
            if (byKeep[when + " " + key + "-" + side]) delete kept[side];
            else if (!isMap(kept[side])) kept[side] = { value: text(kept[side]) };
          });
        }
      });
    });
    (Array.isArray(record.skipped) ? record.skipped : []).forEach(function (skip) {
      var what = text(skip.what), words = text(skip.step), mine = steps.filter(function (step) {
        if (words) return (step.procedure === what || step.was.indexOf(what) >= 0) && isSaid(step.words, words) && !(job.steps[step.id] || {}).skipped;
        return step.boxes.some(function (box) { return box.key === what; });
      }).filter(function (step) { return !Object.keys((job.steps[step.id] || {}).read || {}).length; });
      if (mine.length) entry(mine[0]).skipped = text(skip.why);
      else (rest.skipped = rest.skipped || []).push(skip);
    });
    (Array.isArray(record.parts) ? record.parts : []).forEach(function (part, n) {
      if (!isMap(part) || Object.keys(part).some(function (name) { return ["part", "size", "number"].indexOf(name) < 0; })) {
        (rest.parts = rest.parts || []).push(part);
        return;
      }
      var own = facts.parts.filter(function (known) { return known.part === text(part.part) && (known.size || "") === text(part.size) && !job.parts[known.keep]; })[0];
      job.parts[own ? own.keep : "own-" + n] = { part: text(part.part), size: text(part.size), number: text(part.number) };
    });
    var done = isMap(inside.done) ? inside.done : {};
    Object.keys(done).forEach(function (id) {
      if (!/^[0-9a-z]{6,}(\.[0-9]+)?$/.test(id)) return;
      var there = byId[id] ? entry(byId[id]) : (job.steps[id] = { words: "" });
      there.done = 1;
      there.figures = text(done[id]);
    });
    (Array.isArray(inside.ready) ? inside.ready : []).forEach(function (name) { job.loose[text(name)] = 1; });
    var read = ["fork", "service", "card", "machine", "date", "distance", "hours", "complaint", "rider", "oil", "found", "left", "parts", "skipped", "done_by", "read_back_by", "notes", "page"];
    Object.keys(record).forEach(function (key) { if (read.indexOf(key) < 0) rest[key] = record[key]; });
    job.rest = rest;
    if (/^\d{4}-\d{2}-\d{2}$/.test(text(inside.begun))) job.begun = inside.begun;
    if (/^[0-9a-z]{12}$/.test(text(inside.id))) job.id = inside.id;
    job.known = steps.map(function (step) { return step.id; });
    return job;
  }

  return { write: write, parse: parse, toRecord: toRecord, openOf: openOf, fromRecord: fromRecord, named: named, isAmount: isAmount, meanings: meanings, LARGEST: LARGEST };
}());
