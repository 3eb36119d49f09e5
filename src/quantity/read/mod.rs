//! Reading a value as a mechanic writes it.

mod amount;
mod cursor;
mod every;
mod plain;
mod prose;
mod reading;
mod unit;

pub use amount::LONGEST;
pub use every::every_reading;
pub use prose::{Amount, amounts};

use super::field::{Context, FieldSpec, Kind};
use super::trouble::{Outcome, Trouble};
use super::value::Value;
use super::write::UNKNOWN;

/// Longest free text, in bytes.
pub const LONGEST_TEXT: usize = 4_000;

/// Reads a field's value. None means that it cannot be used: the troubles then hold one error that says why.
/// Troubles beside a value are warnings and notes, such as a spelling that was understood.
///
/// ```
/// use benchleaf::quantity::{Dimension, Kind, FieldSpec, read_value};
///
/// let kind = Kind::Quantity(Dimension::Length);
/// let field = FieldSpec { kind: &kind, units: &[], title: "Air gap", example: "", bands: &[] };
/// let (value, troubles) = read_value("104 mm ± 2 mm", &field);
/// assert!(value.is_some() && troubles.is_empty());
/// let (value, troubles) = read_value("104", &field);
/// assert!(value.is_none());
/// assert_eq!(troubles[0].rule.code, "bare-number");
/// ```
pub fn read_value(text: &str, field: &FieldSpec<'_>) -> (Option<Value>, Vec<Trouble>) {
    match read(text, field) {
        Ok((value, troubles)) => (Some(value), troubles),
        Err(trouble) => (None, vec![trouble]),
    }
}

fn read(text: &str, field: &FieldSpec<'_>) -> Outcome {
    let trimmed = text.trim();
    let longest = if *field.kind == Kind::Text { LONGEST_TEXT } else { LONGEST };
    if text.len() > longest {
        return Err(plain::too_long(text, longest, field));
    }
    if trimmed.is_empty() {
        return Err(plain::empty(text, field));
    }
    if trimmed.eq_ignore_ascii_case("not fitted") {
        return Ok((Value::NotFitted, Vec::new()));
    }
    if trimmed.eq_ignore_ascii_case(UNKNOWN) {
        return Ok((Value::Unknown, Vec::new()));
    }
    if let Some(trouble) = plain::known_and_unknown(text, field) {
        return Err(trouble);
    }
    match field.kind {
        Kind::Interval => amount::interval(text, field),
        Kind::Quantity(_) | Kind::Setting => {
            amount::whole(text, Context { dimensions: field.kind.dimensions(), field, sections: false })
        }
        Kind::Sections(_) => amount::sections(text, field),
        Kind::Thread => plain::thread(text, field),
        Kind::Size(count) => plain::size(text, *count, field),
        Kind::Count => plain::count(text, field),
        Kind::Fit => plain::fit(text, field),
        Kind::PropertyClass => plain::class(text, field),
        Kind::Choice(options) => plain::choice(text, options, field),
        Kind::Text => plain::text(text, field),
        Kind::Reference(_) => plain::reference(text, field),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Severity;
    use crate::quantity::units::{Dimension, Unit, unit};
    use crate::quantity::write::write_value;

    fn of(dimension: Dimension, text: &str) -> (Option<Value>, Vec<Trouble>) {
        let kind = Kind::Quantity(dimension);
        read_value(text, &FieldSpec { kind: &kind, units: &[], title: "Value", example: "", bands: &[] })
    }

    fn kind(kind: &str, text: &str) -> (Option<Value>, Vec<Trouble>) {
        let options = [("inverted".to_owned(), "Inverted".to_owned())];
        let options: &[_] = if kind == "choice" { &options } else { &[] };
        let of = (kind == "sections").then_some("length");
        let to = (kind == "reference").then_some("oil");
        let kind = Kind::parse(kind, of, to, options).unwrap();
        read_value(text, &FieldSpec { kind: &kind, units: &[], title: "Value", example: "", bands: &[] })
    }

    /// The dimension, what is written, its canonical text, what a page shows, whether a note comes with it.
    const NOTATION: &[(Dimension, &str, &str, &str, bool)] = &[
        (Dimension::Length, "10.5 mm", "10.5 mm", "10.5\u{a0}mm", false),
        (Dimension::Calendar, "1 year", "1 years", "1\u{a0}year", false),
        (Dimension::Calendar, "1 month", "1 months", "1\u{a0}month", false),
        (Dimension::Calendar, "2 years", "2 years", "2\u{a0}years", false),
        (Dimension::Calendar, "1.5 years", "1.5 years", "1.5\u{a0}years", false),
        (Dimension::Length, "10.50mm", "10.50 mm", "10.50\u{a0}mm", false),
        (Dimension::Torque, "22 N·m", "22 N·m", "22\u{a0}N·m", false),
        (Dimension::Torque, "22 N*m", "22 N·m", "22\u{a0}N·m", false),
        (Dimension::Torque, "22 Nm", "22 N·m", "22\u{a0}N·m", false),
        (Dimension::Torque, "22 nm", "22 N·m", "22\u{a0}N·m", true),
        (Dimension::Torque, "17 ft-lbs", "17 lbf·ft", "17\u{a0}lbf·ft", true),
        (Dimension::Torque, "2.3 kg·m", "2.3 kgf·m", "2.3\u{a0}kgf·m", false),
        (Dimension::Torque, "2.3 m·kg", "2.3 kgf·m", "2.3\u{a0}kgf·m", false),
        (Dimension::Torque, "2.3 daN·m", "2.3 daN·m", "2.3\u{a0}daN·m", false),
        (Dimension::Length, "1-1/4 in", "1-1/4 in", "1-1/4\u{a0}in", false),
        (Dimension::Length, "1 1/4\"", "1-1/4 in", "1-1/4\u{a0}in", true),
        (Dimension::Length, "112 mm ± 2 mm", "112 mm ± 2 mm", "112\u{a0}±\u{a0}2\u{a0}mm", false),
        (Dimension::Length, "11.2 ± 0.1 mm", "11.2 mm ± 0.1 mm", "11.2\u{a0}±\u{a0}0.1\u{a0}mm", false),
        (Dimension::Length, "11.2 +/- 0.1 mm", "11.2 mm ± 0.1 mm", "11.2\u{a0}±\u{a0}0.1\u{a0}mm", false),
        (Dimension::Length, "11.2 mm +/-0.1", "11.2 mm ± 0.1 mm", "11.2\u{a0}±\u{a0}0.1\u{a0}mm", false),
        (Dimension::Length, "47 mm +0.03/-0", "47 mm +0.03/-0", "47\u{a0}mm\u{a0}+0.03/−0", false),
        (Dimension::Length, "47 mm -0/+0.03", "47 mm +0.03/-0", "47\u{a0}mm\u{a0}+0.03/−0", false),
        (Dimension::Length, "43 mm +0/-0.04", "43 mm +0/-0.04", "43\u{a0}mm\u{a0}+0/−0.04", false),
        (Dimension::Length, "43 -0.02/-0.04 mm", "43 mm -0.02/-0.04", "43\u{a0}mm\u{a0}−0.02/−0.04", false),
        (Dimension::Length, "100..120 mm", "100..120 mm", "100–120\u{a0}mm", false),
        (Dimension::Length, "100 mm .. 120 mm", "100..120 mm", "100–120\u{a0}mm", false),
        (Dimension::Length, "100–120 mm", "100..120 mm", "100–120\u{a0}mm", true),
        (Dimension::Length, "100-120 mm", "100..120 mm", "100–120\u{a0}mm", true),
        (Dimension::Length, "100 to 120 mm", "100..120 mm", "100–120\u{a0}mm", true),
        (Dimension::Length, "≤ 0.2 mm", "≤ 0.2 mm", "≤\u{a0}0.2\u{a0}mm", false),
        (Dimension::Length, "<= 0.2 mm", "≤ 0.2 mm", "≤\u{a0}0.2\u{a0}mm", false),
        (Dimension::Length, "max. 0.2 mm", "≤ 0.2 mm", "≤\u{a0}0.2\u{a0}mm", true),
        (Dimension::Length, "0.2 mm max", "≤ 0.2 mm", "≤\u{a0}0.2\u{a0}mm", true),
        (Dimension::Length, "≥306 mm", "≥ 306 mm", "≥\u{a0}306\u{a0}mm", false),
        (
            Dimension::Length,
            "≤ 0.2 mm (0.008 in)",
            "≤ 0.2 mm (0.008 in)",
            "≤\u{a0}0.2\u{a0}mm (0.008\u{a0}in)",
            false,
        ),
        (Dimension::Time, "10 min", "10 min", "10\u{a0}min", false),
        (Dimension::Time, "2 hours", "2 h", "2\u{a0}h", true),
        (
            Dimension::Volume,
            "478 mL (16.2 US fl oz)",
            "478 mL (16.2 US fl oz)",
            "478\u{a0}mL (16.2\u{a0}US\u{a0}fl\u{a0}oz)",
            false,
        ),
        (Dimension::Volume, "478 cc", "478 cm³", "478\u{a0}cm³", false),
        (
            Dimension::Torque,
            "23 N·m (2.3 kgf·m, 17 lbf·ft)",
            "23 N·m (2.3 kgf·m, 17 lbf·ft)",
            "23\u{a0}N·m (2.3\u{a0}kgf·m, 17\u{a0}lbf·ft)",
            false,
        ),
        (Dimension::Torque, "23 Nm / 17 ft·lb", "23 N·m (17 lbf·ft)", "23\u{a0}N·m (17\u{a0}lbf·ft)", true),
        (
            Dimension::Torque,
            "20 N·m, 2.0 m·kg, 14 ft·lb",
            "20 N·m (2.0 kgf·m, 14 lbf·ft)",
            "20\u{a0}N·m (2.0\u{a0}kgf·m, 14\u{a0}lbf·ft)",
            true,
        ),
        (
            Dimension::Pressure,
            "850..1100 kPa (123..160 psi)",
            "850..1100 kPa (123..160 psi)",
            "850–1100\u{a0}kPa (123–160\u{a0}psi)",
            false,
        ),
        (Dimension::Pressure, "10 kgf/cm2", "10 kgf/cm²", "10\u{a0}kgf/cm²", false),
        (Dimension::Temperature, "-5 °C", "-5 °C", "−5\u{a0}°C", false),
        (Dimension::Temperature, "20 °C (68 °F)", "20 °C (68 °F)", "20\u{a0}°C (68\u{a0}°F)", false),
        (Dimension::Angle, "24.5°", "24.5 °", "24.5°", false),
        (Dimension::Ratio, "5%", "5 %", "5\u{a0}%", false),
        (Dimension::Distance, "10 000 km", "10000 km", "10000\u{a0}km", true),
        (Dimension::Viscosity, "15.2 cSt", "15.2 cSt", "15.2\u{a0}cSt", false),
        (
            Dimension::SpringRate,
            "9 N/mm (51.4 lbf/in)",
            "9 N/mm (51.4 lbf/in)",
            "9\u{a0}N/mm (51.4\u{a0}lbf/in)",
            false,
        ),
    ];

    #[test]
    fn the_notation_is_read_written_and_shown() {
        for (dimension, text, canonical, shown, note) in NOTATION {
            let (value, troubles) = of(*dimension, text);
            let value = value.unwrap_or_else(|| panic!("{text}: {troubles:?}"));
            assert_eq!(write_value(&value), *canonical, "{text}");
            assert_eq!(value.shown(), *shown, "{text}");
            let codes: Vec<_> = troubles.iter().map(|trouble| trouble.rule.code).collect();
            assert_eq!(codes, if *note { vec!["unit-spelling"] } else { vec![] }, "{text}");
            assert_eq!(of(*dimension, canonical), (Some(value), vec![]), "{text}");
        }
    }

    #[test]
    fn other_kinds_are_read_and_written() {
        for (name, text, canonical) in [
            ("thread", "M6 × 1", "M6 × 1"),
            ("thread", "M6 x 1", "M6 × 1"),
            ("thread", "M48x1.5", "M48 × 1.5"),
            ("thread", "M6", "M6"),
            ("size-3", "43 × 55 × 11 mm", "43 × 55 × 11 mm"),
            ("size-3", "43x55.5x14mm", "43 × 55.5 × 14 mm"),
            ("size-2", "38 x 2.4 mm", "38 × 2.4 mm"),
            ("fit", "47 H7", "47 H7"),
            ("fit", "47H7", "47 H7"),
            ("fit", "12 js6", "12 js6"),
            ("property-class", "8.8", "8.8"),
            ("property-class", "A2-70", "A2-70"),
            ("count", "15", "15"),
            ("setting", "12 clicks", "12 clicks"),
            ("setting", "1 click", "1 clicks"),
            ("setting", "2.5 turns", "2.5 turns"),
            ("setting", "1 mm", "1 mm"),
            ("interval", "30 h", "30 h"),
            ("interval", "10000 km", "10000 km"),
            ("interval", "1 year", "1 years"),
            ("interval", "10000 km or 1 year", "10000 km or 1 years"),
            ("choice", "inverted", "inverted"),
            ("text", " aluminum ", "aluminum"),
            ("reference", "heron-fork-15", "heron-fork-15"),
            ("sections", "39 mm to 180 mm; 37.5 mm", "39 mm to 180 mm; 37.5 mm"),
            ("sections", "39 mm", "39 mm"),
            (
                "sections",
                "39 mm (1.535 in) to 180 mm; 37.5 mm to 200 mm; 30 mm",
                "39 mm (1.535 in) to 180 mm; 37.5 mm to 200 mm; 30 mm",
            ),
            ("thread", "not fitted", "not fitted"),
            ("length", "Not fitted", "not fitted"),
        ] {
            let (value, troubles) = kind(name, text);
            let value = value.unwrap_or_else(|| panic!("{text}: {troubles:?}"));
            assert!(troubles.is_empty(), "{text}: {troubles:?}");
            assert_eq!(write_value(&value), canonical);
            assert_eq!(kind(name, canonical), (Some(value), vec![]), "{text}");
        }
    }

    #[test]
    fn what_cannot_be_taken_is_refused_with_its_code() {
        for (name, text, code) in [
            ("length", "112", "bare-number"),
            ("length", "112 ± 2", "bare-number"),
            ("length", "10,5 mm", "decimal-comma"),
            ("length", "43,0 mm", "decimal-comma"),
            ("length", "10 ml", "wrong-dimension"),
            ("length", "10 mn", "unknown-unit"),
            ("length", "10 mm per leg", "unreadable-value"),
            ("length", "", "unreadable-value"),
            ("length", "   ", "unreadable-value"),
            ("length", "n/a", "unreadable-value"),
            ("length", "about 10 mm", "unreadable-value"),
            ("length", "120..100 mm", "nonsense-range"),
            ("length", "100..100 mm", "nonsense-range"),
            ("length", "100.. mm", "unreadable-value"),
            ("length", "2 mm ± 3 mm", "nonsense-tolerance"),
            ("length", "2 mm ± 0 mm", "nonsense-tolerance"),
            ("length", "2 mm ± 0.1 in", "nonsense-tolerance"),
            ("length", "2 mm ± 5 %", "nonsense-tolerance"),
            ("length", "2 mm +0.1", "nonsense-tolerance"),
            ("length", "2 mm +0/-0", "nonsense-tolerance"),
            ("length", "2 mm +0/-3", "nonsense-tolerance"),
            ("length", "≤ 2 mm ± 1 mm", "nonsense-tolerance"),
            ("length", "-2 mm", "negative-value"),
            ("length", "--2 mm", "not-a-number"),
            ("length", "2 mm (0.08 in", "unreadable-value"),
            ("length", "2 mm; 3 mm", "unreadable-value"),
            ("length", "2 mm (5 mL)", "wrong-dimension"),
            ("temperature", "-300 °C", "negative-value"),
            ("temperature", "20 °", "ambiguous-unit"),
            ("volume", "16 oz", "ambiguous-unit"),
            ("volume", "16 fl. oz.", "ambiguous-unit"),
            ("mass", "16 oz", "ambiguous-unit"),
            ("torque", "20 lb", "ambiguous-unit"),
            ("torque", "20 lbs", "ambiguous-unit"),
            ("torque", "2 kg", "ambiguous-unit"),
            ("spring-rate", "0.9 kg", "ambiguous-unit"),
            ("viscosity", "5W", "ambiguous-unit"),
            ("viscosity", "10W-40", "ambiguous-unit"),
            ("viscosity", "5 wt", "ambiguous-unit"),
            ("pressure", "1.2 mPa", "unknown-unit"),
            ("setting", "2.5 clicks", "unreadable-value"),
            ("setting", "12", "bare-number"),
            ("thread", "1/4-20 UNC", "thread-unreadable"),
            ("thread", "M6 × 7", "thread-unreadable"),
            ("thread", "M × 7", "thread-unreadable"),
            ("size-3", "43 × 55 mm", "size-unreadable"),
            ("size-2", "43 × 55 × 11 mm", "size-unreadable"),
            ("size-3", "43 × 55 × 11", "bare-number"),
            ("size-3", "43 × 55 × 11 mL", "size-unreadable"),
            ("fit", "47 X99", "fit-unreadable"),
            ("fit", "47 H", "fit-unreadable"),
            ("fit", "H7", "fit-unreadable"),
            ("property-class", "8,8", "property-class-unreadable"),
            ("choice", "invertd", "unknown-choice"),
            ("count", "12.5", "not-a-number"),
            ("count", "+12", "not-a-number"),
            ("count", "99999999999", "not-a-number"),
            ("reference", "Heron Fork", "unreadable-value"),
            ("text", "a\u{7}b", "unreadable-value"),
            ("sections", "39 mm to 180 mm", "nonsense-range"),
            ("sections", "39 mm; 37.5 mm", "nonsense-range"),
            ("sections", "39 mm to 180 mm; 38 mm to 150 mm; 37 mm", "nonsense-range"),
        ] {
            let (value, troubles) = kind(name, text);
            assert_eq!(value, None, "{text}");
            assert_eq!(troubles.len(), 1, "{text}");
            let trouble = &troubles[0];
            assert_eq!((trouble.rule.code, trouble.severity), (code, Severity::Error), "{text}: {trouble:?}");
            assert!(text.get(trouble.range.clone()).is_some(), "{text}: {:?}", trouble.range);
            for part in [&trouble.message, &trouble.bench, &trouble.instead] {
                assert!(!part.is_empty() && !part.ends_with('.') && !part.contains("  "), "{text}: {part}");
            }
        }
    }

    fn refused(dimension: Dimension, units: &[&'static Unit], example: &str, text: &str) -> String {
        let kind = Kind::Quantity(dimension);
        let (value, troubles) =
            read_value(text, &FieldSpec { kind: &kind, units, title: "Oil amount", example, bands: &[] });
        assert_eq!(value, None, "{text}");
        let trouble = &troubles[0];
        format!(
            "{}: {}. {}. {}.",
            &text[trouble.range.clone()],
            trouble.message,
            trouble.bench,
            trouble.instead
        )
    }

    #[test]
    fn refusals_teach() {
        let of = |symbols: &[&str]| symbols.iter().map(|symbol| unit(symbol).unwrap()).collect::<Vec<_>>();
        let all = [
            refused(Dimension::Volume, &of(&["mL", "US fl oz"]), "430 mL", "16 oz"),
            refused(Dimension::Mass, &of(&["g"]), "", "16 oz"),
            refused(Dimension::Torque, &of(&["N·m", "lbf·ft"]), "24 N·m (18 lbf·ft)", "20 lb"),
            refused(Dimension::SpringRate, &of(&["N/mm"]), "9 N/mm", "0.9 kg"),
            refused(Dimension::Length, &of(&["mm", "in"]), "96 mm", "112"),
            refused(Dimension::Length, &of(&["mm", "in"]), "96 mm", "112 mL"),
            refused(Dimension::Viscosity, &of(&["mm²/s"]), "15.2 mm²/s", "5W"),
            refused(Dimension::Length, &of(&["mm"]), "", "10,5 mm"),
            refused(Dimension::Distance, &of(&["km"]), "", "10,000 km"),
            refused(Dimension::Length, &[], "", "10 mn"),
            refused(Dimension::Length, &[], "", "50 mm ± 10 %"),
            refused(Dimension::Length, &[], "", "120..100 mm"),
            refused(Dimension::Volume, &[], "", "460 mL (16.2 US fl oz)"),
            refused(Dimension::Torque, &[], "", "2.5 N·m (22 lbf·ft)"),
            refused(Dimension::Length, &[], "", "90 mm (35.4 in)"),
            refused(Dimension::Pressure, &[], "", "900 kPa (9 psi)"),
        ];
        insta::assert_snapshot!(all.join("\n"));
    }
}
