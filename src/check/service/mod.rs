//! Rules on procedures, services and the conditions that prove their order.

mod boxes;
mod caution;
mod condition_contradiction;
mod condition_loop;
mod condition_names;
pub(crate) mod condition_words;
mod coverage;
mod evidence;
mod fork_without_service;
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

use super::kinds::{PlanRule, ShopRule};

/// On the shop as a whole.
pub(crate) const SHOP_RULES: &[ShopRule] = &[
    boxes::boxes,
    condition_contradiction::contradictions,
    condition_loop::loops,
    condition_names::names,
    evidence::values,
    fork_without_service::services,
    left_at_hand_back::left_out,
    number_in_text::numbers,
    procedure_twice::repeated,
    signal_words::signal_words,
    step_on_card::steps,
    tools::tools,
    unused_condition::unused,
];

/// On what the services do for each fork.
pub(crate) const PLAN_RULES: &[PlanRule] = &[
    coverage::services,
    evidence::evidence,
    hazards::hazards,
    only_after::only_after,
    order::order,
    states::states,
    thread_states::threads,
    unknown::set,
    wrenches::wrenches,
];
