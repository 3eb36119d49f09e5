//! The sheet of a card: its sizes, how wide its letters run, how high its lines are, and how all of it is laid out.

mod face;
mod fit;
mod flow;
mod hang;
mod height;
mod size;

pub(super) use fit::{Level, Levels, Paper, Placed, Worked, lay_out};
pub(super) use hang::HangSheet;
pub(super) use height::Measured;
