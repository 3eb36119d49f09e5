//! What pages and cards share: the look-ups of a checked shop, values in words, who vouches for them, and what is
//! made once for several pages.

pub mod build;
pub mod doubt;
pub mod due;
pub mod facts;
pub mod figure;
pub mod gaps;
pub mod held;
pub mod inherited;
pub mod keys;
pub mod links;
mod lookups;
pub mod memo;
pub mod parts;
pub mod pictures;
pub mod reading;
pub mod short;
pub mod sign;
pub mod springs;
pub mod text_review;
pub mod texts;
pub mod unknown;
pub mod view;
pub mod vouch;
mod warmth;

pub use lookups::{Book, PartKey};
