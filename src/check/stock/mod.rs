//! Rules on what stands beside forks: springs of the stock, builds, valvings, instruments.

mod builds;
pub(crate) mod instruments;
mod personal;
pub(crate) mod place;
mod springs;
mod valvings;

use super::kinds::ShopRule;

/// In no order that matters.
pub(crate) const SHOP_RULES: &[ShopRule] = &[
    builds::explained,
    builds::forks,
    builds::overtaken,
    instruments::fit,
    personal::texts,
    springs::wires,
    valvings::forks,
    valvings::shims,
    valvings::thickness,
];
