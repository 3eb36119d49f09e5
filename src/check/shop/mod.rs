//! Rules on the shop as a whole: what its records point at, what nothing uses, its machines, sources and oils.

mod bench;
mod complaints;
mod families;
pub(crate) mod grades;
pub(crate) mod instruments;
pub(crate) mod links;
pub(crate) mod machines;
mod neighbors;
mod oils;
mod page_names;
mod pictures;
mod placeholders;
mod public;
mod renamed;
pub(crate) mod sources;
mod unknown;
mod unused;

use super::kinds::{ForkRule, RecordRule, ShopRule, TextRule};

/// On what is no fork and no job.
pub(crate) const TEXT_RULES: &[TextRule] = &[
    instruments::lengths,
    instruments::sizes,
    links::parts,
    links::procedures,
    links::renewals,
    links::texts,
    links::tried_again,
    oils::missing,
    placeholders::complaints,
    placeholders::shared,
    placeholders::valvings,
    public::by_approver,
    unknown::otherwise,
];

/// On one record that holds values.
pub(crate) const RECORD_RULES: &[RecordRule] = &[
    links::records,
    placeholders::records,
    sources::dates,
    sources::missing,
    unknown::both,
    unknown::by_approver,
];

/// On one fork.
pub(crate) const FORK_RULES: &[ForkRule] = &[bench::only];

/// On the shop as a whole, in no order that matters.
pub(crate) const SHOP_RULES: &[ShopRule] = &[
    bench::proof,
    complaints::complaints,
    families::families,
    links::singled,
    links::sizes,
    machines::claimed_twice,
    machines::one_model,
    machines::spelled,
    machines::too_early,
    machines::without,
    neighbors::figures,
    page_names::names,
    pictures::files,
    pictures::shown,
    placeholders::procedures,
    renamed::taken,
    unknown::figures,
    unused::unused,
];
