//! What the temperature of oil and leg does to what is set: the gap or level on oil of another temperature, and what a
//! gauge reads on a leg that is colder or warmer than the record says.

use super::figure::main_said;
use super::view::CardTable;
use crate::bench::units::{ThermodynamicTemperature, ZERO_CELSIUS};
use crate::check::CheckedFork;
use crate::derive::{DerivedLeg, Gauge};
use crate::quantity::Unit;
use crate::resolve::Shop;

pub(super) fn degrees(at: ThermodynamicTemperature) -> String {
    format!("{:.0}", at.value - ZERO_CELSIUS)
}

/// The gap or level of a leg on oil of several temperatures.
pub(super) fn heights(leg: &DerivedLeg) -> Option<CardTable> {
    let warm = leg.warm_gap.value()?;
    let row = |name: &str, cell: fn(&(ThermodynamicTemperature, f64)) -> String| {
        let cells = warm.targets.iter().map(|(at, target)| cell(&(*at, target.value)));
        [name.to_owned()].into_iter().chain(cells).collect::<Vec<_>>()
    };
    let word = leg.height_word();
    Some(CardTable {
        title: format!("Set the {word} on oil of another temperature, each leg."),
        note: format!("The record says it for oil of {}\u{a0}°C.", degrees(warm.set_at)),
        heads: row("Oil at, °C", |(at, _)| degrees(*at)),
        rows: vec![row("Set to, mm", |(_, target)| format!("{:.1}", target * 1000.0))],
    })
}

/// What the gauge reads on a leg of several temperatures, for each of its pressures.
pub(super) fn pressures(shop: &Shop, fork: &CheckedFork, leg: &DerivedLeg) -> Option<CardTable> {
    let first = leg.gauges.first()?;
    let heads = first.readings.iter().map(|(at, _)| degrees(*at));
    let rows = leg.gauges.iter().map(|gauge| {
        let unit = unit_of(shop, fork, leg, gauge);
        let name = format!("{}, {}", shop.catalogue.field(gauge.field).short, unit.symbol);
        let cells = gauge.readings.iter().map(|(_, reads)| in_unit(unit, reads.value));
        [name].into_iter().chain(cells).collect()
    });
    let mut said: Vec<String> =
        leg.gauges.iter().map(|gauge| format!("{}\u{a0}°C", degrees(gauge.set_at))).collect();
    said.dedup();
    Some(CardTable {
        title: "Set a pressure on a leg of another temperature, each leg.".to_owned(),
        note: format!("Gauge pressure for the same charge; the record says it for {}.", said.join(", ")),
        heads: ["Leg at, °C".to_owned()].into_iter().chain(heads).collect(),
        rows: rows.collect(),
    })
}

/// The unit in which a pressure of this leg leads.
fn unit_of(shop: &Shop, fork: &CheckedFork, leg: &DerivedLeg, gauge: &Gauge) -> &'static Unit {
    let field = shop.catalogue.field(gauge.field);
    let quantity = fork.on(leg.side, gauge.field).and_then(|resolved| resolved.quantity());
    quantity.map_or(field.units[0], |quantity| main_said(shop, Some(field), quantity).unit)
}

/// A pressure in a unit, to what a gauge shows.
fn in_unit(unit: &Unit, pascal: f64) -> String {
    let number = unit.from_si(pascal);
    let text = if number.abs() >= 100.0 { format!("{number:.0}") } else { format!("{number:.1}") };
    text.replace('-', "−")
}

/// The gap or level at other temperatures in one line for a card: `15 °C 104.6, 25 °C 103.4` and its unit.
pub(super) fn heights_in_short(leg: &DerivedLeg) -> Option<(String, String)> {
    let warm = leg.warm_gap.value()?;
    let others = warm.targets.iter().filter(|(at, _)| apart(*at, warm.set_at));
    let parts = others.map(|(at, to)| format!("{}\u{a0}°C\u{a0}{:.1}", degrees(*at), to.value * 1000.0));
    let text = parts.collect::<Vec<_>>().join(", ");
    (!text.is_empty()).then(|| (text, "mm".to_owned()))
}

/// One pressure at other temperatures of the leg, for a card.
pub(super) fn pressure_in_short(
    shop: &Shop,
    fork: &CheckedFork,
    leg: &DerivedLeg,
    gauge: &Gauge,
) -> CardTable {
    let unit = unit_of(shop, fork, leg, gauge);
    let name = |text: String| [text].into_iter();
    let heads = name("Leg at, °C".to_owned()).chain(gauge.readings.iter().map(|(at, _)| degrees(*at)));
    let row = gauge.readings.iter().map(|(_, reads)| in_unit(unit, reads.value));
    CardTable {
        title: format!("{} by temperature", shop.catalogue.field(gauge.field).short),
        note: String::new(),
        heads: heads.collect(),
        rows: vec![name(format!("Set to, {}", unit.symbol)).chain(row).collect()],
    }
}

/// A pressure ten degrees colder and warmer in one line for a card: `10 °C 871, 30 °C 939` and its unit.
pub(super) fn pressure_nearby(
    shop: &Shop,
    fork: &CheckedFork,
    leg: &DerivedLeg,
    gauge: &Gauge,
) -> (String, String) {
    let unit = unit_of(shop, fork, leg, gauge);
    let near = |at: ThermodynamicTemperature| (at.value - gauge.set_at.value).abs() < 15.0;
    let others = gauge.readings.iter().filter(|(at, _)| apart(*at, gauge.set_at) && near(*at));
    let parts =
        others.map(|(at, reads)| format!("{}\u{a0}°C\u{a0}{}", degrees(*at), in_unit(unit, reads.value)));
    (parts.collect::<Vec<_>>().join(", "), unit.symbol.to_owned())
}

/// Whether two temperatures are told apart.
fn apart(one: ThermodynamicTemperature, other: ThermodynamicTemperature) -> bool {
    (one.value - other.value).abs() > 0.5
}
