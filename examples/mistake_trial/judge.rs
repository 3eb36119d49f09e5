//! What comes of an edit, by the rules that are stated in `KINDS.md`.

use std::ops::Range;

use benchleaf::Checked;
use benchleaf::check_shop_on;
use benchleaf::diagnostic::{Finding, Severity};
use benchleaf::quantity::{FieldSpec, Quantity, Value, read_value};
use benchleaf::text::Span;

use crate::mistake::{Change, Edited, Mistake, Truth};
use crate::world::{World, said};

/// How a mistake was told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Told {
    Named,
    Stopped,
    Warned,
    Noted,
    Stale,
    Silent,
}

impl Told {
    pub const ALL: [Told; 6] =
        [Told::Named, Told::Stopped, Told::Warned, Told::Noted, Told::Stale, Told::Silent];

    pub fn word(self) -> &'static str {
        match self {
            Told::Named => "named",
            Told::Stopped => "stopped",
            Told::Warned => "warned",
            Told::Noted => "noted",
            Told::Stale => "stale",
            Told::Silent => "silent",
        }
    }
}

/// What came of one mistake.
pub struct Outcome {
    pub told: Told,
    /// Whether the first that is told stands at the right place.
    pub placed: bool,
    /// Whether figures, or taking something away, were offered.
    pub offered: bool,
    pub wrong: bool,
    /// What was told, for a person.
    pub lines: Vec<String>,
}

/// What came of a correct edit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    Taken,
    Asked,
    Refused,
}

/// Whether it only says that a review no longer covers what is written.
fn of_reviews(finding: &Finding) -> bool {
    let code = finding.code();
    code.starts_with("review")
        || code == "not-reviewed"
        || code == "inherited-not-compared"
        || code == "released-code"
}

/// The shop after an edit, and what the untouched shop was not told.
fn told_anew(world: &World, edited: &Edited<'_>) -> (Checked, Vec<usize>) {
    let checked = check_shop_on(edited, world.day);
    let mut known = world.known.clone();
    let mut anew = Vec::new();
    for (at, finding) in checked.findings.iter().enumerate() {
        match known.get_mut(&said(&checked.files, finding)) {
            Some(left) if *left > 0 => *left -= 1,
            _ => anew.push(at),
        }
    }
    (checked, anew)
}

fn in_places(checked: &Checked, span: Span, places: &[(String, Range<usize>)]) -> bool {
    let path = &checked.files.get(span.file).path;
    let range = span.range();
    places.iter().any(|(own, place)| own == path && range.start <= place.end && place.start <= range.end)
}

/// Whether a finding points at the mistake or speaks of what is gone.
fn speaks_of(checked: &Checked, finding: &Finding, edited: &Edited<'_>, words: &[String]) -> bool {
    let points = in_places(checked, finding.span, &edited.places)
        || finding.also.iter().any(|label| in_places(checked, label.span, &edited.places));
    let text = || format!("{} {} {}", finding.message, finding.instead, finding.lines.join(" "));
    points || words.iter().any(|word| text().contains(word.as_str()))
}

pub fn mistake(world: &World, mistake: &Mistake) -> Outcome {
    let edited = Edited::new(&world.memory, &mistake.changes);
    let (checked, anew) = told_anew(world, &edited);
    let found: Vec<&Finding> = anew.iter().map(|at| &checked.findings[*at]).collect();
    let (stale, found): (Vec<&Finding>, Vec<&Finding>) =
        found.into_iter().partition(|finding| of_reviews(finding) && finding.severity != Severity::Error);
    let of = |severity: Severity| found.iter().filter(move |finding| finding.severity == severity);
    let named = of(Severity::Error).any(|finding| speaks_of(&checked, finding, &edited, &mistake.words));
    let told = match () {
        () if named => Told::Named,
        () if of(Severity::Error).next().is_some() => Told::Stopped,
        () if of(Severity::Warning).next().is_some() => Told::Warned,
        () if !found.is_empty() => Told::Noted,
        () if !stale.is_empty() => Told::Stale,
        () => Told::Silent,
    };
    let worst = [Severity::Error, Severity::Warning, Severity::Note];
    let first = worst.into_iter().find_map(|severity| of(severity).next());
    let placed = first.is_some_and(|finding| speaks_of(&checked, finding, &edited, &mistake.words));
    let (mut offered, mut wrong) = (false, false);
    for finding in found.iter().filter(|finding| finding.severity != Severity::Note) {
        let (offers, errs) = offer(&checked, finding, &edited, mistake);
        offered |= offers;
        wrong |= errs;
    }
    let line = |finding: &&Finding| {
        let file = checked.files.get(finding.span.file);
        let number =
            file.text.get(..finding.span.range().start).map_or(0, |text| text.matches('\n').count() + 1);
        let level = format!("{:?}", finding.severity);
        format!(
            "{level} {}:{number} {}: {} | {}",
            file.path,
            finding.code(),
            finding.message,
            finding.instead
        )
    };
    let lines = found.iter().chain(&stale).map(line).collect();
    Outcome { told, placed, offered, wrong, lines }
}

/// Whether a finding offers something, and whether that is wrong.
fn offer(checked: &Checked, finding: &Finding, edited: &Edited<'_>, mistake: &Mistake) -> (bool, bool) {
    let here = in_places(checked, finding.span, &edited.places);
    let figures = mistake.truth.filter(|_| here).and_then(|truth| figures(checked, finding, truth));
    let takes = !mistake.added && takes_a_guard_away(checked, finding);
    (figures.is_some() || takes, figures == Some(false) || takes)
}

/// Whether the true value is among the figures that are offered; `None` where none is.
fn figures(checked: &Checked, finding: &Finding, truth: Truth) -> Option<bool> {
    let spec = checked.shop.catalogue.field(truth.field).spec();
    let read =
        |text: &str| read_value(text, &spec).0.as_ref().and_then(Value::quantity).map(Quantity::middle_si);
    let written = checked.files.get(finding.span.file).text.get(finding.span.range()).and_then(read);
    let near = |a: f64, b: f64, step: f64| (a - b).abs() <= (0.02 * b.abs()).max(step);
    let quoted = finding
        .instead
        .split('`')
        .skip(1)
        .step_by(2)
        .filter_map(|text| Some((read(text)?, rounding(text, &spec))));
    let offered: Vec<(f64, f64)> = quoted
        .filter(|(si, step)| {
            near(*si, truth.si, *step) || written.is_none_or(|written| !near(*si, written, 0.0))
        })
        .collect();
    (!offered.is_empty()).then(|| offered.iter().any(|(si, step)| near(*si, truth.si, *step)))
}

/// Half a step of a figure's last digit, SI.
fn rounding(text: &str, spec: &FieldSpec<'_>) -> f64 {
    let value = read_value(text, spec).0;
    let Some(said) = value.as_ref().and_then(Value::quantity).map(Quantity::main) else { return 0.0 };
    let half = 0.5 / 10_f64.powi(i32::from(said.shape.number().decimals()));
    said.unit.to_si(half) - said.unit.to_si(0.0)
}

/// Whether it is offered to take away a safety-critical value or a guard that stands at the finding's place.
fn takes_a_guard_away(checked: &Checked, finding: &Finding) -> bool {
    let says = finding.instead.split([',', ';', '.', ':']).any(|part| {
        let part = part.trim();
        ["remove ", "delete ", "take it out", "take away ", "leave it out", "take out "]
            .iter()
            .any(|word| part.starts_with(word) || part.contains(&format!(" {}", word.trim_end())))
    });
    if !says {
        return false;
    }
    let path = &checked.files.get(finding.span.file).path;
    if path.starts_with("procedures/") {
        let guards = ["caution", "condition", "needs", "hand-back", "hand_back"];
        return guards.iter().any(|word| finding.message.contains(word) || finding.code().contains(word));
    }
    let at = finding.span;
    let records = checked.shop.forks.iter().chain(checked.shop.families.iter());
    records.filter(|record| record.file == at.file).flat_map(|record| &record.values).any(|line| {
        let inside = line.span.start <= at.start && at.start <= line.span.end;
        inside && checked.shop.catalogue.field(line.field).safety
    })
}

/// What a correct edit is told.
pub fn edit(world: &World, changes: &[Change]) -> (Answer, Vec<String>) {
    let edited = Edited::new(&world.memory, changes);
    let (checked, anew) = told_anew(world, &edited);
    let mut answer = Answer::Taken;
    let mut lines = Vec::new();
    for finding in anew.into_iter().map(|at| &checked.findings[at]) {
        if finding.severity == Severity::Note || (of_reviews(finding) && finding.severity != Severity::Error)
        {
            continue;
        }
        let refuses = finding.severity == Severity::Error && !finding.rule.acceptable;
        answer = if refuses || answer == Answer::Refused { Answer::Refused } else { Answer::Asked };
        let path = &checked.files.get(finding.span.file).path;
        lines.push(format!("{:?} {path} {}: {}", finding.severity, finding.code(), finding.message));
    }
    (answer, lines)
}
