//! The bench card: what it says, its codes, and how it is made to fit on its sheet.

mod asked;
mod cautions;
pub mod content;
mod make;
mod marks;
mod numbers;
mod paper;
mod qr;
mod readings;
mod steps;
mod torques;
pub mod view;

pub use make::{Card, card, overflow};
pub use marks::marks;
