//! Values as text: canonical, as a record should have it; and shown, as a page prints it.

use std::borrow::Cow;

use super::units::{Dimension, Unit};
use super::value::{Quantity, Saying, Section, Shape, Size, Thread, Value};

/// The non-breaking space between a number and its unit.
pub(super) const NBSP: char = '\u{a0}';

/// The word for what the source does not say.
pub(super) const UNKNOWN: &str = "unknown";

impl Unit {
    /// The symbol as a page prints it: blanks inside do not break.
    pub(crate) fn symbol_shown(&self) -> Cow<'static, str> {
        if self.symbol.contains(' ') {
            Cow::Owned(self.symbol.replace(' ', "\u{a0}"))
        } else {
            Cow::Borrowed(self.symbol)
        }
    }
}

/// Two ends with an en dash, or "to" where a minus would hide it.
pub(super) fn ranged(from: &str, to: &str) -> String {
    if from.starts_with('−') || to.starts_with('−') {
        format!("{from}{NBSP}to{NBSP}{to}")
    } else {
        format!("{from}–{to}")
    }
}

/// A limit with its sign; `nought` is the sign of zero.
pub(super) fn signed(limit: &str, nought: char) -> String {
    if limit.starts_with('−') {
        limit.to_owned()
    } else if limit == "0" {
        format!("{nought}0")
    } else {
        format!("+{limit}")
    }
}

impl Saying {
    /// The unit as a page prints it: `1 year`, `2 years`.
    fn unit_shown(&self) -> Cow<'static, str> {
        let is_one = matches!(&self.shape, Shape::Exact(number) if number.text() == "1");
        match self.unit.symbol.strip_suffix('s').filter(|_| is_one && self.dimension() == Dimension::Calendar)
        {
            Some(one) => Cow::Borrowed(one),
            None => self.unit.symbol_shown(),
        }
    }

    /// As a page prints it: proper signs, non-breaking spaces, ranges with an en dash.
    pub(crate) fn shown(&self) -> String {
        let unit = self.unit_shown();
        let space = if self.unit.symbol == "°" || self.unit.symbol == "′" { "" } else { "\u{a0}" };
        match &self.shape {
            Shape::Exact(number) => format!("{}{space}{unit}", number.shown()),
            Shape::AtMost(number) => format!("≤{NBSP}{}{space}{unit}", number.shown()),
            Shape::AtLeast(number) => format!("≥{NBSP}{}{space}{unit}", number.shown()),
            Shape::PlusMinus { middle, tolerance } => {
                format!("{}{NBSP}±{NBSP}{}{space}{unit}", middle.shown(), tolerance.shown())
            }
            Shape::Limits { middle, upper, lower } => {
                let (upper, lower) =
                    (signed_decimal(&upper.shown(), '+'), signed_decimal(&lower.shown(), '−'));
                format!("{}{space}{unit}{NBSP}{upper}/{lower}", middle.shown())
            }
            Shape::Range { from, to } => format!("{}{space}{unit}", ranged(&from.shown(), &to.shown())),
        }
    }

    /// As a record should have it: `112 mm ± 2 mm`, `100..120 mm`.
    pub(crate) fn canonical(&self) -> String {
        let unit = self.unit.symbol;
        match &self.shape {
            Shape::Exact(number) => format!("{number} {unit}"),
            Shape::AtMost(number) => format!("≤ {number} {unit}"),
            Shape::AtLeast(number) => format!("≥ {number} {unit}"),
            Shape::PlusMinus { middle, tolerance } => format!("{middle} {unit} ± {tolerance} {unit}"),
            Shape::Limits { middle, upper, lower } => {
                let (upper, lower) = (signed_decimal(&upper.text(), '+'), signed_decimal(&lower.text(), '-'));
                format!("{middle} {unit} {upper}/{lower}")
            }
            Shape::Range { from, to } => format!("{from}..{to} {unit}"),
        }
    }
}

fn signed_decimal(limit: &str, nought: char) -> String {
    if limit.starts_with(['−', '-']) {
        limit.to_owned()
    } else if limit.bytes().all(|byte| matches!(byte, b'0' | b'.')) {
        format!("{nought}{limit}")
    } else {
        format!("+{limit}")
    }
}

fn with_twins(sayings: &[Saying], written: impl Fn(&Saying) -> String, before: &str) -> String {
    let all: Vec<String> = sayings.iter().map(written).collect();
    match all.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [first, twins @ ..] => format!("{first}{before}({})", twins.join(", ")),
    }
}

impl Quantity {
    /// As a page prints it, twins in brackets: proper signs, non-breaking spaces inside each reading.
    pub(crate) fn shown(&self) -> String {
        with_twins(&self.sayings, Saying::shown, " ")
    }

    /// As a record should have it.
    pub(crate) fn canonical(&self) -> String {
        with_twins(&self.sayings, Saying::canonical, " ")
    }
}

impl Thread {
    /// As a page prints it: `M6 × 1`.
    pub(crate) fn shown(&self) -> String {
        match &self.pitch_mm {
            Some(pitch) => format!("M{}{NBSP}×{NBSP}{pitch}", self.diameter_mm),
            None => format!("M{}", self.diameter_mm),
        }
    }
}

impl Size {
    /// As a page prints it: `43 × 55 × 11 mm`.
    pub(crate) fn shown(&self) -> String {
        let parts: Vec<String> = self.parts.iter().map(|part| part.shown()).collect();
        format!("{}{NBSP}{}", parts.join("\u{a0}×\u{a0}"), self.unit.symbol_shown())
    }
}

impl Section {
    fn written(&self, written: impl Fn(&Quantity) -> String) -> String {
        match &self.until {
            Some(until) => format!("{} to {}", written(&self.value), written(until)),
            None => written(&self.value),
        }
    }
}

impl Value {
    /// As a page prints it: proper signs and non-breaking spaces. A choice gives its id: its title is the
    /// field's.
    pub(crate) fn shown(&self) -> String {
        match self {
            Value::NotFitted => "not fitted".to_owned(),
            Value::Unknown => UNKNOWN.to_owned(),
            Value::Quantity(quantity) => quantity.shown(),
            Value::FirstOf(both) => both.each_ref().map(Quantity::shown).join(" or "),
            Value::Thread(thread) => thread.shown(),
            Value::Size(size) => size.shown(),
            Value::Count(count) => count.to_string(),
            Value::Fit(fit) => format!("{}{NBSP}{}", fit.nominal, fit.code),
            Value::PropertyClass(class) => class.mark().to_owned(),
            Value::Choice(text) | Value::Text(text) | Value::Reference(text) => text.clone(),
            Value::Sections(sections) => {
                sections.iter().map(|section| section.written(Quantity::shown)).collect::<Vec<_>>().join("; ")
            }
        }
    }
}

/// The canonical text of a value, as a record should have it. Reading it gives the same value again.
///
/// ```
/// use benchleaf::quantity::{Dimension, Kind, FieldSpec, read_value, write_value};
///
/// let kind = Kind::Quantity(Dimension::Torque);
/// let field = FieldSpec { kind: &kind, units: &[], title: "Axle", example: "", bands: &[] };
/// let (value, _) = read_value("22 ft-lbs", &field);
/// assert_eq!(write_value(&value.unwrap()), "22 lbf·ft");
/// ```
pub fn write_value(value: &Value) -> String {
    match value {
        Value::Quantity(quantity) => quantity.canonical(),
        Value::FirstOf(both) => both.each_ref().map(Quantity::canonical).join(" or "),
        Value::Thread(thread) => thread.shown().replace(NBSP, " "),
        Value::Size(size) => size.shown().replace(NBSP, " "),
        Value::Fit(fit) => format!("{} {}", fit.nominal, fit.code),
        Value::Sections(sections) => {
            sections.iter().map(|section| section.written(Quantity::canonical)).collect::<Vec<_>>().join("; ")
        }
        other => other.shown(),
    }
}
