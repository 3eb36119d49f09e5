//! Markdown: what a step, its reason, its cautions and its references are, and arbitrary input.

use benchleaf::diagnostic::Finding;
use benchleaf::syntax::markdown::{Body, Part, plain, read, split};
use benchleaf::text::{Files, Span};
use proptest::prelude::*;

fn body(text: &str) -> (Body, Vec<Finding>) {
    let mut files = Files::default();
    let file = files.add("x.md", text);
    let mut findings = Vec::new();
    let body = read(file, text, 0, &mut findings);
    (body, findings)
}

const STEP: &str = "\
Before.

1. [Under pressure](caution:trapped-air)

   Draw off to [the gap](spec:oil.air_gap), then write <reading:oil.air_gap>.

   > Nothing strokes the leg afterwards.

2. Next.
";

#[test]
fn a_step_knows_what_to_do_why_and_what_to_beware_of() {
    let (body, findings) = body(STEP);
    assert!(findings.is_empty(), "{findings:?}");
    let steps: Vec<_> = body.steps().collect();
    assert_eq!(steps.len(), 2);
    let action = steps[0].action.plain(|reference| format!("<{}>", reference.target));
    assert_eq!(action, "Draw off to <oil.air_gap>, then write <oil.air_gap>.");
    let reason = steps[0].reason.as_ref().map(|reason| reason.plain(|_| String::new()));
    assert_eq!(reason.as_deref(), Some("Nothing strokes the leg afterwards."));
    assert_eq!(steps[0].cautions.len(), 1);
    assert!(steps[1].cautions.is_empty() && steps[1].reason.is_none());
    assert!(matches!(body.parts[0], Part::Prose(_)));
}

#[test]
fn a_reference_stands_where_its_target_is_written() {
    let (body, _) = body(STEP);
    for reference in &body.references {
        let span: Span = reference.span;
        assert_eq!(&STEP[span.range()], format!("{}:{}", reference.scheme, reference.target));
    }
    assert_eq!(body.references.len(), 3);
}

#[test]
fn scripts_and_other_schemes_come_out_as_text_with_a_finding() {
    for bad in
        ["[x](javascript:alert(1))", "[x](data:text/html,hi)", "[x](file:///etc/passwd)", "[x](JaVaScRiPt:1)"]
    {
        let (body, findings) = body(&format!("1. Do {bad}\n"));
        assert!(findings.iter().any(|finding| finding.code() == "link-scheme"), "{bad}");
        let html = body.steps().next().expect("a step").action.html(|_| String::new());
        assert!(!html.contains("href"), "{html}");
    }
    let (body, findings) = body("1. Do <script>alert(1)</script> and\n\n   <img src=x onerror=alert(1)>\n");
    assert!(findings.iter().any(|finding| finding.code() == "html-as-text"));
    let html = body.steps().next().expect("a step").action.html(|_| String::new());
    assert!(!html.contains("<script") && !html.contains("<img") && html.contains("&lt;script"), "{html}");
}

#[test]
fn front_matter_ends_at_its_closing_line() {
    let text = "---\nid: a\n---\nText\n";
    let (front, from) = split(text).expect("front matter");
    assert_eq!((&text[front], &text[from..]), ("---\nid: a\n", "Text\n"));
    assert_eq!(split("---\r\nid: a\r\n---\r\nText"), Some((0..12, 17)));
    assert_eq!(split("id: a\n---\n"), None);
    assert_eq!(split("---\nid: a\n"), None);
    assert_eq!(split("----\nid: a\n---\n"), None);
}

/// An apprentice works from the card, which says the first paragraph of a step.
#[test]
fn a_card_says_the_first_paragraph_and_cells_stay_apart() {
    let text = "1. Pull the **cap**, [left](spec:torque.cap_to_tube) first.\n\n   Later words.\n\n   | A | B |\n   |---|---|\n   | 1 | 2 |\n\n2. | A | B |\n   |---|---|\n   | 1 | 2 |\n";
    let (body, _) = body(text);
    let said: Vec<String> =
        body.steps().map(|step| plain(step.action.lead(), |reference| reference.text.clone())).collect();
    assert_eq!(said, ["Pull the cap, left first.", ""]);
    let whole = body.steps().next().map(|step| step.action.plain(|reference| reference.text.clone()));
    assert_eq!(whole.as_deref(), Some("Pull the cap, left first. Later words. A; B; 1; 2;"));
}

/// A rule that looks at the words of a text points at their place, however they are marked.
#[test]
fn words_know_their_place_and_a_cell_its_column() {
    let text = "Tighten to **22** N&middot;m\nnow, `5 bar`.\n\n| Joint | N·m |\n|---|---|\n| Cap | 29 |\n";
    let (body, _) = body(text);
    let words: Vec<&str> = body.running.iter().map(|block| block.text.as_str()).collect();
    assert_eq!(words, ["Tighten to 22 N·m now, 5 bar.", "Joint", "N·m", "Cap", "29"]);
    let at = |block: usize, part: &str| {
        let start = body.running[block].text.find(part).expect("it is said");
        &text[body.running[block].span(start..start + part.len()).range()]
    };
    assert_eq!([at(0, "22"), at(0, "5 bar"), at(0, "now"), at(4, "29")], ["22", "5 bar", "now", "29"]);
    assert_eq!(at(0, "22 N·m"), "22** N&middot;m");
    assert_eq!((body.running[4].column.as_str(), body.running[4].row.as_str()), ("N·m", "Cap 29"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn any_input_is_read_and_every_place_is_inside(pieces in proptest::collection::vec(
        prop_oneof![
            Just("1. ".to_owned()), Just("\n\n".to_owned()), Just("\n   ".to_owned()), Just("> ".to_owned()), Just("# ".to_owned()),
            Just("[a](spec:oil.air_gap)".to_owned()), Just("[](caution:x)".to_owned()), Just("[a](spec:b c)".to_owned()),
            Just("<reading:oil.air_gap>".to_owned()), Just("![p](q)".to_owned()), Just("[a][b]".to_owned()), Just("<b>".to_owned()),
            Just("`".to_owned()), Just("*".to_owned()), Just("|a|b|\n|-|-|\n".to_owned()), Just("---\n".to_owned()), "\\PC{0,6}",
        ], 0..40)) {
        let text: String = pieces.concat();
        let (body, findings) = body(&text);
        for span in body.references.iter().map(|r| r.span).chain(body.steps().map(|s| s.span)).chain(findings.iter().map(|f| f.span)) {
            prop_assert!(text.get(span.range()).is_some());
        }
        for step in body.steps() {
            // The only elements in a step's HTML are those Markdown makes.
            let html = step.action.html(|_| String::new());
            prop_assert!(!html.contains("<b>") && !html.contains("<img"));
        }
    }
}
