//! Findings of a whole shop on one screen: errors in full and last, warnings a line each under their file, notes of
//! one rule together.

use std::collections::BTreeMap;

use super::finding::Finding;
use super::severity::Severity;
use super::text::{Writer, summary};
use crate::text::{FileId, Files};

/// What says the rest.
const MORE: &str = "What to do about each: `benchleaf check FORK`, or `--format full`.";

/// As many notes are told each by its own words; of more, only how many there are of each rule.
const FEW: usize = 5;

/// Writes an overview of the findings, and a closing count. `width` is the terminal's, in columns; with `colour`, ANSI
/// escapes are in the text.
///
/// ```
/// use benchleaf::diagnostic::overview;
/// use benchleaf::text::Files;
///
/// assert_eq!(overview(&[], &Files::default(), 80, false), "No findings in 0 files.\n");
/// ```
pub fn overview(findings: &[Finding], files: &Files, width: usize, colour: bool) -> String {
    let mut writer = Writer::new(files, width, colour);
    let of = |severity: Severity| findings.iter().filter(move |finding| finding.severity == severity);
    let mut by_rule: BTreeMap<&str, Vec<&Finding>> = BTreeMap::new();
    of(Severity::Note).for_each(|finding| by_rule.entry(finding.code()).or_default().push(finding));
    match of(Severity::Note).count() {
        ..=FEW => by_rule.values().for_each(|notes| notes_of_a_rule(&mut writer, notes)),
        _ => counted(&mut writer, &by_rule),
    }
    let mut by_file: BTreeMap<FileId, Vec<&Finding>> = BTreeMap::new();
    of(Severity::Warning).for_each(|finding| by_file.entry(finding.span.file).or_default().push(finding));
    for warnings in by_file.values() {
        warnings_of_a_file(&mut writer, warnings);
    }
    if !by_rule.is_empty() || !by_file.is_empty() {
        writer.sentence(MORE);
    }
    for error in of(Severity::Error) {
        writer.line("");
        writer.finding(error);
    }
    if of(Severity::Error).next().is_some() {
        writer.line("");
    }
    writer.line(&summary(findings, files.iter().count()));
    writer.out
}

/// Notes of one rule: how many there are, and the first.
fn notes_of_a_rule(writer: &mut Writer<'_>, notes: &[&Finding]) {
    let first = notes[0];
    let place = writer.place(first.span);
    let more = match notes.len() {
        1 => String::new(),
        count => format!(" (and {} more)", count - 1),
    };
    writer.headed(Severity::Note, &format!("{}: {place}: {}{more}", first.code(), first.message));
}

/// How many notes there are of each rule.
fn counted(writer: &mut Writer<'_>, by_rule: &BTreeMap<&str, Vec<&Finding>>) {
    let each = by_rule.iter().map(|(code, notes)| format!("{} {code}", notes.len()));
    writer.headed(Severity::Note, &each.collect::<Vec<_>>().join(", "));
}

/// Warnings of one file, by their lines.
fn warnings_of_a_file(writer: &mut Writer<'_>, warnings: &[&Finding]) {
    for warning in warnings {
        let place = writer.place(warning.span);
        writer.headed(Severity::Warning, &format!("{place}: {}", warning.message));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Rule;
    use crate::text::Span;

    #[test]
    fn a_reviewer_reads_one_screen() {
        let source = "id: a\noil:\n  air_gap: 50\n  dry_fill: 450 mL\n";
        let mut files = Files::default();
        let file = files.add("specs/forks/a.yaml", source);
        let at = |part: &str| {
            let start = source.find(part).unwrap_or_default();
            Span::new(file, start, start + part.len())
        };
        let finding = |code, severity, part, message: &str| {
            Rule::invented(code).graded(severity, at(part), message).bench("bench").instead("write")
        };
        let findings = [
            finding("warm", Severity::Note, "id: a", "the gap moves"),
            finding("no-unit", Severity::Error, "50", "`50` has no unit"),
            finding("warm", Severity::Note, "oil", "the level moves"),
            finding("once", Severity::Warning, "450 mL", "it is said once"),
        ];
        insta::assert_snapshot!(overview(&findings, &files, 80, false), @r"
        NOTE warm: specs/forks/a.yaml:1:1: the gap moves (and 1 more)
        WARNING specs/forks/a.yaml:4:13: it is said once
        What to do about each: `benchleaf check FORK`, or `--format full`.

        specs/forks/a.yaml:3:12: ERROR
          `50` has no unit

                air_gap: 50
                         ~~

          At the bench   bench
          Write instead  write
          Rule           no-unit

        1 error, 1 warning, 2 notes in 1 file.
        ");
        let notes: Vec<Finding> = (0..7)
            .map(|n| finding(if n > 4 { "cold" } else { "warm" }, Severity::Note, "oil", "it moves"))
            .collect();
        insta::assert_snapshot!(overview(&notes, &files, 80, false), @r"
        NOTE 2 cold, 5 warm
        What to do about each: `benchleaf check FORK`, or `--format full`.
        7 notes in 1 file.
        ");
    }
}
