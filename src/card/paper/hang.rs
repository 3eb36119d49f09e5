//! How a hang card is laid out: what is poured and set across the sheet, the rest in columns below it.

use super::fit::{Paper, Placed, Worked, blocks, height};
use super::flow::{Flow, flow};
use super::height::hang_rest;
use crate::card::view::HangView;

/// A hang card laid out, its first part across the sheet.
pub(in crate::card) struct HangSheet<'w> {
    first: &'w [Worked],
    flow: Flow<'w>,
    paper: Paper,
    /// How far its lines go over, in mm.
    high: f64,
}

impl<'w> HangSheet<'w> {
    /// Lays its lines out.
    pub fn new(work: &'w [Worked], paper: Paper) -> HangSheet<'w> {
        let across = work.iter().take_while(|worked| !worked.flows).count();
        let (first, rest) = work.split_at(across);
        let flow = flow(rest, paper);
        HangSheet { first, high: height(first, paper) + flow.high(), flow, paper }
    }

    /// How far it goes over with what stands at its head and foot, in mm; zero or less where it fits.
    pub fn over(&self, view: &HangView) -> f64 {
        self.high + hang_rest(view, self.paper.wide()) - self.paper.high()
    }

    /// How high it is at the least on a paper on which everything is larger, in mm: no line and no text is lower in a
    /// narrower column, and lines in so many columns are as high as their share of all.
    pub fn least(&self, view: &HangView) -> f64 {
        let lines = self.first.iter().flat_map(|worked| worked.lines.iter());
        lines.map(Placed::least_share).sum::<f64>() + self.flow.high() + hang_rest(view, self.paper.wide())
    }

    /// The card with its lines.
    pub fn filled(&self, view: HangView) -> HangView {
        HangView { blocks: blocks(self.first, self.paper), columns: self.flow.columns(), ..view }
    }
}
