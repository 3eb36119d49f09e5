//! One complete view per fork: both legs, every value with where it came from.

mod build;
mod by_field;
mod by_id;
mod fork;
mod kind;
mod laid;
mod names;
mod pictures;
mod renamed;
mod said;
mod shop;

pub use by_field::ByField;
pub use by_id::{ById, HasId};
pub use fork::{Leg, Origin, Resolved, ResolvedFork, Side, Work};
pub use kind::NamedParts;
pub use laid::resolve;
pub use pictures::{ON_CARD, Shown};
pub(crate) use said::decimals_in;
pub use shop::Shop;
