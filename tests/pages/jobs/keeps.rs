//! A job belongs to one machine and survives what happens to a tablet: another tab, a full store, a finger too quick.

use headless_chrome::Tab;

use super::{PAGE, choose_machine, file, press, read, save, say, told, write};
use crate::work::{begin, is_ticked, text, tick};
use crate::{ask, open, with_tab, with_two_tabs};

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

/// Waits until the browser has carried what one tab keeps to another, which it does in its own time.
fn carried(from: &Tab, to: &Tab) {
    let kept = "localStorage.getItem(Object.keys(localStorage).find(k => k.startsWith('benchleaf.job.')))";
    let last = ask(from, kept);
    let look = format!(
        "new Promise(done => {{ const look = n => {kept} === {last:?} ? done('there') : n ? setTimeout(look, 25, n - 1) : done('not there'); look(200); }})"
    );
    assert_eq!(ask(to, &look), "there");
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
        carried(two, one);
        write(one, "oil.air_gap-right", false, "108");
        tick(one, 3);
        carried(one, two);
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
