//! Rules on an oil's own figures: what is stated has to follow from the viscosities.

use crate::catalogue::{Key, key};
use crate::derive::{Answer, DerivedOil};
use crate::diagnostic::{Finding, rules};
use crate::quantity::Value;
use crate::record::{Entry, Sides, SpecRecord};

/// Every rule on one oil's arithmetic.
pub(crate) fn rules(oil: &SpecRecord, derived: &DerivedOil, findings: &mut Vec<Finding>) {
    falls(oil, derived, findings);
    weight(oil, findings);
    if matches!(derived.curve, Answer::Refused { .. }) {
        return;
    }
    // Where the class disagrees the viscosity is in doubt, and with it whatever index it gives.
    if !class(oil, derived, findings) {
        index(oil, derived, findings);
    }
}

fn entry(oil: &SpecRecord, key: Key) -> Option<&Entry> {
    let line = oil.values.iter().find(|line| line.field == key.id())?;
    Some(match &line.sides {
        Sides::Each(entry) | Sides::Legs(entry, _) => entry,
    })
}

fn count(oil: &SpecRecord, key: Key) -> Option<u32> {
    match entry(oil, key)?.value.as_ref()? {
        Value::Count(count) => Some(*count),
        _ => None,
    }
}

/// viscosities-contradict: an oil thins as it warms.
fn falls(oil: &SpecRecord, derived: &DerivedOil, findings: &mut Vec<Finding>) {
    let Answer::Refused { why, .. } = &derived.curve else { return };
    let (Some(cold), Some(hot)) = (entry(oil, key::GRADE_VISCOSITY_40), entry(oil, key::GRADE_VISCOSITY_100))
    else {
        return;
    };
    findings.push(
        rules::VISCOSITIES_CONTRADICT
            .at(hot.span, format!("no oil has {} at 40 °C and {} at 100 °C: {why}", cold.text, hot.text))
            .bench("every comparison with another oil would be wrong")
            .instead("read the data sheet again; the two may be swapped, or in another unit")
            .also(cold.span, "at 40 °C"),
    );
}

/// viscosity-class-disagrees: the stated ISO VG class is the one of the viscosity at 40 °C. Whether it was found to disagree.
fn class(oil: &SpecRecord, derived: &DerivedOil, findings: &mut Vec<Finding>) -> bool {
    let (Some(stated), Some(computed)) = (count(oil, key::GRADE_ISO_VG), derived.class.value()) else {
        return false;
    };
    let (Some(place), Some(cold)) = (entry(oil, key::GRADE_ISO_VG), entry(oil, key::GRADE_VISCOSITY_40))
    else {
        return false;
    };
    if *computed == Some(stated) {
        return false;
    }
    let (is, instead) = match computed {
        Some(class) => {
            (format!("it is class {class}"), format!("write `iso_vg: {class}`, or correct the viscosity"))
        }
        None => (
            "it lies between two classes".to_owned(),
            "leave the class out: an oil between two classes has none; or correct the viscosity".to_owned(),
        ),
    };
    findings.push(
        rules::VISCOSITY_CLASS_DISAGREES
            .at(place.span, format!("{} at 40 °C is not ISO VG {stated}: {is} (ISO 3448)", cold.text))
            .bench("an oil ordered by its class would damp differently from the one the sheet means")
            .instead(instead)
            .also(cold.span, "viscosity at 40 °C"),
    );
    true
}

/// viscosity-index-disagrees: the stated index follows from the two viscosities, as far as their digits go.
fn index(oil: &SpecRecord, derived: &DerivedOil, findings: &mut Vec<Finding>) {
    let (Some(stated), Some((least, greatest)), Some(computed)) =
        (count(oil, key::GRADE_VISCOSITY_INDEX), derived.index_range.value(), derived.index.value())
    else {
        return;
    };
    let Some(place) = entry(oil, key::GRADE_VISCOSITY_INDEX) else { return };
    let stated = f64::from(stated);
    // A data sheet computes from more digits than it prints, and rounds to a whole number.
    if stated < least - 1.0 || stated > greatest + 1.0 {
        findings.push(
            rules::VISCOSITY_INDEX_DISAGREES.at(place.span, format!("a viscosity index of {stated} does not follow from the two viscosities, which give {computed:.0} (ASTM D2270)"))
                .bench("the oil thins more or less when warm than the figures promise")
                .instead("read the data sheet again: one of the three figures is another oil's, or was typed wrong"),
        );
    }
}

/// weight-without-viscosity: a "weight" on the bottle stands for no viscosity.
fn weight(oil: &SpecRecord, findings: &mut Vec<Finding>) {
    let Some(label) = &oil.label else { return };
    let Some(weight) = weight_in(&label.text) else { return };
    let has = |key: Key| entry(oil, key).is_some();
    if has(key::GRADE_VISCOSITY_40) && has(key::GRADE_VISCOSITY_100) {
        return;
    }
    findings.push(
        rules::WEIGHT_WITHOUT_VISCOSITY
            .at(
                label.span,
                format!("\"{weight}\" on the bottle does not tell the viscosity, and the record gives none"),
            )
            .bench("two makers' oils of one weight differ by half, and so does the damping")
            .instead("give the viscosities at 40 °C and 100 °C from the data sheet"),
    );
}

/// A weight such as `5W` or `7.5 wt` in the words of a bottle.
fn weight_in(label: &str) -> Option<&str> {
    label.split([' ', ',', ';', '/', '(', ')', '-']).find(|word| {
        let number = word.trim_end_matches(|c: char| c.is_ascii_alphabetic());
        let unit = &word[number.len()..];
        !number.is_empty()
            && number.chars().all(|c| c.is_ascii_digit() || c == '.')
            && matches!(unit.to_ascii_lowercase().as_str(), "w" | "wt" | "weight")
    })
}

#[cfg(test)]
mod tests {
    use super::weight_in;

    #[test]
    fn a_weight_is_told_from_other_numbers() {
        assert_eq!(weight_in("Fork oil 5W, light"), Some("5W"));
        assert_eq!(weight_in("Fluid 7.5wt"), Some("7.5wt"));
        assert_eq!(weight_in("Damp 10, light"), None);
        assert_eq!(weight_in("W5 fluid"), None);
    }
}
