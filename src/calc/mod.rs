//! The arithmetic as commands: each subject takes quantities in the records' notation, and what a fork's record
//! knows fills in the rest.

#[cfg(test)]
mod agree;
mod air;
mod asked;
mod convert;
mod fasteners;
mod grade;
mod joint;
mod oil;
mod readings;
mod sheet;
mod spring;
mod subject;
#[cfg(test)]
mod sweep;

pub use asked::{Asked, Input, KnownFork, Takes};
pub use convert::{Reading, convert};
pub use sheet::{Line, Refusal, Sheet};
pub use subject::Subject;

/// Every subject, in the order in which the help lists them.
pub fn subjects() -> impl Iterator<Item = &'static Subject> {
    oil::SUBJECTS
        .iter()
        .chain(air::SUBJECTS)
        .chain(spring::SUBJECTS)
        .chain(fasteners::SUBJECTS)
        .chain(readings::SUBJECTS)
        .chain(grade::SUBJECTS)
}
