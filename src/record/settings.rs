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
    /// Oil bottle sizes, m³, each with its place.
    pub bottles: Vec<(Quantity, Span)>,
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
        .filter_map(|item| Some((quantity(Some(item), Dimension::Volume, "Bottle", "1 L")?, item.span)))
        .collect();
    temperatures(&settings, root, findings);
    ranges(&mut settings, root, findings);
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
    if let Some(site) = settings.site.take() {
        match address_problem(&site.text) {
            None => settings.site = Some(site),
            Some(problem) => findings.push(
                rules::SITE_ADDRESS
                    .at(site.span, format!("`{}` is not the address of a site: {problem}", site.text))
                    .bench("the code printed on a card would lead nowhere, or to somebody else's site")
                    .instead("write the whole address, such as `https://bench.example`"),
            ),
        }
    }
    if root.get("safety_values").and_then(|values| values.text_of("second_saying")) == Some("off") {
        settings.second_saying = SecondSaying::Off;
    }
    settings
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
    settings.air_force = settings.air_force.take().filter(|value| !outside(&AIR_FORCE, value, limit));
    let mut bottles = std::mem::take(&mut settings.bottles);
    bottles.retain(|(value, span)| match BOTTLES.finding(value, *span) {
        None => true,
        Some(finding) => {
            findings.push(finding);
            false
        }
    });
    settings.bottles = bottles;
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
