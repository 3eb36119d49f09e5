//! Units in which a number has the same digits.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::dimension::Dimension;
use super::table::UNITS;
use super::unit::Unit;

/// Of each unit of the table, the place of the first in which its numbers have the same digits. Exact factors are
/// divided for it, which takes long, and so it is done once.
static FIRST: LazyLock<HashMap<(&str, Dimension), usize>> = LazyLock::new(|| {
    let first = |unit: &Unit| UNITS.iter().position(|other| unit.has_digits_of(other));
    UNITS.iter().filter_map(|unit| Some(((unit.symbol, unit.dimension), first(unit)?))).collect()
});

impl Unit {
    /// Whether a number in one of the two has the same digits in the other, as in N·m and daN·m or kPa and bar: one is
    /// a power of ten of the other, or its other name.
    pub(crate) fn same_digits(&self, other: &Unit) -> bool {
        let first = |unit: &Unit| FIRST.get(&(unit.symbol, unit.dimension));
        match (first(self), first(other)) {
            (Some(one), Some(other)) => one == other,
            _ => self.has_digits_of(other),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_is_what_is_worked_out_for_every_two_units() {
        for one in &UNITS {
            for other in &UNITS {
                assert_eq!(
                    one.same_digits(other),
                    one.has_digits_of(other),
                    "{} {}",
                    one.symbol,
                    other.symbol
                );
            }
        }
    }
}
