//! A service walked for a fork, step by step: what pages and cards print, in order, and which
//! conditions hold between the procedures.

mod bits;
mod mend;
mod service;
mod shared;
mod vocabulary;
mod walk;

pub use bits::Bits;
pub use mend::{Change, Mend, mend};
pub use service::{
    Plan, Planned, PlannedStep, Variant, effect, ends, is_for, legs_word, on_legs, plan, plans,
};
pub use shared::Plans;
pub use vocabulary::{Effect, Slot, Vocabulary};
pub use walk::{Life, Miss, Walk, holds, walk};
