//! The units.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, Zero};
use serde::Serialize;

use super::kind::{Heading, Page};
use crate::quantity::{Dimension, Unit};
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;
use crate::words::capital;

/// A unit.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct UnitRow {
    /// Its symbol.
    pub symbol: String,
    /// Its name.
    pub name: String,
    /// What one of it is, exactly, in the first unit: `25.4 mm`.
    pub is: String,
    /// Other spellings that are accepted.
    pub spellings: String,
}

/// The units of one dimension.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct UnitGroup {
    /// The dimension's id.
    pub id: String,
    /// What a person calls it.
    pub title: String,
    /// Its units.
    pub units: Vec<UnitRow>,
}

/// Units, `units.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct UnitsView {
    /// By dimension.
    pub groups: Vec<UnitGroup>,
}

/// The page.
pub struct UnitsPage;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [UnitsPage; 1] {
    [UnitsPage]
}

impl<'s> Page<'s> for UnitsPage {
    type View = UnitsView;

    const TEMPLATE: &'static str = "units";

    fn path(&self) -> String {
        "units.html".to_owned()
    }

    fn view(&self, _: &Desk<'_, 's>) -> Result<UnitsView, TemplateProblem> {
        Ok(units())
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &UnitsView) -> Heading {
        Heading::new("Units", "Every unit that is understood.")
    }
}

/// The units.
fn units() -> UnitsView {
    let groups = Dimension::ALL.iter().filter_map(|dimension| {
        let all: Vec<_> = dimension.units().collect();
        let first = all.first().copied()?;
        let units = all.iter().map(|unit| UnitRow {
            symbol: unit.symbol.to_owned(),
            name: unit.name.to_owned(),
            is: if unit.symbol == first.symbol { String::new() } else { exact(unit, first) },
            spellings: unit.aliases.join(", "),
        });
        Some(UnitGroup {
            id: dimension.id().to_owned(),
            title: capital(dimension.title()),
            units: units.collect(),
        })
    });
    UnitsView { groups: groups.collect() }
}

/// What one of a unit is in another: all digits where they end, else ten that are rounded.
fn exact(unit: &Unit, first: &Unit) -> String {
    let factor = unit.factor() / first.factor();
    let ten = BigRational::from_integer(10.into());
    let shift = unit.offset_numerator != 0;
    let mut scaled = factor;
    let mut places = 0usize;
    // A factor that ends does so within 25 digits for every unit in the table.
    while !scaled.is_integer() && places < 25 {
        scaled *= &ten;
        places += 1;
    }
    let ends = scaled.is_integer();
    let mut whole = scaled.round().to_integer();
    if !ends {
        while whole >= BigInt::from(10u64.pow(10)) {
            whole = (BigRational::new(whole, BigInt::one()) / &ten).round().to_integer();
            places = places.saturating_sub(1);
            if places.is_zero() {
                break;
            }
        }
    }
    let mut digits = whole.to_string();
    while digits.len() <= places {
        digits.insert(0, '0');
    }
    let text = if places == 0 {
        digits
    } else {
        let (before, after) = digits.split_at(digits.len() - places);
        format!("{before}.{}", after.trim_end_matches('0')).trim_end_matches('.').to_owned()
    };
    let about = if ends { "" } else { "about " };
    let point = if shift { " (as a difference)" } else { "" };
    format!("{about}{text} {}{point}", first.symbol)
}
