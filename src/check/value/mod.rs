//! Rules on the values of a fork.

mod apart;
mod bands;
mod choices;
mod form;
mod legs;
mod middle;
mod missing;
pub(crate) mod room;
mod seals;
mod second;
mod sequence;
pub mod slips;
mod state_differs;
mod state_edge;
mod state_missing;
mod state_unusual;
pub(crate) mod stray;
mod tuning;

use super::kinds::{ForkRule, PeerRule, ShopRule};

/// On one fork, in no order that matters.
pub(crate) const FORK_RULES: &[ForkRule] = &[
    apart::rules,
    choices::choices,
    form::forms,
    legs::differences,
    legs::wrong_leg,
    missing::missing,
    seals::fits,
    second::second_saying,
    sequence::twice,
    state_differs::differing,
    state_edge::edges,
    state_missing::state,
    state_unusual::unusual,
    stray::stray,
    tuning::tuning,
];

/// On the shop as a whole.
pub(crate) const SHOP_RULES: &[ShopRule] = &[bands::oils];

/// Among like forks.
pub(crate) const PEER_RULES: &[PeerRule] = &[bands::forks, slips::peers];
