//! The sheet of a card: its size, how wide its letters run, how high its blocks are, and how all of it is made to fit.

mod face;
pub(super) mod fit;
mod height;
mod size;
