//! Which of its units the bench works in: what leads on page, card and draft, and what a reading is written in.

use std::borrow::Cow;

use super::Shop;
use crate::catalogue::Field;
use crate::quantity::{Dimension, Quantity, Saying, Unit};

impl Shop {
    /// The shop's units for a dimension, else those of the field.
    pub fn usual_units<'u>(
        &'u self,
        field: Option<&'u Field>,
        dimension: Dimension,
    ) -> Cow<'u, [&'static Unit]> {
        let fits = |unit: &&Unit| unit.dimension == dimension;
        match (self.settings.units.get(&dimension), field) {
            (Some(units), _) if !units.is_empty() => Cow::Borrowed(units),
            (_, Some(field)) if field.units.iter().all(&fits) => Cow::Borrowed(&field.units),
            (_, Some(field)) => field.units.iter().copied().filter(fits).collect(),
            _ => Cow::default(),
        }
    }

    /// The reading that leads: in the shop's first unit, as written where it was, else converted. Where the shop has
    /// none for the dimension, or the field is not measured in it, as written.
    pub fn main_said<'q>(&self, field: Option<&Field>, quantity: &'q Quantity) -> Cow<'q, Saying> {
        let dimension = quantity.dimension();
        let first = self.usual_units(field, dimension).first().copied();
        let fits = |reading: &&Saying| first.is_some_and(|unit| unit.symbol == reading.unit.symbol);
        if let Some(written) = quantity.sayings.iter().find(fits) {
            return Cow::Borrowed(written);
        }
        // A spring is weighed in grams, whatever else the shop weighs in kilograms.
        let measured_in = |unit: &&'static Unit| {
            let units = field.map_or(&[][..], |field| &field.units);
            self.settings.units.contains_key(&dimension) && units.contains(unit)
        };
        let main = quantity.main();
        let converted =
            first.filter(measured_in).and_then(|unit| main.converted(unit, decimals_in(field, main, unit)));
        converted.map_or(Cow::Borrowed(main), Cow::Owned)
    }

    /// The unit in which a reading is written: that of the figure it is held against, else the shop's first in which the
    /// field is measured; none for words and for a plain count.
    pub fn read_in(&self, field: &Field, asked: Option<&Quantity>) -> Option<&'static Unit> {
        if let Some(asked) = asked {
            return Some(self.main_said(Some(field), asked).unit);
        }
        let dimension = field.kind.dimensions().first();
        let usual = dimension.and_then(|of| self.usual_units(Some(field), *of).first().copied());
        usual.filter(|unit| field.units.contains(unit)).or(field.units.first().copied())
    }
}

/// How many decimals a reading gets in another unit.
pub fn decimals_in(field: Option<&Field>, said: &Saying, unit: &Unit) -> u8 {
    let at = field.and_then(|field| field.units.iter().position(|other| other.symbol == unit.symbol));
    match (field, at) {
        (Some(field), Some(at)) => field.decimals_in(at),
        _ => said.decimals_in(unit),
    }
}
