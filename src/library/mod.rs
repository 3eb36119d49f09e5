//! The library: the procedures, cautions, conditions, services, complaints and tools that a shop begins with, and how
//! a shop takes a later version of them. Pure: texts in, texts out; nothing is written here.

/// The line by which an invented example says what it is, near its beginning.
pub const EXAMPLE: &str = "# An invented example: replace it.";

mod follow;
mod ledger;
mod stock;
mod units;
mod without;

pub use follow::{Conflict, Following, Wish, follow};
pub use ledger::{LEDGER, Ledger};
pub use stock::{Stock, StockError};
pub use units::CONDITIONS;
pub(crate) use units::with_entry;
pub(crate) use without::without;
