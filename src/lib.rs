//! benchleaf compiles a fork-service shop's spec records and procedures into checked pages and bench cards.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod bench;

pub mod diagnostic;
pub mod publish;
pub mod quantity;
pub mod source;
