//! The apprentice who sees a drawing at the step, and the one who hears it: what it says is the record's, and nothing of
//! it is cut off or written over another thing.

use crate::{ask, open, size, with_tab};

/// A page to work from of each kind of fork.
const PAGES: [&str; 9] = [
    "forks/tarnholm-u41/full-service.html",
    "forks/tarnholm-s43/full-service.html",
    "forks/tarnholm-g43/full-service.html",
    "forks/velmora-c41/full-service.html",
    "forks/velmora-c45/full-service.html",
    "forks/velmora-a48/air-spring.html",
    "forks/brackwater-d37/full-service.html",
    "forks/brackwater-d38a/full-service.html",
    "valvings.html",
];

/// What a drawing says to whoever cannot see it, by its title.
fn said(page: &str, title: &str) -> Vec<String> {
    let script = format!(
        "[...document.querySelectorAll('svg.where')].map(s => s.getAttribute('aria-label')).filter(t => t.startsWith({title:?})).join('\\n')"
    );
    with_tab(|tab| {
        open(tab, page);
        ask(tab, &script).replace('\u{a0}', " ").lines().map(str::to_owned).collect()
    })
}

#[test]
fn every_drawing_lies_inside_its_frame_and_no_word_on_another() {
    with_tab(|tab| {
        size(tab, 390, 844);
        for page in PAGES {
            open(tab, page);
            ask(tab, "document.querySelectorAll('details').forEach(d => d.open = true)");
            let wrong = ask(
                tab,
                "[...document.querySelectorAll('svg.where')].flatMap(svg => {
                    const frame = svg.viewBox.baseVal, texts = [...svg.querySelectorAll('text:not([transform])')].map(t => [t.textContent, t.getBBox()]);
                    const name = svg.getAttribute('aria-label').slice(0, 40), out = [];
                    for (const [text, b] of texts) if (b.x < frame.x || b.x + b.width > frame.x + frame.width || b.y + b.height > frame.y + frame.height + 1 || b.y < frame.y - 1) out.push(name + ': ' + text + ' is cut off');
                    texts.forEach(([one, a], i) => texts.slice(i + 1).forEach(([other, b]) => { if (Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x) > 2 && Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y) > 5) out.push(name + ': ' + one + ' on ' + other); }));
                    const box = svg.getBoundingClientRect();
                    if (box.width && box.right > innerWidth) out.push(name + ' is wider than the phone');
                    return out;
                }).filter((line, i, all) => all.indexOf(line) === i).join('\\n')",
            );
            assert_eq!(wrong, "", "{page}");
        }
    });
}

#[test]
fn the_seals_stand_in_the_records_order_with_the_records_sizes() {
    let said = said(PAGES[0], "Seals and bushings");
    assert_eq!(said.len(), 1, "once in its procedure: {said:?}");
    for part in [
        "1 dust seal, 41 × 54.4 × 13 mm",
        "3 oil seal, 41 × 54 × 11 mm",
        "4 washer, 42 × 53 × 1.5 mm",
        "5 outer bushing, wall 1.5 mm, 15 mm wide",
        "garter spring to the oil",
    ] {
        assert!(said[0].contains(part), "{part}: {}", said[0]);
    }
}

/// A bushing that the record names after a semicolon sits in its groove before the others go on: no turn is made up.
#[test]
fn a_part_that_is_named_apart_has_no_number() {
    let said = said("forks/velmora-c45/full-service.html", "Seals and bushings");
    assert!(said[0].contains("named apart from the order: inner bushing"), "{said:?}");
    assert!(said[0].contains("1 outer bushing") && said[0].contains("5 dust seal"), "{said:?}");
}

#[test]
fn a_torque_stands_at_its_joint_in_the_order_on_record() {
    let said = said(PAGES[0], "The order of tightening");
    let one = said.iter().find(|text| text.contains("This one is number 3 ")).expect("the lower clamp");
    assert!(one.contains("2 Cap to rod, 22 N·m; 3 Lower clamp, 18 N·m; 4 Cap to tube, 23 N·m."), "{one}");
    assert!(one.contains("In turns, until none moves"), "{one}");
    let axle = said.iter().find(|text| text.contains("This one is number 6 ")).expect("the axle");
    assert!(!axle.contains("In turns"), "{axle}");
}

#[test]
fn heights_clamping_wear_and_plate_are_told_in_words_as_well() {
    let first = |page: &str, title: &str| said(page, title).into_iter().next().unwrap_or_default();
    let height = first(PAGES[0], "Where the tube’s height");
    assert!(height.contains("“outer tube top”") && height.contains("4 mm"), "{height}");
    let bars = first(PAGES[2], "Where the tube’s height");
    assert!(bars.contains("The bar’s clamp grips above the upper clamp"), "{bars}");
    let zone = first(PAGES[0], "Where the tube may be clamped");
    assert!(zone.contains("by the axle lug only, in soft jaws"), "{zone}");
    let worn = first(PAGES[0], "Where the stanchion is measured");
    assert!(worn.contains("≥ 40.95 mm"), "{worn}");
    let unknown = first("forks/velmora-a48/air-spring.html", "Where the stanchion is measured");
    assert!(unknown.contains("no limit is on record"), "{unknown}");
    assert!(first(PAGES[0], "The plate under the rod nut").contains("Keep fingers out"));
}

#[test]
fn a_stack_of_shims_is_drawn_from_the_face_outward() {
    let said = said("valvings.html", "As found");
    assert!(
        said.iter()
            .any(|text| text
                .contains("From the piston’s face outward: 3 of ⌀ 21 × 0.15 mm, 1 of ⌀ 14 × 0.1 mm")),
        "{said:?}"
    );
    assert!(said.iter().all(|text| text.contains("thicknesses to another")));
}
