//! Findings of a whole shop on one screen: errors in full and last; of warnings and notes as much as there is room
//! for, and where there is none, how many there are, where, and of which rule.

use std::collections::BTreeMap;

use super::finding::Finding;
use super::severity::Severity;
use super::text::{Writer, counted, summary};
use crate::text::{FileId, Files};

/// What says the rest.
const MORE: &str = "All of it, with what it does at the bench and what to write instead: `benchleaf check --format full`; of one fork: `benchleaf check FORK`.";

/// The same, of one fork.
const MORE_OF_ONE: &str = "Each value and the rest in full: `benchleaf check FORK --format full`.";

/// The lines of a screen. Errors stand below them in full, however many there are.
const SCREEN: usize = 25;

/// The findings of one file that are still told one by one, where files are told together.
const FEW: usize = 2;

/// The most places that one entry names.
const PLACES: usize = 6;

/// How findings of jobs are called: the rules on jobs begin so.
const OF_JOBS: &str = "job-";

/// How much is told together. The first that fits on a screen is taken.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
enum Brief {
    /// Every warning; notes by their rule.
    Each,
    /// The notes together, and what jobs left.
    NotesAndJobs,
    /// The warnings of a file too, where there are several.
    Files,
    /// All of a rule.
    Rules,
}

/// Writes an overview of the findings, and a closing count. `width` is the terminal's, in columns; with `colour`, ANSI
/// escapes are in the text. Warnings and notes take no more than a screen, unless they are of very many rules.
///
/// ```
/// use benchleaf::diagnostic::overview;
/// use benchleaf::text::Files;
///
/// assert_eq!(overview(&[], &Files::default(), 80, false), "No findings in 0 files.\n");
/// ```
pub fn overview(findings: &[Finding], files: &Files, width: usize, colour: bool) -> String {
    let mut writer = Writer::new(files, width, colour);
    overview_below(&mut writer, findings, MORE);
    let of = |severity: Severity| findings.iter().filter(move |finding| finding.severity == severity);
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

/// Writes one finding in full, below it the others as an overview does, and a closing count.
///
/// ```
/// use benchleaf::diagnostic::with_overview;
/// use benchleaf::text::Memory;
///
/// let shop = Memory::new([("specs/forks/u41.yaml".to_owned(), b"id: u41\n".to_vec())]);
/// let checked = benchleaf::check_shop(&shop);
/// let (first, rest) = checked.findings.split_first().expect("it lacks nearly everything");
/// let told = with_overview(first, rest, &checked.files, 80, false);
/// assert!(told.contains(&first.message) && told.ends_with("in 1 file.\n"), "{told}");
/// ```
pub fn with_overview(first: &Finding, rest: &[Finding], files: &Files, width: usize, colour: bool) -> String {
    let mut writer = Writer::new(files, width, colour);
    writer.finding(first);
    writer.line("");
    overview_below(&mut writer, rest, MORE_OF_ONE);
    for error in rest.iter().filter(|finding| finding.severity == Severity::Error) {
        writer.line("");
        writer.finding(error);
    }
    let all: Vec<Finding> = std::iter::once(first).chain(rest).cloned().collect();
    writer.line(&summary(&all, files.iter().count()));
    writer.out
}

/// Warnings and notes on what is left of a screen.
fn overview_below(writer: &mut Writer<'_>, findings: &[Finding], more: &str) {
    let above = writer.out.len();
    for brief in [Brief::Each, Brief::NotesAndJobs, Brief::Files, Brief::Rules] {
        // Where each takes a line at least, what cannot fit is not written out first.
        if brief < Brief::Rules && findings.len() > 20 * SCREEN {
            continue;
        }
        writer.out.truncate(above);
        in_brief(writer, findings, brief, more);
        if writer.out[above..].lines().count() < SCREEN {
            break;
        }
    }
}

/// Notes and warnings, and what says the rest.
fn in_brief(writer: &mut Writer<'_>, findings: &[Finding], brief: Brief, more: &str) {
    let of = |severity: Severity| findings.iter().filter(move |finding| finding.severity == severity);
    let notes: Vec<&Finding> = of(Severity::Note).collect();
    let (of_jobs, warnings): (Vec<&Finding>, Vec<&Finding>) = of(Severity::Warning)
        .partition(|finding| brief >= Brief::NotesAndJobs && finding.code().starts_with(OF_JOBS));
    if brief == Brief::Each {
        for notes in grouped(&notes, |finding| finding.code()).values() {
            notes_of_a_rule(writer, notes);
        }
    } else if !notes.is_empty() {
        notes_together(writer, &notes);
    }
    if brief < Brief::Rules {
        for of_file in grouped(&warnings, |finding| finding.span.file).values() {
            warnings_of_a_file(writer, of_file, brief);
        }
    } else {
        for of_rule in grouped(&warnings, |finding| finding.code()).values() {
            warnings_of_a_rule(writer, of_rule);
        }
    }
    match of_jobs.as_slice() {
        [] => {}
        [one] => warning(writer, one),
        several => together(writer, "of jobs", several),
    }
    if !notes.is_empty() || !warnings.is_empty() || !of_jobs.is_empty() {
        writer.sentence(more);
    }
}

fn grouped<'f, K: Ord>(
    findings: &[&'f Finding],
    by: impl Fn(&'f Finding) -> K,
) -> BTreeMap<K, Vec<&'f Finding>> {
    let mut out: BTreeMap<K, Vec<&Finding>> = BTreeMap::new();
    findings.iter().for_each(|finding| out.entry(by(finding)).or_default().push(finding));
    out
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

/// All notes: how many there are of each rule, and in how many files.
fn notes_together(writer: &mut Writer<'_>, notes: &[&Finding]) {
    let files = grouped(notes, |finding| finding.span.file).len();
    let by_rule = grouped(notes, |finding| finding.code());
    let rules: Vec<String> =
        by_rule.iter().map(|(code, notes)| format!("{code}{}", times(notes.len()))).collect();
    let count = counted(notes.len(), "note");
    writer.headed(Severity::Note, &format!("{count} in {}: {}", counted(files, "file"), rules.join(", ")));
}

fn times(count: usize) -> String {
    if count == 1 { String::new() } else { format!(" ({count})") }
}

fn warning(writer: &mut Writer<'_>, warning: &Finding) {
    let place = writer.place(warning.span);
    writer.headed(Severity::Warning, &format!("{place}: {}", warning.message));
}

/// Warnings of one file, by their lines, or where there are several, together.
fn warnings_of_a_file(writer: &mut Writer<'_>, warnings: &[&Finding], brief: Brief) {
    match brief >= Brief::Files && warnings.len() > FEW {
        true => together(writer, "", warnings),
        false => warnings.iter().for_each(|one| warning(writer, one)),
    }
}

/// Warnings of one rule, wherever they are.
fn warnings_of_a_rule(writer: &mut Writer<'_>, warnings: &[&Finding]) {
    match warnings {
        [one] => warning(writer, one),
        several => together(writer, several[0].code(), several),
    }
}

/// Several warnings in one entry: where, how many, and the places of the first. Where they are not of one rule, each
/// place says its own.
fn together(writer: &mut Writer<'_>, what: &str, warnings: &[&Finding]) {
    let places: Vec<String> = warnings.iter().map(|finding| writer.place(finding.span)).collect();
    let common = common_start(&places);
    let of_one_rule = warnings[0].code() == what;
    let mut told: Vec<(String, usize)> = Vec::new();
    let mut last: Option<(FileId, &str)> = None;
    for (finding, place) in warnings.iter().zip(&places) {
        // Of one rule in one file the first place is enough.
        let here = (finding.span.file, finding.code());
        match told.last_mut().filter(|_| last == Some(here)) {
            Some((_, count)) => *count += 1,
            None => {
                let rule = if of_one_rule { String::new() } else { format!(" {}", finding.code()) };
                told.push((format!("{}{rule}", &place[common.len()..]), 1));
            }
        }
        last = Some(here);
    }
    let named: Vec<String> =
        told.iter().take(PLACES).map(|(place, count)| format!("{place}{}", times(*count))).collect();
    let more: usize = told.iter().skip(PLACES).map(|(_, count)| count).sum();
    let more = if more == 0 { String::new() } else { format!(", and {more} more") };
    let where_ = common.trim_end_matches([':', '/']);
    let count = counted(warnings.len(), "warning");
    let what = if what.is_empty() {
        count
    } else {
        format!("{count} {}{what}", if of_one_rule { "of " } else { "" })
    };
    let at = if where_.is_empty() { String::new() } else { format!("{where_}: ") };
    writer.headed(Severity::Warning, &format!("{at}{what}: {}{more}", named.join(", ")));
}

/// What all places begin with: a file with its colon, or a folder with its slash.
fn common_start(places: &[String]) -> &str {
    let first = places[0].as_str();
    let same = |end: usize| places.iter().all(|place| place.get(..end) == first.get(..end));
    let file = first.match_indices(':').map(|(at, _)| at + 1).next();
    let folders = first.match_indices('/').map(|(at, _)| at + 1).collect::<Vec<_>>();
    let ends = file.into_iter().chain(folders.into_iter().rev());
    ends.into_iter().find(|end| same(*end)).map_or("", |end| &first[..end])
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
        All of it, with what it does at the bench and what to write instead: `benchleaf
        check --format full`; of one fork: `benchleaf check FORK`.

        specs/forks/a.yaml:3:12: ERROR
          `50` has no unit

                air_gap: 50
                         ~~

          At the bench   bench
          Write instead  write
          Rule           no-unit

        1 error, 1 warning, 2 notes in 1 file.
        ");
    }

    /// So many files with the warnings given, each of them twice in a file.
    fn crowd(files: usize, folder: &str, codes: &[&'static str]) -> (Vec<Finding>, Files) {
        let (mut findings, mut all) = (Vec::new(), Files::default());
        for n in 0..files {
            let file = all.add(format!("{folder}/{n:03}.yaml"), "id: a\nb: c\n");
            for code in codes.iter().flat_map(|code| [code, code]) {
                let rule = Rule::invented(code);
                findings.push(rule.graded(Severity::Warning, Span::new(file, 6, 7), "is odd"));
            }
            findings.push(Rule::invented("warm").graded(Severity::Note, Span::new(file, 0, 2), "moves"));
        }
        (findings, all)
    }

    #[test]
    fn what_does_not_fit_on_a_screen_says_how_many_there_are_and_where() {
        let (mut findings, mut files) = crowd(3, "specs/forks", &["once", "twice"]);
        for n in 0..12 {
            let file = files.add(format!("specs/jobs/2026/{n:04}.yaml"), "id: a\n");
            let rule = Rule::invented("job-outside");
            findings.push(rule.graded(Severity::Warning, Span::new(file, 0, 2), "left wrong"));
        }
        insta::assert_snapshot!(overview(&findings, &files, 80, false), @r"
        NOTE 3 notes in 3 files: warm (3)
        WARNING specs/forks/000.yaml:2:1: is odd
        WARNING specs/forks/000.yaml:2:1: is odd
        WARNING specs/forks/000.yaml:2:1: is odd
        WARNING specs/forks/000.yaml:2:1: is odd
        WARNING specs/forks/001.yaml:2:1: is odd
        WARNING specs/forks/001.yaml:2:1: is odd
        WARNING specs/forks/001.yaml:2:1: is odd
        WARNING specs/forks/001.yaml:2:1: is odd
        WARNING specs/forks/002.yaml:2:1: is odd
        WARNING specs/forks/002.yaml:2:1: is odd
        WARNING specs/forks/002.yaml:2:1: is odd
        WARNING specs/forks/002.yaml:2:1: is odd
        WARNING specs/jobs/2026: 12 warnings of jobs: 0000.yaml:1:1 job-outside,
          0001.yaml:1:1 job-outside, 0002.yaml:1:1 job-outside, 0003.yaml:1:1
          job-outside, 0004.yaml:1:1 job-outside, 0005.yaml:1:1 job-outside, and 6 more
        All of it, with what it does at the bench and what to write instead: `benchleaf
        check --format full`; of one fork: `benchleaf check FORK`.
        24 warnings, 3 notes in 15 files.
        ");
        let (findings, files) = crowd(8, "specs/forks", &["once", "twice"]);
        let told = overview(&findings, &files, 80, false);
        assert!(
            told.contains("WARNING specs/forks/000.yaml: 4 warnings: 2:1 once (2), 2:1 twice (2)"),
            "{told}"
        );
        for files in [8, 30, 400] {
            let (findings, files) = crowd(files, "specs/forks", &["once", "twice", "thrice"]);
            let told = overview(&findings, &files, 80, false);
            assert!(told.lines().count() <= SCREEN, "{told}");
        }
        let (findings, files) = crowd(30, "specs/forks", &["once", "twice"]);
        let told = overview(&findings, &files, 80, false);
        assert!(told.contains("WARNING specs/forks: 60 warnings of once: 000.yaml:2:1 (2)"), "{told}");
        assert!(told.contains("48 more"), "{told}");
    }
}
