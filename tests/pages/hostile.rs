//! Bad input in a browser: names and notes that are markup, other ways of writing, too much of everything, and almost
//! nothing.

use std::collections::BTreeMap;

use benchleaf::text::{Memory, Source};

use crate::cards::{CARD_GEOMETRY, PAPERS};
use crate::{SIDEWAYS, ask, demo, open_in, print, render, size, with_tab};

/// The demo shop's sources.
pub fn sources() -> BTreeMap<String, Vec<u8>> {
    let shop = demo();
    let (paths, _) = shop.list();
    paths
        .into_iter()
        .filter(|path| path.starts_with("specs/") || path.starts_with("procedures/"))
        .map(|path| (path.clone(), shop.read(&path).expect("a source")))
        .collect()
}

/// The demo shop with hostile names, notes and procedures.
fn hostile() -> Memory {
    let mut files = sources();
    let mut change = |path: &str, old: &str, new: &str| {
        let text = String::from_utf8(files[path].clone()).expect("text");
        assert!(text.contains(old), "`{old}` stands in {path}");
        files.insert(path.to_owned(), text.replacen(old, new, 1).into_bytes());
    };
    let word = "Langgabelbrückenklemmschraube".repeat(8);
    change(
        "specs/forks/tarnholm-u41.yaml",
        "model: U41",
        &format!(
            "model: \"<script>window.hacked=1</script> </style>{{{{ 7*7 }}}} \u{5e9}\u{5dc}\u{5d5}\u{5dd} {word}\""
        ),
    );
    change(
        "specs/forks/tarnholm-u41.yaml",
        "notes: >-\n",
        "notes: >-\n  </p><svg onload=window.hacked=1> <a href='javascript:window.hacked=1'>note</a> \u{5d4}\u{5e2}\u{5e8}\u{5d4}\n",
    );
    change(
        "specs/shop.yaml",
        "name: Low Shed Fork Bench",
        "name: \"<img src=x onerror='window.hacked=1'> & Sons \\\"quoted\\\"\"",
    );
    let steps: String = (1..=40).map(|n| format!("{n}. Step {n} of many: {word}\n\n")).collect();
    change(
        "procedures/set-air-gap.md",
        "1. Bring the leg",
        &format!(
            "<script>window.hacked=1</script>\n\n[a](javascript:window.hacked=1) [b](data:text/html,x) \
             <img src=x onerror=window.hacked=1>\n\n{steps}1. Bring the leg"
        ),
    );
    Memory { files }
}

#[test]
fn hostile_names_and_markdown_stay_text_and_nothing_is_cut_without_a_word() {
    let (site, over) = render(&hostile(), "pages-hostile");
    let pages = [
        "index.html",
        "forks/tarnholm-u41.html",
        "forks/tarnholm-u41/full-service.html",
        "procedures/set-air-gap.html",
        "cards/tarnholm-u41--full-service.html",
        "review.html",
    ];
    with_tab(|tab| {
        for page in pages {
            size(tab, 320, 800);
            open_in(tab, &site, page);
            assert_eq!(ask(tab, "String(window.hacked)"), "undefined", "{page}");
            let foreign = ask(
                tab,
                "String([...document.querySelectorAll('script:not([src]), img:not([src*=\"/pictures/\"]), [onerror], [onload], a[href^=\"javascript:\"], a[href^=\"data:\"]')].length)",
            );
            assert_eq!(foreign, "0", "{page}");
            assert_eq!(ask(tab, SIDEWAYS), "", "{page}");
        }
        open_in(tab, &site, "forks/tarnholm-u41.html");
        let title = ask(tab, "document.querySelector('h1').textContent");
        assert!(title.contains("<script>window.hacked=1</script>"), "{title}");
        assert!(title.contains("{{ 7*7 }}"), "a name is no template: {title}");
        let notes = ask(tab, "document.querySelector('main').innerText");
        assert!(notes.contains("<svg onload=window.hacked=1>"), "a note is text: {notes}");
        // Each card is said to be too long, or it prints on its two sides.
        size(tab, 1200, 900);
        for service in ["oil-change", "full-service"] {
            let path = format!("cards/tarnholm-u41--{service}.html");
            open_in(tab, &site, &path);
            let fits = ask(tab, CARD_GEOMETRY) == "[]" && print(tab, PAPERS[1].1).get_pages().len() == 2;
            assert!(fits || !over.is_empty(), "{path} is cut, and nothing says so");
        }
    });
}

/// A shop of its own fields: thirty joints to torque beside those of the demo fork.
#[test]
fn thirty_torques_more_are_all_on_the_page_and_on_the_card_or_it_is_said() {
    let mut files = sources();
    let mut edit = |path: &str, change: &dyn Fn(String) -> String| {
        let text = String::from_utf8(files[path].clone()).expect("text");
        files.insert(path.to_owned(), change(text).into_bytes());
    };
    let fields: String = (1..=30)
        .map(|n| {
            format!(
                "      joint_{n}:\n        title: Joint number {n}\n        short: Joint {n}\n        kind: torque\n        \
                 units: [N·m, lbf·ft]\n        form: target\n        role: set\n        per: fork\n        \
                 measured: With the torque wrench.\n        wrong: It comes loose.\n"
            )
        })
        .collect();
    edit("specs/shop.yaml", &|text| {
        assert!(text.contains("\nfields:\n"), "the demo shop has a group of its own");
        let group =
            format!("\nfields:\n  - group: joints\n    title: Joints\n    of: fork\n    fields:\n{fields}");
        text.replacen("\nfields:\n", &group, 1)
    });
    let values: String = (1..=30).map(|n| format!("  joint_{n}: {} N·m\n", 20 + n)).collect();
    edit("specs/forks/tarnholm-u41.yaml", &|text| format!("{text}\njoints:\n{values}"));
    let (site, over) = render(&Memory { files }, "pages-torques");
    with_tab(|tab| {
        size(tab, 390, 844);
        open_in(tab, &site, "forks/tarnholm-u41.html");
        assert_eq!(ask(tab, SIDEWAYS), "");
        let rows = ask(tab, "String(document.querySelectorAll('tr[id^=\"joints.\"]').length)");
        assert_eq!(rows, "30");
        size(tab, 1200, 900);
        open_in(tab, &site, "cards/tarnholm-u41--full-service.html");
        let sheet = ask(tab, "document.querySelector('.card').textContent");
        let all = (1..=30).all(|n| sheet.contains(&format!("Joint {n}")));
        let fits = ask(tab, CARD_GEOMETRY) == "[]" && print(tab, PAPERS[1].1).get_pages().len() == 2;
        let said = over.iter().any(|finding| finding.contains("tarnholm-u41") || finding.contains("U41"));
        // No procedure names them: the card says so, and how many there are.
        let told = sheet.contains("in no procedure, so not on this card") && sheet.contains("27 more");
        assert!(((all || told) && fits) || said, "all there: {all}, fits: {fits}, said: {over:#?}");
    });
}

/// The first evening with a new fork: its choices are known, and nothing else.
#[test]
fn a_fork_with_almost_no_values_has_a_page_that_says_what_is_missing() {
    let mut files = sources();
    let text = "id: bare-30\nmaker: Bare\nmodel: B30\nstatus: draft\nchoices:\n  orientation: conventional\n  damping: \
                damping-rod\n  springing: coil-top\n  legs: alike\n  oil_set_by: volume\n  rebound: none\n  compression: \
                none\n  preload: none\n  drain: none\n  axle: one-lug\n  bars: on-clamp\n";
    files.insert("specs/forks/bare-30.yaml".to_owned(), text.as_bytes().to_vec());
    let (site, _) = render(&Memory { files }, "pages-bare");
    assert!(!site.join("cards/bare-30--full-service.html").exists(), "a draft has no card");
    with_tab(|tab| {
        for page in ["forks/bare-30.html", "forks/bare-30/full-service.html"] {
            size(tab, 320, 800);
            open_in(tab, &site, page);
            assert_eq!(ask(tab, SIDEWAYS), "", "{page}");
            assert!(ask(tab, "document.querySelector('.banner').textContent").contains("DRAFT"), "{page}");
            let text = ask(tab, "document.querySelector('main').innerText");
            for never in ["NaN", "undefined", "null", "None", "{{"] {
                assert!(!text.contains(never), "{page}: {never}");
            }
        }
        open_in(tab, &site, "forks/bare-30.html");
        let missing = ask(tab, "document.querySelector('main').innerText");
        assert!(missing.contains("No number to set is on record."), "{missing}");
        open_in(tab, &site, "index.html");
        assert!(
            ask(tab, "document.querySelector('main').textContent").contains("Bare B30"),
            "listed without a machine"
        );
    });
}
