//! The bench card: what it says, its codes, and how it is made to fit on its sheet.

mod cautions;
pub mod content;
mod make;
mod paper;
mod qr;
mod steps;
pub mod view;

pub use make::{Card, card, overflow};
