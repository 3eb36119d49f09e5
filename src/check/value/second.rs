//! A safety-critical value is said twice, and rests on more than an estimate.

use crate::catalogue::Field;
use crate::check::look::{each, weight};
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Quantity, Value};
use crate::record::SecondSaying;
use crate::resolve::{Resolved, ResolvedFork, Shop};
use crate::words::lower_first;

/// stated-once, estimate: a safety-critical value is said in two units or rests on two sources, and on
/// something better than an estimate.
pub(crate) fn second_saying(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for value in each(fork) {
        let field = shop.catalogue.field(value.field);
        if value.not_fitted() || value.is_unknown() || value.value().is_none() {
            continue;
        }
        let asked = field.safety && shop.settings.safety_values.second_saying == SecondSaying::Required;
        let twice =
            value.value().is_none_or(|v| v.has_twin() || v.quantity().is_none()) || said_by_another(value);
        if asked && !twice {
            let second = value.quantity().and_then(|quantity| other_unit(field, quantity)).map_or_else(
                || format!("add what another source says of it: {ANOTHER}"),
                |form| {
                    format!(
                        "add what the sheet says in its second unit, as in `{form}`, or what another source says of it: {ANOTHER}"
                    )
                },
            );
            let second = match unit_of_its_fellows(shop, fork, value) {
                Some(unit) => format!(
                    "read its unit again: the others of this record are in {unit}; where it is right, say it in {unit} as well, `{} (… {unit})`",
                    value.entry.text
                ),
                None => second,
            };
            findings.push(
                rules::STATED_ONCE
                    .graded(
                        weight(fork),
                        value.entry.span,
                        format!("`{}` is safety-critical and said only once", field.key),
                    )
                    .bench(lower_first(&field.wrong))
                    .instead(second),
            );
        }
        if field.safety && value.is_estimate() {
            findings.push(
                rules::ESTIMATE
                    .at(
                        value.entry.span,
                        format!("`{}` is safety-critical and rests on an estimate", field.key),
                    )
                    .bench(lower_first(&field.wrong))
                    .instead(
                        "measure it, or find the maker's sheet; until then the card says ESTIMATE beside it",
                    ),
            );
        }
    }
}

/// The unit in which the other values of its group are, where this one is in another and most of them share one.
fn unit_of_its_fellows(shop: &Shop, fork: &ResolvedFork, value: &Resolved) -> Option<&'static str> {
    let here = value.quantity()?;
    let group = &shop.catalogue.field(value.field).group;
    let units: Vec<&'static str> = each(fork)
        .filter(|other| other.field != value.field && shop.catalogue.field(other.field).group == *group)
        .filter_map(Resolved::quantity)
        .filter(|other| other.dimension() == here.dimension())
        .map(|other| other.unit().symbol)
        .collect();
    let usual = units.iter().max_by_key(|unit| units.iter().filter(|one| one == unit).count())?;
    let share = units.iter().filter(|one| *one == usual).count();
    (*usual != here.unit().symbol && 2 * share > units.len() && share >= 3).then_some(*usual)
}

/// How another source's own figure is written.
const ANOTHER: &str = "`also_said: {SOURCE: …}` beside `value:`";

/// Whether two sources each say their own figure: one that counts, and another one. A source that is only named beside
/// the first says nothing.
fn said_by_another(value: &Resolved) -> bool {
    let beside = |id: &str| value.sources.iter().any(|source| source.id.text != id);
    let says = |said: &Value| !said.is_unknown();
    value
        .entry
        .also_said
        .iter()
        .any(|said| beside(&said.source.text) && said.value.as_ref().is_some_and(says))
}

/// How the value is written with the first usual unit it is not written in. The figure is not worked out: that
/// would say the same thing twice, and not what a sheet says.
fn other_unit(field: &Field, quantity: &Quantity) -> Option<String> {
    let main = quantity.main();
    let unit = field
        .units
        .iter()
        .find(|unit| unit.dimension == main.unit.dimension && !unit.same_digits(main.unit))?;
    Some(format!("{} (… {})", main.canonical(), unit.symbol))
}
