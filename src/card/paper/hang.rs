//! How a hang card is laid out: what is poured and set across the sheet, the rest in columns below it.

use super::fit::{Paper, Worked, blocks, height};
use super::flow::flow;
use super::height::hang_rest;
use crate::card::view::HangView;

/// Lays a hang card out, its first part across the sheet: its view with its lines, and how far it goes over in mm; zero
/// or less where it fits.
pub(in crate::card) fn lay_out_hang(view: HangView, work: &[Worked], paper: Paper) -> (HangView, f64) {
    let across = work.iter().take_while(|worked| !worked.flows).count();
    let (first, rest) = work.split_at(across);
    let (columns, high) = flow(rest, paper);
    let over = height(first, paper) + high + hang_rest(&view, paper.wide()) - paper.high();
    (HangView { blocks: blocks(first, paper), columns, ..view }, over)
}
