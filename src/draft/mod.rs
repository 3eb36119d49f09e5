//! Drafts of new records: the right fields for a fork's choices, values blank rather than copied, and beside
//! each how it is measured. Pure: texts by path; nothing is written here.

mod family;
mod fork;
mod job;
mod oil;
mod procedure;
mod service;
mod shop;
mod small;
mod stock;
mod write;

pub use family::family;
pub use fork::{first_of_its_kind, fork};
pub use job::{JobBegun, job};
pub use oil::oil;
pub use procedure::procedure;
pub use service::service;
pub use shop::shop;
pub use small::{caution, complaint, condition, tool};
pub use stock::{build, spring, valving};
pub use write::Draft;
