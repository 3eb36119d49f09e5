//! One finding type, and one file for each format it is written in.

mod finding;
mod github;
mod json;
mod limit;
mod order;
mod overview;
mod place;
mod rule;
mod sarif;
mod severity;
mod stream;
mod suggest;
mod text;

pub use finding::Finding;
pub(crate) use finding::Label;
pub use github::github;
pub use json::{SCHEMA, json, write_json};
pub(crate) use limit::limit;
pub use order::order;
pub use overview::{overview, with_overview};
pub use place::{Place, Places};
pub(crate) use rule::in_words;
pub use rule::{Rule, rules};
pub use sarif::{sarif, write_sarif};
pub use severity::Severity;
pub(crate) use suggest::{did_you_mean, nearest, nearest_all};
pub use text::text;
pub(crate) use text::{short, summary};
