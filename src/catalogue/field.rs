//! One entry of the catalogue: what a value is, who must give it, how it is measured, what a wrong one does.

use std::collections::BTreeMap;

use indexmap::IndexMap;
use serde::Deserialize;

use super::attributes::{attribute, state_part};
use super::related::{CardRow, Fit, Related};
use super::when::{Choices, Required, When, all_hold};
use crate::quantity::{Dimension, FieldSpec, Kind, Quantity, Unit, Value, read_value, unit};

/// A section of a record.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// The section's name in a record, and the first half of its fields' keys.
    pub key: String,
    /// What a page calls it.
    pub title: String,
    /// Whose record it belongs to.
    pub of: Owner,
}

/// Whose record a group belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Owner {
    /// Forks and families.
    #[default]
    Fork,
    /// Oils.
    Oil,
    /// Springs of the stock.
    Spring,
}

/// Which of the four kinds of number a value is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Form {
    /// A target, with its tolerance.
    #[default]
    Target,
    /// A range to choose from.
    Range,
    /// A service limit.
    Limit,
    /// The difference allowed between legs.
    Difference,
}

/// What the bench does with a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// It is set.
    Set,
    /// It is measured against a limit.
    Inspected,
    /// It is what the part is.
    #[default]
    Fitted,
}

/// What a value counts for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Per {
    /// One leg.
    #[default]
    Leg,
    /// Both legs together.
    Pair,
    /// The fork or the machine as a whole.
    Fork,
}

/// Whether the legs must agree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Legs {
    /// Both legs to the same figure.
    #[default]
    Common,
    /// Each leg to its own.
    Own,
}

/// Which leg holds a value when the legs do different work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Works {
    /// Both.
    #[default]
    Both,
    /// The one with the spring.
    Spring,
    /// The one with the damper.
    Damper,
}

/// A plausible band.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// The choices it is for; empty: all.
    pub when: BTreeMap<String, Vec<String>>,
    /// What it is a band of; `None` for a count.
    pub dimension: Option<Dimension>,
    /// Least, in SI.
    pub from: f64,
    /// Most, in SI.
    pub to: f64,
    /// As written, for messages.
    pub text: (String, String),
    /// What it rests on.
    pub basis: String,
    /// Rests on a standard or on the shop's own figures.
    pub firm: bool,
}

/// One value a record can hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// `group.name`.
    pub key: String,
    /// The section.
    pub group: String,
    /// The name inside the section.
    pub name: String,
    /// What a person calls it.
    pub title: String,
    /// What a card calls it.
    pub short: String,
    /// What the box for a reading is called, where that is another thing than the value: a limit is not what is
    /// read. Empty: as the value.
    pub reading: String,
    /// Other words that people write in its place: a misspelt key is told by them.
    pub called: Vec<String>,
    /// Left and right are read apart, although the value is one for the fork.
    pub read_apart: bool,
    /// Whether it is the middle of three readings: extended, settled from below and settled from above.
    pub settled: bool,
    /// Its box stands on the page to work from alone: a card has two sides.
    pub page_only: bool,
    /// What may be written.
    pub kind: Kind,
    /// The kind as the catalogue spells it.
    pub kind_name: String,
    /// Usual units, the first one first.
    pub units: Vec<&'static Unit>,
    /// Decimals when converted, by unit; the last goes on.
    pub decimals: Vec<u8>,
    /// Which kind of number.
    pub form: Form,
    /// What the bench does with it.
    pub role: Role,
    /// Safety-critical: said in two units or by two sources.
    pub safety: bool,
    /// What it counts for.
    pub per: Per,
    /// Whether the legs must agree.
    pub legs: Legs,
    /// Which leg holds it when they do different work.
    pub works: Works,
    /// The forks it can be given for.
    pub applies: When,
    /// The forks that must give it.
    pub required: Required,
    /// The forks that may be without the part: only of these a record may say `not fitted`.
    pub may_lack: Required,
    /// Plausible bands, the first that fits counts.
    pub bands: Vec<Band>,
    /// The dimension, least and most of each band, SI: where such a value lies on any fork.
    pub lies: Vec<(Dimension, f64, f64)>,
    /// The parts of the state it must say.
    pub state: Vec<String>,
    /// Further keys its mapping may carry.
    pub attributes: Vec<String>,
    /// The field that limits the difference between legs.
    pub difference: Option<String>,
    /// How it stands to other fields.
    pub related: Related,
    /// The option that each part of its state has as a rule, by part (common practice, no source).
    pub usual_state: IndexMap<String, String>,
    /// What a thread is cut in that galls where it is tightened dry, each by a word of `into:`; `any` for any metal
    /// (common practice, no source).
    pub galls_dry_in: Vec<String>,
    /// It is read from the top edge of the tube that stands higher.
    pub from_the_top: bool,
    /// Its row among what the card has read as found and as left.
    pub card_row: Option<CardRow>,
    /// Several forks may share it, as the oil.
    pub shared_part: bool,
    /// How it is measured.
    pub measured: String,
    /// What a wrong value does.
    pub wrong: String,
    /// How it may be written.
    pub examples: Vec<String>,
    /// Whose record.
    pub of: Owner,
    /// Declared by the shop.
    pub by_shop: bool,
}

/// A group as it is written.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawGroup {
    /// See [`Group`].
    pub group: String,
    /// See [`Group`].
    pub title: String,
    /// See [`Group`].
    #[serde(default)]
    pub of: Owner,
    /// The fields in order.
    pub fields: IndexMap<String, RawField>,
}

/// A band as it is written.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawBand {
    #[serde(default)]
    when: BTreeMap<String, Vec<String>>,
    from: String,
    to: String,
    #[serde(default)]
    basis: String,
    #[serde(default)]
    firm: bool,
}

/// How a shop declares fields of its own, as lines to be filled in.
const OWN_FIELDS: [&str; 10] = [
    "fields:",
    "  - group: seals   # a group that is there, or one of yours",
    "    title: Seals",
    "    fields:",
    "      clip_color:   # the key, as records write it",
    "        title: Clip color",
    "        kind: text   # or length, torque, choice …: `benchleaf explain field-declaration`",
    "        measured: \"…\"   # where it is read",
    "        wrong: \"…\"   # what follows where it is not so",
    "        examples: [\"…\"]",
];

/// How a shop declares fields of its own, as lines to be filled in.
pub(crate) fn own_fields() -> Vec<String> {
    OWN_FIELDS.map(str::to_owned).to_vec()
}

/// A field as it is written.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawField {
    title: String,
    #[serde(default)]
    short: Option<String>,
    #[serde(default)]
    reading: String,
    #[serde(default)]
    called: Vec<String>,
    #[serde(default)]
    read_apart: bool,
    #[serde(default)]
    settled: bool,
    #[serde(default)]
    page_only: bool,
    kind: String,
    #[serde(default)]
    of: Option<String>,
    #[serde(default)]
    to: Option<String>,
    #[serde(default)]
    options: IndexMap<String, String>,
    #[serde(default)]
    units: Vec<String>,
    #[serde(default)]
    decimals: Decimals,
    #[serde(default)]
    form: Form,
    #[serde(default)]
    role: Role,
    #[serde(default)]
    safety: bool,
    #[serde(default)]
    per: Per,
    #[serde(default)]
    legs: Legs,
    #[serde(default)]
    works: Works,
    #[serde(default)]
    applies: When,
    #[serde(default)]
    required: Required,
    #[serde(default)]
    may_lack: Option<Required>,
    #[serde(default)]
    bands: Vec<RawBand>,
    #[serde(default)]
    state: Vec<String>,
    #[serde(default)]
    attributes: Vec<String>,
    #[serde(default)]
    difference: Option<String>,
    #[serde(default)]
    poured: Vec<String>,
    #[serde(default)]
    range_of: Option<String>,
    #[serde(default)]
    whole_range_of: Option<String>,
    #[serde(default)]
    limit_of: Option<String>,
    #[serde(default)]
    share_of: Option<String>,
    #[serde(default)]
    not_above: Vec<String>,
    #[serde(default)]
    not_below: Vec<String>,
    #[serde(default)]
    between: Vec<String>,
    #[serde(default)]
    instead_of: Option<String>,
    #[serde(default)]
    fits: Vec<Fit>,
    #[serde(default)]
    usual_state: IndexMap<String, String>,
    #[serde(default)]
    galls_dry_in: Vec<String>,
    #[serde(default)]
    from_the_top: bool,
    #[serde(default)]
    card_row: Option<CardRow>,
    #[serde(default)]
    shared_part: bool,
    #[serde(default)]
    measured: String,
    #[serde(default)]
    wrong: String,
    #[serde(default)]
    examples: Vec<String>,
}

#[derive(Debug, Clone, Default)]
struct Decimals(Vec<u8>);

impl<'de> Deserialize<'de> for Decimals {
    fn deserialize<D: serde::Deserializer<'de>>(input: D) -> Result<Self, D::Error> {
        struct Visitor;
        impl<'de> serde::de::Visitor<'de> for Visitor {
            type Value = Decimals;
            fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                out.write_str("a number of decimals, or one for each unit")
            }
            fn visit_u64<E: serde::de::Error>(self, n: u64) -> Result<Decimals, E> {
                Ok(Decimals(vec![u8::try_from(n).unwrap_or(u8::MAX).min(9)]))
            }
            fn visit_i64<E: serde::de::Error>(self, n: i64) -> Result<Decimals, E> {
                self.visit_u64(u64::try_from(n).unwrap_or(0))
            }
            fn visit_seq<A: serde::de::SeqAccess<'de>>(self, seq: A) -> Result<Decimals, A::Error> {
                Vec::deserialize(serde::de::value::SeqAccessDeserializer::new(seq)).map(Decimals)
            }
        }
        input.deserialize_any(Visitor)
    }
}

/// The usual state as written. What depends on the wheel is set with the leg extended and the wheel off the ground
/// (common practice, no source).
fn usual_state(written: IndexMap<String, String>, state: &[String]) -> IndexMap<String, String> {
    if !written.is_empty() || !state.iter().any(|part| part == "wheel") {
        return written;
    }
    [("leg", "extended"), ("wheel", "off-ground")].map(|(part, option)| (part.into(), option.into())).into()
}

impl Field {
    /// What is read, as a page calls it.
    pub fn read_as(&self) -> &str {
        if self.reading.is_empty() { &self.title } else { &self.reading }
    }

    pub(super) fn make(
        key: &str,
        name: &str,
        group: &Group,
        raw: RawField,
        by_shop: bool,
    ) -> Result<Field, String> {
        let options: Vec<(String, String)> = raw.options.into_iter().collect();
        let kind = Kind::parse(&raw.kind, raw.of.as_deref(), raw.to.as_deref(), &options)
            .map_err(|why| why.to_string())?;
        let units: Vec<&'static Unit> = raw
            .units
            .iter()
            .map(|symbol| unit(symbol).ok_or_else(|| format!("`{symbol}` is not a unit")))
            .collect::<Result<_, _>>()?;
        for part in &raw.state {
            state_part(part).ok_or_else(|| format!("`{part}` is not a part of a state"))?;
        }
        for name in &raw.attributes {
            attribute(name).ok_or_else(|| format!("`{name}` is not an attribute"))?;
        }
        // A shop that gives a value its range calls it so.
        let by_name = key.strip_suffix("_range").filter(|_| by_shop && raw.form == Form::Range);
        let range_of = raw.range_of.or_else(|| by_name.map(str::to_owned));
        let usual_state = usual_state(raw.usual_state, &raw.state);
        let mut field = Field {
            key: key.to_owned(),
            group: group.key.clone(),
            name: name.to_owned(),
            short: raw.short.unwrap_or_else(|| raw.title.clone()),
            title: raw.title,
            reading: raw.reading,
            called: raw.called,
            read_apart: raw.read_apart,
            settled: raw.settled,
            page_only: raw.page_only,
            kind,
            kind_name: raw.kind,
            units,
            decimals: raw.decimals.0,
            form: raw.form,
            role: raw.role,
            safety: raw.safety,
            per: raw.per,
            legs: raw.legs,
            works: raw.works,
            applies: raw.applies,
            required: raw.required,
            // What a shop wants to know besides is its own.
            may_lack: raw.may_lack.unwrap_or(if by_shop { Required::Always } else { Required::Never }),
            bands: Vec::new(),
            lies: Vec::new(),
            state: raw.state,
            attributes: raw.attributes,
            difference: raw.difference,
            related: Related {
                poured: raw.poured,
                range_of,
                whole_range_of: raw.whole_range_of,
                limit_of: raw.limit_of,
                share_of: raw.share_of,
                not_above: raw.not_above,
                not_below: raw.not_below,
                between: raw.between,
                instead_of: raw.instead_of,
                fits: raw.fits,
            },
            usual_state,
            galls_dry_in: raw.galls_dry_in,
            from_the_top: raw.from_the_top,
            card_row: raw.card_row,
            shared_part: raw.shared_part,
            measured: raw.measured,
            wrong: raw.wrong,
            examples: raw.examples,
            of: group.of,
            by_shop,
        };
        for band in raw.bands {
            let (dimension, from) = field.bound(&band.from)?;
            let (other, to) = field.bound(&band.to)?;
            if dimension != other {
                return Err(format!("its band runs from {} to {}, which are two kinds", band.from, band.to));
            }
            if from > to {
                return Err(format!("its band runs from {} down to {}", band.from, band.to));
            }
            let firm = band.firm || by_shop;
            field.lies.extend(dimension.map(|dimension| (dimension, from, to)));
            field.bands.push(Band {
                when: band.when,
                dimension,
                from,
                to,
                text: (band.from, band.to),
                basis: band.basis,
                firm,
            });
        }
        Ok(field)
    }

    /// How many decimals a value takes in the unit at `index` of the usual units.
    pub fn decimals_in(&self, index: usize) -> u8 {
        self.decimals.get(index).or(self.decimals.last()).copied().unwrap_or(1)
    }

    /// What the reader of values is told about this field.
    pub fn spec(&self) -> FieldSpec<'_> {
        FieldSpec {
            kind: &self.kind,
            units: &self.units,
            title: &self.title,
            example: self.examples.first().map_or("", String::as_str),
            bands: &self.lies,
        }
    }

    /// The band for a value of a fork with these choices. An interval in hours has another than one in
    /// kilometres.
    pub fn band<'a>(&'a self, choices: &'a Choices, value: &Value) -> Option<&'a Band> {
        let dimension = match value {
            Value::Sections(sections) => sections.first().map(|section| section.value.dimension()),
            other => other.quantity().map(Quantity::dimension),
        };
        self.bands_for(choices).find(|band| band.dimension == dimension)
    }

    /// The bands of a fork with these choices, the first of a dimension counts.
    pub fn bands_for<'a>(&'a self, choices: &'a Choices) -> impl Iterator<Item = &'a Band> {
        self.bands.iter().filter(|band| all_hold(&band.when, choices))
    }

    fn bound(&self, text: &str) -> Result<(Option<Dimension>, f64), String> {
        let (value, troubles) = read_value(text, &self.spec());
        match value {
            Some(Value::Count(count)) => Ok((None, f64::from(count))),
            Some(ref value) if value.quantity().is_some() => {
                let quantity = value.quantity();
                Ok((quantity.map(Quantity::dimension), quantity.map_or(0.0, Quantity::middle_si)))
            }
            _ => Err(troubles.into_iter().next().map_or_else(
                || format!("`{text}` is no bound for this kind of value"),
                |trouble| trouble.message,
            )),
        }
    }
}
