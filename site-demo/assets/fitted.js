// The parts that went in new: those that the service takes, with their sizes and numbers, and whatever else was fitted.
window.benchleafFitted = function (kept, facts) {
  "use strict";
  var place = document.querySelector("[data-fitted]"), more = document.querySelector("[data-fitted-more]"), begun = false;
  function all(what, within) { return Array.prototype.slice.call(within.querySelectorAll(what)); }
  function random() { return "own-" + Math.floor(Math.random() * 1e9).toString(36); }
  function change(name, how) { kept.change("parts", name, "a part fitted", how); }

  // ---- The parts of the service. ----

  var known = facts.parts.map(function (part) {
    var row = all("[data-fits]", place).filter(function (item) { return item.getAttribute("data-fits") === part.keep; })[0];
    var own = { part: part, tick: row.querySelector("input[type=checkbox]"), number: row.querySelector("[data-number]") };
    own.tick.addEventListener("change", function () {
      change(part.keep, function () { return own.tick.checked ? { part: part.part, size: part.size, number: part.number } : null; });
    });
    typing(own.number, part.keep, "number");
    return own;
  });
  // One text is one thing to undo, not one for each letter.
  function typing(field, name, what) {
    field.addEventListener("focus", function () { begun = false; });
    field.addEventListener("input", function () {
      change(name, function (part) {
        part = part || {};
        part[what] = field.value;
        return part.part || part.size || part.number ? part : null;
      });
      if (begun) kept.asOne();
      begun = true;
    });
  }

  // ---- Other parts. ----

  var rows = {};
  function row(name) {
    var item = more.appendChild(document.createElement("li")), fields = {};
    item.className = "own";
    [["part", "What it is"], ["size", "Size"], ["number", "Part number"]].forEach(function (one) {
      var label = item.appendChild(document.createElement("label")), field = document.createElement("input");
      label.className = "also";
      label.appendChild(document.createElement("span")).textContent = one[1];
      field.type = "text";
      field.autocomplete = "off";
      label.appendChild(field);
      fields[one[0]] = field;
      typing(field, name, one[0]);
    });
    rows[name] = { item: item, fields: fields };
    return rows[name];
  }
  document.querySelector("[data-fitted-another]").addEventListener("click", function () { row(random()).fields.part.focus(); });

  function show() {
    var parts = kept.job().parts;
    known.forEach(function (own) {
      var entry = parts[own.part.keep];
      own.tick.checked = !!entry;
      own.number.closest("label").hidden = !entry;
      var text = entry && entry.number || "";
      if (own.number.value !== text) own.number.value = text;
    });
    var names = facts.parts.map(function (part) { return part.keep; });
    Object.keys(parts).forEach(function (name) { if (names.indexOf(name) < 0 && !rows[name]) row(name); });
    Object.keys(rows).forEach(function (name) {
      var own = rows[name], entry = parts[name];
      // A row that is being written stays.
      if (!entry && !own.item.contains(document.activeElement)) { own.item.remove(); delete rows[name]; return; }
      Object.keys(own.fields).forEach(function (what) {
        var text = entry && entry[what] || "";
        if (own.fields[what].value !== text) own.fields[what].value = text;
      });
    });
  }
  document.querySelector("[data-fitted-part]").hidden = false;
  return { show: show };
};
