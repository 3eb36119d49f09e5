//! What the reviewer of a pull request relies on, from outside the program.

mod comparing;
mod formats;
mod guards;
mod library;
mod reach;
mod revisions;
mod starting;
mod support;
mod workflow;
