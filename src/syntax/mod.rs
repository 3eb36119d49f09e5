//! Texts to spanned trees: how YAML and Markdown are read.

mod from_tree;
mod left_open;
pub mod markdown;
mod running;
mod scalar;
mod scheme;
mod unseen;
pub mod yaml;

pub use unseen::none_unseen;

pub(crate) use from_tree::{WITH_PLACE, from_tree};
pub(crate) use scalar::scalar;

pub use running::Running;
pub use scheme::Scheme;
