//! Nothing a stranger puts in a repository runs, leaks, overwrites or hangs.
#![cfg(unix)]

#[path = "../attack/mod.rs"]
mod attack;
#[path = "attack.rs"]
mod attack_outputs;
mod bounds;
mod links;
mod programs;
mod support;
mod unseen;
mod waiting;
