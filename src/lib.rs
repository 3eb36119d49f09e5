//! benchleaf compiles a fork-service shop's spec records and procedures into checked pages and bench cards.
//!
//! One direction: text, record, resolve, plan, check, then cards and pages. [`check_shop`] is the first
//! half, [`site`] the second; [`output`] writes what was made.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

// What tests of the library and of the program share calls it by its name.
#[cfg(test)]
extern crate self as benchleaf;

mod again;
pub mod approve;
pub mod bench;
pub mod book;
pub mod calc;
pub mod card;
pub mod catalogue;
pub mod check;
pub mod cli;
pub mod compare;
pub mod date;
pub mod derive;
pub mod diagnostic;
pub mod draft;
pub mod drawing;
mod intake;
pub mod judge;
pub mod ledger;
pub mod library;
pub mod output;
pub mod picture;
mod pipeline;
pub mod plan;
pub mod pull;
pub mod quantity;
pub mod record;
pub mod resolve;
pub mod review;
pub mod schema;
pub mod serve;
pub mod site;
pub mod syntax;
pub mod text;
mod words;

pub use pipeline::{
    Checked, Memory, Sources, check_again, check_shop, check_shop_on, check_sources, read_shop,
};
