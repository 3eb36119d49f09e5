//! The technician's job on the tablet, and what a hand does there.

mod answers;
mod goes_on;
mod hands_over;
mod keeps;
mod measures;
mod printed;
mod tells;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use headless_chrome::Tab;
use headless_chrome::protocol::cdp::Page;

use crate::ask;
use crate::work::text;

const PAGE: &str = "forks/tarnholm-u41/full-service.html";

/// Types into a field of the job.
fn say(tab: &Tab, name: &str, what: &str) {
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
fn write(tab: &Tab, keep: &str, found: bool, what: &str) -> String {
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

fn told(tab: &Tab) -> String {
    text(tab, "[data-job-told]")
}

/// The file as the page writes it.
fn file(tab: &Tab) -> String {
    ask(tab, "document.querySelector('[data-job]').text()")
}

/// Saves the job's file as a hand does, and waits until it is there.
fn save(tab: &Tab, folder: &Path) -> PathBuf {
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
fn give(tab: &Tab, path: &Path) -> String {
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
fn begin_job(tab: &Tab, frame: &str) {
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
fn release_for(shop: &Path, (fork, service): (&str, &str), code: &str) {
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
  // Where the record asks for nothing: what the part can be.
  const likely = can => String(can && can[2] ? Math.round(can[2][0] + can[2][1]) / 2 : can && can[0] || 1);
  for (const f of document.querySelectorAll('[data-step] .reading input[data-keep]:not([data-also])')) {
    const name = f.getAttribute('data-keep').replace(/-(left|right)$/, ''), right = /-right$/.test(f.getAttribute('data-keep'));
    const leg = asked[name].legs[right ? 1 : 0] || asked[name].legs[1];
    const middle = leg && (leg.target ?? (leg.least !== null && leg.greatest !== null ? (leg.least + leg.greatest) / 2 : leg.least ?? leg.greatest));
    f.value = leg ? String(Math.round(middle * 100) / 100) : asked[name].unit === '°C' ? '20' : asked[name].unit === 'mL' ? '430' : likely(asked[name].can);
    f.dispatchEvent(new Event('input', {bubbles: true}));
    count++;
  }
  return count;
})()";

/// Sets a field of a step or of the job as a hand does, by its selector.
fn set(tab: &Tab, what: &str, text: &str) {
    let script = format!(
        "(f => {{ f.dispatchEvent(new Event('focus')); f.value = {text:?}; f.dispatchEvent(new Event('input', {{bubbles: true}})); return f.value; }})(document.querySelector({what:?}))"
    );
    assert_eq!(ask(tab, &script), text, "{what}");
}
