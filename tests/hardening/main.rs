//! Nothing a stranger puts in a repository runs, leaks, overwrites or hangs.
#![cfg(unix)]

mod bounds;
mod links;
mod programs;
mod support;
mod unseen;
