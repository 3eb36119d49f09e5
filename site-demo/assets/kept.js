// The jobs begun on this device, and the one that a page works on. They are kept in the browser's own store and go
// nowhere by themselves. Nothing here knows the page.
// `of` names the fork and the service, `former` how they were called before.
window.benchleafKept = function (of, former, told) {
  "use strict";
  var BEGINS = "benchleaf.job.", LETTERS = "0123456789abcdefghjkmnpqrstvwxyz", MOST_UNDONE = 50;

  // ---- The store. Every job has an entry of its own, by a random number. ----

  function random() {
    var bytes = new Uint8Array(12);
    window.crypto.getRandomValues(bytes);
    return Array.prototype.map.call(bytes, function (byte) { return LETTERS[byte % 32]; }).join("");
  }
  function today() {
    var now = new Date();
    return [now.getFullYear(), ("0" + (now.getMonth() + 1)).slice(-2), ("0" + now.getDate()).slice(-2)].join("-");
  }
  function isMap(thing) { return !!thing && typeof thing === "object" && !Array.isArray(thing); }
  function isJob(job) {
    return isMap(job) && job.form === 3 && isMap(job.head) && isMap(job.steps) && isMap(job.loose) && isMap(job.parts) && isMap(job.rest) &&
      Array.isArray(job.known) && Array.isArray(job.twice);
  }
  function blank() {
    return { form: 3, id: random(), of: of, begun: "", stamp: "", head: {}, steps: {}, loose: {}, parts: {}, rest: {}, known: [], twice: [] };
  }
  function read(id) {
    try {
      var job = JSON.parse(localStorage.getItem(BEGINS + id) || "null");
      // Kept before parts were.
      if (isMap(job) && job.parts === undefined) job.parts = {};
      return isJob(job) ? job : null;
    } catch (e) { return null; /* kept by nobody, or not ours */ }
  }
  // Whether there was room.
  function put(job) {
    try { localStorage.setItem(BEGINS + job.id, JSON.stringify(job)); return true; } catch (e) { return false; }
  }
  function remove(id) { try { localStorage.removeItem(BEGINS + id); } catch (e) { /* was not kept */ } }
  function isOurs(job) { return job.of === of || former.indexOf(job.of) >= 0; }
  // The jobs of a page, the youngest first.
  function list() {
    var found = [];
    try {
      for (var at = 0; at < localStorage.length; at++) {
        var name = localStorage.key(at);
        if (name.indexOf(BEGINS) === 0 && name.indexOf("/") < 0) found.push(read(name.slice(BEGINS.length)));
      }
    } catch (e) { /* nothing is kept on this device */ }
    found = found.filter(function (job) { return job && isOurs(job); });
    return found.sort(function (a, b) { return a.begun < b.begun || a.begun === b.begun && a.id < b.id ? 1 : -1; });
  }
  // Which job a tab works on outlives a reload of the tab.
  function chosen(id) {
    try {
      if (id === undefined) return sessionStorage.getItem("benchleaf.open." + of);
      sessionStorage.setItem("benchleaf.open." + of, id);
    } catch (e) { /* it is chosen again */ }
    return id || null;
  }

  // ---- The job that is open. ----

  // `pending` names what was changed and is not in the store yet; `full` says that the store took nothing more.
  var job = blank(), undone = [], pending = {}, full = false, away = false, known = function () { return []; };
  function copy(thing) { return thing === undefined ? undefined : JSON.parse(JSON.stringify(thing)); }
  function set(into, kind, name, thing) { if (thing === undefined || thing === null || thing === "") delete into[kind][name]; else into[kind][name] = thing; }
  function begin() {
    job = blank();
    job.begun = today();
    job.known = known();
    undone = [];
    pending = {};
    away = false;
  }
  // Another tab may have written the job since: its state is taken, with what this tab could not write yet.
  function takeOver() {
    var there = job.begun ? read(job.id) : null;
    if (!there || there.stamp === job.stamp) return;
    Object.keys(pending).forEach(function (key) { set(there, pending[key][0], pending[key][1], copy(job[pending[key][0]][pending[key][1]])); });
    job.twice.forEach(function (line) { if (there.twice.indexOf(line) < 0) there.twice.push(line); });
    job = there;
  }
  function write() {
    var stamp = job.stamp;
    job.stamp = random();
    full = !put(job);
    if (full) { job.stamp = stamp; return; }
    pending = {};
    away = false;
    chosen(job.id);
  }
  // What a thing holds, part by part.
  function leaves(thing, name, out) {
    if (isMap(thing)) Object.keys(thing).forEach(function (key) { leaves(thing[key], name ? name + " " + key : key, out); });
    else if (thing !== undefined) out[name] = String(thing);
    return out;
  }
  // Changes one thing that is kept: a step, something loose, a line of the head. Only that is written anew, so that two
  // tabs lose nothing of each other; where both wrote the same, both are told.
  function change(kind, name, what, how) {
    if (!job.begun) begin();
    var before = leaves(job[kind][name], "", {});
    takeOver();
    var was = copy(job[kind][name]), after = how(copy(was)), there = leaves(was, "", {}), then = leaves(after, "", {});
    Object.keys(there).forEach(function (part) {
      if (/^(words|card|said )/.test(part) || there[part] === before[part] || there[part] === then[part]) return;
      job.twice.push(what + ": the other tab had “" + there[part] + "”" + (then[part] === undefined ? "" : ", now “" + then[part] + "” stands"));
    });
    remember({ what: what, kind: kind, name: name, was: was });
    set(job, kind, name, after);
    pending[kind + " " + name] = [kind, name];
    write();
    told();
  }
  function remember(one) {
    undone.push(one);
    if (undone.length > MOST_UNDONE) undone.shift();
  }
  function undo() {
    var last = undone.pop();
    if (!last) return;
    var was = last.whole && JSON.parse(last.whole);
    if (was && was.id !== job.id) job = was;
    else if (was) {
      takeOver();
      ["steps", "loose", "parts"].forEach(function (kind) {
        Object.keys(was[kind]).forEach(function (name) {
          if (job[kind][name] === undefined) { job[kind][name] = was[kind][name]; pending[kind + " " + name] = [kind, name]; }
        });
      });
    } else {
      takeOver();
      set(job, last.kind, last.name, last.was);
      pending[last.kind + " " + last.name] = [last.kind, last.name];
    }
    write();
    told();
  }
  function clear() {
    takeOver();
    remember({ what: "clear all", whole: JSON.stringify(job) });
    job.steps = {};
    job.loose = {};
    job.parts = {};
    write();
    told();
  }
  // Takes the open job off the device.
  function takeOut() {
    var whole = JSON.stringify(job);
    remove(job.id);
    job = blank();
    pending = {};
    full = false;
    undone = [{ what: "take the job off the device", whole: whole }];
    chosen("");
    told();
  }
  function open(other) {
    job = other;
    job.of = of;
    undone = [];
    pending = {};
    full = false;
    away = false;
    chosen(job.id);
    told();
  }
  // All that a job holds, in an order of its own.
  function holds(one) {
    var all = leaves({ head: one.head, steps: one.steps, loose: one.loose, parts: one.parts }, "", {});
    return JSON.stringify(Object.keys(all).sort().map(function (part) { return [part, all[part]]; }));
  }
  // Takes a job that was read from a file: beside another one of the same number, never over it.
  function adopt(other) {
    var there = read(other.id), same = there && holds(there) === holds(other);
    if (same) { open(there); return "this very job is on this device already"; }
    if (there) other.id = random();
    open(other);
    write();
    told();
    return there ? "this device has the job too, and it differs: both are kept, this is the one from the file" : "";
  }
  // What was kept by fork and service alone, before jobs had numbers.
  function old() {
    try {
      var kept = JSON.parse(localStorage.getItem(BEGINS + of) || "null");
      if (!isMap(kept) || kept.form !== 2 || !isMap(kept.steps) || !isMap(kept.loose) || !Array.isArray(kept.known)) return;
      var moved = blank();
      moved.begun = kept.begun;
      moved.steps = kept.steps;
      moved.loose = kept.loose;
      moved.known = kept.known;
      if (put(moved)) localStorage.removeItem(BEGINS + of);
    } catch (e) { /* kept by nobody, or not ours */ }
  }
  // Opens what this tab worked on, or the only job there is. Gives the jobs to choose from where there are several.
  function start(steps) {
    known = steps;
    old();
    var jobs = list(), last = chosen() ? read(chosen()) : null;
    if (last && !isOurs(last)) last = null;
    if (last || jobs.length === 1) { open(last || jobs[0]); return []; }
    told();
    return jobs;
  }
  window.addEventListener("storage", function (event) {
    if (event.key && event.key.indexOf(BEGINS) !== 0) return;
    if (job.begun && (event.key === null || event.key === BEGINS + job.id)) {
      away = !read(job.id);
      takeOver();
    }
    told();
  });

  return {
    job: function () { return job; }, blank: blank, today: today, list: list, open: open, begin: function () { begin(); write(); told(); }, start: start, adopt: adopt,
    change: change, undo: undo, clear: clear, takeOut: takeOut, last: function () { return undone[undone.length - 1]; },
    // Several changes that a hand makes in one go are one thing to undo.
    asOne: function () { if (undone.length > 1) undone.splice(-1, 1); },
    seenTwice: function () { job.twice = []; write(); told(); },
    isFull: function () { return full; }, isAway: function () { return away; }
  };
};
