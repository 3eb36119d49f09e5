//! Rules on the values of a fork.

mod apart;
mod axle_held;
mod bands;
mod bounds;
mod chamber_order;
mod choices;
mod counted;
mod dry_threads;
mod form;
mod legs;
mod legs_apart;
mod legs_told;
mod lone_unit;
mod middle;
pub(crate) mod missing;
mod not_fitted;
mod oil_use;
mod reading_temperature;
pub(crate) mod room;
mod seal_stack;
mod seal_width;
mod seals;
mod second;
mod sequence;
pub mod slips;
mod state_differs;
mod state_edge;
mod state_missing;
mod state_unusual;
pub(crate) mod stray;
mod thread_states;
mod tuning;
mod two_sources;

use super::kinds::{ForkRule, PeerRule, RecordRule, TextRule};

/// On one fork, in no order that matters.
pub(crate) const FORK_RULES: &[ForkRule] = &[
    apart::rules,
    axle_held::sides,
    bounds::bounds,
    chamber_order::orders,
    choices::choices,
    counted::counted,
    dry_threads::threads,
    form::forms,
    legs::differences,
    legs::wrong_leg,
    legs_apart::legs,
    legs_told::told,
    missing::missing,
    not_fitted::refused,
    oil_use::oils,
    reading_temperature::temperatures,
    seal_stack::stack,
    seal_width::widths,
    seals::fits,
    second::second_saying,
    sequence::twice,
    state_differs::differing,
    state_edge::edges,
    state_missing::state,
    state_unusual::unusual,
    stray::stray,
    thread_states::states,
    tuning::tuning,
    two_sources::compared,
];

/// On what is no fork and no job.
pub(crate) const TEXT_RULES: &[TextRule] = &[bands::oils];

/// On one record that holds values.
pub(crate) const RECORD_RULES: &[RecordRule] = &[lone_unit::units];

/// Among like forks.
pub(crate) const PEER_RULES: &[PeerRule] = &[bands::forks, slips::peers];
