//! What came with the library and nobody changed may wait for a fork that needs it: it is no mistake that a shop with
//! few forks has procedures for others. Of an invented example nothing is worth knowing, unless it is a mistake.

use crate::diagnostic::{Finding, Rule, Severity, rules};
use crate::library::{EXAMPLE, LEDGER, Ledger};
use crate::text::Files;

/// What is told of a text that no fork has a use for yet.
const WAITING: [&Rule; 4] = [
    &rules::CAUSE_OF_TWO_KINDS,
    &rules::EVIDENCE_NOWHERE,
    &rules::PROCEDURE_NEVER_CHOSEN,
    &rules::PROCEDURE_NEVER_REACHED,
];

/// Takes out what is said of texts of the library that are as they came.
pub(crate) fn without_waiting(findings: &mut Vec<Finding>, files: &Files) {
    let Some(ledger) = ledger(files) else { return };
    findings.retain(|finding| {
        let file = files.get(finding.span.file);
        // Whoever makes a fork of it writes over that line, and publishes it.
        if finding.severity == Severity::Note && is_example(&file.text) {
            return false;
        }
        if finding.rule.code == rules::PROCEDURE_NEVER_CHOSEN.code && waits(finding, files, &ledger) {
            return false;
        }
        !WAITING.iter().any(|rule| finding.rule.code == rule.code)
            || !ledger.is_as_taken_at(&file.path, &file.text, finding.span.start as usize)
    });
}

/// Whether the procedure that no fork of a service takes is one of the library, as it came: the service may have been
/// changed in another line.
fn waits(finding: &Finding, files: &Files, ledger: &Ledger) -> bool {
    let named = &files.get(finding.span.file).text;
    let Some(id) = named.get(finding.span.start as usize..finding.span.end as usize) else { return false };
    let path = format!("procedures/{id}.md");
    let text = files.iter().find(|(_, file)| file.path == path).map(|(_, file)| &file.text);
    text.is_some_and(|text| ledger.is_as_taken(&path, text))
}

/// Whether a record is a draft that came as an example with a new shop.
fn is_example(text: &str) -> bool {
    text.lines().take(3).any(|line| line == EXAMPLE) && text.contains("\nstatus: draft\n")
}

/// What a shop took from the library; `None` where it took nothing.
pub(crate) fn ledger(files: &Files) -> Option<Ledger> {
    files.iter().find(|(_, file)| file.path == LEDGER).map(|(_, file)| Ledger::read(&file.text))
}
