//! The apprentice at the counter types a few words: what stands first is what was meant.

use headless_chrome::Tab;

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

/// Questions as a shop lead, an apprentice and somebody at the counter put them, written down before the search was
/// measured with them; the page that must come first (of two with a bar between, either), and what is said above.
const AS_PEOPLE_ASK: [(&str, &str, &str); 60] = [
    // A fork by size and kind, in their own order and words.
    ("usd fork 45", "forks/tarnholm-u45.html", ""),
    ("43 mm gas", "forks/tarnholm-g43.html", ""),
    ("48mm air", "forks/velmora-a48.html", ""),
    ("upside down 41", "forks/tarnholm-u41.html", ""),
    ("inverted 48 open cartridge", "forks/tarnholm-u48.html", ""),
    ("37mm", "forks/brackwater-d37.html", ""),
    ("damper rod fork 39", "forks/brackwater-d39v.html", ""),
    ("conventional 45 mm", "forks/velmora-c45.html", ""),
    ("bottom spring", "forks/tarnholm-s43.html", ""),
    ("air assist fork", "forks/brackwater-d38a.html", ""),
    // A machine, with slips and years.
    ("2016 rill", "forks/tarnholm-u45.html", ""),
    ("furrow 450 2021", "forks/velmora-a48.html", ""),
    ("sable 400r", "forks/tarnholm-u41.html", ""),
    ("overlnd 800", "forks/tarnholm-u48.html", ""),
    ("brindlow", "makers/brindlow.html", ""),
    ("ashlok courier", "forks/velmora-c41.html", ""),
    // A fork and what is wanted of it.
    ("u41 oil change", "forks/tarnholm-u41/oil-change.html", ""),
    ("c45 air gap", "forks/velmora-c45.html", ""),
    ("u45 torque", "forks/tarnholm-u45.html", ""),
    ("u41 hang card", "cards/tarnholm-u41--hang-card.html", ""),
    ("x48b full service", "forks/velmora-x48b/full-service.html", ""),
    // What a rider says.
    ("fork is leaking", "complaints/weeps", ""),
    ("oil on my brake disc", "complaints/weeps.html", ""),
    ("front end dives when braking", "complaints/dives.html", ""),
    ("feels bouncy", "complaints/wallows.html", ""),
    ("clunk over bumps", "complaints/knocks.html", ""),
    ("too stiff", "complaints/harsh.html", ""),
    ("bike pulls left", "complaints/pulls.html", ""),
    ("clicker does nothing", "complaints/adjuster-dead.html", ""),
    ("loses pressure overnight", "complaints/loses-air.html", ""),
    ("not using full travel", "complaints/stops-early.html", ""),
    ("squeaking", "complaints/noise.html", ""),
    ("bars shake when braking", "complaints/brake-judder.html", ""),
    // Work.
    ("how to bleed a cartridge", "procedures/bleed-", ""),
    ("oil height", "procedures/set-air-gap.html|glossary.html#air-gap", ""),
    ("remove front wheel", "procedures/remove-wheel.html", ""),
    ("seal replacement", "procedures/fit-seals-", ""),
    ("lock nut height", "procedures/rod-nut-height.html", ""),
    ("bent stanchion", "procedures/check-run-out.html", ""),
    ("bushing wear", "procedures/inspect-bushings.html", ""),
    ("flush", "procedures/flush-leg.html", ""),
    ("fork oil change", "procedures/sequence/oil-change.html", ""),
    // Oils, tools, cautions, terms.
    ("vg 15", "oils/quillon-damp-15.html", ""),
    ("quilon damp 22", "oils/quillon-damp-22.html", ""),
    ("10w", "oils/index.html", ""),
    ("dial indicator", "tools.html#dial-gauge", ""),
    ("verniers", "tools.html#caliper-gauge", ""),
    ("threadlocker", "tools.html#locking-compound", ""),
    ("shock pump", "tools.html#air-pump", ""),
    ("nitrogen danger", "cautions.html#charged-gas", ""),
    ("spring under tension", "cautions.html#stored-spring-force", ""),
    ("negative chamber", "glossary.html#balance-chamber", ""),
    ("fork tube", "glossary.html#stanchion", ""),
    ("wiper seal", "glossary.html#dust-seal|tools.html#dust-seal", ""),
    // Codes, a draft, and what is not on record.
    ("peaa j80g", "codes.html#PEAA-J80G", ""),
    ("brackwater d33", "forks/brackwater-d33.html", ""),
    ("rill 900 2009", "forks/tarnholm-u45.html", "2009"),
    ("50 mm inverted", "forks/", "48 mm"),
    ("courier 700", "forks/velmora-c41.html", "700"),
    ("quadrant 9000", "", "Nothing on record"),
];

/// What stands first for a question, and what is said above.
fn asked(tab: &Tab, question: &str) -> (String, String) {
    let typed = format!(
        "(() => {{ const q = document.querySelector('#q'); q.value = {question:?}; q.dispatchEvent(new Event('input', {{bubbles: true}})); const hit = document.querySelector('#hits li'); return (hit ? hit.dataset.to : '') + '\\n' + document.querySelector('[data-said]').textContent; }})()"
    );
    let both = ask(tab, &typed);
    let (first, said) = both.split_once('\n').unwrap_or((&both, ""));
    (first.to_owned(), said.to_owned())
}

/// The questions that are answered otherwise.
fn wrong(cases: &[(&str, &str, &str)]) -> Vec<String> {
    with_tab(|tab| {
        open(tab, "index.html");
        let answered_otherwise = |(question, page, must_say): &(&str, &str, &str)| {
            let (first, said) = asked(tab, question);
            let right = if page.is_empty() {
                first.is_empty()
            } else {
                page.split('|').any(|page| first.starts_with(page))
            };
            (!right || !said.contains(must_say))
                .then(|| format!("{question}: {first} ({said}), not {page} ({must_say})"))
        };
        cases.iter().filter_map(answered_otherwise).collect()
    })
}

#[test]
fn what_was_meant_stands_first() {
    let cases = CASES.map(|(question, page)| (question, page, ""));
    let wrong = wrong(&cases);
    assert!(
        wrong.is_empty(),
        "{} of {} right:\n{}",
        CASES.len() - wrong.len(),
        CASES.len(),
        wrong.join("\n")
    );
}

#[test]
fn what_people_ask_is_answered_first() {
    let (wrong, all) = (wrong(&AS_PEOPLE_ASK), AS_PEOPLE_ASK.len());
    assert!(wrong.len() <= 3, "{} of {all} right:\n{}", all - wrong.len(), wrong.join("\n"));
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
