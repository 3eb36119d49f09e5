//! What a case expects against what was found, and a report that can be worked with.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::{LazyLock, Mutex, PoisonError};

use benchleaf::Checked;
use benchleaf::date::{AsOf, Date};
use benchleaf::diagnostic::{Finding, Places, order, text};
use benchleaf::site::print_findings;
use benchleaf::text::{Files, Memory};

use crate::change::{BENCH, Expected, INSTEAD, Shop, apply};
use crate::page::{Case, Kind, Page};

/// Runs one case. The error is a report for the person who wrote it.
pub fn judge(page: &Page, case: &Case, base: &Shop) -> Result<(), String> {
    let head = format!("{}, line {}: {}", page.code, case.line, case.title);
    let (shop, expected) = apply(case, base).map_err(|text| format!("{head}\n  malformed: {text}"))?;
    let day = match case.day.as_deref().map(|day| Date::read(day).ok_or(day)) {
        Some(Err(day)) => return Err(format!("{head}\n  malformed: `{day}` is no day")),
        Some(Ok(date)) => Some(AsOf { date, settled: true }),
        None => None,
    };
    let mut checked = check(&shop, day);
    checked.findings.retain(|finding| is_to_be_marked(page, &expected, finding));
    let mut report = String::new();
    let mut open: Vec<&Finding> = checked.findings.iter().collect();
    let mut places = Places::new(&checked.files);
    for mark in &expected {
        match open.iter().position(|finding| same(mark, finding, &mut places)) {
            Some(at) => sentences(page, mark, open.remove(at), &mut report),
            None => {
                let Expected { path, line, column, width, severity, code, part, .. } = mark;
                let _ = writeln!(
                    report,
                    "  missing: {path}:{line}:{column} ({width} wide) {severity} {code} with {part:?}"
                );
            }
        }
    }
    for finding in &open {
        let (place, _) = places.underlined(finding.span);
        let path = places.path(finding.span.file);
        let _ = writeln!(
            report,
            "  not expected: {path}:{}:{} {} {}: {}",
            place.line,
            place.column,
            finding.severity.word(),
            finding.code(),
            finding.message
        );
    }
    for finding in &checked.findings {
        for text in [&finding.message, &finding.bench, &finding.instead] {
            if !is_sentence(text) {
                let _ = writeln!(
                    report,
                    "  `{}` says {text:?}, and should say one plain sentence",
                    finding.code()
                );
            }
        }
    }
    if report.is_empty() {
        return Ok(());
    }
    Err(format!(
        "{head}\n{report}\nwhat the case does to the shop:\n{}\nwhat was found:\n{}\nmarkers for what was found, to paste if it is right:\n{}",
        difference(base, &shop),
        text(&checked.findings, &checked.files, 100, false),
        markers(case, &checked.findings, &checked.files),
    ))
}

/// The forks of the clean shops take over what nobody compared with a sheet of theirs, which each example of a family
/// would say anew.
pub const EVERYWHERE: &str = "inherited-not-compared";

/// What every example would say is marked on its own page alone, and wherever a marker asks for it.
fn is_to_be_marked(page: &Page, expected: &[Expected], finding: &Finding) -> bool {
    finding.code() != EVERYWHERE
        || page.code == EVERYWHERE
        || expected.iter().any(|mark| mark.code == EVERYWHERE)
}

/// A page says word for word what its own finding says of the bench and what to write instead, below each marker.
fn sentences(page: &Page, mark: &Expected, finding: &Finding, report: &mut String) {
    let asked = mark.code == page.code;
    for (begins, there, text) in
        [(BENCH, &mark.bench, &finding.bench), (INSTEAD, &mark.instead, &finding.instead)]
    {
        if there.as_ref().map_or(asked, |there| there != text) {
            let _ = writeln!(report, "  line {}: the finding says\n    {begins}{text}", mark.page_line);
        }
    }
}

/// What was worked out of the shop that was tried before, whichever it was.
static BEFORE: LazyLock<Mutex<benchleaf::Memory>> = LazyLock::new(Mutex::default);

/// Reads and checks a shop as `benchleaf check` does, the templates and the cards with it; and once more as one that is
/// served, after the shop that was tried before: it finds the same.
pub fn check(shop: &Shop, day: Option<AsOf>) -> Checked {
    let source = Memory { files: shop.clone() };
    let mut checked = benchleaf::check_shop_on(&source, day);
    let mut before = BEFORE.lock().unwrap_or_else(PoisonError::into_inner);
    let again = benchleaf::check_again(benchleaf::read_shop(&source, day), &mut before);
    drop(before);
    assert_eq!(again.findings, checked.findings, "a check that remembers another shop finds something else");
    checked.findings.extend(print_findings(&checked, None));
    checked.findings = order(std::mem::take(&mut checked.findings), &checked.files);
    checked
}

/// What is wrong, what it does at the bench and what to write: each is said, in one sentence of bearable length
/// that can stand inside another.
fn is_sentence(text: &str) -> bool {
    !text.trim().is_empty()
        && !text.ends_with('.')
        && !text.contains('\n')
        && !text.contains("  ")
        && text.chars().count() <= 280
}

fn same(mark: &Expected, finding: &Finding, places: &mut Places<'_>) -> bool {
    let (place, width) = places.underlined(finding.span);
    mark.path == places.path(finding.span.file)
        && (mark.line, mark.column, mark.width) == (place.line, place.column, width.max(1))
        && mark.severity == finding.severity.word()
        && mark.code == finding.code()
        && finding.message.contains(&mark.part)
}

/// The files that differ, by lines that went and came.
fn difference(base: &Shop, shop: &Shop) -> String {
    let mut out = String::new();
    let paths: std::collections::BTreeSet<&String> = base.keys().chain(shop.keys()).collect();
    for path in paths.into_iter().filter(|path| base.get(*path) != shop.get(*path)) {
        let _ = writeln!(out, "  {path}");
        let read =
            |shop: &Shop| String::from_utf8_lossy(shop.get(path).map_or(&[][..], Vec::as_slice)).into_owned();
        let (old, new) = (read(base), read(shop));
        let (old, new): (Vec<&str>, Vec<&str>) = (old.lines().collect(), new.lines().collect());
        let first = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
        let rest = (old.len() - first).min(new.len() - first);
        let last = (0..rest).take_while(|n| old[old.len() - 1 - n] == new[new.len() - 1 - n]).count();
        for line in &old[first..old.len() - last] {
            let _ = writeln!(out, "    - {line}");
        }
        for line in &new[first..new.len() - last] {
            let _ = writeln!(out, "    + {line}");
        }
    }
    out
}

/// Every finding as a line and its marker, indented as the case's own block for the file would have it.
fn markers(case: &Case, findings: &[Finding], files: &Files) -> String {
    let mut places = Places::new(files);
    let mut by_path: BTreeMap<String, String> = BTreeMap::new();
    for finding in findings {
        let (place, width) = places.underlined(finding.span);
        let path = places.path(finding.span.file);
        let line = places.text(finding.span.file).lines().nth(place.line - 1).unwrap_or("");
        let changed = case.blocks.iter().any(|block| block.kind == Kind::Change && block.path == path);
        let (lead, indent) = if changed { ("+ ", 2) } else { ("", 0) };
        let out = by_path.entry(path.to_owned()).or_default();
        let blank = " ".repeat(indent + place.column - 1);
        let _ = writeln!(
            out,
            "{lead}{line}\n{blank}{} {} {} {:?}\n{blank}{BENCH}{}\n{blank}{INSTEAD}{}",
            "^".repeat(width.max(1)),
            finding.severity.word(),
            finding.code(),
            finding.message,
            finding.bench,
            finding.instead
        );
    }
    by_path.into_iter().map(|(path, lines)| format!("```expect {path}\n{lines}```\n")).collect()
}
