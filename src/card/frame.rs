//! The frame of a number that decides most: where it is read, drawn, and what to do about what was read.

use super::goes::Goes;
use super::joined::joined;
use crate::book::facts::{corrections_in_short, near_pressures, temperatures, warm_heights};
use crate::book::view::CardTable;
use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{FieldId, key};
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

/// What can stand in a number's frame, before anything goes.
#[derive(Debug)]
pub(super) struct FrameParts {
    /// It is the nut's height, whose table and drawing go sooner.
    is_nut: bool,
    largest: bool,
    /// What to do about what was read.
    corrections: Vec<CardTable>,
    /// Targets by temperature.
    temperatures: Vec<CardTable>,
    /// What it is on oil of other temperatures; and what is said where the table of temperatures went.
    warm: String,
    near: String,
    drawing_html: String,
}

impl FrameParts {
    /// Of a number on these legs. `low`: its drawing is.
    pub fn of(shop: &Shop, fork: &CheckedFork, (id, legs): (FieldId, [bool; 2]), low: bool) -> FrameParts {
        let field = shop.catalogue.field(id);
        let is_nut = field.key == key::ROD_NUT_HEIGHT.name();
        let largest = OilSetBy::is_height(&field.key);
        let side = if legs[0] { Side::Left } else { Side::Right };
        let drawing = match (largest, is_nut) {
            (true, _) => drawing::gap(fork, side, if low { Shape::Low } else { Shape::Tall }),
            (false, true) => drawing::nut(fork, side),
            (false, false) => None,
        };
        FrameParts {
            is_nut,
            largest,
            corrections: corrections_in_short(shop, fork, field).into_iter().collect(),
            temperatures: temperatures(shop, fork, field).into_iter().collect(),
            warm: warm_heights(shop, fork, field),
            near: near_pressures(shop, fork, id),
            drawing_html: drawing.map(|drawing| drawing.svg).unwrap_or_default(),
        }
    }

    /// The frame where so much went; `None` for a number that stands on a line. What is not there is not asked for: the
    /// line is the same with and without.
    pub fn frame(&self, goes: Goes) -> Option<Frame> {
        let [of_corrections, of_drawing] = match self.is_nut {
            true => [Goes::NutTable, Goes::SmallDrawings],
            false => [Goes::Tables, Goes::Drawings],
        };
        let is_warm = !self.warm.is_empty() && goes.keeps(Goes::Warmth);
        // Ten degrees less and more are said where the table went.
        let is_near = !self.near.is_empty() && !goes.keeps(Goes::Temperatures) && goes.keeps(Goes::Warmth);
        let warm = [(is_warm, &self.warm), (is_near, &self.near)];
        let mut tables = Vec::new();
        for (kept, from) in [(of_corrections, &self.corrections), (Goes::Temperatures, &self.temperatures)] {
            if !from.is_empty() && goes.keeps(kept) {
                tables.extend_from_slice(from);
            }
        }
        let is_drawn = !self.drawing_html.is_empty() && goes.keeps(of_drawing);
        let frame = Frame {
            across: self.largest || is_drawn,
            largest: self.largest,
            tables,
            warm: joined(warm.into_iter().filter(|(is, _)| *is).map(|(_, text)| text.clone()).collect()),
            drawing_html: if is_drawn { self.drawing_html.clone() } else { String::new() },
        };
        (frame.across || !frame.tables.is_empty() || !frame.warm.is_empty()).then_some(frame)
    }
}
