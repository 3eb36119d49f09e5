//! Rules on procedures, services and the conditions that prove their order.

mod caution;
mod condition_contradiction;
mod condition_loop;
mod condition_names;
mod condition_words;
mod coverage;
mod fork_without_service;
mod missed;
pub(crate) mod needs_value;
mod order;
mod procedure_twice;
mod proof;
mod tools;
mod torques;
mod unused_condition;
mod wrenches;

use super::kinds::{PlanRule, ShopRule};

/// On the shop as a whole.
pub(crate) const SHOP_RULES: &[ShopRule] = &[
    condition_contradiction::contradictions,
    condition_loop::loops,
    condition_names::names,
    fork_without_service::services,
    procedure_twice::repeated,
    tools::tools,
    unused_condition::unused,
];

/// On what the services do for each fork.
pub(crate) const PLAN_RULES: &[PlanRule] = &[coverage::services, order::order, wrenches::wrenches];
