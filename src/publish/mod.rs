//! Pages, cards, charts, drawings, the search index and the atomic writer.

pub mod figure;
pub mod inputs;
pub mod make;
pub mod manifest;
pub mod pages;
pub mod places;
pub mod refusal;
pub mod render;
pub mod sections;
pub mod sheets;
pub mod site;
mod steps;
pub mod view;
pub mod writer;
