//! Pages, cards, charts, drawings, the search index and the atomic writer.

pub mod manifest;
pub mod places;
pub mod refusal;
mod steps;
pub mod writer;
