//! What changed since it was reviewed.

use super::judged::{Judged, Line};
use crate::diagnostic::{Finding, Severity, rules};
use crate::record::{RecordKind, SpecLine, SpecRecord};
use crate::review::{BUILT, CHOICES, MACHINES, PARTS, Standing, Vouch};
use crate::text::Span;
use crate::words::lower_first;

/// review-stale, review-conflict: what changed since it was reviewed, at the place of the change.
pub(super) fn standings(judged: &Judged<'_>, findings: &mut Vec<Finding>) {
    let Judged { shop, record, review, .. } = judged;
    for (key, standing) in &review.values {
        let line = judged.line(key);
        let place = match line {
            Some((line, _)) => entry_span(line),
            None => record.id.span,
        };
        let bench = || match line.map(|(line, _)| shop.catalogue.field(line.field)) {
            Some(field) if !field.wrong.is_empty() => lower_first(&field.wrong),
            Some(_) => "the card carries a value nobody has looked at".to_owned(),
            None if key == MACHINES => "the right numbers for one machine are wrong for another".to_owned(),
            None if key == PARTS => "the part that is ordered does not fit, or is another one".to_owned(),
            None => "what this fork must be given, and how it is bled and set, hangs on it".to_owned(),
        };
        match standing {
            // Said where the family is judged; there it reaches every model.
            Standing::Changed(Vouch { family: Some(_), .. }) if record.kind != RecordKind::Family => {}
            // Said of its fork.
            Standing::Changed(_) | Standing::Disputed(..) if key != BUILT && is_of_fork(record, line) => {}
            // Said at the fork's `family:`, with all that is to be compared.
            Standing::Changed(Vouch { compared: Some(_), .. }) if is_inherited(line) => {}
            Standing::Changed(vouch) => {
                findings.push(stale(&named(key), "changed", vouch, place).bench(bench()));
            }
            Standing::Disputed(first, second) => findings.push(
                rules::REVIEW_CONFLICT
                    .at(
                        place,
                        format!(
                            "{} and {} reviewed {} on {} and saw different things",
                            first.by,
                            second.by,
                            named(key),
                            first.date
                        ),
                    )
                    .bench(bench())
                    .instead("settle which holds, and review it again with `benchleaf approve`"),
            ),
            Standing::Reviewed(_) | Standing::NotCompared | Standing::Never => {}
        }
    }
    for gone in &review.gone {
        findings.push(
            stale(&named(&gone.key), "went away", &gone.vouch, gone.span)
                .bench("a value that was vouched for is no longer printed"),
        );
    }
}

fn is_inherited(line: Option<Line<'_>>) -> bool {
    line.is_some_and(|(_, from)| from.kind == RecordKind::Family)
}

/// Whether it is what a build takes over from its fork.
fn is_of_fork(record: &SpecRecord, line: Option<Line<'_>>) -> bool {
    record.kind == RecordKind::Build && line.is_none_or(|(_, from)| from.kind != RecordKind::Build)
}

fn named(key: &str) -> String {
    match key {
        CHOICES => "what the fork is made of (`choices`)".to_owned(),
        BUILT => "the fork it is over, or what is fitted (`fork`, `fitted_spring`, `valving`, `machine`)"
            .to_owned(),
        MACHINES => "the list of machines".to_owned(),
        PARTS => "the list of parts".to_owned(),
        key => format!("`{key}`"),
    }
}

fn stale(what: &str, did: &str, vouch: &Vouch, place: Span) -> Finding {
    rules::REVIEW_STALE
        .graded(
            Severity::Warning,
            place,
            format!("{what} {did} since {} reviewed it on {}", vouch.by, vouch.date),
        )
        .instead("look at the change, and record the review with `benchleaf approve`")
}

fn entry_span(line: &SpecLine) -> Span {
    match &line.sides {
        crate::record::Sides::Each(entry) => entry.span,
        crate::record::Sides::Legs(..) => line.span,
    }
}
