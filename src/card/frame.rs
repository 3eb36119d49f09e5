//! The frame of a number that decides most: where it is read, drawn, and what to do about what was read.

use super::lines::Bench;
use crate::book::facts::{corrections_in_short, temperatures, warm_heights};
use crate::book::view::CardTable;
use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{FieldId, Key, key};
use crate::drawing;
use crate::resolve::Side;

/// What a frame holds beside the number.
#[derive(Debug, Clone, Default)]
pub(super) struct Frame {
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
pub(super) fn frame_of(bench: &Bench<'_, '_>, id: FieldId, legs: [bool; 2]) -> Option<Frame> {
    let (shop, fork, goes) = (bench.book.shop, bench.texts.fork, bench.goes);
    let field = shop.catalogue.field(id);
    let mut tables = Vec::new();
    let warm = if goes.keeps_temperatures() { warm_heights(fork, field) } else { String::new() };
    let is = |key: Key| field.key == key.name();
    let is_nut = is(key::ROD_NUT_HEIGHT);
    if if is_nut { goes.keeps_nut_table() } else { goes.keeps_tables() } {
        tables.extend(corrections_in_short(fork, field));
    }
    if goes.keeps_temperatures() {
        tables.extend(temperatures(shop, fork, field));
    }
    let side = if legs[0] { Side::Left } else { Side::Right };
    let largest = OilSetBy::is_height(&field.key);
    let drawn = |wanted: bool, make: &dyn Fn() -> Option<drawing::Drawing>| {
        let made = if wanted { make() } else { None };
        made.map(|drawing| drawing.svg).unwrap_or_default()
    };
    let drawing_html = if largest {
        drawn(goes.keeps_drawings(), &|| drawing::gap(fork, side))
    } else if is_nut {
        drawn(goes.keeps_small_drawings(), &|| drawing::nut(fork, side))
    } else {
        String::new()
    };
    let framed = largest || !tables.is_empty() || !drawing_html.is_empty();
    framed.then_some(Frame { largest, tables, warm, drawing_html })
}
