//! What follows from an oil's own figures, and which oil stands in for which.

use super::answer::{Answer, Known, oil_value};
use crate::bench::grade::{Curve, index, index_range, iso_vg, substitutes};
use crate::bench::range::OutOfRange;
use crate::bench::units::{KinematicViscosity, celsius, viscosity};
use crate::catalogue::{Key, key};
use crate::quantity::{Quantity, Value};
use crate::record::SpecRecord;
use crate::resolve::Shop;

/// One oil, computed.
#[derive(Debug, Clone, PartialEq)]
pub struct DerivedOil {
    /// Its id.
    pub id: String,
    /// Its viscosity against temperature.
    pub curve: Answer<Curve>,
    /// Its viscosity at the shop's working temperature.
    pub working: Answer<KinematicViscosity>,
    /// Its viscosity index, from the two viscosities.
    pub index: Answer<f64>,
    /// The least and greatest index that the written digits leave open.
    pub index_range: Answer<(f64, f64)>,
    /// Its ISO VG class, from the viscosity at 40 °C; none when it lies between two classes.
    pub class: Answer<Option<u32>>,
    /// What it is sold for; `None` where its record does not say.
    pub serves: Option<Serves>,
}

/// What an oil is sold for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Serves {
    /// Damping, and the bushings it runs over.
    Damping,
    /// The inside of a closed cartridge, and nothing that runs on bushings.
    Cartridge,
    /// The pistons and seals of an air leg.
    AirLeg,
}

impl Serves {
    /// Why an oil sold for this stands in for no oil of another use.
    pub fn reason(self) -> &'static str {
        match self {
            Serves::Damping => "not made for the seals of a cartridge or an air leg",
            Serves::Cartridge => "inside closed cartridges only: poor on bushings",
            Serves::AirLeg => "air legs only",
        }
    }

    fn of(oil: &SpecRecord) -> Option<Serves> {
        match oil_value(oil, key::GRADE_SERVES)?? {
            Value::Choice(word) => match word.as_str() {
                "damping" => Some(Serves::Damping),
                "cartridge" => Some(Serves::Cartridge),
                "air-leg" => Some(Serves::AirLeg),
                _ => None,
            },
            _ => None,
        }
    }
}

/// An oil that stands in for another.
#[derive(Debug, Clone, PartialEq)]
pub struct StandIn {
    /// Its id.
    pub id: String,
    /// Its viscosity over the wanted one's at working temperature: above one is thicker, and damps more.
    pub ratio: f64,
    /// The same at bench temperature: oils that are alike warm may differ cold.
    pub cold_ratio: f64,
}

const AT_40: Key = key::GRADE_VISCOSITY_40;
const AT_100: Key = key::GRADE_VISCOSITY_100;

/// Computes one oil.
pub(crate) fn derive_oil(shop: &Shop, oil: &SpecRecord) -> DerivedOil {
    let cold = figure(oil, AT_40);
    let hot = figure(oil, AT_100);
    let both = match (&cold, &hot) {
        (Ok(cold), Ok(hot)) => Ok((*cold, *hot)),
        (Err(Lack::Unreadable), _) | (_, Err(Lack::Unreadable)) => Err(Answer::Silent),
        _ => Err(Answer::Missing(
            [(AT_40, cold.is_err()), (AT_100, hot.is_err())]
                .iter()
                .filter(|(_, lacks)| *lacks)
                .map(|(key, _)| key.name().to_owned())
                .collect(),
        )),
    };
    let made = || match &both {
        Ok(both) => Answer::Known(Known {
            value: *both,
            assumptions: Vec::new(),
            rests_on: vec![AT_100.name().to_owned(), AT_40.name().to_owned()],
        }),
        Err(lack) => lack.clone(),
    };
    let curve = made().map(|(cold, hot)| Curve::new(cold.middle, hot.middle));
    let working = celsius(shop.settings.working_celsius());
    DerivedOil {
        id: oil.id.text.clone(),
        serves: Serves::of(oil),
        working: curve.map(|curve| curve.at(working)),
        curve,
        index: made().map(|(cold, hot)| index(cold.middle, hot.middle)),
        index_range: made()
            .map(|(cold, hot)| index_range((cold.least, cold.greatest), (hot.least, hot.greatest))),
        class: match cold {
            Ok(cold) => Answer::Known(Known {
                value: cold,
                assumptions: Vec::new(),
                rests_on: vec![AT_40.name().to_owned()],
            })
            .map(|cold| iso_vg(cold.middle)),
            Err(Lack::Unreadable) => Answer::Silent,
            Err(Lack::Absent) => Answer::Missing(vec![AT_40.name().to_owned()]),
        },
    }
}

/// Whether one oil may stand in for another by what they are sold for. Where a record does not say, it may.
fn serves_as_well(sought: &DerivedOil, other: &DerivedOil) -> bool {
    match (sought.serves, other.serves) {
        (Some(sought), Some(other)) => sought == other,
        _ => true,
    }
}

/// The oils that stand in for none of this one's use, each with the reason.
pub(crate) fn out_of_place<'o>(
    oils: impl Iterator<Item = &'o DerivedOil> + Clone,
    id: &str,
) -> Vec<(String, &'static str)> {
    let Some(sought) = oils.clone().find(|oil| oil.id == id) else { return Vec::new() };
    let others = oils.filter(|oil| !serves_as_well(sought, oil));
    others.filter_map(|oil| Some((oil.id.clone(), oil.serves?.reason()))).collect()
}

/// The oils of a shop in the order in which they stand in for the one with this id: those sold for the same use, by
/// their viscosities at working temperature. Oils without figures are left out. `bench_celsius` is the other
/// temperature at which they are compared.
pub(crate) fn stand_ins<'o>(
    oils: impl Iterator<Item = &'o DerivedOil> + Clone,
    id: &str,
    (working_celsius, bench_celsius): (f64, f64),
) -> Answer<Vec<StandIn>> {
    let Some(sought) = oils.clone().find(|oil| oil.id == id) else { return Answer::NotHere };
    let fits = |oil: &&DerivedOil| oil.id != id && oil.curve.value().is_some() && serves_as_well(sought, oil);
    let others: Vec<&DerivedOil> = oils.filter(fits).collect();
    let curves: Vec<Curve> = others.iter().filter_map(|oil| oil.curve.value().copied()).collect();
    sought.curve.map(|curve| ranked(curve, &others, &curves, (working_celsius, bench_celsius)))
}

fn ranked(
    sought: &Curve,
    others: &[&DerivedOil],
    curves: &[Curve],
    (working, bench): (f64, f64),
) -> Result<Vec<StandIn>, OutOfRange> {
    let cold = sought.at(celsius(bench))?.value;
    let ranked = substitutes(sought, curves, celsius(working))?.into_iter().filter_map(|substitute| {
        let id = others.get(substitute.place)?.id.clone();
        let cold_ratio = curves[substitute.place].at(celsius(bench)).ok()?.value / cold;
        Some(StandIn { id, ratio: substitute.ratio, cold_ratio })
    });
    Ok(ranked.collect())
}

/// A viscosity with what its written digits leave open.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Rounded {
    least: KinematicViscosity,
    middle: KinematicViscosity,
    greatest: KinematicViscosity,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Lack {
    Absent,
    Unreadable,
}

fn figure(oil: &SpecRecord, key: Key) -> Result<Rounded, Lack> {
    let quantity: &Quantity = match oil_value(oil, key) {
        None => return Err(Lack::Absent),
        Some(None) => return Err(Lack::Unreadable),
        Some(Some(value)) => Value::quantity(value).ok_or(Lack::Absent)?,
    };
    let saying = quantity.main();
    let half = saying.unit.scale_to_si(saying.shape.number().half_step_float());
    let middle = quantity.middle_si();
    Ok(Rounded {
        least: viscosity(quantity.least_si().min(middle - half)),
        middle: viscosity(middle),
        greatest: viscosity(quantity.greatest_si().max(middle + half)),
    })
}

/// What an oil's record says that it serves; `None` where it does not say.
pub(crate) fn serves(oil: &SpecRecord) -> Option<Serves> {
    Serves::of(oil)
}
