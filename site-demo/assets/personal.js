// What looks as if it told who somebody is. The library says the same of the same text (`src/judge/personal.rs`); a test
// holds the two together.
window.benchleafPersonal = (function () {
  "use strict";
  var STREETS = ["street", "st.", "road", "rd.", "lane", "avenue", "ave.", "drive", "terrace"];
  var TITLES = ["mr", "mr.", "mrs", "mrs.", "ms", "ms.", "miss", "mx", "mx.", "dr", "dr."];
  var PEOPLE = ["owner", "customer", "client", "rider", "name"];
  var FEWEST_DIGITS = 8;
  function isCapital(c) { return /^\p{Uppercase}/u.test(c); }
  // A word with a capital letter and small ones behind it.
  function isName(word) { return /^\p{Uppercase}[\p{Lowercase}'’-]+$/u.test(word) || /^\p{Uppercase}[\p{Lowercase}]*['’-]\p{Uppercase}[\p{Lowercase}]+$/u.test(word); }
  function bare(word) { return word.replace(/^[,;:()"]+|[,;:()"]+$/g, ""); }
  function isStreet(words) {
    function number(word) { return word !== undefined && word.length <= 5 && /^[0-9]+\p{Alphabetic}*$/u.test(word); }
    function named(word) { return word !== undefined && isCapital(word); }
    return words.some(function (word, at) {
      return STREETS.indexOf(word.toLowerCase()) >= 0 && named(words[at - 1]) && (number(words[at - 2]) || named(words[at - 2]) && number(words[at - 3]));
    });
  }
  function isPerson(words, sign) {
    function plain(word) { return word === undefined ? "" : word.replace(/[.]+$/, ""); }
    return words.some(function (word, at) {
      var next = plain(words[at + 1]), after = plain(words[at + 2]);
      if (TITLES.indexOf(word.toLowerCase()) >= 0 && isName(next)) return true;
      if (PEOPLE.indexOf(word.toLowerCase()) >= 0 && isName(next) && isName(after)) return true;
      return !!sign && (isName(plain(word)) || /^\p{Uppercase}\.$/u.test(word)) && isName(next);
    });
  }
  function isDay(run) {
    var parts = /^([0-9]{4})-([0-9]{2})-([0-9]{2})$/.exec(run), day = parts && new Date(Date.UTC(Number(parts[1]), parts[2] - 1, Number(parts[3])));
    return !!day && day.getUTCMonth() === parts[2] - 1 && day.getUTCDate() === Number(parts[3]);
  }
  function hasTelephone(text) {
    var runs = [""];
    Array.from(text).forEach(function (c) {
      var last = runs.length - 1;
      if (/[0-9]/.test(c) || c === "+" && !runs[last] || / |[-/().]/.test(c) && runs[last]) runs[last] += c;
      else if (runs[last]) runs.push("");
    });
    return runs.some(function (run) {
      run = run.replace(/[ \-/().]+$/, "");
      var digits = run.replace(/[^0-9]/g, "").length, grouped = /^[+0(]/.test(run) || /[-/]/.test(run);
      return digits >= FEWEST_DIGITS && grouped && !isDay(run);
    });
  }
  // `sign`: the text is asked for as a sign, such as bench 2, so that two words with capital letters are a name.
  function found(text, sign) {
    var words = text.split(/\s+/).filter(Boolean).map(bare);
    if (words.some(function (word) { var at = word.indexOf("@"); return at > 0 && word.indexOf(".", at) > 0; })) return "a mail address";
    if (isStreet(words)) return "a street with its number";
    if (hasTelephone(text)) return "a telephone number";
    return isPerson(words, sign) ? "a name" : "";
  }
  function told(text, sign) {
    var what = found(text, sign);
    return what && "this looks like " + what + ": take it out, and keep it where the shop keeps its customers; a job needs machine and reading alone";
  }
  return { found: found, told: told };
}());
