//! Rules on gauge pressures and the temperature they are read at.

use crate::bench::air::gauge_at;
use crate::bench::units::{ThermodynamicTemperature, ZERO_CELSIUS, celsius};
use crate::check::look::on;
use crate::derive::DerivedLeg;
use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::Quantity;
use crate::resolve::{Resolved, ResolvedFork, Shop};
use crate::words::lower_first;

/// A pressure, the range it is tuned in, and the greatest it may have.
const PRESSURES: [(&str, Option<&str>, Option<&str>); 5] = [
    ("air.main_pressure", Some("air.main_pressure_range"), Some("air.main_pressure_limit")),
    ("air.balance_pressure", None, None),
    ("air.outer_pressure", None, None),
    ("air.assist_pressure", None, Some("air.assist_limit")),
    ("air.gas_pressure", None, None),
];

/// pressure-temperature, pressure-range, pressure-limit: a gauge pressure at its own temperature, brought to the
/// bench's, the range's and the road's.
pub(crate) fn rules(shop: &Shop, fork: &ResolvedFork, leg: &DerivedLeg, found: &mut Vec<Finding>) {
    for (key, range, limit) in PRESSURES {
        let Some(value) = on(shop, fork, leg.side, key) else { continue };
        let Some(gauge) = leg.gauges.iter().find(|gauge| gauge.field == value.field) else { continue };
        let name = lower_first(&shop.catalogue.field(value.field).title);
        let bench = celsius(shop.settings.bench_celsius());
        let degrees = |at: ThermodynamicTemperature| format!("{:.0} °C", at.value - ZERO_CELSIUS);
        let shown = |pascal: f64| value.quantity().map_or_else(String::new, |said| in_its_unit(said, pascal));
        if (gauge.set_at.value - bench.value).abs() > 2.0
            && let Ok(there) = gauge_at(gauge.set, gauge.set_at, bench)
        {
            found.push(
                rules::PRESSURE_TEMPERATURE.at(value.entry.span, format!("{name} is said at {}; at the bench's {} the gauge reads {}", degrees(gauge.set_at), degrees(bench), shown(there.value)))
                    .bench("set to the printed figure on this bench, the leg is softer or harder than the sheet means")
                    .instead("set it at the temperature the sheet names, or to the figure for the bench"),
            );
        }
        if let Some(range) = range.and_then(|key| on(shop, fork, leg.side, key)) {
            outside(value, range, gauge.set_at, &name, found);
        }
        let Some(limit) = limit.and_then(|key| on(shop, fork, leg.side, key)) else { continue };
        let (Some(most), working) =
            (limit.quantity().map(Quantity::middle_si), celsius(shop.settings.working_celsius()))
        else {
            continue;
        };
        let Some(greatest) = value.quantity().map(Quantity::greatest_si) else { continue };
        let Ok(warm) = gauge_at(crate::bench::units::pressure(greatest), gauge.set_at, working) else {
            continue;
        };
        if greatest > most * (1.0 + 1e-9) {
            found.push(
                rules::PRESSURE_LIMIT
                    .graded(
                        Severity::Error,
                        value.entry.span,
                        format!("{name} of {} is above its own limit {}", value.entry.text, limit.entry.text),
                    )
                    .bench("a seal or a cap lets go under pressure")
                    .instead("correct the one that is wrong")
                    .also(limit.entry.span, "the limit"),
            );
        } else if warm.value > most * (1.0 + 1e-9) {
            found.push(
                rules::PRESSURE_LIMIT
                    .graded(
                        Severity::Warning,
                        value.entry.span,
                        format!(
                            "{name} of {} becomes {} at {}, above its limit {}",
                            value.entry.text,
                            shown(warm.value),
                            degrees(working),
                            limit.entry.text
                        ),
                    )
                    .bench("on a hot day or a long descent the leg goes over what its seals are made for")
                    .instead(
                        "set it lower, or read the limit again: some sheets mean the pressure at the bench",
                    )
                    .also(limit.entry.span, "the limit"),
            );
        }
    }
}

/// A pressure that leaves its tuning range when both are brought to one temperature.
fn outside(
    value: &Resolved,
    range: &Resolved,
    set_at: ThermodynamicTemperature,
    name: &str,
    found: &mut Vec<Finding>,
) {
    let (Some(said), Some(between)) = (value.quantity(), range.quantity()) else { return };
    let there = range
        .entry
        .state
        .get("temperature")
        .and_then(|part| part.value.as_ref()?.quantity()?.temperature())
        .unwrap_or(set_at);
    let Some(set) = said.pressure() else { return };
    let Ok(brought) = gauge_at(set, set_at, there) else { return };
    // A tenth of a bar is what a gauge shows.
    let slack = 1000.0;
    if brought.value < between.least_si() - slack || brought.value > between.greatest_si() + slack {
        found.push(
            rules::PRESSURE_RANGE.at(value.entry.span, format!("{name} of {} lies outside its tuning range {} at the range's own temperature, where it is {}", value.entry.text, range.entry.text, in_its_unit(said, brought.value)))
                .bench("the leg is set where the maker does not want it, or at the wrong temperature")
                .instead("correct the pressure, the range or the temperature they are said at")
                .also(range.entry.span, "the range that may be chosen"),
        );
    }
}

/// A pressure in the unit a value is written in, to three digits.
fn in_its_unit(said: &Quantity, pascal: f64) -> String {
    let number = said.unit().from_si(pascal);
    let text = if number.abs() >= 100.0 { format!("{number:.0}") } else { format!("{number:.1}") };
    format!("{} {}", text.replace('-', "−"), said.unit().symbol)
}
