//! What is poured into a leg and what is pumped into it, at other temperatures too.

use super::air::set_temperature;
use super::answer::{Answer, Ask, Given};
use crate::bench::air::{AT_THE_LEG, gauge_at};
use crate::bench::expansion;
use crate::bench::range::OutOfRange;
use crate::bench::units::{Mass, Pressure, ThermodynamicTemperature, Volume, celsius};
use crate::catalogue::{FieldId, key};
use crate::quantity::Quantity;

/// A fill and its weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Fill {
    /// Which amount.
    pub field: FieldId,
    /// The amount.
    pub volume: Volume,
    /// Its weight at bench temperature.
    pub weight: Answer<Mass>,
}

/// A gauge pressure at other temperatures.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    /// Which pressure.
    pub field: FieldId,
    /// The gauge pressure as set.
    pub set: Pressure,
    /// The temperature it is set at.
    pub set_at: ThermodynamicTemperature,
    /// What the gauge reads at the temperatures of [`AT_THE_LEG`].
    pub readings: Vec<(ThermodynamicTemperature, Pressure)>,
}

/// The amounts of oil a leg takes, with their weights.
pub(super) fn fills(ask: &Ask) -> Vec<Fill> {
    let bench = celsius(ask.shop.settings.bench_celsius());
    let mut fills = Vec::new();
    for (field, oils) in ask.shop.catalogue.relations().poured() {
        let mut ask = ask.clone();
        let Some(amount) = ask.may_quantity(*field).and_then(Quantity::volume) else { continue };
        let oil = oils.iter().find(|oil| matches!(ask.look(**oil), Given::Value(..))).or(oils.last());
        let density = oil
            .and_then(|oil| ask.oil(*oil))
            .and_then(|oil| ask.of_oil(oil, key::GRADE_DENSITY_15))
            .and_then(Quantity::density);
        let weight = match density {
            Some(density) => {
                ask.assume(expansion::ASSUMPTION);
                ask.answer(expansion::weight(amount, density, bench))
            }
            None => ask.lacking(),
        };
        fills.push(Fill { field: *field, volume: amount, weight });
    }
    fills
}

/// The pressures of a leg with what the gauge reads at other temperatures.
pub(super) fn gauges(ask: &Ask) -> Vec<Gauge> {
    let mut gauges = Vec::new();
    for &field in ask.shop.catalogue.relations().gauges() {
        let mut leg = ask.clone();
        let Some(set) = leg.may_quantity(field).and_then(Quantity::pressure) else { continue };
        leg.needs_state(field, &["temperature"]);
        if leg.lacks_state() {
            continue;
        }
        let set_at = set_temperature(ask, field);
        let readings: Result<Vec<_>, OutOfRange> =
            AT_THE_LEG.into_iter().map(|at| Ok((celsius(at), gauge_at(set, set_at, celsius(at))?))).collect();
        if let Ok(readings) = readings {
            gauges.push(Gauge { field, set, set_at, readings });
        }
    }
    gauges
}
