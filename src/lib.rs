//! benchleaf compiles a fork-service shop's spec records and procedures into checked pages and bench cards.
//!
//! One direction: source, record, link and resolve, plan, check, publish. [`check_shop`] is the first
//! half, [`publish`] the second.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod bench;
pub mod calc;
pub mod catalogue;
pub mod check;
pub mod cli;
pub mod compare;
pub mod date;
pub mod derive;
pub mod diagnostic;
pub mod draft;
pub mod output;
mod pipeline;
pub mod plan;
pub mod publish;
pub mod pull;
pub mod quantity;
pub mod record;
pub mod resolve;
pub mod review;
pub mod schema;
pub mod syntax;
pub mod text;

pub use pipeline::{Checked, Sources, check_shop, check_shop_on, check_sources, read_shop};
