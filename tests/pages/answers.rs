//! What a box answers, and that the shop's program says the same of the job's file: the temperature that is written
//! beside a pressure, a slip of the finger, a figure that cannot be right, a machine that is not said.

use std::path::Path;

use headless_chrome::Tab;

use crate::jobs::{begin_job, benchleaf, file, release_for, said, save, say, shop, told, write};
use crate::work::{begin, text};
use crate::{ask, with_tab};

const AIR: &str = "forks/velmora-a48/air-spring.html";

/// What stands under a box, as left or as found.
fn says(tab: &Tab, keep: &str, found: bool) -> String {
    let box_ = if found { "[data-found]" } else { ":not([data-found])" };
    let script = format!(
        "(document.querySelector('.reading{box_} [data-keep={keep:?}]').closest('.reading').querySelector('.says') || {{textContent: ''}}).textContent.replace(/\\s+/g, ' ')"
    );
    ask(tab, &script)
}

/// The words of `job show` for the only job on a machine.
fn shown(shop: &Path, frame: &str) -> String {
    let checked = benchleaf::check_shop(&benchleaf::text::Folder { root: shop.to_path_buf() });
    let job = checked.shop.jobs.iter().find(|job| job.machine.frame.text == frame).expect("the job");
    said(&benchleaf(shop, &["job", "show", &job.number.text])).replace('\u{a0}', " ")
}

/// An apprentice reads a leg that stood in the sun. 939 kPa at 30 °C is the charge of 905 kPa at 20 °C:
/// (905 + 101.325) × 303.15 / 293.15 − 101.325 = 939.3 (worked by hand).
#[test]
fn a_pressure_is_judged_at_the_temperature_beside_it_on_the_page_and_by_the_program() {
    let (shop, folder) = (shop(), tempfile::tempdir().expect("a folder"));
    let mut page: Vec<String> = Vec::new();
    with_tab(|tab| {
        begin(tab, AIR);
        begin_job(tab, "HT0030");
        let main = "air.main_pressure-left";
        write(tab, main, false, "939");
        assert_eq!(
            says(tab, main, false),
            "34 kPa more than 905 kPa, judged for 20 °C as no temperature is written: let it down"
        );
        write(tab, "air.gauge_temperature-left", false, "30");
        assert_eq!(says(tab, main, false), "as asked: 939 kPa at 30 °C (905 kPa at 20 °C)");
        page.push(says(tab, main, false));
        // The other chamber, and what was found: 893 kPa at 30 °C is the charge of 860 kPa at 20 °C.
        let balance = "air.balance_pressure-left";
        write(tab, balance, false, "860");
        assert_eq!(
            says(tab, balance, false),
            "33 kPa less than 893 kPa at 30 °C (860 kPa at 20 °C): pump it up"
        );
        page.push(says(tab, balance, false));
        write(tab, balance, true, "800");
        write(tab, "air.gauge_temperature-left", true, "293 °C");
        let odd = "293 °C cannot be right (293 K would be 19.9 °C): read it again and write its unit";
        assert_eq!(says(tab, "air.gauge_temperature-left", true), odd);
        assert_eq!(
            says(tab, balance, true),
            "60 kPa less than 860 kPa, judged for 20 °C as the temperature written cannot be right"
        );
        page.extend([odd.to_owned(), says(tab, balance, true)]);
        let code = ask(tab, "JSON.parse(document.querySelector('[data-job]').getAttribute('data-job')).card");
        release_for(shop.path(), ("velmora-a48", "air-spring"), &code);
        std::fs::write(folder.path().join("a.yaml"), file(tab)).expect("written");
    });
    let done = benchleaf(shop.path(), &["job", "take", &folder.path().join("a.yaml").to_string_lossy()]);
    assert!(done.status.success(), "{}", said(&done));
    // A figure that cannot be right is told, found or left.
    let told = said(&done).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("293 °C cannot be right"), "{told}");
    let shown = shown(shop.path(), "HT0030");
    for words in page {
        assert!(shown.contains(&words), "{words}\n{shown}");
    }
}

/// What a thumb types by mistake, with a target and without one: kept, answered, and told in the same words.
#[test]
fn a_slip_of_the_finger_gets_the_same_words_from_page_and_program() {
    let (shop, folder) = (shop(), tempfile::tempdir().expect("a folder"));
    let slips = [
        ("oil.air_gap-left", "110,5", "write a decimal point, not a comma"),
        ("oil.air_gap-right", "-110", "it cannot be less than nothing: write it without the minus"),
        ("oil.bench_temperature-left", "warm", "not a number"),
        ("oil.bench_temperature-right", "-80", "−80 °C cannot be right: read it again and write its unit"),
        ("adjusters.rebound-left", "9.5", "a click is felt or it is not: write a whole number"),
        ("torque.axle", "60 mm", "not a unit of this box: write it in N·m"),
        ("torque.fender", "6 / 7", "one number goes in a box"),
    ];
    let mut page: Vec<String> = Vec::new();
    with_tab(|tab| {
        begin(tab, "forks/tarnholm-u41/full-service.html");
        begin_job(tab, "SL0001");
        for (keep, typed, words) in slips {
            assert_eq!(write(tab, keep, false, typed), typed, "kept as it was typed");
            assert!(says(tab, keep, false).contains(words), "{keep}: {}", says(tab, keep, false));
            page.push(words.to_owned());
        }
        // A box for which the record has no figure.
        write(tab, "oil.drained-left", true, "three cups");
        assert!(says(tab, "oil.drained-left", true).contains("not a number"));
        write(tab, "oil.drained-right", true, "43100");
        let odd = "43100 mL cannot be right: read it again and write its unit";
        assert!(says(tab, "oil.drained-right", true).contains(odd), "{}", says(tab, "oil.drained-right", true));
        page.push(odd.to_owned());
        std::fs::write(folder.path().join("a.yaml"), file(tab)).expect("written");
    });
    let done = benchleaf(shop.path(), &["job", "take", &folder.path().join("a.yaml").to_string_lossy()]);
    assert!(done.status.success(), "{}", said(&done));
    let shown = shown(shop.path(), "SL0001");
    for words in page {
        assert!(shown.contains(&words), "{words}\n{shown}");
    }
}

/// An apprentice saves before the frame was read: the page asks for it, in the words in which the file is refused, and
/// still lets the job go on to another device.
#[test]
fn the_page_asks_which_machine_it_is_before_it_saves_a_file_that_would_be_refused() {
    let (shop, folder) = (shop(), tempfile::tempdir().expect("a folder"));
    let lacks = "the job does not say which machine it is; not there: the end of its frame number";
    with_tab(|tab| {
        begin(tab, AIR);
        begin_job(tab, "");
        ask(tab, "document.querySelector('.clear [data-save]').click()");
        assert!(told(tab).starts_with(&format!("Not saved yet: {lacks}.")), "{}", told(tab));
        assert_eq!(ask(tab, "document.activeElement.getAttribute('data-say')"), "frame");
        assert!(text(tab, "[data-job] [data-left-out]").contains("steps have neither tick nor reason: "));
        let path = save(tab, folder.path());
        assert!(told(tab).contains(&format!("not for the shop yet: {lacks}.")), "{}", told(tab));
        let done = benchleaf(shop.path(), &["job", "take", &path.to_string_lossy()]);
        assert!(!done.status.success() && said(&done).contains(lacks), "{}", said(&done));
        say(tab, "frame", "FR0001");
        std::fs::remove_file(&path).expect("removed");
        let path = save(tab, folder.path());
        assert!(told(tab).contains("puts it in its place"), "{}", told(tab));
        let done = benchleaf(shop.path(), &["job", "take", &path.to_string_lossy()]);
        assert!(done.status.success(), "{}", said(&done));
        // What the page said is open, the program says.
        let open = text(tab, "[data-job] [data-left-out]").replace('\u{a0}', " ");
        let open = open.trim_end_matches('.').rsplit(". ").next().expect("a sentence").to_owned();
        assert!(shown(shop.path(), "FR0001").contains(&open), "{open}\n{}", shown(shop.path(), "FR0001"));
    });
}

/// The reason for one step stands beside all of its words.
#[test]
fn a_skipped_step_stands_in_the_file_with_all_its_words() {
    with_tab(|tab| {
        begin(tab, AIR);
        begin_job(tab, "SK0001");
        let long = ask(
            tab,
            "(() => { const steps = [...document.querySelectorAll('[data-step]')]; const at = steps.findIndex(s => !s.querySelector('[data-keep]') && !s.querySelector('.v') && s.querySelector('.act').textContent.trim().length > 160); steps.slice(0, at).forEach(s => s.querySelector('.tick input').click()); return steps[at].querySelector('.act').textContent.replace(/\\s+/g, ' ').trim(); })()",
        );
        ask(tab, "document.querySelector('[data-skip]').click()");
        tab.type_str("no time").expect("typed");
        ask(tab, "document.querySelector('[data-ask-yes]').click()");
        let words = long.chars().take(150).collect::<String>();
        assert!(file(tab).contains(&words), "{words}\n{}", file(tab));
        // Read again, it is the same step that is skipped.
        let saved = file(tab);
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("a.yaml");
        std::fs::write(&path, &saved).expect("written");
        begin(tab, AIR);
        crate::jobs::give(tab, &path);
        assert_eq!(file(tab), saved);
    });
}
