//! Pages, cards, charts, drawings, the search index and the atomic writer.

pub mod manifest;
pub mod places;
pub mod refusal;
pub mod render;
mod steps;
pub mod view;
pub mod writer;
