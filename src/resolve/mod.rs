//! One complete view per fork: both legs, every value with where it came from.

mod fork;
mod shop;

pub use fork::{Leg, Origin, Resolved, ResolvedFork, Side, Work, resolve};
pub use shop::Shop;
