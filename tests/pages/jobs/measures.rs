//! What is measured and judged part by part: a sag from three readings, a torque with its wrench, a worn tube.

use super::{PAGE, begin_job, benchleaf, file, give, press, read, said, set, shop, write};
use crate::work::{begin, text};
use crate::{ask, with_tab};

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
