//! The apprentice works from the page of a service: what is ticked and read stays, what comes next is at hand, and
//! what changed since is told.

use std::collections::BTreeSet;
use std::path::Path;

use headless_chrome::Tab;
use headless_chrome::protocol::cdp::Emulation;

use crate::{SITE, ask, open, open_in, size, with_tab};

const PAGE: &str = "forks/tarnholm-u41/full-service.html";

/// Opens the page as on a device that knows nothing of it.
pub(crate) fn begin(tab: &Tab, page: &str) {
    open(tab, page);
    ask(tab, "localStorage.clear()");
    open(tab, page);
}

pub(crate) fn tick(tab: &Tab, step: usize) {
    ask(tab, &format!("document.querySelector('#step-{step} .tick input').click()"));
}

pub(crate) fn is_ticked(tab: &Tab, step: usize) -> bool {
    ask(tab, &format!("document.querySelector('#step-{step} .tick input').checked")) == "true"
}

pub(crate) fn text(tab: &Tab, what: &str) -> String {
    ask(tab, &format!("document.querySelector({what:?}).textContent.replace(/\\s+/g, ' ').trim()"))
}

#[test]
fn ticks_readings_and_theme_are_remembered_on_the_device() {
    with_tab(|tab| {
        begin(tab, PAGE);
        tick(tab, 2);
        let box_ = "[data-step] input[type=text][data-keep]";
        tab.wait_for_element(box_).and_then(|field| field.click().map(|_| ())).expect("a box");
        tab.type_str("96.5").expect("typed");
        ask(tab, "document.querySelector('[data-theme-switch]').click()");
        let theme = ask(tab, "document.documentElement.dataset.theme");
        open(tab, PAGE);
        assert!(is_ticked(tab, 2));
        assert_eq!(ask(tab, &format!("document.querySelector('{box_}').value")), "96.5");
        assert_eq!(ask(tab, "document.documentElement.dataset.theme"), theme);
        assert!(text(tab, "[data-done]").starts_with("1 of "), "{}", text(tab, "[data-done]"));
        assert_eq!(ask(tab, "document.querySelector('[data-next]').getAttribute('href')"), "#step-1");
    });
}

#[test]
fn what_was_done_last_can_be_undone_also_that_all_was_cleared() {
    with_tab(|tab| {
        begin(tab, PAGE);
        let undo = "document.querySelector('[data-undo]').click()";
        assert_eq!(
            ask(tab, "document.querySelector('[data-undo]').disabled"),
            "true",
            "nothing was done yet"
        );
        tick(tab, 1);
        tick(tab, 3);
        ask(tab, "document.querySelector('[data-clear]').click()");
        assert!(!is_ticked(tab, 1) && !is_ticked(tab, 3));
        ask(tab, undo);
        assert!(is_ticked(tab, 1) && is_ticked(tab, 3));
        ask(tab, undo);
        assert!(is_ticked(tab, 1) && !is_ticked(tab, 3));
        // What was brought back is also what is kept.
        open(tab, PAGE);
        assert!(is_ticked(tab, 1) && !is_ticked(tab, 3));
    });
}

#[test]
fn a_step_is_skipped_only_with_a_reason_and_the_reason_stays() {
    with_tab(|tab| {
        begin(tab, PAGE);
        ask(tab, "document.querySelector('[data-skip]').click()");
        assert!(text(tab, "[data-ask-step]").starts_with("Step 1: "));
        assert_eq!(ask(tab, "document.querySelector('[data-ask-yes]').disabled"), "true");
        tab.type_str("rider was not there").expect("typed");
        ask(tab, "document.querySelector('[data-ask-yes]').click()");
        open(tab, PAGE);
        assert_eq!(text(tab, "#step-1 .note.skipped"), "Skipped: rider was not there");
        assert!(text(tab, "[data-done]").ends_with("1 skipped"), "{}", text(tab, "[data-done]"));
        assert_eq!(ask(tab, "document.querySelector('[data-next]').getAttribute('href')"), "#step-2");
        // Done after all.
        tick(tab, 1);
        assert_eq!(ask(tab, "document.querySelector('#step-1 .note.skipped') === null"), "true");
    });
}

/// A job is begun; then the record's figure changes and the site is built again.
#[test]
fn where_a_figure_changed_the_tick_is_withdrawn_and_both_figures_are_shown() {
    let page = std::fs::read_to_string(SITE.join(PAGE)).expect("the page");
    with_tab(|tab| {
        begin(tab, PAGE);
        let step: usize =
            ask(tab, "document.querySelector('.proc .v b').closest('[data-step]').id.replace('step-', '')")
                .parse()
                .expect("a step with a figure");
        let figure = ask(tab, &format!("document.querySelector('#step-{step} .v b').innerHTML"))
            .replace("&nbsp;", "\u{a0}");
        let words = text(tab, &format!("#step-{step} .act"));
        tick(tab, 1);
        tick(tab, step);
        assert_eq!(ask(tab, "document.querySelector('[data-changed]').hidden"), "true");
        let place = page.find(&format!("id=\"step-{step}\"")).expect("the step");
        let (before, after) = page.split_at(place);
        let digit = figure.chars().find(char::is_ascii_digit).expect("a digit");
        let other = char::from(b'0' + (digit as u8 - b'0' + 1) % 10);
        let changed = figure.replacen(digit, &other.to_string(), 1);
        let after = after.replacen(&format!("<b>{figure}</b>"), &format!("<b>{changed}</b>"), 1);
        let again = Path::new("forks/tarnholm-u41/full-service-changed.html");
        std::fs::write(SITE.join(again), format!("{before}{after}")).expect("written");
        open_in(tab, &SITE, &again.to_string_lossy());
        std::fs::remove_file(SITE.join(again)).expect("removed");
        assert!(is_ticked(tab, 1), "a step whose figures are as they were stays done: {words}");
        assert!(!is_ticked(tab, step), "{words}");
        let said = text(tab, &format!("#step-{step} .note.withdrawn"));
        let spaced = |figure: &str| figure.replace('\u{a0}', " ");
        assert!(said.contains(&spaced(&figure)) && said.contains(&spaced(&changed)), "{said}");
        let list = text(tab, "[data-changed]");
        assert!(list.contains(&format!("Step {step}: ")) && list.contains("Do it again"), "{list}");
    });
}

/// A procedure gets a step more before the one that is ticked: the tick stays with its own step.
#[test]
fn a_tick_belongs_to_the_words_of_its_step_and_not_to_its_place() {
    let page = std::fs::read_to_string(SITE.join(PAGE)).expect("the page");
    with_tab(|tab| {
        begin(tab, PAGE);
        tick(tab, 2);
        let words = text(tab, "#step-2 .act");
        // Step 1 is gone and another stands in its place, twice.
        let (head, rest) = page.split_once("id=\"step-1-do\">").expect("the first step");
        let (_, tail) = rest.split_once("</div>").expect("its end");
        let block = "<div class=\"block\" id=\"step-0\" data-step tabindex=\"-1\"><div class=\"step\"><label class=\"tick\"><input type=\"checkbox\" aria-label=\"x\"></label><div class=\"do\"><div class=\"act\">Wash your hands.</div></div></div></div>";
        let (start, first) = head.rsplit_once("<div class=\"block\"").expect("its block");
        let moved = format!(
            "{start}{block}<div class=\"block\"{first}id=\"step-1-do\">Read the order twice.</div>{tail}"
        );
        let again = Path::new("forks/tarnholm-u41/full-service-moved.html");
        std::fs::write(SITE.join(again), moved).expect("written");
        open_in(tab, &SITE, &again.to_string_lossy());
        std::fs::remove_file(SITE.join(again)).expect("removed");
        let ticked = ask(
            tab,
            "JSON.stringify([...document.querySelectorAll('[data-step]')].filter(s => s.querySelector('.tick input').checked).map(s => s.querySelector('.act').textContent.replace(/\\s+/g, ' ').trim()))",
        );
        assert_eq!(ticked, serde_json::to_string(&[words]).expect("JSON"));
        assert!(text(tab, "[data-changed]").contains("is new, or its words changed"));
    });
}

#[test]
fn a_page_that_is_opened_again_shows_where_the_work_stopped_its_cautions_in_full() {
    with_tab(|tab| {
        size(tab, 820, 1180);
        begin(tab, PAGE);
        // The first step whose caution was said before and is folded.
        let step: usize = ask(
            tab,
            "document.querySelector('details.brief').closest('[data-step]').id.replace('step-', '')",
        )
        .parse()
        .expect("a step with a caution in short");
        ask(
            tab,
            &format!(
                "for (let n = 1; n < {step}; n++) document.querySelector('#step-' + n + ' .tick input').click()"
            ),
        );
        open(tab, PAGE);
        let shown = format!("document.querySelector('#step-{step}')");
        assert_eq!(ask(tab, &format!("document.activeElement === {shown}")), "true", "the focus");
        assert_eq!(ask(tab, &format!("{shown}.querySelector('details.brief').open")), "true");
        // The block begins with its caution, below the bar at the top and not under it.
        let wait = format!(
            "new Promise(done => setTimeout(() => done(JSON.stringify([{shown}.getBoundingClientRect().top >= document.querySelector('.progress').getBoundingClientRect().bottom - 1, {shown}.getBoundingClientRect().top < innerHeight / 2])), 900))"
        );
        assert_eq!(ask(tab, &wait), "[true,true]");
        let first = format!("{shown}.firstElementChild.matches('.hazard')");
        assert_eq!(ask(tab, &first), "true");
    });
}

/// On every service of every fork.
#[test]
fn a_caution_is_full_the_first_time_and_a_danger_always() {
    for path in crate::html_files() {
        let text = std::fs::read_to_string(SITE.join(&path)).expect("a page");
        if !text.contains("<body class=\"page-service\">") {
            continue;
        }
        let mut full: Vec<&str> = Vec::new();
        for box_ in text.split("class=\"hazard").skip(1) {
            let brief = box_.starts_with(" brief");
            let title = match brief {
                true => box_.split_once("class=\"what\">").expect("a title").1.split('<').next(),
                false => box_
                    .split_once("aria-label=\"")
                    .expect("a name")
                    .1
                    .split_once(": ")
                    .and_then(|(_, rest)| rest.split('"').next()),
            };
            let title = title.expect("a title");
            if brief {
                assert!(!box_.starts_with(" brief danger"), "{path}: {title}");
                assert!(full.contains(&title), "{path}: `{title}` stands in short before it stood in full");
            } else {
                full.push(title);
            }
        }
        assert!(!full.is_empty(), "{path} has no caution");
    }
}

#[test]
fn the_name_of_a_tick_says_what_its_step_says() {
    with_tab(|tab| {
        open(tab, PAGE);
        let wrong = ask(
            tab,
            "JSON.stringify([...document.querySelectorAll('.tick input')].filter(input => {
               const name = input.getAttribute('aria-labelledby').split(' ').map(id => document.getElementById(id).textContent).join(' ');
               const block = input.closest('[data-step]');
               return !name.startsWith('Done: step ' + block.id.replace('step-', '')) || !name.includes(block.querySelector('.act').textContent);
             }).length)",
        );
        assert_eq!(wrong, "0");
        // What stands beside a box is part of its name.
        let boxes = ask(
            tab,
            "JSON.stringify([...document.querySelectorAll('.reading label:not(.also)')].filter(label => ![...label.querySelectorAll('span')].every(span => label.querySelector('input').getAttribute('aria-label').includes(span.textContent))).map(label => label.outerHTML))",
        );
        assert_eq!(boxes, "[]");
    });
}

#[test]
fn the_first_step_is_near_the_top_of_a_telephone() {
    with_tab(|tab| {
        size(tab, 390, 844);
        begin(tab, PAGE);
        let top = ask(tab, "document.querySelector('#step-1').getBoundingClientRect().top");
        let top: f64 = top.parse().expect("a length");
        assert!(top < 900.0, "{top} px");
    });
}

#[test]
fn a_link_in_a_step_opens_beside_it_and_closes_where_one_was() {
    with_tab(|tab| {
        size(tab, 1200, 900);
        begin(tab, PAGE);
        ask(tab, "document.querySelector('.proc .act a[href*=\"forks/\"]').click()");
        assert!(tab.get_url().ends_with(PAGE), "{}", tab.get_url());
        assert_eq!(ask(tab, "document.querySelector('[data-beside]').hidden"), "false");
        let looked_up = ask(tab, "document.querySelector('[data-beside] iframe').src");
        assert!(looked_up.contains("forks/tarnholm-u41.html#"), "{looked_up}");
        tab.press_key("Escape").expect("a key");
        assert_eq!(ask(tab, "document.querySelector('[data-beside]').hidden"), "true");
        assert_eq!(ask(tab, "document.activeElement.matches('.proc .act a')"), "true");
    });
}

#[test]
fn a_step_that_says_how_long_to_wait_has_a_timer() {
    with_tab(|tab| {
        begin(tab, PAGE);
        let step =
            ask(tab, "(document.querySelector('.timer') || document.body).closest('[data-step]')?.id || ''");
        assert!(!step.is_empty(), "no step of the full service is timed");
        let button = format!("document.querySelector('#{step} .timer button')");
        assert!(ask(tab, &format!("{button}.textContent")).starts_with("Start a timer: "));
        ask(tab, &format!("{button}.click()"));
        open(tab, PAGE);
        assert!(
            ask(tab, &format!("{button}.nextElementSibling.textContent")).ends_with(" left"),
            "it runs on"
        );
        ask(tab, &format!("{button}.click()"));
        assert!(ask(tab, &format!("{button}.textContent")).starts_with("Start"));
    });
}

/// Printed after the switch was set to dark, with a step ticked and everything folded.
#[test]
fn what_is_printed_is_white_and_whole() {
    with_tab(|tab| {
        begin(tab, PAGE);
        ask(tab, "document.documentElement.setAttribute('data-theme', 'dark')");
        tick(tab, 1);
        ask(tab, "document.querySelectorAll('.phase').forEach(p => p.open = false)");
        tab.call_method(Emulation::SetEmulatedMedia { media: Some("print".into()), features: None })
            .expect("as on paper");
        assert_eq!(ask(tab, "getComputedStyle(document.documentElement).colorScheme"), "light");
        assert_eq!(ask(tab, "getComputedStyle(document.body).backgroundColor"), "rgb(255, 255, 255)");
        let box_ =
            ask(tab, "getComputedStyle(document.querySelector('#step-1 .tick input')).backgroundColor");
        assert_eq!(box_, "rgba(0, 0, 0, 0)", "a tick is no black square");
        tab.call_method(Emulation::SetEmulatedMedia { media: Some(String::new()), features: None })
            .expect("as on a screen");
        let printed = crate::print(tab, crate::PAPERS[0].1);
        let pages: Vec<u32> = printed.get_pages().keys().copied().collect();
        let words: String =
            pages.iter().map(|page| printed.extract_text(&[*page]).unwrap_or_default()).collect();
        let last = text(tab, "[data-step]:last-of-type .act");
        assert!(pages.len() > 10, "{} pages: what is folded is printed too", pages.len());
        for (at, page) in pages.iter().enumerate() {
            let words = crate::squeezed(&printed.extract_text(&[*page]).unwrap_or_default());
            assert!(words.contains("TarnholmU41.Fullservice"), "sheet {} does not say what it is", at + 1);
            assert!(words.contains(&format!("Page{}of{}", at + 1, pages.len())), "sheet {}", at + 1);
        }
        let end = last.split(['’', '\'', '"']).next().unwrap_or_default().to_owned();
        assert!(crate::squeezed(&words).contains(&crate::squeezed(&end)), "{end}");
    });
}

/// The table stands where the gap is read, and the readings stay in view on a telephone.
#[test]
fn a_table_of_corrections_stands_under_the_step_that_reads_it() {
    with_tab(|tab| {
        size(tab, 390, 844);
        open(tab, PAGE);
        for (reading, title) in
            [("oil.air_gap-left", "Correct the gap"), ("rod_nut.height-left", "Turn the rod nut")]
        {
            let steps = format!(
                "JSON.stringify([...document.querySelectorAll('[data-step]')].filter(s => s.querySelector('[data-keep=\"{reading}\"]') && s.textContent.includes({title:?})).map(s => getComputedStyle(s.querySelector('table.corr thead')).position))"
            );
            assert_eq!(ask(tab, &steps), "[\"static\"]", "{reading}");
        }
    });
}

/// What stands in the box of a temperature.
const DEGREES: [&str; 13] =
    ["20", "", "30 °C", "5", "28", "86 °F", "293 °C", "-80 °C", "−5", "20.5", "x", "35,5", "24 mm"];

/// What a thumb types into a box: right and wrong, with units and without, and nonsense.
pub(crate) fn thumbs() -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for whole in [0, 1, 2, 9, 11, 13, 22, 39, 62, 96, 108, 110, 112, 113, 137, 455, 1999] {
        for behind in ["", ".0", ".5", ".25", ".375", ".96"] {
            all.push(format!("{whole}{behind}"));
        }
    }
    for unit in [
        "mm", " mm", "in", " cm", "\u{a0}mm", " mL", " N·m", " Nm", " lbf·ft", " clicks", " turns", " oz",
        " °C", " °F",
    ] {
        all.extend(["4.33", "20", "110", "0.1"].map(|figure| format!("{figure}{unit}")));
    }
    let nonsense = [
        "",
        " ",
        "x",
        "9y",
        "-3",
        "1e3",
        "0x10",
        "1.2.3",
        ".5",
        "5.",
        "10,5",
        "1 000",
        "1234567890",
        "123456789",
        "∞",
        "NaN",
        "__proto__",
        "20 constructor",
        "½",
        "4-1/3 in",
        "١٢",
        "<b>1</b>",
        "9\u{202f}mm",
        "110 ± 2 mm",
        "≤ 3 mm",
        "not fitted",
        "not read",
        "unknown",
        "− 4",
        "–5 °C",
        "293 °C",
        "-80 °C",
        "431 cm³",
        "62 N·m 2",
        "104/105/103",
        "35,5 mm",
    ];
    all.extend(nonsense.map(str::to_owned));
    all
}

#[test]
fn the_page_says_of_a_reading_what_the_library_says_of_it() {
    use benchleaf::judge::{asked, boxes, judge_settled, judge_typed, judge_typed_pair};
    use benchleaf::plan::plan;
    let checked = benchleaf::check_shop(&crate::demo());
    let mut compared = 0;
    // Three whole services, and of all others those in which some box is read, in its unit and with its remedy, that is
    // in none before.
    let mut chosen = vec![
        ("tarnholm-u41", "full-service"),
        ("velmora-c45", "full-service"),
        ("velmora-a48", "air-spring"),
    ];
    let mut kinds = BTreeSet::new();
    let of_every_fork = checked.forks.iter().filter(|fork| !fork.record.draft).flat_map(|fork| {
        checked.shop.services_for(&fork.choices).map(|service| (fork.id.as_str(), service.id.text.as_str()))
    });
    for (id, service) in chosen.clone().into_iter().chain(of_every_fork) {
        let fork = checked.fork(id).expect("a fork");
        let plan = plan(&checked.shop, checked.shop.service(service).expect("a service"), fork);
        let catalogue = &checked.shop.catalogue;
        let of_boxes = boxes(catalogue, fork, &plan).into_iter().map(|reading| {
            let asked = asked(&checked.shop, fork, &fork.derived, reading.field);
            let warm = asked.legs.iter().flatten().any(|leg| leg.warmth.is_some());
            let legs = asked.legs.map(|leg| {
                leg.map(|leg| {
                    (leg.unit.symbol, leg.loose, format!("{:?}", std::mem::discriminant(&leg.remedy)))
                })
            });
            (reading.field, reading.as_left, warm, legs)
        });
        let before = kinds.len();
        kinds.extend(of_boxes);
        if kinds.len() > before && !chosen.contains(&(id, service)) {
            chosen.push((id, service));
        }
    }
    for (id, service) in chosen {
        let fork = checked.fork(id).expect("a fork");
        let service = checked.shop.service(service).expect("a service");
        let plan = plan(&checked.shop, service, fork);
        let catalogue = &checked.shop.catalogue;
        let mut questions: Vec<(String, usize, String, bool, String)> = Vec::new();
        let mut expected: Vec<String> = Vec::new();
        let mut expected_of_three: Vec<String> = Vec::new();
        for reading in boxes(catalogue, fork, &plan) {
            let value = asked(&checked.shop, fork, &fork.derived, reading.field);
            let key = catalogue.field(reading.field).key.clone();
            let warm = value.legs.iter().flatten().any(|leg| leg.warmth.is_some());
            for (at, text) in thumbs().into_iter().enumerate() {
                for leg in 0..2 {
                    // Beside a reading that goes with the temperature stands one, or rubbish, or nothing.
                    for degrees in (0..if warm { 3 } else { 1 }).map(|n| DEGREES[(at + n * 5) % DEGREES.len()]) {
                        let typed = (text.as_str(), Some(degrees));
                        let words = judge_typed(&value, leg, typed, reading.as_left).map(|judged| judged.words);
                        expected.push(words.unwrap_or_default());
                        questions.push((key.clone(), leg, text.clone(), reading.as_left, degrees.to_owned()));
                    }
                }
                let pair = judge_typed_pair(&value, ["110", &text]).map(|judged| judged.words);
                expected.push(pair.unwrap_or_default());
                questions.push((key.clone(), 2, text, true, String::new()));
            }
        }
        // Every sag from three readings, the readings of a thumb in all places.
        let texts = thumbs();
        let mut three: Vec<(String, Vec<String>, bool)> = Vec::new();
        for reading in
            boxes(catalogue, fork, &plan).into_iter().filter(|one| catalogue.field(one.field).settled)
        {
            let value = asked(&checked.shop, fork, &fork.derived, reading.field);
            let unit = benchleaf::quantity::unit("mm").expect("a unit");
            let some = (0..texts.len()).flat_map(|n| {
                let other = |by: usize| texts[(n * by + by) % texts.len()].clone();
                [
                    vec![texts[n].clone(), other(7), other(3)],
                    vec!["134".to_owned(), texts[n].clone(), "105.5".to_owned()],
                    vec!["134.5 mm".to_owned(), "99".to_owned(), texts[n].clone()],
                    vec![texts[n].clone(), "0".to_owned(), "2".to_owned()],
                ]
            });
            let odd = [
                ["5.28 in", "3.9in", "105"],
                ["134", "105", "99"],
                ["99", "100", "105"],
                ["134", "104", "104"],
                ["120", "81", "83"],
            ];
            for texts in some.chain(odd.map(|three| three.map(str::to_owned).to_vec())) {
                let of = [texts[0].as_str(), &texts[1], &texts[2]];
                let words = judge_settled(&value, unit, of, reading.as_left).map(|judged| judged.words);
                expected_of_three.push(words.unwrap_or_default());
                three.push((catalogue.field(reading.field).key.clone(), texts, reading.as_left));
            }
        }
        let three_of_page = serde_json::to_string(&three).expect("JSON");
        let asked_of_page = serde_json::to_string(&questions).expect("JSON");
        let script = format!(
            "(function () {{ var bar = document.querySelector('[data-progress]'); return JSON.stringify({asked_of_page}.map(function (q) {{ return q[1] === 2 ? bar.judgePair(q[0], '110', q[2]) : bar.judge(q[0], q[1], q[2], q[3], q[4]); }})); }}())"
        );
        let said = with_tab(|tab| {
            open(tab, &format!("forks/{id}/{}.html", service.id.text));
            ask(tab, &script)
        });
        let of_three = with_tab(|tab| {
            open(tab, &format!("forks/{id}/{}.html", service.id.text));
            ask(
                tab,
                &format!(
                    "JSON.stringify({three_of_page}.map(q => document.querySelector('[data-progress]').judgeSettled(q[0], q[1], q[2])))"
                ),
            )
        });
        let of_three: Vec<String> = serde_json::from_str(&of_three).expect("a list of words");
        assert_eq!(of_three.len(), expected_of_three.len());
        for ((question, said), expected) in three.iter().zip(&of_three).zip(&expected_of_three) {
            assert_eq!(said, expected, "{question:?}");
        }
        for part in [
            "friction holds it over",
            "of preload in",
            "of preload out",
            "mixed up",
            "at most 1000 mm",
            "not a number",
        ] {
            assert!(
                id != "tarnholm-u41" || expected_of_three.iter().any(|words| words.contains(part)),
                "{part}"
            );
        }
        let said: Vec<String> = serde_json::from_str(&said).expect("a list of words");
        assert_eq!(said.len(), expected.len());
        for ((question, said), expected) in questions.iter().zip(&said).zip(&expected) {
            assert_eq!(said, expected, "{question:?}");
        }
        compared += said.len();
        // It can fail: there are words of every kind among them.
        for part in [
            "as asked",
            "too small",
            "draw off",
            "not a number",
            "left and right differ",
            "replace",
            "as no temperature is written",
            "as the temperature written cannot be right",
            " at 28 °C (",
            "cannot be right",
            " in would be ",
            "less than nothing",
            "decimal point",
            "one number goes in a box",
            "not a unit of this box",
        ] {
            assert!(id != "tarnholm-u41" || expected.iter().any(|words| words.contains(part)), "{part}");
        }
    }
    assert!(compared >= 2000, "{compared}");
}

#[test]
fn a_box_answers_as_the_number_is_typed_and_changes_nothing_of_it() {
    with_tab(|tab| {
        begin(tab, PAGE);
        let typed = |leg: &str, text: &str| {
            ask(
                tab,
                &format!(
                    "(function () {{ var f = document.querySelectorAll('.reading:not([data-found]) [data-keep=\"oil.air_gap-{leg}\"]')[0]; f.value = {text:?}; f.dispatchEvent(new Event('input')); return f.value; }}())"
                ),
            )
        };
        let says = || {
            ask(
                tab,
                "document.querySelectorAll('.reading:not([data-found]) [data-keep=\"oil.air_gap-left\"]')[0].closest('.reading').querySelector('.says').textContent",
            )
        };
        assert_eq!(typed("left", "62"), "62");
        let cold = "judged for 20 °C as no temperature is written";
        let words = format!("Left: 48 mm too small, under the range's 102 mm, {cold}: draw off ");
        assert!(says().starts_with(&words), "{}", says());
        assert_eq!(typed("left", "111"), "111");
        typed("right", "108");
        assert_eq!(
            says(),
            format!(
                "Left: as asked: 110\u{a0}±\u{a0}2\u{a0}mm, {cold}. Right: as asked: 110\u{a0}±\u{a0}2\u{a0}mm, {cold}. left and right differ by 3 mm, 1 mm allowed"
            )
        );
        assert_eq!(typed("right", "10y"), "10y");
        assert!(says().ends_with("Right: not a number") || says().ends_with("write it in mm"), "{}", says());
    });
}
