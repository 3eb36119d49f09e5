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

use super::kinds::ShopRule;

/// In no order that matters.
pub(crate) const SHOP_RULES: &[ShopRule] = &[
    bench::only,
    bench::proof,
    complaints::complaints,
    families::families,
    instruments::lengths,
    instruments::sizes,
    links::parts,
    links::procedures,
    links::records,
    links::renewals,
    links::tried_again,
    links::singled,
    links::sizes,
    machines::claimed_twice,
    machines::one_model,
    machines::spelled,
    machines::too_early,
    machines::without,
    neighbors::figures,
    oils::missing,
    page_names::names,
    pictures::files,
    pictures::shown,
    placeholders::complaints,
    placeholders::procedures,
    placeholders::records,
    placeholders::shared,
    placeholders::valvings,
    public::by_approver,
    renamed::taken,
    sources::dates,
    sources::missing,
    unknown::both,
    unknown::by_approver,
    unknown::figures,
    unknown::otherwise,
    unused::unused,
];
