//! The technician's job on the tablet: it belongs to one machine, survives what happens to a tablet, and its file goes
//! to the shop and to another device.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use headless_chrome::Tab;
use headless_chrome::protocol::cdp::Page;

use crate::work::{begin, is_ticked, text, thumbs, tick};
use crate::{SITE, ask, open, open_in, with_tab, with_two_tabs};

const PAGE: &str = "forks/tarnholm-u41/full-service.html";

/// Types into a field of the job.
pub(crate) fn say(tab: &Tab, name: &str, what: &str) {
    let script = format!(
        "(f => {{ f.value = {what:?}; f.dispatchEvent(new Event('input', {{bubbles: true}})); return f.value; }})(document.querySelector('[data-job] [data-say={name}]'))"
    );
    assert_eq!(ask(tab, &script), what);
}

fn choose_machine(tab: &Tab, at: usize) {
    ask(
        tab,
        &format!(
            "(f => {{ f.value = '{at}'; f.dispatchEvent(new Event('change', {{bubbles: true}})); }})(document.querySelector('[data-machine]'))"
        ),
    );
}

/// Types into the first box of a name, among those as left or as found.
pub(crate) fn write(tab: &Tab, keep: &str, found: bool, what: &str) -> String {
    let box_ = if found { "[data-found]" } else { ":not([data-found])" };
    ask(
        tab,
        &format!(
            "(f => {{ f.dispatchEvent(new Event('focus')); f.value = {what:?}; f.dispatchEvent(new Event('input', {{bubbles: true}})); return f.value; }})(document.querySelector('.reading{box_} [data-keep={keep:?}]'))"
        ),
    )
}

fn read(tab: &Tab, keep: &str) -> String {
    ask(tab, &format!("document.querySelector('.reading:not([data-found]) [data-keep={keep:?}]').value"))
}

fn press(tab: &Tab, what: &str) {
    ask(tab, &format!("document.querySelector({what:?}).click()"));
}

pub(crate) fn told(tab: &Tab) -> String {
    text(tab, "[data-job-told]")
}

/// The file as the page writes it.
pub(crate) fn file(tab: &Tab) -> String {
    ask(tab, "document.querySelector('[data-job]').text()")
}

/// Saves the job's file as a hand does, and waits until it is there.
pub(crate) fn save(tab: &Tab, folder: &Path) -> PathBuf {
    tab.call_method(Page::SetDownloadBehavior {
        behavior: Page::SetDownloadBehaviorBehaviorOption::Allow,
        download_path: Some(folder.to_string_lossy().into_owned()),
    })
    .expect("files may be saved");
    press(tab, "[data-job] [data-save]");
    for _ in 0..400 {
        let there = std::fs::read_dir(folder).expect("the folder").flatten().map(|entry| entry.path());
        if let Some(path) =
            there.into_iter().find(|path| path.extension().is_some_and(|ending| ending == "yaml"))
        {
            return path;
        }
        std::thread::sleep(std::time::Duration::from_millis(25));
    }
    panic!("the file was not saved: {}", told(tab));
}

/// Gives the page a file to read, and waits for what it says.
pub(crate) fn give(tab: &Tab, path: &Path) -> String {
    ask(tab, "document.querySelector('[data-job-told]').textContent = ''");
    let field = tab.find_element("[data-file]").expect("the field");
    field.set_input_files(&[&path.to_string_lossy()]).expect("a file");
    for _ in 0..400 {
        let said = told(tab);
        if said.contains("ead from") {
            return said;
        }
        std::thread::sleep(std::time::Duration::from_millis(25));
    }
    panic!("the page says nothing of {}", path.display());
}

pub(crate) fn benchleaf(shop: &Path, arguments: &[&str]) -> Output {
    // The program stands beside the test's own folder.
    let mut at = std::env::current_exe().expect("this test");
    at.pop();
    at.pop();
    Command::new(at.join("benchleaf")).args(arguments).current_dir(shop).output().expect("it runs")
}

pub(crate) fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

/// The demo shop in a folder of its own.
pub(crate) fn shop() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for part in ["specs", "procedures"] {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        for entry in walkdir::WalkDir::new(root.join(part)) {
            let entry = entry.expect("the shop");
            let to = folder.path().join(entry.path().strip_prefix(root).expect("inside"));
            match entry.file_type().is_dir() {
                true => std::fs::create_dir_all(&to).expect("a folder"),
                false => drop(std::fs::copy(entry.path(), &to).expect("a copy")),
            }
        }
    }
    folder
}

/// Begins a job on a machine and says all that a job says.
pub(crate) fn begin_job(tab: &Tab, frame: &str) {
    choose_machine(tab, 0);
    for (name, what) in [
        ("frame", frame),
        ("distance", "18200"),
        ("complaint", "dives under the brake, \"a lot\": since spring"),
        ("mass", "84"),
        ("use", "road"),
        ("batch", "26-401"),
        ("done_by", "bench 2"),
        ("read_back_by", "bench 1"),
    ] {
        say(tab, name, what);
    }
    // As late as the newest card.
    say(tab, "date", "2026-11-26");
}

/// Lets the shop have released the card that the page names.
fn release(shop: &Path, code: &str) {
    release_for(shop, ("tarnholm-u41", "full-service"), code);
}

/// Lets the shop have released a card for a service of a fork.
pub(crate) fn release_for(shop: &Path, (fork, service): (&str, &str), code: &str) {
    let released = shop.join("specs/released.yaml");
    let mut cards = std::fs::read_to_string(&released).expect("the cards");
    if !cards.contains(code) {
        cards.push_str(&format!(
            "  - {{fork: {fork}, service: {service}, values: W7F0-W09C, card: {code}, date: \"2026-11-26\"}}\n"
        ));
        std::fs::write(&released, cards).expect("written");
    }
}

/// Writes into every box what its record asks for, and picks a wrench for every torque.
const FILL: &str = r"(() => {
  const asked = JSON.parse(document.querySelector('[data-asked]').getAttribute('data-asked')).of;
  let count = 0;
  for (const f of document.querySelectorAll('[data-step] .reading input[data-keep]:not([data-also])')) {
    const name = f.getAttribute('data-keep').replace(/-(left|right)$/, ''), right = /-right$/.test(f.getAttribute('data-keep'));
    const leg = asked[name].legs[right ? 1 : 0] || asked[name].legs[1];
    const middle = leg && (leg.target ?? (leg.least !== null && leg.greatest !== null ? (leg.least + leg.greatest) / 2 : leg.least ?? leg.greatest));
    f.value = leg ? String(Math.round(middle * 100) / 100) : asked[name].unit === '°C' ? '20' : asked[name].unit === 'mL' ? '430' : '1';
    f.dispatchEvent(new Event('input', {bubbles: true}));
    count++;
  }
  return count;
})()";

#[test]
fn two_machines_of_one_model_never_mix() {
    with_tab(|tab| {
        begin(tab, PAGE);
        choose_machine(tab, 0);
        say(tab, "frame", "AA1111");
        tick(tab, 1);
        write(tab, "oil.air_gap-left", false, "110.5");
        press(tab, "[data-new]");
        assert!(!is_ticked(tab, 1));
        assert_eq!(read(tab, "oil.air_gap-left"), "");
        choose_machine(tab, 0);
        say(tab, "frame", "BB2222");
        tick(tab, 2);
        assert!(text(tab, ".progress [data-job-name]").ends_with("frame …BB2222"));
        // A reload of the tab stays with its machine.
        open(tab, PAGE);
        assert!(is_ticked(tab, 2) && !is_ticked(tab, 1));
        let jobs = "[...document.querySelectorAll('[data-jobs] button')]";
        assert_eq!(ask(tab, &format!("{jobs}.length")), "2");
        ask(tab, &format!("{jobs}.find(b => b.textContent.includes('AA1111')).click()"));
        assert!(is_ticked(tab, 1) && !is_ticked(tab, 2));
        assert_eq!(read(tab, "oil.air_gap-left"), "110.5");
        // Each file is of its own machine.
        assert!(file(tab).contains("frame: \"AA1111\"") && !file(tab).contains("BB2222"), "{}", file(tab));
    });
}

#[test]
fn a_tab_that_was_never_there_asks_which_machine_is_on_the_stand() {
    with_two_tabs(|tab, other| {
        begin(tab, PAGE);
        for frame in ["AA1111", "BB2222"] {
            press(tab, "[data-new]");
            choose_machine(tab, 0);
            say(tab, "frame", frame);
        }
        open(other, PAGE);
        assert_eq!(ask(other, "document.querySelector('[data-job]').open"), "true");
        assert!(told(other).starts_with("Several jobs are begun"), "{}", told(other));
        // Nothing is open until one is chosen.
        assert_eq!(text(other, ".progress [data-job-name]"), "No job begun");
    });
}

#[test]
fn a_whole_job_goes_by_its_file_into_the_shop_and_onto_another_tablet() {
    let shop = shop();
    let folder = tempfile::tempdir().expect("a folder");
    let (saved, ticks) = with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "ZX4711");
        ask(
            tab,
            "(f => { f.value = document.querySelectorAll('[data-say=oil] option')[1].value; f.dispatchEvent(new Event('input', {bubbles: true})); })(document.querySelector('[data-say=oil]'))",
        );
        let boxes: usize = ask(tab, FILL).parse().expect("a count");
        assert!(boxes > 30, "{boxes}");
        ask(tab, "document.querySelectorAll('.tick input').forEach(t => t.click())");
        ask(tab, "document.querySelectorAll('.pull [data-keep]')[0].click()");
        let path = save(tab, folder.path());
        // The shop has released the card that was worked from.
        let code = ask(tab, "JSON.parse(document.querySelector('[data-job]').getAttribute('data-job')).card");
        release(shop.path(), &code);
        // What is in the file is what the page holds, also after it is opened again.
        let saved = std::fs::read_to_string(&path).expect("the file");
        open(tab, PAGE);
        assert_eq!(file(tab), saved);
        (path, ask(tab, "document.querySelectorAll('.tick input:checked').length"))
    });
    let done = benchleaf(shop.path(), &["job", "take", &saved.to_string_lossy()]);
    assert!(done.status.success(), "{}", said(&done));
    // No finding on it: every box was read, every target is the record's, the card is the newest.
    let checked = benchleaf::check_shop(&benchleaf::text::Folder { root: shop.path().to_path_buf() });
    let job = checked.shop.jobs.iter().find(|job| job.machine.frame.text == "ZX4711").expect("the job");
    let path = format!("specs/jobs/{}.yaml", job.number.text);
    let found: Vec<String> = checked
        .findings
        .iter()
        .filter(|finding| checked.files.get(finding.span.file).path == path)
        .map(|finding| format!("{} {}", finding.code(), finding.message))
        .collect();
    assert_eq!(found, Vec::<String>::new(), "{}", std::fs::read_to_string(&saved).expect("the file"));
    assert_eq!(
        job.complaint.as_ref().expect("a complaint").text,
        "dives under the brake, \"a lot\": since spring"
    );
    // On a device that knows nothing of it.
    with_tab(|tab| {
        begin(tab, PAGE);
        assert!(give(tab, &saved).starts_with("Read from "), "{}", told(tab));
        assert_eq!(file(tab), std::fs::read_to_string(&saved).expect("the file"));
        assert_eq!(ask(tab, "document.querySelectorAll('.tick input:checked').length"), ticks);
        // The same again is the same job; one that went on since is kept beside it.
        assert!(give(tab, &saved).contains("on this device already"), "{}", told(tab));
        write(tab, "oil.air_gap-left", false, "109");
        assert!(give(tab, &saved).contains("both are kept"), "{}", told(tab));
        assert_eq!(ask(tab, "document.querySelectorAll('[data-jobs] button').length"), "2");
    });
}

/// Every kind of fork, with what it has on one leg alone, with rings, pressures and builds: what the page writes of a
/// job that was done as asked is taken, and nothing is found in it.
#[test]
fn a_job_of_every_service_of_every_fork_is_taken() {
    let shop = shop();
    let folder = tempfile::tempdir().expect("a folder");
    let checked = benchleaf::check_shop(&crate::demo());
    let mut paths: Vec<String> = Vec::new();
    with_tab(|tab| {
        for fork in checked.forks.iter().filter(|fork| !fork.record.draft) {
            for service in checked.shop.services_for(&fork.choices) {
                begin(tab, &format!("forks/{}/{}.html", fork.id, service.id.text));
                let number = paths.len();
                begin_job(tab, &format!("{number:02}QZ{number:02}"));
                let code = ask(
                    tab,
                    "JSON.parse(document.querySelector('[data-job]').getAttribute('data-job')).card",
                );
                release_for(shop.path(), (&fork.id, &service.id.text), &code);
                ask(tab, FILL);
                ask(tab, "document.querySelectorAll('.tick input').forEach(t => t.click())");
                let path = folder.path().join(format!("{number}.yaml"));
                std::fs::write(&path, file(tab)).expect("written");
                paths.push(path.to_string_lossy().into_owned());
            }
        }
    });
    assert!(paths.len() > 15, "{}", paths.len());
    let mut arguments = vec!["job", "take"];
    arguments.extend(paths.iter().map(String::as_str));
    let done = benchleaf(shop.path(), &arguments);
    assert!(done.status.success(), "{}", said(&done));
    let checked = benchleaf::check_shop(&benchleaf::text::Folder { root: shop.path().to_path_buf() });
    let taken = |finding: &&benchleaf::diagnostic::Finding| {
        let path = &checked.files.get(finding.span.file).path;
        path.starts_with("specs/jobs/2026/") && path.as_str() > "specs/jobs/2026/0012.yaml"
    };
    let found: Vec<String> = checked
        .findings
        .iter()
        .filter(taken)
        .map(|finding| {
            let path = &checked.files.get(finding.span.file).path;
            format!("{path} {} {}", finding.code(), finding.message)
        })
        .collect();
    assert_eq!(found, Vec::<String>::new());
}

#[test]
fn whatever_is_typed_is_kept_and_its_file_is_taken() {
    let shop = shop();
    let folder = tempfile::tempdir().expect("a folder");
    let mut texts = thumbs();
    texts.retain(|text| !text.trim().is_empty());
    texts.extend(
        ["9\u{202e}1", "a\tb", "}", "{x: 1}", "- 1", "# 5", "'", "\"", "\\", "1: 2"].map(str::to_owned),
    );
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "QQ0001");
        let list = serde_json::to_string(&texts).expect("JSON");
        // Another text in every box, until each was in some.
        let script = format!(
            "(() => {{ const texts = {list}; let n = window.from || 0; for (const f of document.querySelectorAll('[data-step] .reading input[data-keep]:not([data-also])')) {{ f.value = texts[n++ % texts.length]; f.dispatchEvent(new Event('input', {{bubbles: true}})); }} window.from = n; return n; }})()"
        );
        let mut round = 0;
        loop {
            let typed: usize = ask(tab, &script).parse().expect("a count");
            say(tab, "frame", &format!("QQ{round:04}"));
            say(tab, "distance", "about 20000");
            let values = "JSON.stringify([...document.querySelectorAll('[data-step] .reading input[data-keep]:not([data-also])')].map(f => f.value))";
            let held = ask(tab, values);
            let path = folder.path().join(format!("{round}.yaml"));
            std::fs::write(&path, file(tab)).expect("written");
            let done = benchleaf(shop.path(), &["job", "take", &path.to_string_lossy()]);
            assert!(done.status.success(), "{}\n{}", said(&done), file(tab));
            open(tab, PAGE);
            assert_eq!(ask(tab, values), held, "kept as it was typed");
            assert!(file(tab).contains("The distance was typed as “about 20000”"), "{}", file(tab));
            if typed >= texts.len() {
                break;
            }
            ask(tab, &format!("window.from = {typed}"));
            round += 1;
        }
    });
}

#[test]
fn two_tabs_lose_nothing_of_each_other_and_who_writes_last_is_told() {
    with_two_tabs(|one, two| {
        begin(one, PAGE);
        say(one, "frame", "AA1111");
        tick(one, 1);
        open(two, PAGE);
        assert!(is_ticked(two, 1));
        tick(two, 2);
        write(two, "oil.air_gap-left", false, "110");
        // Seen in the first without a reload.
        let seen = "new Promise(done => { const look = n => document.querySelector('#step-2 .tick input').checked && document.querySelector('.reading:not([data-found]) [data-keep=\"oil.air_gap-left\"]').value === '110' ? done('seen') : n ? setTimeout(look, 25, n - 1) : done('not seen'); look(200); })";
        assert_eq!(ask(one, seen), "seen");
        // A tab that sleeps hears nothing.
        ask(one, "window.addEventListener('storage', e => e.stopImmediatePropagation(), true)");
        ask(two, "window.slept = 1");
        write(two, "oil.air_gap-right", false, "111");
        write(two, "rod_nut.height-left", false, "13.4");
        tick(two, 4);
        let asleep = "(() => { const s = EventTarget.prototype.addEventListener; return document.querySelector('#step-4 .tick input').checked; })()";
        let _ = ask(one, asleep);
        write(one, "oil.air_gap-right", false, "108");
        tick(one, 3);
        for (tab, name) in [(one, "the first"), (two, "the second")] {
            open(tab, PAGE);
            for step in 1..=4 {
                assert!(is_ticked(tab, step), "step {step} in {name}");
            }
            assert_eq!(read(tab, "oil.air_gap-left"), "110", "{name}");
            assert_eq!(read(tab, "oil.air_gap-right"), "108", "{name}: the last stands");
            assert_eq!(read(tab, "rod_nut.height-left"), "13.4", "{name}");
        }
    });
}

#[test]
fn a_reading_that_another_tab_wrote_meanwhile_is_named_when_it_is_written_over() {
    with_tab(|tab| {
        begin(tab, PAGE);
        say(tab, "frame", "AA1111");
        write(tab, "oil.air_gap-left", false, "112");
        // What another tab writes while this one sleeps: the same job, with another reading.
        let other = "(() => { const name = Object.keys(localStorage).find(k => k.startsWith('benchleaf.job.')); const job = JSON.parse(localStorage.getItem(name)); const step = Object.values(job.steps).find(s => s.read && s.read['oil.air_gap-left']); step.read['oil.air_gap-left'] = '96'; job.stamp = 'another'; job.head.complaint = 'knocks'; localStorage.setItem(name, JSON.stringify(job)); })()";
        ask(tab, other);
        write(tab, "oil.air_gap-left", false, "110");
        let list = text(tab, "[data-changed]");
        assert!(list.contains("the other tab had “96”, now “110” stands"), "{list}");
        assert_eq!(
            ask(tab, "document.querySelector('[data-say=complaint]').value"),
            "knocks",
            "nothing else is lost"
        );
        // It stays until it was seen.
        open(tab, PAGE);
        assert!(text(tab, "[data-changed]").contains("“96”"));
        press(tab, "[data-changed] button");
        open(tab, PAGE);
        assert!(!text(tab, "[data-changed]").contains("“96”"));
    });
}

#[test]
fn a_full_device_is_told_at_once_and_the_file_can_still_be_saved() {
    let folder = tempfile::tempdir().expect("a folder");
    with_tab(|tab| {
        begin(tab, PAGE);
        say(tab, "frame", "AA1111");
        tick(tab, 1);
        ask(
            tab,
            "for (let size = 1 << 22; size; size >>= 1) { for (let n = 0; ; n++) { try { localStorage.setItem('other ' + size + ' ' + n, 'x'.repeat(size)); } catch { break; } } }",
        );
        write(tab, "oil.air_gap-left", false, "110.25");
        tick(tab, 2);
        assert!(
            text(tab, "[data-done]").starts_with("This device keeps nothing more. Save the job’s file now")
        );
        assert!(is_ticked(tab, 2));
        let saved = std::fs::read_to_string(save(tab, folder.path())).expect("the file");
        assert!(saved.contains("oil.air_gap: {left: 110.25 mm"), "{saved}");
        // As soon as there is room again, all of it is kept.
        ask(
            tab,
            "Object.keys(localStorage).filter(k => k.startsWith('other ')).forEach(k => localStorage.removeItem(k))",
        );
        tick(tab, 3);
        assert!(!text(tab, "[data-done]").contains("keeps nothing"));
        open(tab, PAGE);
        assert!((1..=3).all(|step| is_ticked(tab, step)));
        assert_eq!(read(tab, "oil.air_gap-left"), "110.25");
    });
}

#[test]
fn a_job_that_was_taken_off_comes_back_by_undo_and_stays_away_else() {
    with_tab(|tab| {
        begin(tab, PAGE);
        say(tab, "frame", "AA1111");
        tick(tab, 1);
        press(tab, "[data-out]");
        assert!(is_ticked(tab, 1), "it is asked first");
        press(tab, "[data-sure-yes]");
        assert!(!is_ticked(tab, 1));
        press(tab, "[data-undo]");
        assert!(is_ticked(tab, 1));
        press(tab, "[data-out]");
        press(tab, "[data-sure-yes]");
        open(tab, PAGE);
        assert!(!is_ticked(tab, 1));
        assert_eq!(
            ask(tab, "Object.keys(localStorage).filter(k => k.startsWith('benchleaf.job.')).length"),
            "0"
        );
    });
}

#[test]
fn a_file_that_is_no_job_of_this_page_changes_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let good = "fork: tarnholm-u41\nservice: full-service\nmachine: {maker: Corvane, model: Sable 400, frame: \"1\"}\ndate: \"2026-04-12\"\n";
    let files: Vec<(&str, Vec<u8>, &str)> = vec![
        ("nothing", Vec::new(), "the file is empty"),
        ("bytes", vec![0xff, 0, 0xfe, 0x80, 1], "cannot be read here"),
        ("huge", vec![b'a'; 300 * 1024], "too large"),
        (
            "deep",
            format!("{good}found: {}1{}\n", "{a: ".repeat(5000), "}".repeat(5000)).into_bytes(),
            "too deep",
        ),
        ("another fork", good.replace("tarnholm-u41", "velmora-c45").into_bytes(), "read it on that page"),
        ("a list", b"- a\n- b\n".to_vec(), "holds no job"),
        ("a key twice", format!("{good}date: \"2026-04-13\"\n").into_bytes(), "twice"),
        ("a prototype", format!("{good}found: {{__proto__: {{value: 1 mm}}}}\n").into_bytes(), "is no key"),
    ];
    with_tab(|tab| {
        begin(tab, PAGE);
        say(tab, "frame", "AA1111");
        tick(tab, 1);
        let before = ask(tab, "JSON.stringify(Object.entries(localStorage))");
        for (what, bytes, words) in files {
            let path = folder.path().join(format!("{}.yaml", what.replace(' ', "-")));
            std::fs::write(&path, bytes).expect("written");
            let said = give(tab, &path);
            assert!(said.starts_with("Nothing was read") && said.contains(words), "{what}: {said}");
            assert_eq!(ask(tab, "JSON.stringify(Object.entries(localStorage))"), before, "{what}");
        }
        // Markup, names of objects and code in a file stay words.
        let path = folder.path().join("markup.yaml");
        let evil = format!(
            "{good}complaint: \"<img src=x onerror=window.hacked=1>\"\nfound:\n  constructor: {{value: \"<b>1</b>\"}}\nskipped:\n  - {{what: __proto__, why: \"<script>window.hacked=1</script>\"}}\npage: '{{\"id\":\"../../x\",\"done\":{{\"constructor\":\"x\",\"__proto__\":\"y\"}},\"ready\":[\"__proto__\"]}}'\n"
        );
        std::fs::write(&path, evil).expect("written");
        assert!(give(tab, &path).starts_with("Read from"), "{}", told(tab));
        assert_eq!(
            ask(tab, "String([window.hacked, {}.done, Object.done, document.querySelector('main img')])"),
            ",,,"
        );
        let kept: BTreeSet<bool> =
            ["<img src=x", "<script>", "<b>1</b>"].iter().map(|part| file(tab).contains(part)).collect();
        assert_eq!(kept, BTreeSet::from([true]), "{}", file(tab));
    });
}

/// The record's gap changes and the site is built again: the reading stays and is held against the new figure.
#[test]
fn a_reading_is_kept_and_judged_anew_when_the_record_changed() {
    let page = std::fs::read_to_string(SITE.join(PAGE)).expect("the page");
    with_tab(|tab| {
        begin(tab, PAGE);
        write(tab, "oil.air_gap-left", false, "110");
        let says = "[...document.querySelectorAll('.reading:not([data-found]) [data-keep=\"oil.air_gap-left\"]')][0].closest('.reading').querySelector('.says').textContent";
        assert!(ask(tab, says).contains("as asked"), "{}", ask(tab, says));
        let (before, rest) = page.split_once("data-asked=\"").expect("the tables");
        let (tables, after) = rest.split_once('"').expect("their end");
        let (head, gap) = tables.split_once("oil.air_gap&quot;").expect("the gap");
        let changed =
            gap.replacen("110.0", "120.0", 2).replacen("108.0", "118.0", 2).replacen("112.0", "122.0", 2);
        assert_ne!(gap, changed);
        let again = Path::new("forks/tarnholm-u41/full-service-gap.html");
        let text = format!("{before}data-asked=\"{head}oil.air_gap&quot;{changed}\"{after}");
        std::fs::write(SITE.join(again), text).expect("written");
        open_in(tab, &SITE, &again.to_string_lossy());
        std::fs::remove_file(SITE.join(again)).expect("removed");
        assert_eq!(read(tab, "oil.air_gap-left"), "110");
        assert!(ask(tab, says).contains("10 mm too small, judged for 20 °C as no temperature is written: draw off"), "{}", ask(tab, says));
    });
}

#[test]
fn three_readings_say_the_sag_and_the_turns_and_write_it_into_the_box() {
    let shop = shop();
    let folder = tempfile::tempdir().expect("a folder");
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "SAG001");
        for (name, what) in [("extended", "134"), ("below", "104.5"), ("above", "108.5 mm")] {
            write(tab, &format!("setup.sag_static#{name}"), false, what);
        }
        // 134 − (104.5 + 108.5)/2 = 27.5 mm, 5.5 mm more than the record's 22 mm.
        let place = ".reading:not([data-found]) .three-says";
        let says = text(tab, place);
        assert!(
            says.starts_with("sag 27.5 mm, friction holds it over 4 mm; 5.5 mm more than 22 mm: ")
                && says.ends_with("turns of preload in"),
            "{says}"
        );
        assert_eq!(text(tab, ".reading:not([data-found]) [data-take]"), "Write 27.5 mm in the box");
        press(tab, ".reading:not([data-found]) [data-take]");
        assert_eq!(read(tab, "setup.sag_static"), "27.5");
        let written = file(tab);
        assert!(
            written.contains(
                "setup.sag_static: {extended: 134 mm, below: 104.5 mm, above: 108.5 mm, value: 27.5 mm, target: 22 mm}"
            ),
            "{written}"
        );
        let path = folder.path().join("sag.yaml");
        std::fs::write(&path, written).expect("written");
        let done = benchleaf(shop.path(), &["job", "take", &path.to_string_lossy()]);
        assert!(done.status.success(), "{}", said(&done));
        // The same words when the shop shows the job.
        let taken = said(&done);
        let number =
            taken.split(".yaml").next().and_then(|path| path.strip_prefix("specs/jobs/")).expect("its place");
        let shown = said(&benchleaf(shop.path(), &["job", "show", number])).replace('\u{a0}', " ");
        assert!(
            shown.contains(&format!("Static sag from three readings: 134 mm, 104.5 mm, 108.5 mm: {says}")),
            "{shown}"
        );
        // More than the twelve turns of the adjuster, of which five are in.
        write(tab, "setup.sag_static#below", false, "102.5");
        assert!(
            text(tab, place).ends_with("more preload than the adjuster can give: another spring or spacer")
        );
        // Mixed up.
        write(tab, "setup.sag_static#below", false, "109");
        assert!(text(tab, place).starts_with("mixed up: "), "{}", text(tab, place));
        assert_eq!(
            ask(tab, "document.querySelector('.reading:not([data-found]) [data-take]').hidden"),
            "true"
        );
    });
}

#[test]
fn a_torque_says_which_wrench_reads_it_and_what_a_crowfoot_wants() {
    let shop = shop();
    let folder = tempfile::tempdir().expect("a folder");
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "WR0001");
        let of = |keep: &str| {
            ask(
                tab,
                &format!(
                    "(f => JSON.stringify([[...f.querySelectorAll('[data-also=wrench] option')].map(o => o.value), f.nextElementSibling.textContent.replace(/\\s+/g, ' ').trim()]))(document.querySelector('[data-keep={keep:?}]').closest('.reading'))"
                ),
            )
        };
        // 62 N·m, and 22 N·m with the crowfoot: 22 × 340/(340 + 34) = 20 N·m.
        let axle = of("torque.axle");
        // Whatever was taken can be said; what reads it well stands first.
        assert!(
            axle.starts_with("[[\"\",\"torque-wrench\",")
                && axle.ends_with(
                    "],\"Torque wrench: reads well at 22–110 N·m. Its calibration ends on 2026-12-02: after that day, take another.\"]"
                ),
            "{axle}"
        );
        let nut = of("torque.cap_to_rod-left");
        assert!(nut.contains("With the crowfoot wrench on the medium torque wrench: at a right angle set it as asked; in line with the handle, set 20.0 N·m."), "{nut}");
        assert!(!axle.contains("crowfoot"));
        write(tab, "torque.axle", false, "62");
        let pick = |keep: &str, id: &str| {
            ask(
                tab,
                &format!(
                    "(f => {{ f.value = {id:?}; f.dispatchEvent(new Event('input', {{bubbles: true}})); }})(document.querySelector('[data-keep={keep:?}]'))"
                ),
            )
        };
        pick("torque.axle#wrench", "torque-wrench");
        write(tab, "torque.cap_to_tube-left", false, "23");
        pick("torque.cap_to_tube#wrench", "torque-wrench-medium");
        let says = |keep: &str| {
            ask(
                tab,
                &format!(
                    "document.querySelector('[data-keep={keep:?}]').closest('.reading').querySelector('.says').textContent"
                ),
            )
        };
        assert!(!says("torque.axle").contains("calibration"), "{}", says("torque.axle"));
        let words =
            "`torque-wrench-medium` was out of calibration: last on 2025-11-04, next due on 2026-11-04";
        assert!(says("torque.cap_to_tube-left").contains(words), "{}", says("torque.cap_to_tube-left"));
        let path = folder.path().join("wrench.yaml");
        std::fs::write(&path, file(tab)).expect("written");
        assert!(
            file(tab).contains("torque.axle: {value: 62 N·m, wrench: torque-wrench, target: 62 N·m}"),
            "{}",
            file(tab)
        );
        let done =
            said(&benchleaf(shop.path(), &["job", "take", &path.to_string_lossy()])).replace("\n  ", " ");
        let plain: String = done.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain.contains(words), "{done}");
    });
}

/// Sets a field of a step or of the job as a hand does, by its selector.
fn set(tab: &Tab, what: &str, text: &str) {
    let script = format!(
        "(f => {{ f.dispatchEvent(new Event('focus')); f.value = {text:?}; f.dispatchEvent(new Event('input', {{bubbles: true}})); return f.value; }})(document.querySelector({what:?}))"
    );
    assert_eq!(ask(tab, &script), text, "{what}");
}

/// Opens the page as another build would have written it, on the same device.
fn open_rebuilt(tab: &Tab, name: &str, change: impl Fn(String) -> String) {
    let page = std::fs::read_to_string(SITE.join(PAGE)).expect("the page");
    let again = Path::new("forks/tarnholm-u41").join(name);
    let changed = change(page.clone());
    assert_ne!(page, changed);
    std::fs::write(SITE.join(&again), changed).expect("written");
    open_in(tab, &SITE, &again.to_string_lossy());
    std::fs::remove_file(SITE.join(&again)).expect("removed");
}

#[test]
fn what_was_fitted_goes_into_the_file_the_shop_and_onto_another_tablet() {
    let shop = shop();
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("job.yaml");
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "PF0001");
        let rows =
            ask(tab, "document.querySelectorAll('[data-fits]').length").parse::<usize>().expect("rows");
        assert!(rows >= 3, "{rows}");
        press(tab, "[data-fits] input[type=checkbox]");
        set(tab, "[data-fits] [data-number]", "PX-4711");
        press(tab, "[data-fitted-another]");
        set(tab, "[data-fitted-more] li label:nth-child(1) input", "Bottom-out cup");
        set(tab, "[data-fitted-more] li label:nth-child(2) input", "30 × 20 mm");
        set(tab, "[data-fitted-more] li label:nth-child(3) input", "0815");
        let first = ask(
            tab,
            "JSON.parse(document.querySelector('[data-job]').getAttribute('data-job')).parts[0].part",
        );
        let told = file(tab);
        assert!(
            told.contains(&format!("  - {{part: {first}, ")) && told.contains("number: \"PX-4711\""),
            "{told}"
        );
        assert!(
            told.contains("  - {part: \"Bottom-out cup\", size: \"30 × 20 mm\", number: \"0815\"}"),
            "{told}"
        );
        std::fs::write(&path, &told).expect("written");
        open(tab, PAGE);
        assert_eq!(file(tab), told, "also after a reload");
        // Who saves it at the page's end is told there, until the job goes on.
        press(tab, "[data-clear-part] [data-save]");
        assert!(text(tab, "[data-said]").starts_with("Saved as job-2026-11-26-tarnholm-u41-pf0001.yaml"));
        // What is ticked off is no part any more, and undo brings it back.
        press(tab, "[data-fits] input[type=checkbox]");
        assert!(!file(tab).contains("PX-4711"));
        assert_eq!(text(tab, "[data-said]"), "");
        press(tab, "[data-undo]");
        assert_eq!(file(tab).matches("PX-4711").count(), 1);
        begin(tab, PAGE);
        assert!(give(tab, &path).starts_with("Read from "), "{}", self::told(tab));
        assert_eq!(file(tab), told);
        assert_eq!(ask(tab, "document.querySelector('[data-fits] [data-number]').value"), "PX-4711");
    });
    let done = benchleaf(shop.path(), &["job", "take", &path.to_string_lossy()]);
    assert!(done.status.success(), "{}", said(&done));
    let built = benchleaf(shop.path(), &["build", "--out", "site", "--jobs", "own"]);
    assert!(built.status.success(), "{}", said(&built));
    let sheets: String = std::fs::read_dir(shop.path().join("own/sheets"))
        .expect("sheets")
        .flatten()
        .map(|entry| std::fs::read_to_string(entry.path()).expect("a sheet"))
        .filter(|sheet| sheet.contains("PF0001"))
        .collect();
    assert!(sheets.contains("Bottom-out cup, 30 × 20 mm, 0815") && sheets.contains("PX-4711"), "{sheets}");
}

/// A tube that is worn and not past its limit is watched on the leg it is of, and the next job knows.
#[test]
fn a_part_that_has_a_limit_gets_a_verdict_for_each_leg() {
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "VD0001");
        let key = ask(
            tab,
            "(() => { const of = JSON.parse(document.querySelector('[data-asked]').getAttribute('data-asked')).of; return [...document.querySelectorAll('.reading[data-found] input[data-keep$=\"-left\"]')].map(f => f.getAttribute('data-keep').replace('-left', '')).find(k => of[k] && of[k].legs[0] && /limit$/.test(of[k].legs[0].called[0])); })()",
        );
        let limit = ask(
            tab,
            &format!(
                "(l => l.least ?? l.greatest)(JSON.parse(document.querySelector('[data-asked]').getAttribute('data-asked')).of[{key:?}].legs[0])"
            ),
        );
        let verdict = |leg: &str| format!(".reading[data-found] select[data-keep=\"{key}-{leg}#verdict\"]");
        let hidden =
            |what: &str| ask(tab, &format!("document.querySelector({what:?}).closest('label').hidden"));
        assert_eq!(hidden(&verdict("left")), "true", "nothing was read yet");
        write(tab, &format!("{key}-left"), true, &limit);
        write(tab, &format!("{key}-right"), true, &limit);
        assert_eq!(hidden(&verdict("left")), "false");
        set(tab, &verdict("left"), "watch");
        let why = format!(".reading[data-found] input[data-keep=\"{key}-left#why\"]");
        assert_eq!(hidden(&why), "false");
        set(tab, &why, "a line below the seal");
        let one = file(tab);
        assert!(one.contains("verdict: watch, why: \"a line below the seal\"}, right: "), "{one}");
        // Both alike are said once.
        set(tab, &verdict("right"), "watch");
        set(
            tab,
            &format!(".reading[data-found] input[data-keep=\"{key}-right#why\"]"),
            "a line below the seal",
        );
        let both = file(tab);
        assert_eq!(both.matches("verdict: watch").count(), 1, "{both}");
        // Read again it is the same.
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("job.yaml");
        std::fs::write(&path, &both).expect("written");
        begin(tab, PAGE);
        give(tab, &path);
        assert_eq!(file(tab), both);
        assert_eq!(ask(tab, &format!("document.querySelector({:?}).value", verdict("right"))), "watch");
    });
}

/// The record's gap changes and the site is built again, while a finished machine still stands in the tablet.
#[test]
fn a_job_keeps_the_card_and_the_targets_it_was_worked_by() {
    let folder = tempfile::tempdir().expect("a folder");
    let rebuilt = |page: String| {
        let (head, rest) = page.split_once("data-asked=\"").expect("the tables");
        let (asked, tail) = rest.split_once('"').expect("its end");
        let asked = asked.replace("110\u{a0}±\u{a0}2\u{a0}mm", "114\u{a0}±\u{a0}2\u{a0}mm");
        let page = format!("{head}data-asked=\"{asked}\"{tail}");
        let code = page
            .split("&quot;card&quot;:&quot;")
            .nth(1)
            .expect("a code")
            .split('&')
            .next()
            .expect("it")
            .to_owned();
        page.replace(&code, "0KMQ-RSYW")
    };
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "CT0001");
        write(tab, "oil.air_gap-left", false, "110.5");
        let before = file(tab);
        let code = ask(tab, "JSON.parse(document.querySelector('[data-job]').getAttribute('data-job')).card");
        assert!(
            before.contains(&format!("card: {code}")) || before.contains(&format!("card: \"{code}\"")),
            "{before}"
        );
        assert!(before.contains("110 ± 2 mm"), "{before}");
        open_rebuilt(tab, "rebuilt-gap.html", rebuilt);
        assert_eq!(file(tab), before, "nothing was set since");
        let list = text(tab, "[data-changed]");
        assert!(list.contains("was set to 110 ± 2 mm; now it is 114 ± 2 mm. Do it again."), "{list}");
        // On another tablet, with the new site.
        let path = folder.path().join("job.yaml");
        std::fs::write(&path, &before).expect("written");
        ask(tab, "localStorage.clear()");
        open_rebuilt(tab, "rebuilt-gap-2.html", rebuilt);
        give(tab, &path);
        assert_eq!(file(tab), before);
        // Set anew, it is the new card's.
        write(tab, "oil.air_gap-left", false, "114");
        let after = file(tab);
        assert!(
            after.contains("0KMQ-RSYW") && after.contains("114 ± 2 mm") && !after.contains(&code),
            "{after}"
        );
        // What the other card said of another value is kept in words.
        write(tab, "rod_nut.height-left", false, "13.4");
        assert!(!file(tab).contains("as the card"), "{}", file(tab));
    });
}

#[test]
fn a_job_begun_before_its_fork_was_renamed_is_there_on_the_new_page() {
    let folder = tempfile::tempdir().expect("a folder");
    let renamed = |page: String| {
        page.replace("data-progress=\"tarnholm-u41/", "data-progress=\"tarnholm-u41x/")
            .replace(
                "&quot;fork&quot;:&quot;tarnholm-u41&quot;",
                "&quot;fork&quot;:&quot;tarnholm-u41x&quot;",
            )
            .replace("&quot;was&quot;:[]", "&quot;was&quot;:[&quot;tarnholm-u41&quot;]")
    };
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "RN0001");
        say(tab, "oil", "marrowhill-fork-32");
        tick(tab, 2);
        let before = file(tab);
        let path = folder.path().join("job.yaml");
        std::fs::write(&path, &before).expect("written");
        open_rebuilt(tab, "renamed.html", renamed);
        assert!(is_ticked(tab, 2) && text(tab, ".progress [data-job-name]").ends_with("RN0001"));
        assert_eq!(file(tab), before.replace("fork: tarnholm-u41\n", "fork: tarnholm-u41x\n"));
        // A file from before is read too, and is the same job.
        assert!(give(tab, &path).contains("already"), "{}", told(tab));
    });
}

/// What the page says of a job as a whole stands word for word in what `check` says of its file.
#[test]
fn the_page_says_of_a_job_what_check_says_of_its_file() {
    let shop = shop();
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("job.yaml");
    let mut page: Vec<String> = Vec::new();
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "WD0001");
        let own = ask(
            tab,
            "JSON.stringify(JSON.parse(document.querySelector('[data-job]').getAttribute('data-job')).oils)",
        );
        let own: Vec<String> = serde_json::from_str(&own).expect("a list");
        let other = ask(
            tab,
            &format!(
                "[...document.querySelectorAll('[data-say=oil] option')].map(o => o.value).find(v => v && !{own:?}.includes(v))"
            ),
        );
        say(tab, "oil", &other);
        let odd = |name: &str| {
            ask(
                tab,
                &format!(
                    "document.querySelector('[data-say={name}]').parentNode.querySelector('.odd').textContent"
                ),
            )
        };
        page.push(odd("oil"));
        say(tab, "complaint", "ring 0555 0134 221 when done");
        say(tab, "done_by", "A. Wren");
        page.extend([odd("complaint"), odd("done_by")]);
        // A torque with a wrench that does not read it well.
        let box_ = ".reading:has([data-keep=\"torque.fender#wrench\"])";
        set(tab, &format!("{box_} input"), "9");
        let big = ask(
            tab,
            &format!(
                "[...document.querySelectorAll('{box_} [data-also=wrench] option')].find(o => Number(o.dataset.least) > 9).value"
            ),
        );
        set(tab, &format!("{box_} [data-also=wrench]"), &big);
        let says = text(tab, &format!("{box_} .says"));
        assert!(says.contains("which reads well at"), "{says}");
        page.push(
            says.rsplit(". ").find(|part| part.contains("which reads well at")).expect("it").to_owned(),
        );
        let out = text(tab, "[data-left-out]");
        assert!(out.contains("readings are not there: "), "{out}");
        assert!(out.contains("steps have neither tick nor reason: "), "{out}");
        page.extend(out.trim_end_matches('.').split(". ").map(str::to_owned));
        let code = ask(tab, "JSON.parse(document.querySelector('[data-job]').getAttribute('data-job')).card");
        release(shop.path(), &code);
        std::fs::write(&path, file(tab)).expect("written");
    });
    let done = benchleaf(shop.path(), &["job", "take", &path.to_string_lossy()]);
    assert!(done.status.success(), "{}", said(&done));
    let checked = benchleaf::check_shop(&benchleaf::text::Folder { root: shop.path().to_path_buf() });
    let plain = |text: &str| text.replace('\u{a0}', " ");
    let told: Vec<String> = checked
        .findings
        .iter()
        .map(|finding| plain(&format!("{}: {}", finding.message, finding.instead)))
        .collect();
    for words in page {
        assert!(told.iter().any(|one| one.starts_with(&plain(&words))), "{words}\n{told:#?}");
    }
}

/// Names, telephone numbers, addresses, and what only looks a little like them.
#[test]
fn page_and_library_find_the_same_in_a_text() {
    let words = [
        "Mr",
        "mrs.",
        "Dr",
        "owner",
        "rider:",
        "Ada",
        "Wren",
        "O’Hara",
        "Smith-Jones",
        "WREN",
        "A.",
        "bench",
        "2",
        "12",
        "4b",
        "Mill",
        "Old",
        "Lane",
        "road",
        "St.",
        "@",
        "a@b.c",
        "a@b",
        "0555",
        "0134 221",
        "+1",
        "(555)",
        "013-4221",
        "2024-04-12",
        "2024-13-45",
        "18200",
        "km",
        "Éva",
        "ß",
        "reg.",
        "frame",
        "plate",
        "KL-04",
        "ABX",
        "no.",
    ];
    let mut texts: Vec<String> = Vec::new();
    for (n, a) in words.iter().enumerate() {
        for (m, b) in words.iter().enumerate() {
            texts.push(format!("{a} {b}"));
            let at = |shift: usize| words[(n * 7 + m * 3 + shift) % words.len()];
            texts.push(format!("{a} {b}, {}", at(1)));
            texts.push(format!("{a}: {b} {}; {} {a}", at(2), at(5)));
        }
    }
    let list = serde_json::to_string(&texts).expect("JSON");
    let page = with_tab(|tab| {
        open(tab, PAGE);
        ask(
            tab,
            &format!(
                "JSON.stringify({list}.map(t => [window.benchleafPersonal.found(t, false), window.benchleafPersonal.found(t, true)]))"
            ),
        )
    });
    let page: Vec<[Vec<[String; 2]>; 2]> = serde_json::from_str(&page).expect("a list");
    let mut kinds = BTreeSet::new();
    for (text, page) in texts.iter().zip(page) {
        let library = [false, true].map(|sign| {
            let told = benchleaf::judge::personal(text, sign);
            told.into_iter().map(|one| [one.what.to_owned(), text[one.at].to_owned()]).collect::<Vec<_>>()
        });
        assert_eq!(page, library, "{text}");
        kinds.extend(library.into_iter().flatten().map(|[what, _]| what));
    }
    assert_eq!(kinds.len(), 5, "{kinds:?}");
}

#[test]
fn what_was_ticked_before_its_procedure_was_renamed_stays_ticked() {
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "RP0001");
        tick(tab, 1);
        let procedure =
            ask(tab, "document.querySelector('#step-1').closest('[data-proc]').getAttribute('data-proc')");
        open_rebuilt(tab, "renamed-procedure.html", |page| {
            page.replace(
                &format!("data-proc=\"{procedure}\""),
                &format!("data-proc=\"procedures/called-otherwise.html\" data-was=\"{procedure}\""),
            )
        });
        assert!(is_ticked(tab, 1));
        assert_eq!(
            ask(tab, "document.querySelector('[data-changed]').hidden"),
            "true",
            "{}",
            text(tab, "[data-changed]")
        );
        tick(tab, 2);
        assert!(is_ticked(tab, 1) && is_ticked(tab, 2));
    });
}
