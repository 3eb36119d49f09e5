//! A service walked for a fork, step by step: what pages and cards print, in order, and which
//! conditions hold between the procedures.

mod bits;
mod mend;
mod service;
mod shared;
mod vocabulary;
mod walk;

pub use bits::Bits;
pub(crate) use mend::mend;
pub use mend::{Change, Mend};
pub use service::{Plan, Planned, PlannedStep, Variant, ends, plan};
pub(crate) use service::{effect, is_for, legs_word, on_legs};
pub use shared::Plans;
pub use vocabulary::{Effect, Slot, Vocabulary};
pub(crate) use walk::walk;
pub use walk::{Life, Miss, Walk, holds};
