//! Whether several sayings of one value agree, and which reading would.
//!
//! A printed number stands for every value that rounds to it: half a unit of its last place either way.
//! Two sayings agree when these intervals overlap. Sheets were often rounded in a chain (N·m to kgf·m, and
//! that rounded figure to lbf·ft), so the intervals are stretched once: by the half step of the figure the
//! chain went through, which is another saying of the same value that overlaps both, or else one as fine as
//! the finer of the two. A tolerance is no part of the interval: of toleranced values the middles are
//! compared, and tolerances of their own in the same way, but only as a warning, since sheets round those
//! up and down on purpose.

mod explain;
mod interval;

use explain::{Halves, explained, slipped};
use interval::Interval;

use super::field::{Context, FieldSpec};
use super::refuse;
use super::round::rounded;
use super::trouble::Trouble;
use super::units::Unit;
use super::value::{Decimal, Quantity, Saying, Shape};
use crate::diagnostic::{Severity, rules};
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, ToPrimitive, Zero};
use std::ops::Range;

/// Checks the readings of one value with their places in the text, the value first. Warnings, or an error.
pub(super) fn check(
    text: &str,
    said: &[(Saying, Range<usize>)],
    context: Context<'_>,
) -> Result<Vec<Trouble>, Trouble> {
    let mut warnings = Vec::new();
    let [(first, _), twins @ ..] = said else { return Ok(warnings) };
    if twins.is_empty() {
        return Ok(warnings);
    }
    for (at, (twin, range)) in twins.iter().enumerate() {
        if twin.unit == first.unit {
            warnings.push(repeats(text, range.clone(), twin));
        }
        let Some(pairs) = pairs(first, twin) else {
            return Err(other_shape(text, range.clone(), first, twin));
        };
        for (ours, theirs) in pairs {
            if surely(ours, first.unit, theirs, twin.unit) {
                continue;
            }
            let others: Vec<Interval> = twins
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != at)
                .filter_map(|(_, (other, _))| other_number(first, ours, other))
                .collect();
            let (a, b) = (Interval::of(ours, first.unit), Interval::of(theirs, twin.unit));
            if !a.agrees(&b, &others) {
                return Err(disagree(
                    text,
                    range.clone(),
                    (ours, first.unit),
                    (theirs, twin.unit),
                    &others,
                    context,
                ));
            }
        }
        if let (Shape::PlusMinus { tolerance: ours, .. }, Shape::PlusMinus { tolerance: theirs, .. }) =
            (&first.shape, &twin.shape)
            && !Interval::width(ours, first.unit).agrees(&Interval::width(theirs, twin.unit), &[])
        {
            warnings.push(tolerances(text, range.clone(), first, ours, twin.unit, theirs));
        }
    }
    Ok(warnings)
}

/// The numbers of two readings that must agree; None where the shapes cannot be compared.
fn pairs<'a>(first: &'a Saying, twin: &'a Saying) -> Option<Vec<(&'a Decimal, &'a Decimal)>> {
    use Shape::{AtLeast, AtMost, Exact, Limits, PlusMinus, Range};
    match (&first.shape, &twin.shape) {
        (Range { from, to }, Range { from: twin_from, to: twin_to }) => {
            Some(vec![(from, twin_from), (to, twin_to)])
        }
        // `≤ 0.2 mm (0.008 in)`: the twin need not repeat the sign.
        (AtMost(ours), AtMost(theirs) | Exact(theirs)) | (AtLeast(ours), AtLeast(theirs) | Exact(theirs)) => {
            Some(vec![(ours, theirs)])
        }
        (
            Exact(ours) | PlusMinus { middle: ours, .. } | Limits { middle: ours, .. },
            Exact(theirs) | PlusMinus { middle: theirs, .. } | Limits { middle: theirs, .. },
        ) => Some(vec![(ours, theirs)]),
        _ => None,
    }
}

/// The number of another twin that stands beside `ours`.
fn other_number(first: &Saying, ours: &Decimal, other: &Saying) -> Option<Interval> {
    let pairs = pairs(first, other)?;
    let pair = pairs.into_iter().find(|(number, _)| std::ptr::eq(*number, ours))?;
    Some(Interval::of(pair.1, other.unit))
}

/// Floats decide where the intervals overlap clearly, which is nearly always.
fn surely(ours: &Decimal, unit: &Unit, theirs: &Decimal, twin: &Unit) -> bool {
    let (a, b) = (unit.to_si(ours.float()), twin.to_si(theirs.float()));
    let room = unit.scale_to_si(ours.half_step_float()) + twin.scale_to_si(theirs.half_step_float());
    (a - b).abs() < room - 1e-9 * (a.abs() + b.abs())
}

fn repeats(text: &str, range: Range<usize>, twin: &Saying) -> Trouble {
    let mut trouble = refuse::error(
        &rules::UNITS_DISAGREE,
        range.clone(),
        format!("{} says the value again in the same unit", refuse::quote(&text[range])),
        "a slip in the unit would be made twice and not be noticed",
        format!("say it in another unit than `{}`, or leave the second saying out", twin.unit.symbol),
    );
    trouble.severity = Severity::Warning;
    trouble
}

fn other_shape(text: &str, range: Range<usize>, first: &Saying, twin: &Saying) -> Trouble {
    refuse::error(
        &rules::UNITS_DISAGREE,
        range.clone(),
        format!(
            "{} and {} are not the same kind of value",
            refuse::quote(&first.text),
            refuse::quote(&text[range])
        ),
        "one reader would take a range or a limit and the other a target",
        format!("write both as {}, as in `{}`", shape_name(&first.shape), canonical_in(first, twin.unit)),
    )
}

fn shape_name(shape: &Shape) -> &'static str {
    match shape {
        Shape::Range { .. } => "a range",
        Shape::AtMost(_) | Shape::AtLeast(_) => "a limit",
        _ => "a target",
    }
}

/// A figure of a message with as many decimals as the sheet has, but no more than four digits that count where it is
/// large, and no fewer than two where it is small: exchanged units bring both.
fn worked_out(number: &BigRational, places: u8) -> String {
    let size = number.to_f64().map_or(0.0, f64::abs);
    if size == 0.0 {
        return rounded(number, places);
    }
    let before_point = libm::floor(libm::log10(size));
    let (least, most) = ((1.0 - before_point).clamp(0.0, 9.0), (3.0 - before_point).clamp(0.0, 9.0));
    let least = if size < 1.0 { least } else { 0.0 };
    rounded(number, places.clamp(least as u8, most as u8))
}

/// A reading in another unit, in the notation of a record.
fn canonical_in(said: &Saying, unit: &Unit) -> String {
    said.in_unit(unit, said.decimals_in(unit)).replace('\u{a0}', " ").replace('–', "..").replace('−', "-")
}

fn tolerances(
    text: &str,
    range: Range<usize>,
    first: &Saying,
    ours: &Decimal,
    twin: &Unit,
    theirs: &Decimal,
) -> Trouble {
    let worked = rounded(&(ours.rational() * first.unit.factor() / twin.factor()), theirs.decimals() + 1);
    let mut trouble = refuse::error(
        &rules::UNITS_DISAGREE,
        range.clone(),
        format!(
            "the tolerance in {} is not the one in {}",
            refuse::quote(&text[range]),
            refuse::quote(&first.text)
        ),
        "who reads the second unit works to another tolerance",
        format!("check it: ± {ours} {} is ± {worked} {}", first.unit.symbol, twin.symbol),
    );
    trouble.severity = Severity::Warning;
    trouble
}

/// How much more or less the second saying is, as the end of a sentence: `, 5 % more`.
fn share_more(value: &Interval, twin: &Interval) -> String {
    if value.middle.is_zero() {
        return String::new();
    }
    let times = &twin.middle / &value.middle;
    let hundred = BigRational::from_integer(BigInt::from(100));
    let share = (&times - BigRational::from_integer(BigInt::from(1))) * &hundred;
    if share > hundred {
        return format!(", {} times as much", rounded(&times, 1));
    }
    let word = if share.is_negative() { "less" } else { "more" };
    format!(", {} % {word}", rounded(&share.abs(), 0))
}

fn disagree(
    text: &str,
    range: Range<usize>,
    (ours, unit): (&Decimal, &'static Unit),
    (theirs, twin): (&Decimal, &'static Unit),
    others: &[Interval],
    context: Context<'_>,
) -> Trouble {
    let value = Interval::of(ours, unit);
    let said = Interval::of(theirs, twin);
    let worked = |into: &Unit| worked_out(&into.of_base(&value.middle), theirs.decimals().max(1));
    let halves = Halves { ours: (&value, ours, unit), theirs: (&said, theirs, twin), others };
    let (named, unlikely) = explained(&halves, context);
    let which = if named.len() > 1 {
        "look at the sheet again, it alone can tell"
    } else {
        "look at the sheet again"
    };
    let instead = match named.as_slice() {
        // Which of the two is wrong nobody can tell, so neither is called right.
        [] => format!(
            "look at the sheet again and correct the wrong one: `{ours} {}` is {} {}, and `{theirs} {}` is {} {}",
            unit.symbol,
            worked(twin),
            twin.symbol,
            twin.symbol,
            worked_out(&unit.of_base(&said.middle), ours.decimals().max(1)),
            unit.symbol
        ),
        _ if unlikely => {
            format!("{which}: {}; but none lies where such a value lies", named.join(", or "))
        }
        _ => format!("{which}: {}", named.join(", or ")),
    };
    let percent = share_more(&value, &said);
    refuse::error(
        &rules::UNITS_DISAGREE,
        range.clone(),
        format!(
            "{} does not agree with `{ours} {}`, which is {} {}",
            refuse::quote(&text[range]),
            unit.symbol,
            worked(twin),
            twin.symbol
        ),
        format!(
            "who reads the second figure sets {} {}{percent}",
            worked_out(&unit.of_base(&said.middle), ours.decimals()),
            unit.symbol
        ),
        instead,
    )
}

/// How what two sources say of one value compares.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Compared {
    /// They agree within their rounding and tolerance.
    Agree,
    /// They differ, and no slip in a unit explains it.
    Differ,
    /// A slip in a unit, a point or a half explains it: which ones, as parts of a sentence.
    Slip(Vec<String>),
}

/// Compares what another source says of a value with the value itself, in the unit that both name if there is one.
/// A tolerance or a range that either states counts: what lies inside it agrees.
pub(crate) fn compare(value: &Quantity, other: &Quantity, field: &FieldSpec<'_>) -> Compared {
    let in_one_unit = value
        .sayings
        .iter()
        .find_map(|ours| Some((ours, other.sayings.iter().find(|theirs| theirs.unit == ours.unit)?)));
    let (ours, theirs) = in_one_unit.unwrap_or((value.main(), other.main()));
    if ours.dimension() != theirs.dimension() {
        return Compared::Differ;
    }
    let step = |said: &Saying| said.unit.scale_to_si(said.shape.number().half_step_float());
    let room = step(ours) + step(theirs) + 1e-9 * (ours.middle_si().abs() + theirs.middle_si().abs());
    if ours.least_si() <= theirs.greatest_si() + room && theirs.least_si() <= ours.greatest_si() + room {
        return Compared::Agree;
    }
    let (a, b) = (ours.shape.number(), theirs.shape.number());
    let halves = Halves {
        ours: (&Interval::of(a, ours.unit), a, ours.unit),
        theirs: (&Interval::of(b, theirs.unit), b, theirs.unit),
        others: &[],
    };
    match slipped(&halves, Context { dimensions: field.kind.dimensions(), field, sections: false }) {
        slips if slips.is_empty() => Compared::Differ,
        slips => Compared::Slip(slips),
    }
}

#[cfg(test)]
mod tests {
    use crate::quantity::{Dimension, FieldSpec, Kind, Trouble, read_value};

    fn troubles(dimension: Dimension, text: &str) -> Vec<Trouble> {
        let kind = Kind::Quantity(dimension);
        read_value(text, &FieldSpec { kind: &kind, units: &[], title: "Value", example: "", bands: &[] }).1
    }

    /// A gap whose two units were exchanged: no hundredths of 2.6 m, and no gap of nothing.
    #[test]
    fn exchanged_units_are_told_with_the_digits_that_count() {
        let said = troubles(Dimension::Length, "104 in (4.09 mm)");
        assert!(said[0].message.ends_with("which is 2642 mm"), "{}", said[0].message);
        assert!(said[0].bench.contains("sets 0.16 in"), "{}", said[0].bench);
    }

    #[test]
    fn honest_sheets_pass() {
        for (dimension, text) in [
            (Dimension::Torque, "20 N·m (2.0 m·kg, 14 ft·lb)"),
            (Dimension::Torque, "50 N·m (5.0 m·kg, 36 ft·lb)"),
            (Dimension::Torque, "50 N·m (36 ft·lb)"),
            (Dimension::Torque, "23 N·m (2.3 kgf·m, 17 lbf·ft)"),
            (Dimension::Volume, "450 mL (15.2 US fl oz)"),
            (Dimension::Volume, "450 mL (15.8 imp fl oz)"),
            (Dimension::Length, "112 mm ± 2 mm (4.41 ± 0.08 in)"),
            (Dimension::Length, "32 mm (1-1/4 in)"),
            (Dimension::Temperature, "20 °C (68 °F)"),
        ] {
            assert_eq!(troubles(dimension, text), vec![], "{text}");
        }
    }

    #[test]
    fn a_wrong_twin_names_the_reading_that_would_agree() {
        for (dimension, text, named) in [
            (Dimension::Volume, "450 mL (15.8 US fl oz)", "15.84 imp fl oz"),
            (Dimension::Volume, "455 mL (16 US fl oz)", "`16 imp fl oz`"),
            (Dimension::Torque, "5 N·m (44 lbf·ft)", "`44 lbf·in`"),
            (Dimension::Torque, "20 N·m (204 kgf·m)", "`204 kgf·cm`"),
            (Dimension::Pressure, "10 bar (10 psi)", "kgf/cm²"),
            (Dimension::Pressure, "900 kPa (9 psi)", "`9 bar`"),
            (Dimension::Length, "90 mm (35.4 in)", "would agree"),
            (Dimension::Volume, "450 mL (30.4 US fl oz)", "both legs"),
            (Dimension::Torque, "62 lbf·ft (46 N·m)", "the two units look exchanged: `62 N·m (46 lbf·ft)`"),
            (Dimension::Torque, "22 lbf·ft (16 N·m)", "the two units look exchanged: `22 N·m (16 lbf·ft)`"),
            (Dimension::Pressure, "905 psi (131 kPa)", "the two units look exchanged: `905 kPa (131 psi)`"),
            (Dimension::Torque, "2.2 N·m (16 lbf·ft)", "`22 N·m` would agree"),
            (Dimension::Torque, "2.2 N·m (16 lbf·ft)", "`1.6 lbf·ft` would agree"),
            (
                Dimension::Length,
                "96 mm (3.87 in)",
                "`3.78 in` would agree with `96 mm`, if two digits changed places",
            ),
            // Nothing explains it, so neither is called right.
            (Dimension::Torque, "62 N·m (39 lbf·ft)", "`62 N·m` is 45.7 lbf·ft, and `39 lbf·ft` is 52.9 N·m"),
            // Rounded to 14.8 lbf·ft first, and to 0.020 in.
            (Dimension::Torque, "20.0 N·m (177.6 lbf·ft)", "`177.6 lbf·in` would nearly agree"),
            (Dimension::Length, "0.500 mm (0.508 in)", "nearly the same number stands in both"),
        ] {
            let troubles = troubles(dimension, text);
            assert_eq!(troubles[0].rule.code, "units-disagree", "{text}");
            assert!(troubles[0].instead.contains(named), "{text}: {}", troubles[0].instead);
        }
    }

    #[test]
    fn nothing_is_offered_that_cannot_be() {
        let of = |title, bands: &[(Dimension, f64, f64)], dimension, text: &str| {
            let kind = Kind::Quantity(dimension);
            let field = FieldSpec { kind: &kind, units: &[], title, example: "", bands };
            read_value(text, &field).1.remove(0).instead
        };
        let clamp = [(Dimension::Torque, 10.0, 30.0)];
        let advice = of("Clamp", &clamp, Dimension::Torque, "2.2 N·m (16 lbf·ft)");
        assert!(advice.contains("`22 N·m`") && !advice.contains("1.6 lbf·ft"), "{advice}");
        let advice =
            of("Clamp", &[(Dimension::Torque, 50.0, 80.0)], Dimension::Torque, "2.2 N·m (16 lbf·ft)");
        assert!(advice.contains("none lies where"), "{advice}");
        // Only what has a half is told of one.
        for (title, dimension, text, half) in [
            ("Axle", Dimension::Torque, "40 N·m (59 lbf·ft)", false),
            ("Air gap", Dimension::Length, "100 mm (7.87 in)", false),
            ("Rod diameter", Dimension::Length, "10.0 mm (0.787 in)", true),
            ("Dry fill", Dimension::Volume, "450 mL (30.4 US fl oz)", true),
        ] {
            let advice = of(title, &[], dimension, text);
            assert_eq!(advice.contains("looks like a figure for"), half, "{text}: {advice}");
        }
    }

    #[test]
    fn shapes_and_tolerances_are_compared() {
        assert_eq!(troubles(Dimension::Length, "100..120 mm (4.3 in)")[0].rule.code, "units-disagree");
        assert_eq!(troubles(Dimension::Length, "≤ 2 mm (≥ 0.08 in)")[0].rule.code, "units-disagree");
        let loose = troubles(Dimension::Length, "112 mm ± 2 mm (4.41 ± 0.2 in)");
        assert_eq!(loose[0].severity, crate::diagnostic::Severity::Warning);
        let same = troubles(Dimension::Length, "112 mm (112 mm)");
        assert_eq!(same[0].severity, crate::diagnostic::Severity::Warning);
    }
}
