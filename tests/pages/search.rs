//! The apprentice at the counter types a few words: what stands first is what was meant.

use crate::{ask, open, with_tab};

/// Questions, and the page that must come first. An empty
/// page: nothing is on record, and that is said.
const CASES: [(&str, &str); 60] = [
    // Machines and forks by name.
    ("sable 400", "forks/tarnholm-u41.html"),
    ("sable 2014", "forks/tarnholm-u41.html"),
    ("corvane sable 600", "forks/tarnholm-s43.html"),
    ("rill 900", "forks/tarnholm-u45.html"),
    ("rill 1000 sport", "forks/tarnholm-g43.html"),
    ("lantern 500 1998", "forks/brackwater-d37.html"),
    ("lantern 2007", "forks/brackwater-d39v.html"),
    ("courier", "forks/velmora-c41.html"),
    ("meridian coach", "forks/velmora-c45.html"),
    ("strand 750", "forks/brackwater-d38a.html"),
    ("u48", "forks/tarnholm-u48.html"),
    ("velmora c45", "forks/velmora-c45.html"),
    ("tarnholm g43", "forks/tarnholm-g43.html"),
    ("a48", "forks/velmora-a48.html"),
    ("sbale 400", "forks/tarnholm-u41.html"),
    // Forks by size and kind.
    ("45mm inverted", "forks/tarnholm-u45.html"),
    ("45 mm inverted", "forks/tarnholm-u45.html"),
    ("41 mm upside down", "forks/tarnholm-u41.html"),
    ("41mm conventional", "forks/velmora-c41.html"),
    ("air fork", "forks/velmora-a48.html"),
    ("air spring fork", "forks/velmora-a48.html"),
    ("sealed damper fork", "forks/"),
    ("damping rod 37 mm", "forks/brackwater-d37.html"),
    ("damping rod fork", "forks/brackwater-"),
    ("closed cartridge fork", "forks/"),
    ("gas-backed", "forks/tarnholm-g43.html"),
    ("bladder", "forks/"),
    // Complaints.
    ("leaks", "complaints/weeps"),
    ("dives", "complaints/dives.html"),
    ("nose-dives", "complaints/dives.html"),
    ("harsh", "complaints/harsh.html"),
    ("clunks", "complaints/"),
    ("pulls to one side", "complaints/pulls.html"),
    ("tops out", "complaints/tops-out.html"),
    ("sticky", "complaints/sticks.html"),
    ("bottoms out", "complaints/bottoms.html"),
    // Procedures and services.
    ("set the air gap", "procedures/set-air-gap.html"),
    ("rod nut height", "procedures/rod-nut-height.html"),
    ("inspect bushings", "procedures/inspect-bushings.html"),
    ("check run-out", "procedures/check-run-out.html"),
    ("drain oil", "procedures/drain-oil.html"),
    ("test ride", "procedures/test-ride.html"),
    ("oil change", "procedures/sequence/oil-change.html"),
    ("full service", "procedures/sequence/full-service.html"),
    // Oils, tools, cautions, terms.
    ("quillon damp 15", "oils/quillon-damp-15.html"),
    ("marrowhill 32", "oils/marrowhill-fork-32.html"),
    ("gap gauge", "tools.html#gap-gauge"),
    ("torque wrench", "tools.html#torque-wrench"),
    ("seal driver", "tools.html#seal-driver"),
    ("locking compound", "tools.html#locking-compound"),
    ("stored spring force", "cautions.html#stored-spring-force"),
    ("hot oil", "cautions.html#hot-parts"),
    ("balance chamber", "glossary.html#"),
    ("stanchion", "glossary.html#stanchion"),
    ("oil seals", "tools.html#fork-seal"),
    // Codes, years that are not on record, nothing.
    ("7H2K-9QWD", "codes.html#7H2K-9QWD"),
    ("7h2k9qwd", "codes.html#7H2K-9QWD"),
    ("rill 900 2024", "forks/tarnholm-u45.html"),
    ("sable 400 1999", "forks/tarnholm-u41.html"),
    ("zeppelin", ""),
];

#[test]
fn what_was_meant_stands_first() {
    with_tab(|tab| {
        open(tab, "index.html");
        let wrong: Vec<String> = CASES
            .iter()
            .filter_map(|(question, page)| {
                let typed = format!(
                    "(() => {{ const q = document.querySelector('#q'); q.value = {question:?}; q.dispatchEvent(new Event('input', {{bubbles: true}})); const hit = document.querySelector('#hits li'); return hit ? hit.dataset.to : ''; }})()"
                );
                let first = ask(tab, &typed);
                let right = if page.is_empty() { first.is_empty() } else { first.starts_with(page) };
                (!right).then(|| format!("{question}: {first}, not {page}"))
            })
            .collect();
        assert!(
            wrong.is_empty(),
            "{} of {} right:\n{}",
            CASES.len() - wrong.len(),
            CASES.len(),
            wrong.join("\n")
        );
    });
}

#[test]
fn a_year_that_is_not_on_record_and_a_draft_are_said() {
    with_tab(|tab| {
        open(tab, "index.html");
        let typed = |question: &str| {
            ask(
                tab,
                &format!(
                    "(() => {{ const q = document.querySelector('#q'); q.value = {question:?}; q.dispatchEvent(new Event('input', {{bubbles: true}})); return document.querySelector('[data-said]').textContent + ' / ' + document.querySelector('#hits').textContent; }})()"
                ),
            )
        };
        let other = typed("sable 400 1999");
        assert!(other.contains("Not on record for 1999") && other.contains("2013–2016"), "{other}");
        assert!(typed("post 125").contains("DRAFT"), "{}", typed("post 125"));
        assert!(typed("zeppelin").starts_with("Nothing on record for “zeppelin”"));
    });
}
