// What a reading says, by the tables that the build wrote into the page. The library judges by the same tables and in
// the same words; a test holds the two together. Nothing here knows the page.
window.benchleafJudge = function (asked) {
  "use strict";
  var tables = asked.of;
  function has(list, name) { return Object.prototype.hasOwnProperty.call(list, name); }
  function find(key) { return has(tables, key) ? tables[key] : null; }
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
  // What belongs to a reading, on the straight line between the two that are known about it.
  function onLine(points, here) {
    for (var at = 1; at < points.length; at++) {
      var a = points[at - 1], b = points[at];
      if (here >= a[0] - 1e-9 && here <= b[0] + 1e-9) return a[1] + (b[1] - a[1]) * (here - a[0]) / (b[0] - a[0]);
    }
    return null;
  }
  function preloaded(more, counted) {
    var size = Math.abs(more);
    if (!counted) return said(size, 1) + " mm " + (more < 0 ? "less" : "more") + " preload";
    return eighths(size) + (size <= 1.06 ? " turn" : " turns") + " of preload " + (more < 0 ? "out" : "in");
  }
  function remedy(leg, figure, to, at, by) {
    var what = leg.remedy;
    if (!what) return "";
    if (what.words) return what.words[at];
    if (what.turn) return what.turn[at] + " " + by;
    if (what.preload) {
      var more = onLine(what.preload, figure);
      if (more === null) return ["less", "more"][at] + " preload" + (what.counted ? " than the adjuster can give: another spring or spacer" : ", or another spring");
      return preloaded(more, what.counted);
    }
    if (what.oil) {
      var verb = ["draw off", "add"][at], here = onLine(what.oil, figure), there = onLine(what.oil, to);
      if (here === null || there === null) return verb + " oil";
      var amount = Math.abs(here - there);
      return verb + " " + said(amount, amount < 20 ? 1 : 0) + " mL";
    }
    var turns = Math.abs(figure - to) * what.turns;
    return eighths(turns) + (turns <= 1.06 ? " turn " : " turns ") + what.ways[at];
  }
  function blank(text) { return !text || !text.replace(/[ \u00a0\u202f]/g, ""); }
  var INSTEAD = { "not fitted": "not fitted, and the record asks for it", "not read": "not read", "unknown": "not read" };
  // The number that was typed, in the unit that is asked for; else what is wrong with it.
  function typed(table, leg, text) {
    var plain = text.replace(/[\u00a0\u202f]/g, " ").replace(/^ +| +$/g, "");
    if (has(INSTEAD, plain)) return { wrong: INSTEAD[plain] };
    var size = plain.replace(/^[-−–]+/, ""), less = size.length < plain.length, parts = /^([0-9.]*)([^]*)$/.exec(size.replace(/^ +/, ""));
    var unit = parts[2].replace(/^ +| +$/g, ""), at = parts[1].indexOf(".");
    var whole = at < 0 ? parts[1] : parts[1].slice(0, at), behind = at < 0 ? null : parts[1].slice(at + 1);
    if (unit.charAt(0) === "," && whole) return { wrong: "write a decimal point, not a comma" };
    var digits = behind === null ? 0 : behind.length;
    if (!whole || behind === "" || whole.length + digits > 9) return { wrong: "not a number" };
    var units = asked.units[leg.unit] || {}, known = has(units, unit) && units[unit];
    if (behind && behind.indexOf(".") >= 0 || !known && /[0-9]/.test(unit)) return { wrong: "one number goes in a box" };
    if (less && asked.signed.indexOf(leg.unit) < 0) return { wrong: "it cannot be less than nothing: write it without the minus" };
    if (behind !== null && asked.whole.indexOf(leg.unit) >= 0) return { wrong: "a click is felt or it is not: write a whole number" };
    var figure = Number(whole + (behind || "")) / Math.pow(10, digits) * (less ? -1 : 1);
    if (!unit) return { figure: figure, digits: digits };
    if (!known) return { wrong: leg.unit ? "not a unit of this box: write it in " + leg.unit : "a number alone goes in this box" };
    if (known[0] === 1 && known[1] === 0) return { figure: figure, digits: digits };
    return { figure: figure * known[0] + known[1], digits: leg.decimals };
  }
  function signed(number, digits) { return Math.abs(number) < 1e-7 ? "0" : (number < 0 ? "−" : "") + said(Math.abs(number), digits); }
  function counted(number, unit) { return number === "1" && /s$/.test(unit) ? "1 " + unit.slice(0, -1) : number + " " + unit; }
  function holds(can, figure) { return (can[0] === null || figure >= can[0]) && (can[1] === null || figure <= can[1]); }
  function again(unit) { return ": read it again" + ((asked.meant[unit] || []).length ? " and write its unit" : ""); }
  // What a figure would be in the unit that may have been meant, where that is likely.
  function meant(can, unit, figure, digits) {
    var likely = can[2], list = asked.meant[unit] || [];
    for (var n = 0; likely && n < list.length; n++) {
      var be = figure * list[n][1] + list[n][2];
      if (be >= likely[0] && be <= likely[1]) return signed(figure, digits) + " " + list[n][0] + " would be " + signed(be, 1) + " " + unit;
    }
    return "";
  }
  // What a reading is told that cannot be right; empty where it can.
  function impossible(can, unit, figure, digits) {
    if (holds(can, figure)) return "";
    var other = meant(can, unit, figure, digits);
    return counted(signed(figure, digits), unit) + " cannot be right" + (other ? " (" + other + ")" : "") + again(unit);
  }
  // What is asked of a reading that can be right, and is far from what is likely, and near it in another unit. A wrench
  // reads both: its foot-pounds are three quarters of the newton meters.
  function mistaken(can, unit, figure, digits) {
    var likely = can[2], times = has(asked.units[unit] || {}, "N·m") ? 1.25 : 2;
    var far = likely && (figure > likely[1] * times || figure > 0 && figure < likely[0] / times), other = far ? meant(can, unit, figure, digits) : "";
    return other ? other + again(unit) : "";
  }
  // What is asked at the temperature that is written beside a reading, and what is to be said of it.
  function atTemperature(leg, text) {
    var warm = leg.warm;
    if (!warm) return { leg: leg, says: "" };
    var record = said(warm.set, 1) + " " + warm.unit;
    if (blank(text)) return { leg: leg, says: ", judged for " + record + " as no temperature is written" };
    var read = typed(null, { unit: warm.unit, decimals: 0 }, text), at = read.figure;
    if (read.wrong || !holds(warm.can, at)) return { leg: leg, says: ", judged for " + record + " as the temperature written cannot be right" };
    // On the straight line of the two points about it; the outer ones go on.
    function asks(here) {
      var points = warm.points, last = points.length - 2, left = last;
      for (var n = 1; n < points.length; n++) if (here <= points[n][0]) { left = Math.min(n - 1, last); break; }
      var a = points[left], b = points[left + 1];
      return a[1] + (b[1] - a[1]) * (here - a[0]) / (b[0] - a[0]);
    }
    if (warm.points.length < 2 || Math.abs(at - warm.set) < 0.05) return { leg: leg, says: "" };
    var digits = Math.max(leg.decimals, warm.digits), scale = Math.pow(10, digits), now = rounded(asks(at) * scale) / scale;
    var shift = now - (leg.target !== null ? leg.target : asks(warm.set)), moved = Object.assign({}, leg);
    ["least", "greatest", "target"].forEach(function (name) { if (leg[name] !== null) moved[name] = leg[name] + shift; });
    moved.bounds = leg.bounds.map(function (side) { return side.map(function (bound) { return [bound[0] + (bound[2] ? shift : 0), bound[1], bound[2]]; }); });
    var figures = moved.target !== null ? said(moved.target, digits) :
      moved.least !== null && moved.greatest !== null ? said(moved.least, digits) + ".." + said(moved.greatest, digits) : said(moved.least !== null ? moved.least : moved.greatest, digits);
    moved.said = figures + " " + leg.unit + " at " + signed(at, read.digits) + " " + warm.unit + " (" + leg.said + " at " + record + ")";
    moved.moved = true;
    return { leg: moved, says: "" };
  }
  // What a reading on one leg says, with the temperature that is written beside it; empty where nothing is to be said.
  function judge(key, at, text, asLeft, temperature) { return look(key, at, text, asLeft, temperature).words; }
  function look(key, at, text, asLeft, temperature) {
    var table = find(key), leg = table && table.legs[at];
    if (!table || table.words || blank(text)) return { words: "" };
    var own = leg || { unit: table.unit, decimals: 0 }, read = typed(table, own, text), is;
    if (read.wrong) is = { words: read.wrong };
    else if (!leg && table.unit && !holds(table.can, read.figure)) is = { words: impossible(table.can, table.unit, read.figure, read.digits), outside: true, impossible: true };
    else if (!leg) is = { words: table.unit ? mistaken(table.can, table.unit, read.figure, read.digits) : "" };
    // A joint is tightened, whenever that is.
    else is = words(leg, read.figure, read.digits, asLeft || has(asked.units[leg.unit] || {}, "N·m"), temperature);
    // A part that has a limit goes back or does not.
    is.part = !!leg && /limit$/.test(leg.called[0]);
    return is;
  }
  function words(leg, figure, digits, asLeft, temperature) {
    var odd = impossible(leg.can, leg.unit, figure, digits);
    if (odd) return { words: odd, outside: true, impossible: true };
    var warm = atTemperature(leg, temperature);
    leg = warm.leg;
    var slack = 1e-9 * Math.max(Math.abs(figure), 1);
    var low = leg.least !== null && figure < leg.least - slack, high = leg.greatest !== null && figure > leg.greatest + slack;
    if (!low && !high) return { words: "as asked: " + leg.said + warm.says };
    // Where both are broken, the least is told, and the remedy is that of too much: as in the library.
    var side = high ? 1 : 0, to = leg.target !== null ? leg.target : low ? leg.least : leg.greatest;
    var by = counted(said(Math.abs(figure - to), Math.max(leg.decimals, digits)), leg.unit);
    var done = asLeft || leg.target === null ? remedy(leg, figure, to, side, by) : "", behind = done ? ": " + done : "";
    // The gravest bound that it is past.
    var bound = leg.bounds[side].filter(function (one) { return side ? figure > one[0] + slack : figure < one[0] - slack; })[0];
    var beyond = bound ? ", " + bound[1] + " " + said(bound[0], 1) + " " + leg.unit : "";
    // A figure that moved with the temperature is told with what is outside of it.
    var told = (leg.loose || leg.moved) && figure === 0 ? "0 " + leg.unit + " where " + leg.said + " is asked" : leg.loose || leg.moved ? by + " " + ["less", "more"][side] + " than " + leg.said : by + " " + leg.called[side];
    // Near the figure in another unit: nobody is told what to do before that is known.
    var question = mistaken(leg.can, leg.unit, figure, digits);
    if (question) behind = "; " + question;
    return { words: told + beyond + warm.says + behind, outside: !leg.loose || !!bound, limit: /limit$/.test(leg.called[side]) };
  }
  // A sag from three readings: extended, settled from below, settled from above; with the figure to be written.
  var THREE = ["extended", "settled from below", "settled from above"];
  function settled(key, texts, asLeft) {
    var table = find(key), none = { words: "" };
    if (!table || texts.some(blank)) return none;
    var leg = table.legs[0] || table.legs[1], own = leg || { unit: table.unit, decimals: 0 };
    var read = texts.map(function (text) { return typed(table, own, text); });
    for (var at = 0; at < 3; at++) if (read[at].wrong) return { words: THREE[at] + ": " + read[at].wrong };
    var extended = read[0].figure, below = read[1].figure, above = read[2].figure, most = 1000 * (asked.units[own.unit].mm || [1])[0];
    if (extended <= 0 || extended > most || below > most || above > most) return { words: "each of the three is a distance of at most 1000 mm" };
    if (below > above) return { words: "mixed up: reading settled from below is more than reading settled from above" };
    if (above > extended) return { words: "mixed up: reading settled from above is more than reading with the leg extended" };
    // The middle of two readings has half of their last digit.
    var digits = Math.max(read[0].digits, read[1].digits, read[2].digits) + 1, sag = extended - (below + above) / 2, band = above - below;
    function nought(number) { return signed(number, digits); }
    var told = "sag " + nought(sag) + " " + own.unit + ", friction holds it over " + nought(band) + " " + own.unit;
    return { words: told + (leg ? "; " + words(leg, sag, digits, asLeft, "").words : ""), sag: nought(sag), unit: own.unit };
  }
  // What left against right says; empty where they agree or one is no number.
  function judgePair(key, left, right) {
    var table = find(key);
    if (!table || table.apart === null || !table.legs[0] || !table.legs[1]) return "";
    var l = typed(table, table.legs[0], left), r = typed(table, table.legs[1], right);
    if (l.wrong || r.wrong) return "";
    if ([l, r].some(function (read, n) { var leg = table.legs[n]; return !holds(leg.can, read.figure) || mistaken(leg.can, leg.unit, read.figure, read.digits); })) return "";
    var apart = Math.abs(l.figure - r.figure), unit = table.legs[0].unit;
    if (apart <= table.apart + 1e-9 * Math.max(apart, 1)) return "";
    return "left and right differ by " + said(apart, Math.max(l.digits, r.digits)) + " " + unit + ", " + said(table.apart, 4) + " " + unit + " allowed";
  }
  // What a torque says of the wrench it was read with; empty where the wrench reads it well or it is no torque.
  // `wrench`: its id, the N·m that it reads well from and to, and the same as it is said.
  function wrenchOf(key, title, texts, wrench) {
    var table = find(key), newton = table && (asked.units[table.unit] || {})["N·m"], out = "";
    if (!newton) return out;
    texts.forEach(function (text) {
      if (out || blank(text)) return;
      var read = typed(table, { unit: table.unit, decimals: 0 }, text), at = (read.figure - newton[1]) / newton[0];
      if (read.wrong || at >= wrench.least - 1e-9 && at <= wrench.greatest + 1e-9) return;
      var plain = text.replace(/[\u00a0\u202f ]+/g, " ").trim(), said = /^[0-9.]+$/.test(plain) ? plain + " " + table.unit : plain;
      out = title + ": " + said.replace(/^([0-9.]+) ?/, "$1\u00a0") + " with `" + wrench.id + "`, which reads well at " + wrench.reads;
    });
    return out;
  }
  // What is asked of a value as it is printed: once, or left and right where they differ.
  function saidOf(key) {
    var table = find(key), legs = table ? table.legs : [null, null];
    var said = legs.map(function (leg) { return leg ? leg.said.replace(/\u00a0/g, " ") : ""; });
    return said[0] && said[1] && said[0] !== said[1] ? { left: said[0], right: said[1] } : said[0] || said[1];
  }
  // How a reading goes into the job's file: as a value with its unit where it is one, else as it was typed.
  function written(key, text, unit) {
    var plain = text.replace(/[\u00a0\u202f]/g, " ").trim(), table = find(key);
    if (!table || table.words) return { value: plain };
    var read = typed(table, { unit: unit || table.unit, decimals: 0 }, plain);
    if (read.wrong) return { typed: text };
    return { value: /^[-−–]* *[0-9.]+$/.test(plain) && (unit || table.unit) ? plain + " " + (unit || table.unit) : plain };
  }
  return { find: find, judge: judge, look: look, judgePair: judgePair, settled: settled, wrenchOf: wrenchOf, saidOf: saidOf, written: written };
};
