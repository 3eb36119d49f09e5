//! Nothing a stranger puts in a repository runs, leaks, overwrites or hangs.
#![cfg(unix)]

mod links;
mod programs;
mod support;
mod unseen;
