//! The harness itself: a case that must pass, and what is done to it that must make it fail.

use std::sync::Arc;

use libtest_mimic::{Failed, Trial};

use crate::bases::{Bases, try_case};
use crate::change::{BENCH, INSTEAD};
use crate::page::Page;

const PAGE: &str = r#"# bare-number
Severity: error

## What it finds
A number without a unit.

## At the bench
Nobody knows what to set.

## Write instead
The unit.

## Examples

### The gap has no unit
Base: plain

```change specs/forks/tarn-41.yaml
-     value: 96 mm ± 2 mm (3.78 in)
+     value: 96
MARK
```
"#;

/// The marker of the good page.
const MARK: &str = "             ^^ error bare-number \"96\"
             = at the bench: taken for the wrong unit, a length is out by about 25 times between inches and millimeters
             = write instead: write `96 mm` or `96 in`, whichever the sheet says
";

/// A page whose only case passes.
fn good() -> String {
    PAGE.replace("MARK\n", MARK)
}

fn outcome(page: &str, bases: &Bases) -> Result<(), String> {
    let page = Page::parse(page)?;
    let reports: Vec<String> =
        page.cases.iter().filter_map(|case| try_case(&page, case, bases).err()).collect();
    if reports.is_empty() { Ok(()) } else { Err(reports.join("\n")) }
}

/// Fails unless the good page, with this change, fails and says why.
fn fails(from: &str, to: &str, why: &str, bases: &Bases) {
    assert!(good().contains(from), "{from:?} is not in the page");
    let report = outcome(&good().replacen(from, to, 1), bases).expect_err("this page must fail");
    assert!(report.contains(why), "the report does not say {why:?}:\n{report}");
}

fn the_good_page_passes(bases: &Bases) {
    assert_eq!(outcome(&good(), bases), Ok(()));
}

fn a_wrong_marker_fails(bases: &Bases) {
    fails(" ^^ error", "^^ error", "missing: ", bases);
    fails(" ^^ error", " ^ error", "missing: ", bases);
    fails("bare-number \"96\"", "bare-number \"97\"", "missing: ", bases);
    fails(
        "error bare-number \"96\"",
        "error bare-number \"96\"\n       ^^ note bare-number \"x\"",
        "missing: ",
        bases,
    );
    let report = outcome(&good().replace(" ^^ error", "^^ error"), bases).unwrap_err();
    for part in [
        "not expected: specs/forks/tarn-41.yaml",
        "+     value: 96",
        "Rule           bare-number",
        "```expect",
    ] {
        assert!(report.contains(part), "the report lacks {part:?}:\n{report}");
    }
}

fn another_sentence_at_the_bench_or_to_write_fails(bases: &Bases) {
    for begins in [BENCH, INSTEAD] {
        fails(begins, &format!("{begins}perhaps "), begins, bases);
        let line = MARK.lines().find(|line| line.trim().starts_with(begins)).unwrap();
        fails(&format!("{line}\n"), "", begins, bases);
    }
}

fn the_markers_of_a_report_can_be_pasted(bases: &Bases) {
    let report = outcome(&good().replace(" ^^ error", "^^ error"), bases).unwrap_err();
    let pasted = report.lines().skip_while(|line| !line.starts_with("```expect")).nth(2).unwrap();
    let original = MARK.lines().find(|line| line.trim().starts_with('^')).unwrap();
    let caret = |line: &str| line.find('^');
    assert_eq!(caret(pasted), caret(original), "{report}");
}

fn a_finding_that_no_marker_names_fails(bases: &Bases) {
    fails(&format!("{MARK}```"), "```\nNo finding.", "not expected: ", bases);
}

fn a_near_miss_that_is_silent_passes(bases: &Bases) {
    let page = good().replace(
        &format!("+     value: 96\n{MARK}```"),
        "+     value: 95 mm ± 2 mm (3.74 in)\n```\nNo finding.",
    );
    assert_eq!(outcome(&page, bases), Ok(()));
}

fn malformed_pages_fail_loudly(bases: &Bases) {
    fails("# bare-number", "bare-number", "line 1", bases);
    fails("Severity: error", "Severity: fatal", "no severity", bases);
    fails("Severity: error", "Grave", "Severity: error", bases);
    fails("Severity: error", "Severity: note", "no mark expects", bases);
    fails("## At the bench", "## Bench", "the sections are", bases);
    fails("Nobody knows what to set.", "", "says nothing", bases);
    fails("### The gap has no unit\n", "", "### ", bases);
    fails("Base: plain\n", "", "Base: ", bases);
    fails("Base: plain", "Base: plainer", "no base shop", bases);
    fails("```change specs", "```alter specs", "no kind of block", bases);
    fails("```change specs/forks/tarn-41.yaml", "```change", "names its file", bases);
    fails("tarn-41.yaml", "tarn-41.yaml rot13", "not known", bases);
    fails("tarn-41.yaml", "tarn-42.yaml", "not in the base shop", bases);
    fails("-     value: 96 mm ± 2 mm", "-     value: 97 mm ± 2 mm", "are not there", bases);
    fails("-     value: 96 mm ± 2 mm (3.78 in)\n", "", "names no line", bases);
    fails("-     value:", "=     value:", "begins with neither", bases);
    fails("^^ error bare-number \"96\"", "^^ error bare-number", "a marker is", bases);
    fails("^^ error bare-number \"96\"", "^^ fatal bare-number \"96\"", "no mark expects", bases);
    fails(&format!("{MARK}```\n"), MARK, "never closed", bases);
    fails(MARK, "", "marks its findings", bases);
    fails("```change", "No finding.\n```change", "marks its findings", bases);
}

/// A test of the harness: what it is called, and what it does.
type Named = (&'static str, fn(&Bases));

/// Every test of the harness.
const ALL: &[Named] = &[
    ("the good page passes", the_good_page_passes),
    ("a wrong marker fails", a_wrong_marker_fails),
    ("another sentence at the bench or to write fails", another_sentence_at_the_bench_or_to_write_fails),
    ("the markers of a report can be pasted", the_markers_of_a_report_can_be_pasted),
    ("a finding that no marker names fails", a_finding_that_no_marker_names_fails),
    ("a near miss that is silent passes", a_near_miss_that_is_silent_passes),
    ("malformed pages fail loudly", malformed_pages_fail_loudly),
];

/// The tests of the harness. A failed assertion ends its own test alone.
pub fn trials(bases: &Arc<Bases>) -> Vec<Trial> {
    let trial = |(name, test): &Named| {
        let (test, bases) = (*test, Arc::clone(bases));
        Trial::test(format!("harness: {name}"), move || {
            test(&bases);
            Ok::<(), Failed>(())
        })
    };
    ALL.iter().map(trial).collect()
}
