//! Pages, cards, charts, drawings and the search index.

pub mod figure;
pub mod inputs;
pub mod make;
pub mod pages;
pub mod render;
pub mod sections;
pub mod sheets;
pub mod site;
pub mod view;
