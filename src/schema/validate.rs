//! A record's tree against its schema, the library's errors turned into findings of our own.

use std::collections::BTreeMap;

use jsonschema::{ValidationError, Validator, error::ValidationErrorKind};
use serde_json::Value as Json;

use super::schema;
use crate::catalogue::Catalogue;
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::record::{A_VALUE, RecordKind, acceptance};
use crate::syntax::yaml::Node;
use crate::text::Span;

/// A schema that cannot be compiled, because of a field that the shop declares.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SchemaFault {
    /// The schema's file.
    pub file: &'static str,
    /// What the compiler of schemas says.
    pub why: String,
}

impl std::fmt::Display for SchemaFault {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{}: {}", self.file, self.why)
    }
}

impl std::error::Error for SchemaFault {}

/// The most findings on the shape of one record.
const MOST_FINDINGS: usize = 1_000;

/// One compiled schema for each kind of record.
pub struct Validators {
    by_kind: BTreeMap<RecordKind, (Validator, Json)>,
}

impl Validators {
    /// Compiles the schemas of a shop.
    ///
    /// # Errors
    /// When a field the shop declares makes a schema that cannot be compiled.
    pub fn new(catalogue: &Catalogue) -> Result<Self, SchemaFault> {
        let mut by_kind = BTreeMap::new();
        for kind in RecordKind::ALL {
            let schema = schema(catalogue, kind);
            let validator = jsonschema::draft202012::new(&schema)
                .map_err(|error| SchemaFault { file: kind.schema_file(), why: error.to_string() })?;
            by_kind.insert(kind, (validator, schema));
        }
        Ok(Validators { by_kind })
    }

    /// The findings on the shape of one record.
    pub fn check(&self, kind: RecordKind, root: &Node, catalogue: &Catalogue, findings: &mut Vec<Finding>) {
        let Some((validator, schema)) = self.by_kind.get(&kind) else { return };
        let instance = root.json();
        let before = findings.len();
        for error in validator.iter_errors(&instance) {
            if findings.len() - before >= MOST_FINDINGS {
                findings.push(
                    rules::TOO_MUCH
                        .at(
                            Span { end: root.span.start, ..root.span },
                            format!(
                                "more than {MOST_FINDINGS} things are wrong with the shape of this record"
                            ),
                        )
                        .bench("the rest is not told")
                        .instead("look at what made the file; mend what is told, and check again"),
                );
                break;
            }
            finding(&error, schema, root, kind, catalogue, findings);
        }
    }
}

fn finding(
    error: &ValidationError<'_>,
    schema: &Json,
    root: &Node,
    kind: RecordKind,
    catalogue: &Catalogue,
    findings: &mut Vec<Finding>,
) {
    let pointer = error.instance_path().as_str();
    let (span, key) = root.at_pointer(pointer);
    let name = pointer.rsplit('/').next().unwrap_or("");
    let mut parts = pointer.split('/').skip(1);
    let group = parts.next().unwrap_or("");
    let of_catalogue = matches!(kind, RecordKind::Fork | RecordKind::Family | RecordKind::Oil)
        && catalogue.groups.iter().any(|known| known.key == group);
    let in_value = of_catalogue && parts.next().is_some();
    match error.kind() {
        ValidationErrorKind::AdditionalProperties { unexpected } => {
            let known = keys_at(schema, error.schema_path().as_str());
            // The same places hold what the shop declares for itself.
            let may_be_own = catalogue.incomplete && !in_value && takes_fields(kind);
            for word in unexpected.iter().filter(|_| !may_be_own) {
                let (_, key) =
                    root.at_pointer(&format!("{pointer}/{}", word.replace('~', "~0").replace('/', "~1")));
                findings.push(unknown_key(word, key.unwrap_or(span), pointer, &known, catalogue));
            }
        }
        ValidationErrorKind::Required { property } => {
            let missing = property.as_str().unwrap_or("");
            if in_value && let Some(given) = other_leg(missing) {
                findings.push(
                    rules::ONE_LEG_ONLY
                        .at(
                            key.unwrap_or(span),
                            format!("`{name}` gives the {given} leg and not the {missing}"),
                        )
                        .bench("the other leg would be set by guess")
                        .instead(format!("add `{missing}:` with its value, or `not fitted`")),
                );
                return;
            }
            let place =
                if pointer.is_empty() { Span { end: span.start, ..span } } else { key.unwrap_or(span) };
            findings.push(
                rules::MISSING_KEY
                    .at(place, format!("`{missing}:` is missing{}", inside(pointer)))
                    .bench(required_bench(missing, kind))
                    .instead(format!(
                        "add `{missing}:`{}",
                        hint(schema, error.schema_path().as_str(), missing)
                    )),
            );
        }
        // What is neither a word nor a number has the wrong shape, which is said where the type is.
        ValidationErrorKind::Enum { .. } if !scalar(error.instance()) => {}
        ValidationErrorKind::Enum { options } if !in_value => {
            let options: Vec<&str> =
                options.as_array().into_iter().flatten().filter_map(Json::as_str).collect();
            let written =
                error.instance().as_str().map_or_else(|| error.instance().to_string(), str::to_owned);
            findings.push(
                rules::UNKNOWN_CHOICE
                    .at(
                        span,
                        format!("`{written}` is not one of the choices for `{}`", parent(pointer, name)),
                    )
                    .bench("what must be given, checked and cautioned about hangs on this choice")
                    .instead(did_you_mean(&written, options.iter().copied(), || {
                        format!("write one of {}", options.join(", "))
                    })),
            );
        }
        // The reader of values says what is wrong with a value, better than a schema can.
        ValidationErrorKind::Enum { .. } => {}
        ValidationErrorKind::Type { .. }
            if (in_value && !in_acceptance(pointer) || is_value(schema, error.schema_path().as_str()))
                && scalar(error.instance()) => {}
        // That it is none of the words that can stand here has been said.
        ValidationErrorKind::Type { .. }
            if scalar(error.instance()) && has_options(schema, error.schema_path().as_str()) => {}
        ValidationErrorKind::Type { .. } if in_value && is_acceptance(pointer) => findings.push(
            rules::WRONG_SHAPE
                .at(
                    if error.instance().is_null() { key.unwrap_or(span) } else { span },
                    "an acceptance says which finding it lets stand, why, and who answers for it",
                )
                .bench("the finding stays open, and the reason reaches nobody")
                .instead(format!("write `{}`", acceptance("CODE", "NAME"))),
        ),
        ValidationErrorKind::Type { .. } => {
            let (message, instead) =
                shape(error.instance(), pointer, name, schema, error.schema_path().as_str());
            let place = if error.instance().is_null() { key.unwrap_or(span) } else { span };
            findings.push(
                rules::WRONG_SHAPE
                    .at(place, message)
                    .bench("what stands here would not reach the page or the card")
                    .instead(instead),
            );
        }
        ValidationErrorKind::MinLength { .. } | ValidationErrorKind::MinItems { .. } => {
            let list = error.instance().is_array();
            findings.push(
                rules::WRONG_SHAPE
                    .at(key.unwrap_or(span), format!("`{name}` is empty"))
                    .bench(if list {
                        "a list of nothing is read as if it were not there"
                    } else {
                        "the page and the card would show nothing where it belongs"
                    })
                    .instead("fill it in, or leave the line out"),
            );
        }
        ValidationErrorKind::MaxItems { limit } => {
            findings.push(
                rules::WRONG_SHAPE
                    .at(key.unwrap_or(span), format!("`{name}` holds more than {limit}"))
                    .bench("what comes after would be left out without a word")
                    .instead("keep the first, and remove the rest"),
            );
        }
        other => {
            let keyword = other.keyword();
            findings.push(
                rules::WRONG_SHAPE
                    .at(
                        key.unwrap_or(span),
                        format!("`{name}` does not have the shape it should ({keyword})"),
                    )
                    .bench("what stands here would not reach the page or the card")
                    .instead("see the field reference, or let an editor complete it from the schema"),
            );
        }
    }
}

/// Whether a place inside a value belongs to what is let stand there.
fn in_acceptance(pointer: &str) -> bool {
    pointer.split('/').any(|part| part == "accept")
}

/// Whether a place is an acceptance, alone or in a list of them.
fn is_acceptance(pointer: &str) -> bool {
    let mut parts = pointer.rsplit('/').skip_while(|part| part.parse::<usize>().is_ok());
    parts.next() == Some("accept")
}

/// Whether records of this kind hold the catalogue's groups.
fn takes_fields(kind: RecordKind) -> bool {
    matches!(kind, RecordKind::Fork | RecordKind::Family | RecordKind::Oil)
}

/// Whether the schema that a keyword stands in also lists the words that can stand there.
fn has_options(schema: &Json, path: &str) -> bool {
    let above = path.trim_start_matches('#').rsplit_once('/').map_or("", |(above, _)| above);
    schema.pointer(above).and_then(|at| at.get("enum")).is_some_and(Json::is_array)
}

fn other_leg(side: &str) -> Option<&'static str> {
    match side {
        "left" => Some("right"),
        "right" => Some("left"),
        _ => None,
    }
}

/// Something is written there, and it is one word or number.
fn scalar(instance: &Json) -> bool {
    matches!(instance, Json::Bool(_) | Json::Number(_) | Json::String(_))
}

/// Whether the schema that a keyword stands in says that the reader of values reads what stands there.
fn is_value(schema: &Json, path: &str) -> bool {
    let above = path.trim_start_matches('#').rsplit_once('/').map_or("", |(above, _)| above);
    schema.pointer(above).and_then(|at| at.get("$comment")).is_some_and(|comment| comment == A_VALUE)
}

fn inside(pointer: &str) -> String {
    if pointer.is_empty() {
        String::new()
    } else {
        format!(" in `{}`", pointer.trim_start_matches('/').replace('/', "."))
    }
}

fn parent<'a>(pointer: &'a str, name: &'a str) -> &'a str {
    if name.parse::<usize>().is_ok() { pointer.rsplit('/').nth(1).unwrap_or(name) } else { name }
}

fn unknown_key(word: &str, span: Span, pointer: &str, known: &[String], catalogue: &Catalogue) -> Finding {
    let home = catalogue.iter().find(|(_, field)| field.name == word).map(|(_, field)| field.key.clone());
    if word == "accept" {
        return rules::UNKNOWN_KEY
            .at(span, format!("`accept` is not known{}", inside(pointer)))
            .bench("the finding stays open, and the reason reaches nobody")
            .instead(format!(
                "write it at the value that is meant, beside `value:`: `{}`",
                acceptance("CODE", "NAME")
            ));
    }
    let thickness = ["weight", "viscosity", "grade", "sae", "oil_weight"];
    if thickness.contains(&word.to_lowercase().as_str()) && known.iter().any(|key| key == "choices") {
        return rules::UNKNOWN_KEY.at(span, format!("`{word}` is not known{}", inside(pointer)))
            .bench("a “weight” says nothing of how thick an oil is, and another brand’s would be poured")
            .instead("name the oil under `oil:` with `oil:` and its id; how thick it is stands in its record in specs/oils");
    }
    let instead = did_you_mean(word, known.iter().map(String::as_str), || match home {
        Some(key) => format!("this belongs to another section: `{key}`"),
        None if known.is_empty() || known.len() > 24 => {
            "see the field reference for what can be written here".to_owned()
        }
        None => format!("what can stand here: {}", known.join(", ")),
    });
    rules::UNKNOWN_KEY
        .at(span, format!("`{word}` is not known{}", inside(pointer)))
        .bench("a value under a wrong name never reaches the page or the card")
        .instead(instead)
}

/// The keys a schema's `additionalProperties` keyword stands beside.
fn keys_at(schema: &Json, path: &str) -> Vec<String> {
    let above = path.trim_start_matches('#').rsplit_once('/').map_or("", |(above, _)| above);
    let properties = schema.pointer(above).and_then(|at| at.get("properties")).and_then(Json::as_object);
    properties.map(|map| map.keys().cloned().collect()).unwrap_or_default()
}

fn hint(schema: &Json, path: &str, missing: &str) -> String {
    let above = path.trim_start_matches('#').rsplit_once('/').map_or("", |(above, _)| above);
    let property = schema.pointer(above).and_then(|at| at.get("properties")).and_then(|p| p.get(missing));
    let help = property.and_then(|p| p.get("description")).and_then(Json::as_str).unwrap_or("");
    let help = help.trim_end_matches('.');
    if help.is_empty() { String::new() } else { format!(" ({})", crate::words::lower_first(help)) }
}

fn required_bench(missing: &str, kind: RecordKind) -> &'static str {
    match missing {
        "reason" | "by" => "a finding let stand without a reason and a name is a finding ignored",
        "choices" => "without its choices nobody knows what this fork must be given",
        "years" | "maker" | "model" => "nobody would find the right fork for the machine on the bench",
        _ if kind == RecordKind::Caution => "the caution could not be printed",
        _ => "the page and the card need it",
    }
}

fn shape(instance: &Json, pointer: &str, name: &str, schema: &Json, path: &str) -> (String, String) {
    let above = path.trim_start_matches('#').rsplit_once('/').map_or("", |(above, _)| above);
    let wants = schema.pointer(above).and_then(|at| at.get("type")).cloned().unwrap_or(Json::Null);
    let wanted: Vec<&str> = match &wants {
        Json::String(one) => vec![one.as_str()],
        Json::Array(list) => list.iter().filter_map(Json::as_str).collect(),
        _ => Vec::new(),
    };
    let have = match instance {
        Json::Null => "nothing",
        Json::Bool(_) => "a truth value",
        Json::Number(_) => "a bare number",
        Json::String(_) => "a text",
        Json::Array(_) => "a list",
        Json::Object(_) => "a mapping",
    };
    let word = |kind: &&str| match *kind {
        "object" => "a mapping (indented `key: value` lines)",
        "array" => "a list (`[a, b]` or lines with `- `)",
        "string" => "a text",
        "integer" | "number" => "a number",
        _ => "another kind of value",
    };
    let want: Vec<&str> = wanted.iter().map(word).collect();
    let name = match name {
        "" => "the record".to_owned(),
        item if item.parse::<usize>().is_ok() => format!("an entry of `{}`", parent(pointer, name)),
        name => format!("`{name}`"),
    };
    let quote = matches!(instance, Json::Number(_) | Json::Bool(_)) && wanted.contains(&"string");
    let instead = if quote {
        format!("put it in quotes: `\"{instance}\"`")
    } else if want.is_empty() {
        "see the field reference".to_owned()
    } else {
        format!("write {}", want.join(" or "))
    };
    (format!("{name} holds {have}"), instead)
}
