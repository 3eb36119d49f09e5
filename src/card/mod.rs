//! The cards: what they say, their codes, and how they are made to fit on their sheet.

mod cautions;
pub mod content;
mod frame;
mod goes;
mod hang;
mod lines;
mod make;
mod marks;
mod number;
mod pairs;
mod paper;
mod places;
mod qr;
mod unnamed;
pub mod view;
pub mod wall;

pub use hang::{HangCard, hang_card, hang_fitted, hang_overflow};
pub use make::{Card, card, fitted, overflow};
pub use marks::{hang_marks, marks};
