//! Rules on gauge pressures and the temperature they are read at.

use crate::bench::air::gauge_at;
use crate::bench::units::{ThermodynamicTemperature, ZERO_CELSIUS, celsius};
use crate::check::look::on;
use crate::derive::{DerivedLeg, Gauge};
use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::Quantity;
use crate::resolve::{Resolved, ResolvedFork, Shop};
use crate::words::lower_first;

/// pressure-at-other-temperature, pressure-range, pressure-limit: a gauge pressure at its own temperature, brought to the
/// bench's, the range's and the road's.
pub(crate) fn rules(shop: &Shop, fork: &ResolvedFork, leg: &DerivedLeg, findings: &mut Vec<Finding>) {
    let relations = shop.catalogue.relations();
    for gauge in &leg.gauges {
        let Some(value) = on(fork, leg.side, gauge.field) else { continue };
        let name = lower_first(&shop.catalogue.field(value.field).title);
        findings.extend(at_the_bench(shop, value, gauge, &name));
        if let Some(range) = relations.range_of(gauge.field).and_then(|field| on(fork, leg.side, field)) {
            outside(value, range, gauge.set_at, &name, findings);
            if let Some(limit) = relations.limit_of(gauge.field).and_then(|field| on(fork, leg.side, field)) {
                findings.extend(range_over_limit(range, limit, &name));
            }
        }
        if let Some(limit) = relations.limit_of(gauge.field).and_then(|field| on(fork, leg.side, field)) {
            findings.extend(over_the_limit(shop, value, limit, gauge, &name));
        }
    }
}

fn degrees(at: ThermodynamicTemperature) -> String {
    format!("{:.0} °C", at.value - ZERO_CELSIUS)
}

/// A pressure that is said at another temperature than the bench's.
fn at_the_bench(shop: &Shop, value: &Resolved, gauge: &Gauge, name: &str) -> Option<Finding> {
    let bench = celsius(shop.settings.bench_celsius());
    if (gauge.set_at.value - bench.value).abs() <= 2.0 {
        return None;
    }
    let there = gauge_at(gauge.set, gauge.set_at, bench).ok()?;
    let message = format!(
        "{name} is said at {}; at the bench's {} the gauge reads {}",
        degrees(gauge.set_at),
        degrees(bench),
        in_its_unit(value.quantity()?, there.value)
    );
    Some(
        rules::PRESSURE_AT_OTHER_TEMPERATURE
            .at(value.entry.span, message)
            .bench(
                "set to the printed figure on this bench, the leg is softer or harder than the sheet means",
            )
            .instead("set it at the temperature the sheet names, or to the figure for the bench"),
    )
}

/// A pressure above its limit as it is set, or on the road.
fn over_the_limit(
    shop: &Shop,
    value: &Resolved,
    limit: &Resolved,
    gauge: &Gauge,
    name: &str,
) -> Option<Finding> {
    let (most, greatest) = (limit.quantity()?.middle_si(), value.quantity()?.greatest_si());
    let working = celsius(shop.settings.working_celsius());
    let warm = gauge_at(crate::bench::units::pressure(greatest), gauge.set_at, working).ok()?;
    let (text, limit_text) = (&value.entry.text, &limit.entry.text);
    let finding = if greatest > most * (1.0 + 1e-9) {
        rules::PRESSURE_LIMIT
            .graded(
                Severity::Error,
                value.entry.span,
                format!("{name} of {text} is above its own limit {limit_text}"),
            )
            .bench("a seal or a cap lets go under pressure")
            .instead("correct the one that is wrong")
    } else if warm.value > most * (1.0 + 1e-9) {
        let then = in_its_unit(value.quantity()?, warm.value);
        rules::PRESSURE_LIMIT
            .graded(
                Severity::Warning,
                value.entry.span,
                format!(
                    "{name} of {text} becomes {then} at {}, above its limit {limit_text}",
                    degrees(working)
                ),
            )
            .bench("on a hot day or a long descent the leg goes over what its seals are made for")
            .instead("set it lower, or read the limit again: some sheets mean the pressure at the bench")
    } else {
        return None;
    };
    Some(finding.also(limit.entry.span, "the limit"))
}

/// A range whose upper end is above the limit of the pressure that it is for.
fn range_over_limit(range: &Resolved, limit: &Resolved, name: &str) -> Option<Finding> {
    let over = range.quantity()?.greatest_si() > limit.quantity()?.middle_si() * (1.0 + 1e-9);
    over.then(|| {
        rules::PRESSURE_LIMIT
            .graded(
                Severity::Error,
                range.entry.span,
                format!(
                    "the range of {name}, {}, goes above its limit {}",
                    range.entry.text, limit.entry.text
                ),
            )
            .bench("whoever sets the leg to the end of the range sets it above what its seals are made for")
            .instead("correct the one that is wrong")
            .also(limit.entry.span, "the limit")
    })
}

/// A pressure that leaves its tuning range when both are brought to one temperature.
fn outside(
    value: &Resolved,
    range: &Resolved,
    set_at: ThermodynamicTemperature,
    name: &str,
    findings: &mut Vec<Finding>,
) {
    let (Some(pressure), Some(between)) = (value.quantity(), range.quantity()) else { return };
    let there = range
        .entry
        .state
        .get("temperature")
        .and_then(|part| part.value.as_ref()?.quantity()?.temperature())
        .unwrap_or(set_at);
    let Some(set) = pressure.pressure() else { return };
    let Ok(brought) = gauge_at(set, set_at, there) else { return };
    // A tenth of a bar is what a gauge shows.
    let slack = 1000.0;
    if brought.value < between.least_si() - slack || brought.value > between.greatest_si() + slack {
        findings.push(
            rules::PRESSURE_RANGE.at(value.entry.span, format!("{name} of {} lies outside its tuning range {} at the range's own temperature, where it is {}", value.entry.text, range.entry.text, in_its_unit(pressure, brought.value)))
                .bench("the leg is set where the maker does not want it, or at the wrong temperature")
                .instead("correct the pressure, the range or the temperature they are said at")
                .also(range.entry.span, "the range that may be chosen"),
        );
    }
}

/// A pressure in the unit a value is written in, to three digits.
fn in_its_unit(written: &Quantity, pascal: f64) -> String {
    let number = written.unit().from_si(pascal);
    let text = if number.abs() >= 100.0 { format!("{number:.0}") } else { format!("{number:.1}") };
    format!("{} {}", text.replace('-', "−"), written.unit().symbol)
}
