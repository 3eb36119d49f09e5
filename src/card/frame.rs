//! The frame of a number that decides most: where it is read, drawn, and what to do about what was read.

use super::goes::Goes;
use super::number::joined;
use crate::book::facts::{corrections_in_short, near_pressures, temperatures, warm_heights};
use crate::book::view::CardTable;
use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{FieldId, Key, key};
use crate::check::CheckedFork;
use crate::drawing::{self, Shape};
use crate::resolve::{Shop, Side};

/// What a frame holds beside the number.
#[derive(Debug, Clone, Default)]
pub(super) struct Frame {
    /// It goes across the sheet.
    pub across: bool,
    /// The largest number of the sheet.
    pub largest: bool,
    /// Corrections, and targets by temperature.
    pub tables: Vec<CardTable>,
    /// What it is on oil of other temperatures.
    pub warm: String,
    /// Where it is read.
    pub drawing_html: String,
}

/// The frame of a number; `None` for one that stands on a line.
pub(super) fn frame_of(
    (shop, fork): (&Shop, &CheckedFork),
    id: FieldId,
    legs: [bool; 2],
    goes: Goes,
    low: bool,
) -> Option<Frame> {
    let field = shop.catalogue.field(id);
    let mut tables = Vec::new();
    let warm = match (goes.keeps(Goes::Temperatures), goes.keeps(Goes::Warmth)) {
        (_, false) => String::new(),
        (true, true) => warm_heights(shop, fork, field),
        (false, true) => joined(vec![warm_heights(shop, fork, field), near_pressures(shop, fork, id)]),
    };
    let is = |key: Key| field.key == key.name();
    let is_nut = is(key::ROD_NUT_HEIGHT);
    if if is_nut { goes.keeps(Goes::NutTable) } else { goes.keeps(Goes::Tables) } {
        tables.extend(corrections_in_short(shop, fork, field));
    }
    if goes.keeps(Goes::Temperatures) {
        tables.extend(temperatures(shop, fork, field));
    }
    let side = if legs[0] { Side::Left } else { Side::Right };
    let largest = OilSetBy::is_height(&field.key);
    let drawn = |wanted: bool, make: &dyn Fn() -> Option<drawing::Drawing>| {
        let made = if wanted { make() } else { None };
        made.map(|drawing| drawing.svg).unwrap_or_default()
    };
    let drawing_html = if largest {
        drawn(goes.keeps(Goes::Drawings), &|| {
            drawing::gap(fork, side, if low { Shape::Low } else { Shape::Tall })
        })
    } else if is_nut {
        drawn(goes.keeps(Goes::SmallDrawings), &|| drawing::nut(fork, side))
    } else {
        String::new()
    };
    let across = largest || !drawing_html.is_empty();
    (across || !tables.is_empty() || !warm.is_empty()).then_some(Frame {
        across,
        largest,
        tables,
        warm,
        drawing_html,
    })
}
