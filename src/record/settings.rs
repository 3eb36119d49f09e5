//! `specs/shop.yaml`: the shop's own choices, with sound defaults where it says nothing.

use std::collections::BTreeMap;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde_json::json;

use super::text::{Text, read_apart, texts, value_schema, word, words};
use super::value::read;
use crate::catalogue::{Catalogue, RawGroup, own_fields};
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Dimension, FieldSpec, Kind, Quantity, Unit, Value, unit};
use crate::syntax::{from_tree, yaml::Node};
use crate::text::{FileId, Files, Span};

/// Whether a safety-critical value must be said twice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SecondSaying {
    /// In two units, or by two sources, each with its figure.
    #[default]
    Required,
    /// The shop has turned this off.
    Off,
}

words!(
    SecondSaying,
    [("required", SecondSaying::Required), ("off", SecondSaying::Off)],
    SecondSaying::Required
);

/// What the shop has decided for itself.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// The shop's name.
    pub name: String,
    /// Where it is.
    pub place: Option<String>,
    /// First and second unit for a dimension, where the shop says so.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "units_schema")]
    pub units: BTreeMap<Dimension, Vec<&'static Unit>>,
    /// What the first click out from fully closed is called.
    #[serde(default)]
    pub first_click: FirstClick,
    /// The temperature gaps are set at, such as 20 °C.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub bench_temperature: Option<Quantity>,
    /// The temperature a fork works at, such as 50 °C.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub working_temperature: Option<Quantity>,
    /// The oil bottles on the shelf, such as 1 L.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "bottles_schema")]
    pub bottles: Vec<Quantity>,
    /// Oil allowed for waste, such as 5 %.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub waste: Option<Quantity>,
    /// The bounds that the shop sets itself.
    #[serde(default)]
    pub limits: Limits,
    /// Who may approve values.
    #[serde(default, deserialize_with = "texts")]
    pub approvers: Vec<Text>,
    /// The address the site is served from.
    pub site: Option<Text>,
    /// The notation that the shop's records are written in, such as 1. A program that knows only an earlier one says so
    /// and changes nothing. Left out: 1.
    #[serde(default, deserialize_with = "word")]
    #[schemars(schema_with = "notation_schema")]
    pub notation: Option<u32>,
    /// Who says that the pages may be public, and why. Left out: the workflow builds them and publishes nothing.
    #[serde(default)]
    pub public: Public,
    /// What the shop asks of values that can hurt somebody.
    #[serde(default)]
    pub safety_values: SafetyValues,
}

/// The notation that this program reads: it is raised where an earlier program would read a record, a review or a job
/// otherwise than it is meant.
pub const NOTATION: u32 = 1;

fn notation_schema(_: &mut SchemaGenerator) -> Schema {
    json_schema!({"type": "integer", "minimum": 1, "maximum": 1000})
}

/// later-notation: the program knows what the shop is written in.
fn is_known(notation: Option<u32>, root: &Node, findings: &mut Vec<Finding>) {
    let (Some(there), Some(entry)) = (notation.filter(|there| *there > NOTATION), root.get("notation"))
    else {
        return;
    };
    findings.push(
        rules::LATER_NOTATION
            .at(
                entry.span,
                format!("this shop is written in notation {there}, and this program reads up to {NOTATION}"),
            )
            .bench("what only a later program knows would be read as a mistake, or not at all")
            .instead("use the benchleaf that the shop is written for; this one changes nothing here"),
    );
}

/// That a shop's pages may be public: makers' figures may have owners, so that somebody answers for it.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct Public {
    /// Who answers for it: one of the shop's approvers, where it names them.
    pub by: Text,
    /// Why they may be public: whose leave there is for the makers' figures.
    pub reason: Text,
}

impl Public {
    /// Whether it says all that it must.
    pub fn is_whole(&self) -> bool {
        [&self.by.text, &self.reason.text].iter().all(|text| !text.trim().is_empty())
    }
}

/// The bounds that a shop sets itself.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct Limits {
    /// The greatest air force one leg may reach at full travel, such as 3 kN.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub air_force: Option<Quantity>,
}

/// What a shop asks of values that can hurt somebody.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct SafetyValues {
    /// Whether a safety-critical value must be said twice.
    #[serde(default)]
    pub second_saying: SecondSaying,
}

/// What the first click out from fully closed is called.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum FirstClick {
    /// Nought.
    #[default]
    Zero,
    /// One.
    One,
}

words!(FirstClick, [("zero", FirstClick::Zero), ("one", FirstClick::One)], FirstClick::Zero);

fn units_schema(_: &mut SchemaGenerator) -> Schema {
    let of_dimension = |dimension: &Dimension| {
        let units: Vec<&str> = dimension.units().map(|unit| unit.symbol).collect();
        let help = format!("First and second unit of {}.", dimension.title());
        let list = json!({
            "type": "array", "items": {"type": "string"}, "minItems": 1, "maxItems": 2, "description": help,
            "examples": [units],
        });
        (dimension.id().to_owned(), list)
    };
    let dimensions: serde_json::Map<String, serde_json::Value> =
        Dimension::ALL.iter().map(of_dimension).collect();
    json_schema!({"type": "object", "properties": dimensions, "additionalProperties": false})
}

fn bottles_schema(generator: &mut SchemaGenerator) -> Schema {
    json_schema!({"type": "array", "items": value_schema(generator)})
}

impl Settings {
    /// The shop's name; a plain word where it does not say it.
    pub fn name(&self) -> &str {
        if self.name.is_empty() { "Fork service" } else { &self.name }
    }

    /// Whether the first click out from fully closed is called zero.
    pub fn first_click_is_zero(&self) -> bool {
        self.first_click == FirstClick::Zero
    }

    /// Bench temperature in °C; 20 unless the shop says otherwise.
    pub fn bench_celsius(&self) -> f64 {
        self.bench_temperature.as_ref().map_or(20.0, |t| t.middle_si() - 273.15)
    }

    /// Working temperature in °C; 50 unless the shop says otherwise.
    pub fn working_celsius(&self) -> f64 {
        self.working_temperature.as_ref().map_or(50.0, |t| t.middle_si() - 273.15)
    }

    /// Greatest air force at full travel for a leg, N; 3 kN unless the shop says otherwise.
    pub fn air_force_limit(&self) -> f64 {
        self.limits.air_force.as_ref().map_or(3000.0, Quantity::middle_si)
    }
}

/// Reads the shop's settings. `fields:` is read by [`read_fields`].
pub(crate) fn read_settings(
    root: &Node,
    file: FileId,
    files: &Files,
    findings: &mut Vec<Finding>,
) -> Settings {
    let text = &files.get(file).text;
    let mut settings: Settings = from_tree(root);
    let mut quantity = |node: Option<&Node>, dimension, title, example| {
        let kind = Kind::Quantity(dimension);
        match read(&FieldSpec { kind: &kind, units: &[], title, example, bands: &[] }, node?, text, findings)
        {
            Some(Value::Quantity(quantity)) => Some(quantity),
            _ => None,
        }
    };
    settings.bench_temperature =
        quantity(root.get("bench_temperature"), Dimension::Temperature, "Bench temperature", "20 °C");
    settings.working_temperature =
        quantity(root.get("working_temperature"), Dimension::Temperature, "Working temperature", "50 °C");
    settings.waste = quantity(root.get("waste"), Dimension::Ratio, "Waste allowance", "5 %");
    settings.limits.air_force = quantity(
        root.get("limits").and_then(|limits| limits.get("air_force")),
        Dimension::Force,
        "Air force limit",
        "3 kN",
    );
    // That nothing stands in an entry has been said.
    let bottles = root.get("bottles").map_or(&[][..], Node::items).iter().filter(|item| !item.is_empty());
    let bottles: Vec<(Quantity, Span)> = bottles
        .filter_map(|item| Some((quantity(Some(item), Dimension::Volume, "Bottle", "1 L")?, item.span)))
        .collect();
    settings.bottles = BOTTLES.those_inside(bottles, findings);
    temperatures(&settings, root, findings);
    ranges(&mut settings, root, findings);
    units(&mut settings, root, findings);
    is_known(settings.notation, root, findings);
    settings.site = settings.site.take().filter(|site| is_address(site, findings));
    settings
}

/// The units that the shop works in.
fn units(settings: &mut Settings, root: &Node, findings: &mut Vec<Finding>) {
    for entry in root.get("units").map_or(&[][..], Node::entries) {
        let Some(dimension) = Dimension::from_id(&entry.key) else { continue };
        let mut units = Vec::new();
        for item in entry.value.items() {
            let Some(written) = item.text() else { continue };
            match unit(written).filter(|unit| unit.dimension == dimension) {
                Some(unit) => units.push(unit),
                None => findings.push(unit_finding(dimension, written, item.span)),
            }
        }
        settings.units.insert(dimension, units);
    }
}

/// site-address: the code on a card leads to the site.
fn is_address(site: &Text, findings: &mut Vec<Finding>) -> bool {
    let Some(problem) = address_problem(&site.text) else { return true };
    findings.push(
        rules::SITE_ADDRESS
            .at(site.span, format!("`{}` is not the address of a site: {problem}", site.text))
            .bench("the code printed on a card would lead nowhere, or to somebody else's site")
            .instead("write the whole address, such as `https://bench.example`"),
    );
    false
}

/// The range of a setting: what lies outside of it is a slip, or would make the program reserve memory for it.
struct Range {
    key: &'static str,
    /// In the SI unit of its dimension.
    from: f64,
    to: f64,
    /// The range as a shop writes it, and why it ends there.
    in_words: &'static str,
    bench: &'static str,
    example: &'static str,
}

/// Common practice, no source: the smallest bottle of fork oil is a sample, the largest a drum of 208 L.
const BOTTLES: Range = Range {
    key: "bottles",
    from: 10e-6,
    to: 220e-3,
    in_words: "10 mL to 220 L, which is from a sample to a drum",
    bench: "the list for the shelf would name bottles that nobody has",
    example: "1 L",
};

/// Common practice, no source: what stays in a syringe, a funnel and an old oil path is a few parts in a hundred.
const WASTE: Range = Range {
    key: "waste",
    from: 0.0,
    to: 0.5,
    in_words: "0 % to 50 %, since more than that is a spill",
    bench: "the list for the shelf would name far too much oil",
    example: "5 %",
};

/// Common practice, no source: the air of a fork carries some hundred newtons, and no leg bears two tonnes.
const AIR_FORCE: Range = Range {
    key: "air_force",
    from: 100.0,
    to: 20_000.0,
    in_words: "100 N to 20 kN, which is from a hand's push to more than a leg bears",
    bench: "a gap that locks the leg on its air would pass, or every gap would be refused",
    example: "3 kN",
};

impl Range {
    fn finding(&self, value: &Quantity, span: Span) -> Option<Finding> {
        // A thousandth for the way from the written unit and back.
        let (from, to) = (self.from * 0.999, self.to * 1.001);
        if (from..=to).contains(&value.middle_si()) {
            return None;
        }
        Some(
            rules::SETTING_RANGE
                .at(span, format!("`{}` is outside of {}", self.key, self.in_words))
                .bench(self.bench)
                .instead(format!("look at number and unit again, such as `{}`", self.example)),
        )
    }
}

impl Range {
    /// The values that lie inside; what lies outside is told and taken out.
    fn those_inside(&self, values: Vec<(Quantity, Span)>, findings: &mut Vec<Finding>) -> Vec<Quantity> {
        let mut inside = Vec::new();
        for (value, span) in values {
            match self.finding(&value, span) {
                None => inside.push(value),
                Some(finding) => findings.push(finding),
            }
        }
        inside
    }
}

/// Takes out what lies outside of its range, so that nothing is worked out with it.
fn ranges(settings: &mut Settings, root: &Node, findings: &mut Vec<Finding>) {
    let mut outside = |range: &Range, value: &Quantity, node: Option<&Node>| {
        let finding = node.and_then(|node| range.finding(value, node.span));
        let is_outside = finding.is_some();
        findings.extend(finding);
        is_outside
    };
    let limit = root.get("limits").and_then(|limits| limits.get("air_force"));
    settings.waste = settings.waste.take().filter(|value| !outside(&WASTE, value, root.get("waste")));
    settings.limits.air_force =
        settings.limits.air_force.take().filter(|value| !outside(&AIR_FORCE, value, limit));
}

/// What is wrong with the address that a site is served from: it is printed on every card.
fn address_problem(text: &str) -> Option<&'static str> {
    let Ok(address) = url::Url::parse(text) else { return Some("it cannot be read") };
    let plain = text.bytes().all(|byte| byte.is_ascii_graphic() && byte != b'\\');
    if !plain {
        // A reader of addresses drops some of these without a word.
        Some("it has a space, a backslash or a letter beyond a to z")
    } else if !matches!(address.scheme(), "http" | "https") || address.host_str().is_none_or(str::is_empty) {
        Some("it does not begin with `https://` and a name")
    } else if !address.username().is_empty() || address.password().is_some() {
        Some("what stands before `@` is a name and a password, and the site is what comes after it")
    } else if address.query().is_some() || address.fragment().is_some() {
        Some("a page's address cannot be put behind `?` or `#`")
    } else {
        None
    }
}

fn unit_finding(dimension: Dimension, written: &str, span: Span) -> Finding {
    let symbols: Vec<&str> = dimension.units().map(|unit| unit.symbol).collect();
    rules::UNKNOWN_UNIT
        .at(span, format!("`{written}` is not a unit of {}", dimension.title()))
        .bench("pages could not show this dimension in the unit the shop works in")
        .instead(crate::diagnostic::did_you_mean(written, symbols.iter().copied(), || {
            format!("write one of {}", symbols.join(", "))
        }))
}

/// The shape of `fields:`, which is read by [`read_fields`] and not kept among the settings.
pub(super) fn fields_schema() -> serde_json::Map<String, serde_json::Value> {
    let list = json!({
        "type": "array",
        "items": {"type": "object", "required": ["group", "title", "fields"]},
        "description": "Fields of the shop's own, described like those of the field reference.",
    });
    serde_json::Map::from_iter([("properties".to_owned(), json!({"fields": list}))])
}

/// Adds the fields a shop declares for itself to the catalogue.
pub(crate) fn read_fields(root: &Node, catalogue: &mut Catalogue, findings: &mut Vec<Finding>) {
    for (n, group) in root.get("fields").map_or(&[][..], Node::items).iter().enumerate() {
        let json = group.json();
        let raw: Result<RawGroup, _> = serde_path_to_error::deserialize(&json);
        let at = |path: &str| root.at_pointer(&format!("/fields/{n}{path}"));
        match raw {
            Err(error) => {
                let pointer: String = error.path().iter().fold(String::new(), |out, part| {
                    use serde_path_to_error::Segment;
                    match part {
                        Segment::Map { key } => {
                            format!("{out}/{}", key.replace('~', "~0").replace('/', "~1"))
                        }
                        Segment::Seq { index } => format!("{out}/{index}"),
                        _ => out,
                    }
                });
                let (span, key) = at(&pointer);
                findings.push(
                    rules::FIELD_DECLARATION
                        .at(
                            key.unwrap_or(span),
                            format!("this field cannot be understood: {}", error.inner()),
                        )
                        .bench("values of this field would be neither checked nor printed")
                        .instead("describe it as in these lines; a number takes `units:` as well")
                        .lines(own_fields()),
                );
            }
            Ok(raw) => {
                if let Err((name, why)) = catalogue.add(raw, true) {
                    let (span, key) = at(&format!("/fields/{name}"));
                    findings.push(
                        rules::FIELD_DECLARATION
                            .at(key.unwrap_or(span), why)
                            .bench("values of this field would be neither checked nor printed")
                            .instead("give it a name of its own, a kind and units the tool knows"),
                    );
                }
            }
        }
    }
}

/// shop-temperature: a bench is as warm as a room, and a working fork no hotter than its seals bear. The bounds
/// are common practice, no source.
fn temperatures(settings: &Settings, root: &Node, findings: &mut Vec<Finding>) {
    for (key, temperature, from, to) in [
        ("bench_temperature", &settings.bench_temperature, 5.0, 40.0),
        ("working_temperature", &settings.working_temperature, 5.0, 120.0),
    ] {
        let (Some(temperature), Some(node)) = (temperature, root.get(key)) else { continue };
        // Half a thousandth of a degree for the way there and back.
        if (from - 5e-4..=to + 5e-4).contains(&(temperature.middle_si() - 273.15)) {
            continue;
        }
        findings.push(
            rules::SHOP_TEMPERATURE
                .at(node.span, format!("`{key}` is outside of {from:.0} °C to {to:.0} °C"))
                .bench("fill by weight, viscosity and the warm gap of every fork are worked out for it")
                .instead("look at number and unit again, such as `20 °C (68 °F)`"),
        );
    }
}
