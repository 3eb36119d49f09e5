//! What a field takes, and what a reader is told of it.

use super::units::{Dimension, UNITS, Unit};
use crate::diagnostic::did_you_mean;

/// What kind of value a field takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Kind {
    /// A number with a unit of this dimension.
    Quantity(Dimension),
    /// An adjuster's setting: clicks, turns, rings or a length.
    Setting,
    /// A service interval: a time, a distance or months; or one of them or another, whichever is first.
    Interval,
    /// A quantity in stretches: `39 mm to 180 mm; 37.5 mm`.
    Sections(Dimension),
    /// A metric thread.
    Thread,
    /// So many dimensions of a part.
    Size(usize),
    /// A whole number without a unit.
    Count,
    /// A fit code.
    Fit,
    /// A property class.
    PropertyClass,
    /// One of these: id and title.
    Choice(Vec<(String, String)>),
    /// Free text.
    Text,
    /// The id of a record of this kind: `oil`, `tool`.
    Reference(String),
}

/// A kind that no catalogue can name: one sentence says why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KindError(String);

impl std::fmt::Display for KindError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for KindError {}

/// The kinds that are not a dimension.
const OTHER_KINDS: [&str; 12] = [
    "thread",
    "size-2",
    "size-3",
    "count",
    "fit",
    "property-class",
    "choice",
    "text",
    "setting",
    "interval",
    "sections",
    "reference",
];

const SETTING: [Dimension; 4] = [Dimension::Clicks, Dimension::Turns, Dimension::Rings, Dimension::Length];
const INTERVAL: [Dimension; 3] = [Dimension::Time, Dimension::Distance, Dimension::Calendar];

impl Kind {
    /// The kind a catalogue names. `of` is the dimension of sections, `to` what a reference points at,
    /// `options` the ids and titles of a choice. The error is one sentence.
    pub(crate) fn parse(
        kind: &str,
        of: Option<&str>,
        to: Option<&str>,
        options: &[(String, String)],
    ) -> Result<Kind, KindError> {
        let parsed = match kind {
            "thread" => Kind::Thread,
            "size-2" => Kind::Size(2),
            "size-3" => Kind::Size(3),
            "count" => Kind::Count,
            "fit" => Kind::Fit,
            "property-class" => Kind::PropertyClass,
            "text" => Kind::Text,
            "setting" => Kind::Setting,
            "interval" => Kind::Interval,
            "choice" if options.is_empty() => return Err(KindError("a choice needs its options".to_owned())),
            "choice" => Kind::Choice(options.to_vec()),
            "sections" => match of.unwrap_or("length") {
                "length" => Kind::Sections(Dimension::Length),
                "spring-rate" => Kind::Sections(Dimension::SpringRate),
                other => {
                    let why = format!("sections are of `length` or `spring-rate`, not of `{other}`");
                    return Err(KindError(why));
                }
            },
            "reference" => match to {
                Some(to @ ("oil" | "tool")) => Kind::Reference(to.to_owned()),
                _ => return Err(KindError("a reference needs `to: oil` or `to: tool`".to_owned())),
            },
            other => match Dimension::from_id(other) {
                Some(dimension) => Kind::Quantity(dimension),
                None => {
                    let known = Dimension::ALL.iter().map(|d| d.id()).chain(OTHER_KINDS);
                    let list = || "`benchleaf explain field-declaration` lists them".to_owned();
                    let hint = did_you_mean(other, known, list);
                    return Err(KindError(format!("`{other}` is not a kind of value: {hint}")));
                }
            },
        };
        if of.is_some() && !matches!(parsed, Kind::Sections(_)) {
            return Err(KindError(format!("`of` belongs to sections, not to `{kind}`")));
        }
        if to.is_some() && !matches!(parsed, Kind::Reference(_)) {
            return Err(KindError(format!("`to` belongs to a reference, not to `{kind}`")));
        }
        if !options.is_empty() && !matches!(parsed, Kind::Choice(_)) {
            return Err(KindError(format!("`options` belong to a choice, not to `{kind}`")));
        }
        Ok(parsed)
    }

    /// The dimensions a number of this kind may have; empty where it is no quantity.
    pub(crate) fn dimensions(&self) -> &[Dimension] {
        match self {
            Kind::Quantity(dimension) | Kind::Sections(dimension) => std::slice::from_ref(dimension),
            Kind::Setting => &SETTING,
            Kind::Interval => &INTERVAL,
            _ => &[],
        }
    }
}

/// What the reader is told about the field it reads for.
#[derive(Debug, Clone, Copy)]
pub struct FieldSpec<'a> {
    /// What it takes.
    pub kind: &'a Kind,
    /// The field's usual units, for messages and examples; may be empty.
    pub units: &'a [&'static Unit],
    /// What a person calls the field.
    pub title: &'a str,
    /// How a good value looks; may be empty.
    pub example: &'a str,
    /// Where such a value lies, over all forks: a dimension, the least and the most in SI. Only what is offered
    /// is judged by it, never what is written; may be empty.
    pub bands: &'a [(Dimension, f64, f64)],
}

impl FieldSpec<'_> {
    /// Whether an amount lies where such a value can lie; it can, where nothing is known.
    pub(super) fn plausible(&self, dimension: Dimension, si: f64) -> bool {
        let slack = |bound: f64| 1e-9 * bound.abs();
        let mut known = self.bands.iter().filter(|band| band.0 == dimension).peekable();
        known.peek().is_none()
            || known.any(|(_, from, to)| si >= from - slack(*from) && si <= to + slack(*to))
    }
}

/// What a free conversion tells the reader: any dimension, no example.
pub(super) fn free(kind: &Kind) -> FieldSpec<'_> {
    FieldSpec { kind, units: &[], title: "", example: "", bands: &[] }
}

/// What a reading is read for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Context<'a> {
    pub dimensions: &'a [Dimension],
    pub field: &'a FieldSpec<'a>,
    /// In sections `to` ends a stretch and is no range.
    pub sections: bool,
}

/// The unit a reading of the wanted dimensions would be shown in: the field's own first one.
pub(super) fn usual(context: Context<'_>, dimension: Dimension) -> &'static Unit {
    let unit_of_field = context.field.units.iter().copied().find(|unit| unit.dimension == dimension);
    // Every dimension has a unit in the table: a test holds it to that.
    unit_of_field.unwrap_or_else(|| dimension.units().next().unwrap_or(&UNITS[0]))
}
