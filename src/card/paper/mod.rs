//! The sheet of a card: its sizes, how wide its letters run, how high its blocks are, and how all of it is made to fit.

mod back;
mod face;
mod front;
mod height;
mod size;

pub(super) use back::back;
pub(super) use front::front;
