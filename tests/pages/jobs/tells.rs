//! What the page says of a job as a whole, and of the words in it, `check` says of its file.

use std::collections::BTreeSet;

use super::{PAGE, begin_job, benchleaf, file, release, said, say, set, shop};
use crate::work::{begin, text};
use crate::{ask, open, with_tab};

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
        "555",
        "0199 227",
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
