//! One complete view per fork: both legs, every value with where it came from.

mod build;
mod by_id;
mod fork;
mod names;
mod pictures;
mod renamed;
mod said;
mod shop;

pub use by_id::{ById, HasId};
pub use fork::{Leg, Origin, Resolved, ResolvedFork, Side, Work, resolve};
pub use pictures::{ON_CARD, Shown};
pub(crate) use said::decimals_in;
pub use shop::Shop;
