//! Rules on procedures, services and the conditions that prove their order.

mod alike;
mod boxes;
mod caution;
mod caution_due;
mod caution_sides;
mod condition_contradiction;
mod condition_loop;
mod condition_names;
pub(crate) mod condition_words;
mod coverage;
mod ends;
mod evidence;
mod first_click;
mod fits;
mod fork_without_service;
mod gauges;
mod hand_back_sides;
mod hazards;
mod left_at_hand_back;
mod missed;
pub(crate) mod needs_value;
mod number_in_text;
mod only_after;
mod order;
mod procedure_twice;
mod proof;
mod signal_words;
mod states;
mod step_on_card;
mod thread_states;
mod tools;
mod torques;
mod unknown;
mod unused_condition;
mod wrenches;

use super::kinds::{ForkPlanRule, PlanRule, ShopRule, TextRule};

/// On what is no fork and no job.
pub(crate) const TEXT_RULES: &[TextRule] = &[
    boxes::boxes,
    caution_due::names,
    condition_contradiction::contradictions,
    condition_loop::loops,
    condition_names::names,
    evidence::not_brought,
    first_click::clicks,
    hand_back_sides::sides,
    left_at_hand_back::left_out,
    number_in_text::numbers,
    procedure_twice::repeated,
    signal_words::signal_words,
    step_on_card::steps,
    tools::tools,
    unused_condition::unused,
];

/// On the shop as a whole.
pub(crate) const SHOP_RULES: &[ShopRule] =
    &[caution_sides::sides, evidence::values, fork_without_service::services];

/// On what the services do for one fork.
pub(crate) const FORK_PLAN_RULES: &[ForkPlanRule] = &[coverage::services, unknown::set];

/// On what the services do for all forks, where what is said of several is what is said of each. They name whom they reach.
pub(crate) const SUMMED_RULES: &[PlanRule] = &[
    caution_due::due,
    ends::ends,
    evidence::evidence,
    fits::sizes,
    gauges::gauges,
    hazards::hazards,
    only_after::only_after,
    states::states,
    thread_states::threads,
    wrenches::wrenches,
];

/// On what the services do for all forks.
pub(crate) const PLAN_RULES: &[PlanRule] = &[order::order];
