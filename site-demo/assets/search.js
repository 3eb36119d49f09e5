// The search: from what is typed to what is found. It reads no page and writes none.
(function () {
  "use strict";
  function plain(text) { return text.toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]/g, ""); }
  function words(text) { return plain(text).split(/[^a-z0-9\u00df-\uffff]+/).filter(Boolean); }

  // Words that say nothing about what is looked for, and words that every page here is about.
  var EMPTY = set("a an and any are at be by can do does for from has have how i in is it its me my not of on or our over that the their there this to too under we what when where which while with without");
  var LIGHT = set("bike click clicks data end feel feels figure figures fork forks front machine motorcycle number numbers setting settings sheet spec specs value values");
  function set(text) { var out = {}; text.split(" ").forEach(function (word) { out[word] = true; }); return out; }

  // What a word is without its ending: leaking, leaks, leak.
  function stem(word) {
    if (word.length < 3 || /\d/.test(word)) return word;
    var out = word.length > 3 ? word.replace(/([^s])s$/, "$1") : word;
    var cut = out.replace(/(ing|ment|ed|e)$/, "");
    if (cut.length > 1 && /[aeiouy]/.test(cut)) out = cut;
    return out.replace(/([bdfglmnprt])\1$/, "$1");
  }

  // Whether one letter more, less, other or two swapped turn a into the beginning of b.
  function near(a, b) {
    var n = a.length, i = 0;
    while (i < n && i < b.length && a[i] === b[i]) i++;
    if (i === n) return true;
    var rest = a.slice(i + 1);
    return b.startsWith(rest, i + 1) || b.startsWith(rest, i) || b.startsWith(a.slice(i), i + 1) ||
      (a[i] === b[i + 1] && a[i + 1] === b[i] && b.startsWith(a.slice(i + 2), i + 2));
  }

  function Words(text) { this.all = words(text); this.stems = this.all.map(stem); }

  // Forks by machine, by their own name and by their kind; then pages by what they are called, in our words or in
  // others', and by their text. Of a fork's words the machine's count most, of a page's those of its title.
  function Index(data) {
    var kinds = (data.benchleafKinds || []).map(function (kind) { return { w: new Words(kind.w), v: kind.v || [] }; });
    this.forks = (data.benchleafIndex || []).map(function (entry) {
      return { e: entry, w: new Words(entry.m + " " + entry.f + " " + entry.i), called: [], names: [new Words(entry.m), new Words(entry.f)], kind: kinds[entry.k] || { w: new Words(""), v: [] }, m: words(entry.m).length, t: tight(entry.m + entry.f) };
    });
    this.forks.forEach(function (item) { item.k = item.kind.w; });
    this.pages = (data.benchleafPages || []).map(function (entry) {
      return { e: entry, w: new Words(entry.t), called: (entry.w || "").split("|").filter(Boolean).map(function (one) { return new Words(one); }), k: new Words(entry.k + " " + entry.b), m: 0, t: tight(entry.t) };
    });
    this.parts = (data.benchleafParts || []).map(function (part, n) { return { n: n, e: part, names: part.w.split("|").map(function (one) { return new Words(one); }) }; });
    this.names = (data.benchleafWords || []).map(function (row) { return { other: words(row[0]).map(stem), said: row[0], ours: words(row[1]), name: row[1], term: row[2] }; });
    this.names.sort(function (x, y) { return y.other.length - x.other.length; });
    this.sizes = sizes(data.benchleafKinds || []);
  }
  function tight(text) { return plain(text).replace(/[^a-z0-9]/g, ""); }
  function sizes(kinds) {
    var seen = {};
    kinds.forEach(function (kind) { (kind.w.match(/\b\d+(\.\d+)?mm\b/g) || []).forEach(function (size) { seen[parseFloat(size)] = true; }); });
    return Object.keys(seen).map(Number).sort(function (x, y) { return x - y; });
  }
  function isYear(word) { return /^(19|20|21)\d\d$/.test(word); }
  function isSize(word) { return /^\d+mm$/.test(word); }

  // A word of the question, with what it is held against every entry for.
  var known = {};
  function asked(word) {
    var number = /^\d+$/.test(word);
    return {
      word: word, stem: stem(word), kinds: [],
      year: isYear(word) ? +word : 0,
      // 45 of 45mm, and of u45.
      number: number ? new RegExp("^" + word + "mm$|^[a-z]+" + word + "[a-z]*$") : null
    };
  }
  function ask(word) { return known[word] || (known[word] = asked(word)); }

  // Points for one word among these: the same, without its ending, its beginning.
  function among(list, of, same, alike, begins) {
    var best = 0, word = of.word;
    // The beginning of a number is another number.
    if (of.number) begins = Math.min(begins, 20);
    for (var i = 0; i < list.all.length; i++) {
      var w = list.all[i];
      if (w === word) return same;
      var got = list.stems[i] === of.stem ? alike : of.number && of.number.test(w) ? begins && 55 : word.length > 1 && w.startsWith(word) ? begins + Math.min(alike - begins - 1, 20 * word.length / w.length) : 0;
      if (got > best) best = got;
    }
    return best;
  }
  // Points for one word of the question; 0 when it does not fit.
  function points(item, word, loose) {
    var of = ask(word), best = among(item.w, of, 100, 92, 70), i, got;
    if (of.year && item.e.a && of.year >= item.e.a && of.year <= item.e.b) best = Math.max(best, 60);
    if (best && item.m && item.w.all.indexOf(word) >= 0 && item.w.all.indexOf(word) < item.m) best += 5;
    for (i = 0; i < item.called.length && best < 95; i++) best = Math.max(best, among(item.called[i], of, 95, 88, 60));
    if (best < 50) {
      // Many forks are of one kind.
      got = item.e.i ? of.kinds[item.e.k] : undefined;
      if (got === undefined) got = among(item.k, of, 50, 45, word.length > 2 ? 30 : 0);
      if (item.e.i) of.kinds[item.e.k] = got;
      best = Math.max(best, got);
    }
    if (!best && word.length > 1 && item.t.indexOf(word) >= 0) best = 40;
    if (best || !loose || of.number || word.length < 4) return best;
    for (i = 0; i < item.w.all.length; i++) if (near(word, item.w.all[i])) return 20;
    for (i = 0; i < item.called.length; i++) if (item.called[i].all.some(function (w) { return near(word, w); })) return 15;
    return 0;
  }

  // The question in slots: a word, or several that have one name here. Each slot is fitted by what was typed or by our name.
  Index.prototype.slots = function (text) {
    // A size with its unit is one word.
    var asked = words(text.replace(/(\d)\s*mm\b/gi, "$1mm")), ends = asked.map(stem), out = [];
    for (var at = 0; at < asked.length;) {
      var known = null, called = [];
      for (var n = 0; n < this.names.length; n++) {
        var row = this.names[n], long = row.other.length;
        if (known && long < known.other.length) break;
        if (row.other.every(function (word, i) { return ends[at + i] === word; })) { known = known || row; called.push(row); }
      }
      var typed = asked.slice(at, at + (known ? known.other.length : 1));
      if (known || !EMPTY[typed[0]]) out.push({ typed: typed, called: called, light: !known && typed.length === 1 && LIGHT[typed[0]] });
      at += typed.length;
    }
    // A question of such words alone is looked for as it is.
    if (!out.length) asked.forEach(function (word) { out.push({ typed: [word], called: [] }); });
    if (out.every(function (slot) { return slot.light; })) out.forEach(function (slot) { slot.light = false; });
    return out;
  };

  // Points for a slot, and whether our name made them.
  function fits(item, slot, loose) {
    function all(list) {
      var sum = 0;
      for (var i = 0; i < list.length; i++) {
        if (EMPTY[list[i]] && list.length > 1) continue;
        var got = points(item, list[i], loose);
        if (!got) return 0;
        sum += got;
      }
      return sum;
    }
    var best = all(slot.typed), by = null;
    slot.called.forEach(function (row) {
      // As many words as were typed, however long our name is.
      var got = all(row.ours) / row.ours.length * slot.typed.length * 0.97;
      if (got > best) { best = got; by = row; }
    });
    return { sum: best, by: by };
  }

  // How much of a name the question says: a short name that is meant whole stands before a long one.
  function covered(item, said) {
    function share(name) {
      var hit = 0, of = 0;
      name.all.forEach(function (word, i) {
        if (EMPTY[word]) return;
        of += 1;
        hit += said.words[word] ? 1 : said.stems[name.stems[i]] ? 0.7 : 0;
      });
      return of ? hit / of : 0;
    }
    return Math.max.apply(null, (item.names || [item.w].concat(item.called)).map(share));
  }

  function look(items, slots, loose, most) {
    var out = [], said = { words: {}, stems: {} }, last = slots[slots.length - 1].typed.join(" ");
    slots.forEach(function (slot) {
      [slot.typed].concat(slot.called.map(function (row) { return row.ours; })).forEach(function (list) {
        list.forEach(function (word) { said.words[word] = said.stems[stem(word)] = true; });
      });
    });
    var ends = slots.filter(function (slot) { return !slot.light; }).map(function (slot) { return slot.typed.map(stem); });
    var typed = slots.map(function (slot) { return slot.typed.join(" "); }).join(" "), hard = ends.length;
    // Asked for is a fork, where that is the last word: a sealed damper fork.
    var forkMeant = slots.length > 1 && /^forks?$/.test(last);
    items.forEach(function (item, at) {
      var sum = 0, missed = [], by = [];
      for (var i = 0; i < slots.length; i++) {
        var got = fits(item, slots[i], loose);
        sum += slots[i].light ? got.sum / 4 : got.sum;
        if (!got.sum && !slots[i].light) { missed.push(slots[i]); if (missed.length > most || missed.length * 2 > hard) return; }
        if (got.by) by.push(got.by);
      }
      if (!sum || missed.length === hard) return;
      // A number alone is no answer to half a question: another machine may have it.
      if (missed.length && slots.every(function (slot) { return slot.light || missed.indexOf(slot) >= 0 || /^\d+$/.test(slot.typed.join("")); })) return;
      if (item.e.k === "Rule") sum -= 60;
      sum += 40 * covered(item, said) + (forkMeant && item.e.i ? 150 : 0);
      // What is called just so; a kind named in one go; a complaint in the rider's words.
      if (item.w.all.join(" ") === typed) sum += 60;
      if (slots.length > 1 && (" " + item.k.all.join(" ") + " ").indexOf(" " + typed + " ") >= 0) sum += 30;
      if (slots.length > 1 && item.called.some(function (name) { return ends.every(function (all) { return all.every(function (word) { return name.stems.indexOf(word) >= 0; }); }); })) sum += 70;
      out.push({ item: item, e: item.e, sum: sum, at: at, missed: missed, by: by });
    });
    return out;
  }

  // A fork and what is wanted of it: its words, and a page or a place of it.
  function ofForks(index, slots) {
    var out = [];
    index.parts.forEach(function (part) {
      var rest = slots.slice(), hit = false;
      part.names.forEach(function (name) {
        if (hit) return;
        var left = rest.filter(function (slot) {
          var said = slot.typed.map(stem), ours = slot.called.map(function (row) { return row.ours.map(stem); });
          return ![said].concat(ours).some(function (all) { return all.every(function (word) { return name.stems.indexOf(word) >= 0; }); });
        });
        var gone = [].concat.apply([], rest.filter(function (slot) { return left.indexOf(slot) < 0; }).map(function (slot) { return slot.typed.concat.apply(slot.typed, slot.called.map(function (row) { return row.ours; })); })).map(stem);
        if (left.length < rest.length && name.stems.every(function (word) { return EMPTY[word] || gone.indexOf(word) >= 0; })) { rest = left; hit = true; }
      });
      if (!hit || !rest.some(function (slot) { return !slot.light; })) return;
      var fitting = index.forks.filter(function (item) { return part.e.of === "card" ? (item.e.c || []).indexOf(part.e.n) >= 0 : part.e.of !== "value" || item.kind.v.indexOf(part.e.n) >= 0; });
      look(fitting, rest, false, 0).forEach(function (found) {
        // Named by its machine or its own name, or only by its kind.
        var named = rest.some(function (slot) { return !slot.light && slot.typed.some(function (word) { return !isYear(word) && (among(found.item.w, ask(word), 1, 1, 0) || found.item.t.indexOf(word) >= 0); }); });
        var entry = {};
        Object.keys(found.e).forEach(function (key) { entry[key] = found.e[key]; });
        entry.p = part.e.p.replace("{}", found.e.i);
        entry.part = part.e.t;
        var length = slots.length - rest.length;
        out.push({ item: found.item, e: entry, sum: found.sum + length * (named ? 100 : 30) + (part.e.of ? 1 : 0) + (part.e.of === "card" && named ? 20 : 0), at: found.at, missed: [], by: [] });
      });
    });
    // A fork that several machines have is named once.
    var seen = {};
    return out.sort(best).filter(function (found) { var before = seen[found.e.p]; seen[found.e.p] = true; return !before; });
  }
  function best(x, y) { return y.sum - x.sum || x.at - y.at; }

  function typedOf(slots) { return slots.map(function (slot) { return slot.typed.join(" "); }); }
  function nameOf(words) { return words.map(function (word) { return "“" + word.replace(/^(\d+)mm$/, "$1 mm") + "”"; }).join(", "); }

  // What fits the whole question; else without a year or a size that is not on record; else with slips; else most of it.
  Index.prototype.find = function (text) {
    var slots = this.slots(text), all = this.forks.concat(this.pages), said = "";
    var hard = slots.filter(function (slot) { return !slot.light; });
    if (!hard.length) return { said: "", strict: false, found: [] };
    var found = look(all, slots, false, 0).concat(ofForks(this, slots)), strict = found.length > 0;
    var is = function (test) { return function (slot) { return slot.typed.length === 1 && test(slot.typed[0]); }; };
    var without = function (test) { return slots.filter(function (slot) { return !is(test)(slot); }); };
    // A machine that is on record with other years: they are said, the machine is shown.
    if (!found.length && hard.some(is(isYear)) && !hard.every(is(isYear))) {
      var years = typedOf(slots.filter(is(isYear))).join(", ");
      found = look(this.forks, without(isYear), false, 0);
      if (!found.length) found = look(this.forks, without(isYear), true, 0);
      if (found.some(function (one) { return one.e.a; })) said = "Not on record for " + years + ". The years on record stand beside the machine.";
      else found = [];
    }
    var known = this.sizes;
    var other = hard.filter(function (slot) { return is(isSize)(slot) && known.indexOf(parseFloat(slot.typed[0])) < 0; });
    if (!found.length && other.length && known.length) {
      said = "No fork of " + typedOf(other).map(function (size) { return parseFloat(size) + " mm"; }).join(", ") + " on record. Sizes on record: " + known.join(", ").replace(/, ([^,]*)$/, " and $1") + " mm.";
      var rest = slots.filter(function (slot) { return other.indexOf(slot) < 0; });
      found = rest.length ? look(this.forks, rest, false, 0) : [];
    }
    if (!found.length && !said) found = look(all, slots, true, 0);
    if (!found.length && !said && hard.length > 1) {
      found = look(all, slots, false, 1).concat(hard.length > 3 ? look(all, slots, false, 2) : []);
      if (!found.length) found = look(all, slots, true, 1);
      found.sort(function (x, y) { return x.missed.length - y.missed.length || best(x, y); });
      var fewest = found.length ? found[0].missed.length : 0;
      found = found.filter(function (one) { return one.missed.length === fewest; });
      if (found.length) said = "Nothing on record has all of it. Without " + nameOf(typedOf(found[0].missed)) + ":";
    }
    found.sort(best);
    var by = found.length ? found[0].by.filter(function (row) { return row.term; }) : [];
    if (!said && by.length) said = by.map(function (row) { return "“" + row.said + "” is called “" + row.name + "” here."; }).join(" ");
    return { said: said, strict: strict, found: found };
  };

  // What stands in the list for a question, the best first; how many there are; and what is said above. `code` reads a
  // card's code.
  Index.prototype.answer = function (text, most, code) {
    var asked = text.trim();
    if (!asked) return { said: "", hits: [], all: 0 };
    var got = this.find(asked), hits = got.found.slice(0, most).map(function (one) { return one.e; }), card = code(asked);
    if (card && /^[0-9a-z]{4}[-\s]?[0-9a-z]{4}$/i.test(asked) && /\d/.test(asked)) {
      // A code is eight letters and digits, and may be words all the same: what has them all stands first.
      var entry = { t: card, k: "Is this card current?", p: "codes.html#" + card };
      hits = got.strict ? hits.slice(0, 1).concat(entry, hits.slice(1)) : [entry];
      if (!got.strict) got.said = "";
    }
    var said = !hits.length && !got.said ? "Nothing on record for “" + asked + "”. Found are machines by maker, model and year, forks by name, size and kind, and procedures, complaints, oils, tools, cautions and terms by what they are called." :
      got.said || (got.found.length > hits.length ? hits.length + " of " + got.found.length + " shown, the best first" : "");
    return { said: said, hits: hits, all: got.found.length };
  };
  window.benchleafSearch = {
    Index: Index,
    answer: function (data, text, most, code) {
      if (!window.benchleafSearch.index) window.benchleafSearch.index = new Index(data);
      return window.benchleafSearch.index.answer(text, most, code);
    }
  };
}());
