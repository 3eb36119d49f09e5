//! From a spelling to its unit, and from a dimension to its units.

use super::dimension::Dimension;
use super::table::UNITS;
use super::unit::Unit;
use std::sync::LazyLock;

/// How a spelling was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::quantity) enum Spelling {
    Canonical,
    Alias,
    Misspelling,
}

impl Dimension {
    /// The units of this dimension, the usual ones first.
    ///
    /// ```
    /// use benchleaf::quantity::Dimension;
    ///
    /// assert_eq!(Dimension::Length.units().next().unwrap().symbol, "mm");
    /// ```
    pub fn units(self) -> impl Iterator<Item = &'static Unit> {
        UNITS.iter().filter(move |unit| unit.dimension == self)
    }
}

/// Every spelling, sorted, with its unit's place in the table. Made once from a constant table: the same
/// for every caller, so not a state.
static INDEX: LazyLock<Vec<(&'static str, usize, Spelling)>> = LazyLock::new(|| {
    let mut index: Vec<_> = UNITS
        .iter()
        .enumerate()
        .flat_map(|(at, unit)| {
            std::iter::once((unit.symbol, at, Spelling::Canonical))
                .chain(unit.aliases.iter().map(move |alias| (*alias, at, Spelling::Alias)))
                .chain(unit.misspellings.iter().map(move |miss| (*miss, at, Spelling::Misspelling)))
        })
        .collect();
    index.sort_unstable();
    index
});

/// Every unit that has exactly this spelling.
pub(in crate::quantity) fn spelled(text: &str) -> impl Iterator<Item = (&'static Unit, Spelling)> {
    let from = INDEX.partition_point(|(spelling, _, _)| *spelling < text);
    INDEX[from..]
        .iter()
        .take_while(move |(spelling, _, _)| *spelling == text)
        .map(|(_, at, how)| (&UNITS[*at], *how))
}

/// The unit with this spelling. Where two dimensions share one (`°C` as a point or a difference), the first
/// of the table: see [`unit_of`].
///
/// ```
/// use benchleaf::quantity::unit;
///
/// assert_eq!(unit("Nm").unwrap().symbol, "N·m");
/// assert!(unit("oz").is_none());
/// ```
pub fn unit(symbol: &str) -> Option<&'static Unit> {
    spelled(symbol).next().map(|(unit, _)| unit)
}

/// The unit of one dimension with this spelling.
///
/// ```
/// use benchleaf::quantity::{Dimension, unit_of};
///
/// let kelvin = unit_of(Dimension::TemperatureDifference, "°C").unwrap();
/// assert_eq!(kelvin.to_si(5.0), 5.0);
/// ```
pub fn unit_of(dimension: Dimension, symbol: &str) -> Option<&'static Unit> {
    spelled(symbol).map(|(unit, _)| unit).find(|unit| unit.dimension == dimension)
}

#[cfg(test)]
mod tests {
    use super::*;
    use num_bigint::BigInt;
    use num_rational::BigRational;
    use std::collections::BTreeSet;

    #[test]
    fn a_spelling_means_one_unit_of_a_dimension() {
        let mut seen = BTreeSet::new();
        for unit in &UNITS {
            for spelling in unit.spellings() {
                assert!(
                    seen.insert((unit.dimension, spelling)),
                    "{spelling} stands twice under {:?}",
                    unit.dimension
                );
            }
        }
    }

    #[test]
    fn every_spelling_is_found_and_canonical_ones_first() {
        for unit in &UNITS {
            for spelling in unit.spellings() {
                assert_eq!(unit_of(unit.dimension, spelling).map(|u| u.symbol), Some(unit.symbol));
            }
        }
        assert_eq!(unit("°C").map(|u| u.dimension), Some(Dimension::Temperature));
        assert_eq!(unit("m").map(|u| u.dimension), Some(Dimension::Length));
        assert_eq!(unit("oz"), None);
    }

    #[test]
    fn powers_of_ten_keep_the_digits() {
        let unit = |symbol| unit(symbol).unwrap();
        for (a, b, same) in [
            ("N·m", "daN·m", true),
            ("mm", "cm", true),
            ("kPa", "bar", true),
            ("mL", "cm³", true),
            ("°C", "°F", false),
            ("kPa", "kgf/cm²", false),
            ("N·m", "kgf·m", false),
            ("mm", "mL", false),
        ] {
            assert_eq!(unit(a).same_digits(unit(b)), same, "{a} {b}");
            assert_eq!(unit(b).same_digits(unit(a)), same, "{b} {a}");
        }
    }

    #[test]
    fn base_and_back_is_exact() {
        let number = BigRational::new(BigInt::from(1234), BigInt::from(1000));
        for unit in &UNITS {
            assert_eq!(unit.of_base(&unit.to_base(&number)), number, "{}", unit.symbol);
            let back = unit.from_si(unit.to_si(1.234));
            assert!((back - 1.234).abs() < 1e-12, "{} {back}", unit.symbol);
        }
    }

    #[test]
    fn units_of_a_dimension_are_listed_in_the_tables_order() {
        assert_eq!(Dimension::Pressure.units().next().map(|u| u.symbol), Some("kPa"));
        for dimension in Dimension::ALL {
            assert!(dimension.units().next().is_some());
            assert_eq!(Dimension::from_id(dimension.id()), Some(dimension));
        }
    }
}
