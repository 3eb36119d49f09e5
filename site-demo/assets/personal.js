// What looks as if it told who somebody is. The library says the same of the same text (`src/judge/personal.rs`); a test
// holds the two together.
window.benchleafPersonal = (function () {
  "use strict";
  var STREETS = ["street", "st.", "road", "rd.", "lane", "avenue", "ave.", "drive", "terrace"];
  var TITLES = ["mr", "mr.", "mrs", "mrs.", "ms", "ms.", "miss", "mx", "mx.", "dr", "dr."];
  var PEOPLE = ["owner", "customer", "client", "rider", "name"];
  var PLATES = ["plate", "registration", "reg", "reg.", "license"];
  var BETWEEN = ["plate", "number", "no.", "no", "is", "nr."];
  var OTHER_PLATES = ["frame", "data"];
  var FEWEST_DIGITS = 8;
  var MEASURES = ["km", "mi", "mm", "cm", "m", "in", "n", "kn", "kpa", "bar", "psi", "ml", "cc", "l", "g", "kg", "lb", "h", "min", "rpm"];
  function isCapital(c) { return /^\p{Uppercase}/u.test(c); }
  // A word with a capital letter and small ones behind it.
  function isName(word) { return /^\p{Uppercase}[\p{Lowercase}'’-]+$/u.test(word) || /^\p{Uppercase}[\p{Lowercase}]*['’-]\p{Uppercase}[\p{Lowercase}]+$/u.test(word); }
  function bare(word) { return word.replace(/^[,;:()"]+|[,;:()"]+$/g, ""); }
  // How many words from this one on look like it; 0 where they do not.
  function mail(words, at) {
    var sign = words[at].indexOf("@");
    return sign > 0 && words[at].indexOf(".", sign) > 0 ? 1 : 0;
  }
  function street(words, at) {
    function named(at) { return words[at] !== undefined && isCapital(words[at]); }
    function isStreet(at) { return words[at] !== undefined && STREETS.indexOf(words[at].toLowerCase()) >= 0; }
    if (!(words[at].length <= 5 && /^[0-9]+\p{Alphabetic}*$/u.test(words[at])) || !named(at + 1)) return 0;
    return isStreet(at + 2) ? 3 : named(at + 2) && isStreet(at + 3) ? 4 : 0;
  }
  function plate(words, at) {
    var from = at + 1, parts = [], before = at ? words[at - 1].toLowerCase() : "";
    if (PLATES.indexOf(words[at].toLowerCase()) < 0 || OTHER_PLATES.indexOf(before) >= 0) return 0;
    while (words[from] !== undefined && BETWEEN.indexOf(words[from].toLowerCase()) >= 0) from += 1;
    while (parts.length < 3 && /^[\p{Uppercase}0-9-]+$/u.test(words[from + parts.length] || "")) parts.push(words[from + parts.length]);
    var signs = Array.from(parts.join("").replace(/-/g, ""));
    return signs.length >= 4 && signs.length <= 9 && signs.some(isCapital) && signs.some(function (c) { return /[0-9]/.test(c); }) ? from - at + parts.length : 0;
  }
  function person(words, at, sign) {
    function plain(word) { return word === undefined ? "" : word.replace(/[.]+$/, ""); }
    var word = words[at], next = isName(plain(words[at + 1]));
    if (PEOPLE.indexOf(word.toLowerCase()) >= 0 && next && isName(plain(words[at + 2]))) return 3;
    return TITLES.indexOf(word.toLowerCase()) >= 0 && next || sign && (isName(plain(word)) || /^\p{Uppercase}\.$/u.test(word)) && next ? 2 : 0;
  }
  var KINDS = [["a mail address", mail], ["a street with its number", street], ["a registration plate", plate], ["a name", person]];
  function isDay(run) {
    var parts = /^([0-9]{4})-([0-9]{2})-([0-9]{2})$/.exec(run), day = parts && new Date(Date.UTC(Number(parts[1]), parts[2] - 1, Number(parts[3])));
    return !!day && day.getUTCMonth() === parts[2] - 1 && day.getUTCDate() === Number(parts[3]);
  }
  // Each run of digits that looks like a telephone number, as [from, to].
  function telephones(text) {
    var runs = [], open = -1, at = 0;
    Array.from(text).forEach(function (c) {
      var goesOn = /[0-9]/.test(c) || c === "+" && open < 0 || / |[-/().]/.test(c) && open >= 0;
      if (goesOn && open < 0) open = at;
      if (!goesOn && open >= 0) { runs.push([open, at]); open = -1; }
      at += c.length;
    });
    if (open >= 0) runs.push([open, at]);
    return runs.map(function (run) { return [run[0], run[0] + text.slice(run[0], run[1]).replace(/[ \-/().]+$/, "").length]; }).filter(function (run) {
      var said = text.slice(run[0], run[1]), digits = said.replace(/[^0-9]/g, "").length, grouped = /^[+0(]/.test(said) || /[-/]/.test(said);
      // Three groups, the first of three digits and not all alike, and no unit behind them.
      var inGroups = /^[0-9]{3}(?: [0-9]{3,4}){2}$/.test(said) && / [0-9]{4}(?: |$)/.test(said);
      var unit = /^\s*([A-Za-z]*)/.exec(text.slice(run[1]))[1].toLowerCase();
      return digits >= FEWEST_DIGITS && (grouped || inGroups && MEASURES.indexOf(unit) < 0) && !isDay(said);
    });
  }
  // Everything that looks as if it told who somebody is, in the order in which it stands: [what, the words].
  // `sign`: the text is asked for as a sign, such as bench 2, so that two words with capital letters are a name.
  function found(text, sign) {
    var words = [], places = [], out = [];
    text.split(/(\s+)/).reduce(function (at, word) {
      if (word && !/^\s/.test(word)) { words.push(bare(word)); places.push(at + word.length - word.replace(/^[,;:()"]+/, "").length); }
      return at + word.length;
    }, 0);
    KINDS.forEach(function (kind) {
      for (var at = 0, count; at < words.length; at += Math.max(count, 1)) {
        count = kind[1](words, at, sign);
        if (count) out.push([kind[0], places[at], places[at + count - 1] + words[at + count - 1].length]);
      }
    });
    telephones(text).forEach(function (run) { out.push(["a telephone number", run[0], run[1]]); });
    out.sort(function (a, b) { return a[1] - b[1] || a[2] - b[2]; });
    return out.map(function (one) { return [one[0], text.slice(one[1], one[2])]; });
  }
  function told(text, sign) {
    var kinds = found(text, sign).map(function (one) { return one[0]; }).filter(function (what, at, all) { return all.indexOf(what) === at; });
    return kinds.length ? "this looks like " + kinds.join(" and ") + ": take it out, and keep it where the shop keeps its customers; a job needs machine and reading alone" : "";
  }
  return { found: found, told: told };
}());
