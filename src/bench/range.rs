//! What an arithmetic function says instead of a number it cannot stand behind.

use std::fmt;

/// Why there is no result. The sentence is for the person at the bench: it names the value and what is
/// wrong with it.
#[derive(Debug, Clone, PartialEq)]
pub enum OutOfRange {
    /// The value is NaN or infinite.
    NotANumber {
        /// The value, in trade words.
        what: &'static str,
    },
    /// The value is zero or negative where only more than zero makes sense.
    NotPositive {
        /// The value, in trade words.
        what: &'static str,
    },
    /// The value is negative where zero is the least.
    Negative {
        /// The value, in trade words.
        what: &'static str,
    },
    /// The value lies outside the range for which the formula holds.
    Beyond {
        /// The value, in trade words.
        what: &'static str,
        /// The least that can be used, with its unit.
        least: String,
        /// The most that can be used, with its unit.
        most: String,
    },
    /// Two values contradict each other: the first has to be more than the second.
    Contradiction {
        /// What has to be more.
        more: &'static str,
        /// What has to be less.
        less: &'static str,
    },
    /// A list of sections does not run downwards without a gap.
    Sections {
        /// What the sections describe.
        what: &'static str,
    },
    /// The leg has no air left: it locks on oil at the travel given, in metres.
    Locked {
        /// Travel at which the air is used up, in metres; zero when it is locked from the start.
        travel: f64,
    },
    /// What was asked for cannot be reached with what there is.
    Unreachable {
        /// The whole sentence.
        why: &'static str,
    },
    /// The standard's table has no such entry.
    NotInTable {
        /// What was looked up.
        what: &'static str,
        /// The entry that was asked for.
        asked: String,
    },
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            OutOfRange::NotANumber { what } => write!(f, "the {what} is not a number that can be used"),
            OutOfRange::NotPositive { what } => write!(f, "the {what} must be more than zero"),
            OutOfRange::Negative { what } => write!(f, "the {what} cannot be less than zero"),
            OutOfRange::Beyond { what, least, most } => {
                write!(f, "the {what} must lie between {least} and {most}")
            }
            OutOfRange::Contradiction { more, less } => {
                write!(f, "the {more} must be more than the {less}")
            }
            OutOfRange::Sections { what } => {
                write!(
                    f,
                    "the sections of the {what} must run down from the edge, each ending deeper than the one before, and only the last may be open"
                )
            }
            OutOfRange::Locked { travel } => {
                write!(f, "the leg has no air left and locks on oil at {:.0} mm of travel", travel * 1000.0)
            }
            OutOfRange::Unreachable { why } => f.write_str(why),
            OutOfRange::NotInTable { what, asked } => write!(f, "there is no {what} {asked:?} in the table"),
        }
    }
}

impl std::error::Error for OutOfRange {}

/// A unit to say a limit in: its symbol and how many SI units it holds.
#[derive(Debug, Clone, Copy)]
pub(crate) struct In(pub &'static str, pub f64);

pub(crate) const MM: In = In("mm", 1e-3);
pub(crate) const ML: In = In("mL", 1e-6);
pub(crate) const KPA: In = In("kPa", 1e3);
pub(crate) const N_PER_MM: In = In("N/mm", 1e3);
pub(crate) const NEWTON: In = In("N", 1.0);
pub(crate) const NM: In = In("N·m", 1.0);
pub(crate) const MM2_PER_S: In = In("mm²/s", 1e-6);
pub(crate) const KG_PER_M3: In = In("kg/m³", 1.0);
pub(crate) const GRAM: In = In("g", 1e-3);
pub(crate) const GPA: In = In("GPa", 1e9);
pub(crate) const DEGREE: In = In("°", core::f64::consts::PI / 180.0);
pub(crate) const PLAIN: In = In("", 1.0);

impl In {
    fn say(self, si: f64) -> String {
        let number = si / self.1;
        // Limits are round figures; six digits hide the rounding of the division.
        let text = format!("{number:.3}");
        let text = text.trim_end_matches('0').trim_end_matches('.');
        if self.0.is_empty() { text.to_string() } else { format!("{text} {}", self.0) }
    }
}

/// The SI value when it is a number.
pub(crate) fn number(what: &'static str, si: f64) -> Result<f64, OutOfRange> {
    if si.is_finite() { Ok(si) } else { Err(OutOfRange::NotANumber { what }) }
}

/// The SI value when it lies in `least..=most` of the unit; limits are in that unit.
pub(crate) fn within(
    what: &'static str,
    si: f64,
    unit: In,
    least: f64,
    most: f64,
) -> Result<f64, OutOfRange> {
    number(what, si)?;
    let (from, to) = (least * unit.1, most * unit.1);
    // A hair's breadth of slack: a limit read from decimal text may land one rounding beside it.
    let slack = 1e-12 * from.abs().max(to.abs());
    if si < from - slack || si > to + slack {
        return Err(OutOfRange::Beyond { what, least: unit.say(from), most: unit.say(to) });
    }
    Ok(si)
}

/// The SI value when it is above zero and at most `most` of the unit.
pub(crate) fn positive(what: &'static str, si: f64, unit: In, most: f64) -> Result<f64, OutOfRange> {
    number(what, si)?;
    if si <= 0.0 {
        return Err(OutOfRange::NotPositive { what });
    }
    if si > most * unit.1 * (1.0 + 1e-12) {
        return Err(OutOfRange::Beyond { what, least: unit.say(0.0), most: unit.say(most * unit.1) });
    }
    // Nothing in a fork is a millionth of the largest that makes sense; below that a quotient overflows.
    within(what, si, unit, most * 1e-7, most)
}

/// The SI value when it is zero or more and at most `most` of the unit.
pub(crate) fn not_negative(what: &'static str, si: f64, unit: In, most: f64) -> Result<f64, OutOfRange> {
    number(what, si)?;
    if si < 0.0 {
        return Err(OutOfRange::Negative { what });
    }
    within(what, si, unit, 0.0, most)
}

/// The SI value of a temperature between −50 °C and 200 °C.
pub(crate) fn temperature(what: &'static str, kelvin: f64) -> Result<f64, OutOfRange> {
    number(what, kelvin)?;
    if !(223.15 - 1e-9..=473.15 + 1e-9).contains(&kelvin) {
        return Err(OutOfRange::Beyond { what, least: "-50 °C".into(), most: "200 °C".into() });
    }
    Ok(kelvin)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_is_said_in_the_shops_unit() {
        let sentence = within("bore", 0.9, MM, 5.0, 200.0).unwrap_err().to_string();
        assert_eq!(sentence, "the bore must lie between 5 mm and 200 mm");
        assert_eq!(
            positive("pitch", 0.0, MM, 10.0).unwrap_err().to_string(),
            "the pitch must be more than zero"
        );
        let sentence = positive("load", 5e4, NEWTON, 2e4).unwrap_err().to_string();
        assert_eq!(sentence, "the load must lie between 0 N and 20000 N");
        assert!(matches!(number("gap", f64::NAN), Err(OutOfRange::NotANumber { what: "gap" })));
    }

    #[test]
    fn the_limits_themselves_are_inside() {
        assert!(within("bore", 0.2, MM, 5.0, 200.0).is_ok());
        assert!(within("bore", 200.0 / 1000.0, MM, 5.0, 200.0).is_ok());
        assert!(within("bore", 0.2001, MM, 5.0, 200.0).is_err());
    }
}
