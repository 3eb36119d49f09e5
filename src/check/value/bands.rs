//! A value stands where such a fork's, or any oil's, plausibly stands.

use rayon::prelude::*;

use crate::catalogue::{Band, Choices, Field, FieldId, When, key};
use crate::check::CheckedFork;
use crate::check::look::each;
use crate::check::value::room::{carried, offered};
use crate::check::value::slips::{Peers, Room, explaining, in_words};
use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::{Quantity, Saying, Shape, Value};
use crate::record::{Entry, Sides};
use crate::resolve::{Resolved, Shop};
use crate::words::lower_first;

/// outside-band, for the forks' values.
pub(crate) fn forks(shop: &Shop, forks: &[CheckedFork], peers: &Peers<'_>, findings: &mut Vec<Finding>) {
    let of_fork = |fork: &CheckedFork| {
        let mut findings = Vec::new();
        for value in each(fork) {
            let field = shop.catalogue.field(value.field);
            let parts = value.value().map(Value::parts).unwrap_or_default();
            let parts = parts.iter().filter_map(|part| Some((part, field.band(&fork.choices, part)?)));
            // Which band counts may hang on a choice that is still open.
            if field
                .bands
                .iter()
                .any(|band| When(vec![band.when.clone()]).undecided(&fork.choices, &fork.open))
            {
                continue;
            }
            for (part, band) in parts {
                let room = || {
                    let between = carried(&fork.derived, value.field)
                        .map_or((f64::NEG_INFINITY, f64::INFINITY), offered);
                    peers.room(fork, value.field, &value.entry, band).between(between)
                };
                let instead = || match elsewhere(shop, fork, value) {
                    Some(key) => format!(": the same figure stands at `{key}`"),
                    // What wire and coils give is told where they disagree with it.
                    None if is_wound(fork, value) => String::new(),
                    None => slip(field, &value.entry, room()),
                };
                outside(
                    field,
                    band,
                    (&value.entry, part),
                    ("such a fork takes", fork.record.draft),
                    instead,
                    &mut findings,
                );
            }
        }
        for finding in &mut findings {
            finding.reaches = vec![fork.id.clone()];
        }
        findings
    };
    findings.par_extend(forks.par_iter().flat_map_iter(of_fork));
}

/// outside-band, for oils and springs.
pub(crate) fn oils(shop: &Shop, findings: &mut Vec<Finding>) {
    let oils = shop.oils.iter().map(|oil| (oil, "fork oils have"));
    let springs = shop.springs.iter().map(|spring| (spring, "fork springs have"));
    let lines =
        oils.chain(springs).flat_map(|(record, whose)| record.values.iter().map(move |line| (line, whose)));
    let none = Choices::new();
    for (line, whose) in lines {
        let field = shop.catalogue.field(line.field);
        let Sides::Each(entry) = &line.sides else { continue };
        let Some(value) = &entry.value else { continue };
        let Some(band) = field.band(&none, value) else { continue };
        let instead = || slip(field, entry, Room::of(band));
        outside(field, band, (entry, value), (whose, false), instead, findings);
    }
}

/// A figure so many times beyond the band was slipped or belongs to another value, whatever it is of.
const FAR: f64 = 3.0;

fn outside(
    field: &Field,
    band: &Band,
    (entry, value): (&Entry, &Value),
    (whose, draft): (&str, bool),
    instead: impl Fn() -> String,
    findings: &mut Vec<Finding>,
) {
    let Some((least, greatest)) = extent(value) else { return };
    let slack = 1e-9 * band.to.abs().max(band.from.abs());
    let below = least < band.from - slack;
    if !below && greatest <= band.to + slack || at_the_edge(field, entry, band) {
        return;
    }
    let far = least * FAR < band.from - slack || greatest > band.to * FAR + slack;
    let wrong = band.firm && field.safety || far && !draft;
    let severity = if wrong { Severity::Error } else { Severity::Warning };
    let word = if below { "below" } else { "above" };
    let basis = if band.basis.is_empty() { String::new() } else { format!(" ({})", band.basis) };
    findings.push(
        rules::OUTSIDE_BAND.graded(severity,
            entry.span,
            format!(
                "{} of {} is {word} what {whose}: {} to {}{basis}",
                lower_first(&field.title),
                entry.text,
                band.text.0,
                band.text.1
            ),
        )
        .bench(lower_first(&field.wrong))
        .instead(format!(
            "read the sheet again{}; if it is right, let the finding stand with `accept:`, a reason and a name",
            instead()
        )),
    );
}

/// Whether a number that was not said in the band's own unit first stands for one inside it: its metric saying is
/// inside, or where there is none, the rounding of its last digit reaches it. A band ends on round metric figures.
fn at_the_edge(field: &Field, entry: &Entry, band: &Band) -> bool {
    let quantity = entry.value.as_ref().and_then(Value::quantity);
    let (Some(quantity), Some(unit)) = (quantity, field.units.first()) else { return false };
    let inside = |si: f64| band.from <= si && si <= band.to;
    let (metric, other): (Vec<&Saying>, Vec<&Saying>) =
        quantity.sayings.iter().partition(|said| said.unit.same_digits(unit));
    let plain = |said: &&&Saying| !matches!(said.shape, Shape::Range { .. });
    if !metric.is_empty() {
        return metric.iter().filter(plain).any(|said| inside(said.middle_si()));
    }
    other.iter().filter(plain).any(|said| {
        let half = said.unit.scale_to_si(said.shape.number().half_step_float());
        [-half, half].into_iter().any(|away| inside(said.middle_si() + away))
    })
}

/// Another value of the fork that is said with the very figure: it was copied to the wrong line.
fn elsewhere<'s>(shop: &'s Shop, fork: &CheckedFork, value: &Resolved) -> Option<&'s str> {
    let figure = value.quantity()?.main();
    let same = |other: &&Resolved| {
        let said = other.quantity().map(Quantity::main);
        other.field != value.field
            && said.is_some_and(|said| (said.unit, &said.shape) == (figure.unit, &figure.shape))
    };
    each(fork).find(same).map(|other| shop.catalogue.field(other.field).key.as_str())
}

/// Whether it is the rate of a spring whose wire is on record.
fn is_wound(fork: &CheckedFork, value: &Resolved) -> bool {
    let wire = FieldId::from(key::SPRING_WIRE_DIAMETER);
    value.field == FieldId::from(key::SPRING_RATE) && each(fork).any(|other| other.field == wire)
}

/// The mistakes that would explain a value outside its band, as a part of a sentence. A second unit vouches for
/// nothing here: whoever took a number over under a wrong unit may have worked the second out from it.
fn slip(field: &Field, entry: &Entry, room: Room) -> String {
    let Some(quantity) = entry.value.as_ref().and_then(Value::quantity) else { return String::new() };
    let slips = explaining(field, quantity, room, false);
    in_words(&slips, quantity.has_twin()).map_or_else(String::new, |in_words| format!(": {in_words}"))
}

/// What of a value must lie in the band: a target's middle, a range's ends, a limit's figure, every section.
fn extent(value: &Value) -> Option<(f64, f64)> {
    match value {
        Value::Count(count) => Some((f64::from(*count), f64::from(*count))),
        Value::Sections(sections) => {
            let middles = || sections.iter().map(|section| section.value.middle_si());
            Some((middles().reduce(f64::min)?, middles().reduce(f64::max)?))
        }
        _ => value.quantity().map(|quantity| match quantity.main().shape {
            Shape::Range { .. } => (quantity.least_si(), quantity.greatest_si()),
            _ => (quantity.middle_si(), quantity.middle_si()),
        }),
    }
}
