//! `specs/shop.yaml`: the shop's own choices, with sound defaults where it says nothing.

use std::collections::BTreeMap;

use super::text::{Text, text_entry};
use super::value::read;
use crate::catalogue::{Catalogue, RawGroup};
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Dimension, Kind, Quantity, Unit, Value, Wanted, unit};
use crate::syntax::yaml::Node;
use crate::text::{FileId, Files, Span};

/// Whether a safety-critical value must be said twice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SecondSaying {
    /// In two units, or from two sources.
    #[default]
    Required,
    /// The shop has turned this off.
    Off,
}

/// What the shop has decided for itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The shop's name.
    pub name: String,
    /// Where it is.
    pub place: Option<String>,
    /// First and second unit for a dimension, where the shop says so.
    pub units: BTreeMap<Dimension, Vec<&'static Unit>>,
    /// Paper sizes cards are made for: `a4`, `letter`.
    pub paper: Vec<String>,
    /// Whether the first click counts as zero.
    pub first_click_zero: bool,
    /// The temperature gaps and levels are set at, K.
    pub bench_temperature: Option<Quantity>,
    /// The temperature the fork works at, K.
    pub working_temperature: Option<Quantity>,
    /// Oil bottle sizes, m³.
    pub bottles: Vec<Quantity>,
    /// Oil allowed for waste, as a share.
    pub waste: Option<Quantity>,
    /// The greatest air force at full travel a leg may reach, N.
    pub air_force: Option<Quantity>,
    /// Who may approve values.
    pub approvers: Vec<Text>,
    /// The address the site is served from.
    pub site: Option<Text>,
    /// Whether a safety-critical value must be said twice.
    pub second_saying: SecondSaying,
}

impl Default for Settings {
    fn default() -> Self {
        Settings {
            name: "Fork service".to_owned(),
            place: None,
            units: BTreeMap::new(),
            paper: vec!["a4".to_owned(), "letter".to_owned()],
            first_click_zero: true,
            bench_temperature: None,
            working_temperature: None,
            bottles: Vec::new(),
            waste: None,
            air_force: None,
            approvers: Vec::new(),
            site: None,
            second_saying: SecondSaying::Required,
        }
    }
}

impl Settings {
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
        self.air_force.as_ref().map_or(3000.0, Quantity::middle_si)
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
    let mut settings = Settings::default();
    let mut quantity = |node: Option<&Node>, dimension, title, example| {
        let kind = Kind::Quantity(dimension);
        match read(&Wanted { kind: &kind, units: &[], title, example, bands: &[] }, node?, text, findings) {
            Some(Value::Quantity(quantity)) => Some(quantity),
            _ => None,
        }
    };
    settings.bench_temperature =
        quantity(root.get("bench_temperature"), Dimension::Temperature, "Bench temperature", "20 °C");
    settings.working_temperature =
        quantity(root.get("working_temperature"), Dimension::Temperature, "Working temperature", "50 °C");
    settings.waste = quantity(root.get("waste"), Dimension::Ratio, "Waste allowance", "5 %");
    settings.air_force = quantity(
        root.get("limits").and_then(|limits| limits.get("air_force")),
        Dimension::Force,
        "Air force limit",
        "3 kN",
    );
    settings.bottles = root
        .get("bottles")
        .map_or(&[][..], Node::items)
        .iter()
        .filter_map(|item| quantity(Some(item), Dimension::Volume, "Bottle", "1 L"))
        .collect();
    temperatures(&settings, root, findings);
    if let Some(name) = root.text_of("name") {
        settings.name = name.to_owned();
    }
    settings.place = root.text_of("place").map(str::to_owned);
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
    let texts = |key: &str| root.get(key).map_or(&[][..], Node::items).iter();
    let paper: Vec<String> = texts("paper").filter_map(Node::text).map(str::to_owned).collect();
    if !paper.is_empty() {
        settings.paper = paper;
    }
    settings.first_click_zero = root.text_of("first_click") != Some("one");
    settings.approvers = texts("approvers")
        .filter_map(|item| item.text().map(|text| Text { text: text.to_owned(), span: item.span }))
        .collect();
    settings.site = text_entry(root, "site");
    if let Some(site) = &settings.site
        && !["https://", "http://"]
            .iter()
            .any(|scheme| site.text.len() > scheme.len() && site.text.starts_with(scheme))
    {
        findings.push(
            rules::SITE_ADDRESS
                .at(site.span, format!("`{}` is not the address of a site", site.text))
                .bench("the code printed on a card would lead nowhere")
                .instead("write the whole address, such as `https://bench.example`"),
        );
    }
    if root.get("safety_values").and_then(|values| values.text_of("second_saying")) == Some("off") {
        settings.second_saying = SecondSaying::Off;
    }
    settings
}

fn unit_finding(dimension: Dimension, written: &str, span: Span) -> Finding {
    let known: Vec<&str> = dimension.units().map(|unit| unit.symbol).collect();
    rules::UNKNOWN_UNIT
        .at(span, format!("`{written}` is not a unit of {}", dimension.title()))
        .bench("pages could not show this dimension in the unit the shop works in")
        .instead(crate::diagnostic::did_you_mean(written, known.iter().copied(), || {
            format!("write one of {}", known.join(", "))
        }))
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
                    rules::FIELD_DECLARATION.at(key.unwrap_or(span), format!("this field cannot be understood: {}", error.inner()))
                        .bench("values of this field would be neither checked nor printed")
                        .instead("describe it like a field of the field reference: title, kind, units, measured, wrong"),
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
    for (key, said, from, to) in [
        ("bench_temperature", &settings.bench_temperature, 5.0, 40.0),
        ("working_temperature", &settings.working_temperature, 5.0, 120.0),
    ] {
        let (Some(said), Some(node)) = (said, root.get(key)) else { continue };
        // Half a thousandth of a degree for the way there and back.
        if (from - 5e-4..=to + 5e-4).contains(&(said.middle_si() - 273.15)) {
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
