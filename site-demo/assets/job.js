// The job that the page is worked for: which machine, what the rider says, who did it; its file, and the other jobs that
// were begun on this device.
window.benchleafJobForm = function (kept, judge, stepsOf) {
  "use strict";
  var file = window.benchleafJobFile, dialog = document.querySelector("[data-job]");
  var facts = JSON.parse(dialog.getAttribute("data-job"));
  function one(what) { return dialog.querySelector(what); }
  function all(what, within) { return Array.prototype.slice.call((within || document).querySelectorAll(what)); }
  var fields = all("[data-say]");
  // What was told last, as long as the job is as it was then.
  var machine = one("[data-machine]"), said = "", saidOf = "";

  // ---- What is said of the machine, the rider and the work. ----

  function nameOf(job) {
    var head = job.head, model = [head.maker, head.model].filter(Boolean).join(" ");
    return (model || "No machine said yet") + (head.frame ? ", frame …" + head.frame : model ? ", no frame number yet" : "");
  }
  fields.forEach(function (field) {
    var name = field.getAttribute("data-say"), begun = false;
    field.addEventListener("focus", function () { begun = false; });
    field.addEventListener("input", function () {
      kept.change("head", name, field.getAttribute("data-called"), function () { return field.value; });
      if (begun) kept.asOne();
      begun = true;
    });
  });
  machine.addEventListener("change", function () {
    var chosen = facts.machines[Number(machine.value)];
    kept.change("head", "maker", "machine", function () { return chosen ? chosen.maker : ""; });
    kept.change("head", "model", "machine", function () { return chosen ? chosen.model : ""; });
    if (!chosen) one("[data-say=maker]").focus();
  });
  function missing(job) {
    var head = job.head, list = [];
    if (!head.maker || !head.model) list.push("the machine");
    if (!head.frame) list.push("the end of its frame number");
    if (!head.distance && !head.hours) list.push("distance or hours");
    ["distance", "hours"].forEach(function (name) { if (oddOf(name, head[name] || "")) list.push("the " + name + " as a number"); });
    if (!head.done_by) list.push("who did it");
    if (!head.read_back_by) list.push("who read it back");
    return list;
  }
  // What is odd about a line of the head, in the words that the shop's program says of it.
  function oddOf(name, text) {
    var unit = { distance: facts.distance, hours: "h", mass: "kg" }[name];
    if (!text) return "";
    if (unit && file.isAmount(name, text, unit)) return "";
    if (unit) {
      var meant = file.meanings(text);
      return meant.length ? "“" + text + "” may mean " + meant.join(" or ") + " " + unit + ": write which. As it is, it goes into the notes alone." :
        "Not a number with " + unit + ": it goes into the notes as typed.";
    }
    if (name === "date") return text > kept.today() ? text + " is still to come: today is " + kept.today() : "";
    if (name === "oil") return facts.oils.length && facts.oils.indexOf(text) < 0 ? "`" + text + "` went in, and the record asks for `" + facts.oils[0] + "`" : "";
    if (["complaint", "notes", "use", "done_by", "read_back_by"].indexOf(name) < 0) return "";
    return window.benchleafPersonal.told(text, name === "done_by" || name === "read_back_by");
  }
  // The readings that the service asks for and that are neither there nor skipped, as one sentence.
  function leftOut(job) {
    var steps = stepsOf(), done = {}, titles = [];
    steps.forEach(function (step) {
      var entry = job.steps[step.id] || {};
      step.boxes.forEach(function (box) { if (entry.skipped || (entry.read || {})[box.keep]) done[box.key] = true; });
    });
    steps.forEach(function (step) { step.boxes.forEach(function (box) { if (!done[box.key] && titles.indexOf(box.title) < 0) titles.push(box.title); }); });
    if (!titles.length) return "";
    return (titles.length === 1 ? "1 reading is" : titles.length + " readings are") + " not there: " + titles.slice(0, 3).join("; ") + (titles.length > 3 ? "; and " + (titles.length - 3) + " more" : "");
  }
  // The steps that have neither a tick nor a reason, as one sentence: in the words of the shop's program.
  function unticked(job) {
    var open = file.openOf(job, stepsOf()), steps = 0, more = open.length - 3;
    open.forEach(function (one) { steps += one[1]; });
    if (!steps) return "";
    return steps + (steps === 1 ? " step has" : " steps have") + " neither tick nor reason: " +
      open.slice(0, 3).map(function (one) { return (facts.procedures[one[0]] || one[0]) + ", " + one[1]; }).join("; ") +
      (more > 0 ? "; and " + more + (more === 1 ? " more procedure" : " more procedures") : "");
  }
  // What is not there, before the file is saved and after.
  function notThere(job) { return [leftOut(job), unticked(job)].filter(Boolean).map(function (one) { return one + "."; }).join(" "); }
  // What of the machine a shop must know, so that two of one model never mix: in the words of the shop's program.
  function unnamed(job) {
    var lacks = ["maker", "model", "frame"].filter(function (name) { return !(job.head[name] || "").trim(); });
    return lacks.length ? facts.unnamed + ": " + lacks.map(function (name) { return facts.lacks[name]; }).join(", ") : "";
  }
  function tell(text) { said = text; saidOf = kept.job().stamp; show(); }

  function show() {
    var job = kept.job(), head = job.head, at = -1;
    if (job.stamp !== saidOf) said = "";
    fields.forEach(function (field) {
      var name = field.getAttribute("data-say"), text = head[name] || (name === "date" ? job.begun : "") || "";
      if (field.tagName === "SELECT" && text && !all("option", field).some(function (option) { return option.value === text; })) {
        var option = field.appendChild(document.createElement("option"));
        option.value = option.textContent = text;
      }
      if (field.value !== text) field.value = text;
      var odd = oddOf(name, text), line = field.parentNode.querySelector(".odd");
      field.setAttribute("aria-invalid", odd ? "true" : "false");
      if (odd && !line) { line = field.parentNode.appendChild(document.createElement("span")); line.className = "odd"; line.setAttribute("role", "status"); }
      if (odd && line.textContent !== odd) line.textContent = odd;
      if (!odd && line) line.remove();
    });
    facts.machines.forEach(function (known, n) { if (known.maker === head.maker && known.model === head.model) at = n; });
    var another = !!(head.maker || head.model) && at < 0 || !facts.machines.length;
    if (document.activeElement !== machine || at >= 0) machine.value = at >= 0 ? String(at) : another ? "another" : machine.value === "another" ? "another" : "";
    all("[data-other]", dialog).forEach(function (label) { label.hidden = machine.value !== "another"; });
    all("[data-job-name]").forEach(function (place) { place.textContent = job.begun ? nameOf(job) : place.getAttribute("data-none") || "No job begun"; });
    var lacks = missing(job), out = notThere(job);
    all("[data-said]").forEach(function (place) { place.textContent = said; });
    all("[data-left-out]").forEach(function (place) { place.textContent = job.begun ? out : ""; });
    one("[data-job-told]").textContent = said || (kept.isFull() ? "This device keeps nothing more. Save the file now." :
      !job.begun ? "No job is begun. It begins with the first tick, reading or word." :
      "Begun " + job.begun + ". It is kept on this device and goes nowhere by itself." + (lacks.length ? " Not said yet: " + lacks.join(", ") + "." : ""));
    var jobs = kept.list(), list = one("[data-jobs] ul");
    one("[data-jobs]").hidden = !jobs.length || jobs.length === 1 && jobs[0].id === job.id;
    list.textContent = "";
    jobs.forEach(function (other) {
      var item = list.appendChild(document.createElement("li")), button = item.appendChild(document.createElement("button"));
      button.type = "button";
      var done = Object.keys(other.steps).filter(function (id) { return other.steps[id].done; }).length;
      button.textContent = nameOf(other) + ". Begun " + other.begun + ", " + done + (done === 1 ? " step" : " steps") + " done" + (other.id === job.id ? ". Open now" : "");
      button.disabled = other.id === job.id;
      button.addEventListener("click", function () { said = ""; kept.open(other); dialog.close(); });
    });
    one("[data-new]").disabled = one("[data-out]").disabled = !job.begun;
  }

  // ---- The file. ----

  function text() { return file.write(file.toRecord(facts, kept.job(), stepsOf(), judge)); }
  function slug(words) { return words.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60); }
  // The job that was asked for its machine before it was saved. A full device asks nothing: the file is all there is.
  var askedFor = "";
  function save() {
    var job = kept.job(), head = job.head, lacks = unnamed(job), link;
    if (lacks && askedFor !== job.id && !kept.isFull()) {
      askedFor = job.id;
      if (!dialog.open) openIt(document.activeElement);
      tell("Not saved yet: " + lacks + ". Say it here. To go on with the job on another device, press save again; `benchleaf job take` does not take the file before.");
      (["maker", "model"].some(function (name) { return !head[name]; }) ? machine : one("[data-say=frame]")).focus();
      return;
    }
    link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text()], { type: "application/yaml" }));
    link.download = slug(["job", head.date || job.begun || "", facts.fork, head.frame || ""].join(" ")) + ".yaml";
    document.body.appendChild(link);
    link.click();
    link.remove();
    window.setTimeout(function () { URL.revokeObjectURL(link.href); }, 60000);
    var out = notThere(job);
    tell("Saved as " + link.download + ". " + (out ? out + " " : "") + (lacks ? "It is to go on with on another device, and not for the shop yet: " + lacks + "." :
      "Bring it to the shop’s repository: `benchleaf job take` puts it in its place."));
  }
  var chosen = one("[data-file]");
  chosen.addEventListener("change", function () {
    var picked = chosen.files[0], reader = new FileReader();
    if (!picked) return;
    function refuse(why) { tell("Nothing was read from " + picked.name + ": " + why + "."); }
    if (picked.size > file.LARGEST) { refuse("it is too large for a job"); chosen.value = ""; return; }
    reader.addEventListener("error", function () { refuse("the file cannot be opened"); });
    reader.addEventListener("load", function () {
      chosen.value = "";
      try {
        var job = file.fromRecord(file.parse(String(reader.result)), facts, kept.blank(), stepsOf());
        if (!job.begun) job.begun = job.head.date || "";
        var more = kept.adopt(job);
        tell("Read from " + picked.name + (more ? ": " + more : "") + ".");
      } catch (why) {
        if (typeof why !== "string") throw why;
        refuse(why);
      }
    });
    reader.readAsText(picked);
  });
  all("[data-save]").forEach(function (button) { button.addEventListener("click", save); });
  one("[data-read]").addEventListener("click", function () { chosen.click(); });
  one("[data-new]").addEventListener("click", function () { said = ""; kept.begin(); });
  var sure = one("[data-sure]");
  one("[data-out]").addEventListener("click", function () { sure.hidden = false; one("[data-sure-no]").focus(); });
  one("[data-sure-no]").addEventListener("click", function () { sure.hidden = true; one("[data-out]").focus(); });
  one("[data-sure-yes]").addEventListener("click", function () {
    sure.hidden = true;
    kept.takeOut();
    tell("The job is off this device. Undo brings it back, as long as this page stays open.");
  });

  // ---- The dialog. ----

  var from = null;
  function openIt(button) { from = button; said = ""; show(); sure.hidden = true; dialog.showModal(); }
  all("[data-job-open]").forEach(function (button) {
    button.hidden = false;
    button.addEventListener("click", function () { openIt(button); });
  });
  one("[data-job-close]").addEventListener("click", function () { dialog.close(); });
  dialog.addEventListener("close", function () { said = ""; if (from) from.focus(); });
  dialog.text = text;

  return {
    show: show,
    choose: function () {
      openIt(null);
      tell("Several jobs are begun on this device. Choose the machine on the stand, or begin another job.");
    }
  };
};
