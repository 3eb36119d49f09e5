//! A record's tree against its schema, the library's errors turned into findings of our own.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use jsonschema::{ValidationError, Validator, error::ValidationErrorKind};
use rayon::prelude::*;
use serde_json::Value as Json;

use super::schema;
use crate::catalogue::{Catalogue, own_fields};
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
    /// The compiled schemas of a shop. Those of the built-in catalogue are compiled once, however many shops one
    /// process checks.
    ///
    /// # Errors
    /// When a field the shop declares makes a schema that cannot be compiled.
    pub fn of(catalogue: &Catalogue) -> Result<Arc<Validators>, SchemaFault> {
        static BUILT_IN: OnceLock<Arc<Validators>> = OnceLock::new();
        match BUILT_IN.get() {
            Some(known) if catalogue.is_built_in() => Ok(Arc::clone(known)),
            _ => {
                let compiled = Arc::new(Validators::compiled(catalogue)?);
                Ok(match catalogue.is_built_in() {
                    true => Arc::clone(BUILT_IN.get_or_init(|| compiled)),
                    false => compiled,
                })
            }
        }
    }

    fn compiled(catalogue: &Catalogue) -> Result<Self, SchemaFault> {
        let compile = |kind: RecordKind| {
            let schema = schema(catalogue, kind);
            let validator = jsonschema::draft202012::new(&schema)
                .map_err(|error| SchemaFault { file: kind.schema_file(), why: error.to_string() })?;
            Ok((kind, (validator, schema)))
        };
        let compiled: Vec<Result<_, SchemaFault>> =
            RecordKind::ALL.par_iter().map(|kind| compile(*kind)).collect();
        // The first fault in the order of the kinds, whichever was found first.
        Ok(Validators { by_kind: compiled.into_iter().collect::<Result<_, _>>()? })
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
            Fault::of(&error, schema, root, kind, catalogue).say(findings);
        }
    }
}

/// What the library of schemas finds, with what is needed to say it in a mechanic's words.
struct Fault<'f> {
    error: &'f ValidationError<'f>,
    schema: &'f Json,
    root: &'f Node,
    kind: RecordKind,
    catalogue: &'f Catalogue,
    /// Where in the record, as a JSON pointer, and its last part.
    pointer: &'f str,
    name: &'f str,
    /// The place of what stands there, and of the key it stands behind.
    span: Span,
    key: Option<Span>,
    /// Whether it stands inside a field of the catalogue.
    in_value: bool,
    /// Whether it is a whole group of the catalogue.
    is_group: bool,
}

impl<'f> Fault<'f> {
    fn of(
        error: &'f ValidationError<'f>,
        schema: &'f Json,
        root: &'f Node,
        kind: RecordKind,
        catalogue: &'f Catalogue,
    ) -> Self {
        let pointer = error.instance_path().as_str();
        let (span, key) = root.at_pointer(pointer);
        let name = pointer.rsplit('/').next().unwrap_or("");
        let mut parts = pointer.split('/').skip(1);
        let group = parts.next().unwrap_or("");
        let of_catalogue = takes_fields(kind) && catalogue.groups.iter().any(|other| other.key == group);
        let in_value = of_catalogue && parts.next().is_some();
        let is_group = of_catalogue && !in_value;
        Fault { error, schema, root, kind, catalogue, pointer, name, span, key, in_value, is_group }
    }

    /// Where in the schema the keyword stands that is not kept.
    fn path(&self) -> &'f str {
        self.error.schema_path().as_str()
    }

    /// The place of the key, or of what stands there where it has none.
    fn at_key(&self) -> Span {
        self.key.unwrap_or(self.span)
    }

    /// The place of what stands there, or of the key where nothing does.
    fn at_value(&self) -> Span {
        if self.error.instance().is_null() { self.at_key() } else { self.span }
    }

    fn say(&self, findings: &mut Vec<Finding>) {
        match self.error.kind() {
            ValidationErrorKind::AdditionalProperties { unexpected } => {
                self.unknown_keys(unexpected, findings);
            }
            ValidationErrorKind::Required { property } => {
                findings.push(self.missing(property.as_str().unwrap_or("")));
            }
            ValidationErrorKind::Enum { options } => findings.extend(self.unknown_choice(options)),
            ValidationErrorKind::Type { .. } => findings.extend(self.wrong_type()),
            ValidationErrorKind::MinLength { .. } | ValidationErrorKind::MinItems { .. } => {
                findings.push(self.empty());
            }
            ValidationErrorKind::MaxItems { limit } => findings.push(
                rules::WRONG_SHAPE
                    .at(self.at_key(), format!("`{}` holds more than {limit}", self.name))
                    .bench("what comes after would be left out without a word")
                    .instead("keep the first, and remove the rest"),
            ),
            other => findings.push(
                rules::WRONG_SHAPE
                    .at(
                        self.at_key(),
                        format!("`{}` does not have the shape it should ({})", self.name, other.keyword()),
                    )
                    .bench("what stands here would not reach the page or the card")
                    .instead("see the field reference, or let an editor complete it from the schema"),
            ),
        }
    }

    fn unknown_keys(&self, unexpected: &[String], findings: &mut Vec<Finding>) {
        // The same places hold what the shop declares for itself.
        if self.catalogue.incomplete && !self.in_value && takes_fields(self.kind) {
            return;
        }
        let keys = keys_at(self.schema, self.path());
        for word in unexpected {
            let escaped = word.replace('~', "~0").replace('/', "~1");
            let (_, key) = self.root.at_pointer(&format!("{}/{escaped}", self.pointer));
            let place = key.unwrap_or(self.span);
            findings.push(unknown_key(word, place, self.pointer, &keys, self.catalogue));
        }
    }

    fn missing(&self, missing: &str) -> Finding {
        if self.in_value
            && let Some(given) = other_leg(missing)
        {
            return rules::ONE_LEG_ONLY
                .at(self.at_key(), format!("`{}` gives the {given} leg and not the {missing}", self.name))
                .bench("the other leg would be set by guess")
                .instead(format!("add `{missing}:` with its value, or `not fitted`"));
        }
        let place = match self.pointer.is_empty() {
            true => Span { end: self.span.start, ..self.span },
            false => self.at_key(),
        };
        let finding = rules::MISSING_KEY
            .at(place, format!("`{missing}:` is missing{}", inside(self.pointer)))
            .bench(required_bench(missing, self.kind))
            .instead(format!("add `{missing}:`{}", hint(self.schema, self.path(), missing)));
        self.with_form(finding)
    }

    /// Whether it is about the fields that a shop declares for itself.
    fn of_own_fields(&self) -> bool {
        self.kind == RecordKind::Shop && self.pointer.split('/').nth(1) == Some("fields")
    }

    /// A finding with the form of a declaration, where it is about one.
    fn with_form(&self, finding: Finding) -> Finding {
        if self.of_own_fields() { finding.lines(own_fields()) } else { finding }
    }

    fn unknown_choice(&self, options: &Json) -> Option<Finding> {
        // What is neither a word nor a number has the wrong shape, which is said where the type is. Of a value the
        // reader of values says what is wrong, better than a schema can.
        if !scalar(self.error.instance()) || self.in_value {
            return None;
        }
        let options: Vec<&str> = options.as_array().into_iter().flatten().filter_map(Json::as_str).collect();
        let instance = self.error.instance();
        let written = instance.as_str().map_or_else(|| instance.to_string(), str::to_owned);
        let choice = parent(self.pointer, self.name);
        let finding = rules::UNKNOWN_CHOICE
            .at(self.span, format!("`{written}` is not one of the choices for `{choice}`"))
            .bench("what must be given, checked and cautioned about hangs on this choice")
            .instead(did_you_mean(&written, options.iter().copied(), || {
                format!("write one of {}", options.join(", "))
            }));
        Some(finding)
    }

    fn wrong_type(&self) -> Option<Finding> {
        let instance = self.error.instance();
        let read_as_value =
            self.in_value && !in_acceptance(self.pointer) || is_value(self.schema, self.path());
        // The reader of values, or the finding on the words that can stand here, says it better.
        if scalar(instance) && (read_as_value || has_options(self.schema, self.path())) {
            return None;
        }
        if self.in_value && is_acceptance(self.pointer) {
            let finding = rules::WRONG_SHAPE
                .at(
                    self.at_value(),
                    "an acceptance says which finding it lets stand, why, and who answers for it",
                )
                .bench("the finding stays open, and the reason reaches nobody")
                .instead(format!("write `{}`", acceptance("CODE", "NAME")));
            return Some(finding);
        }
        if self.is_group && scalar(instance) {
            return Some(self.group_of_one(instance));
        }
        let (message, instead) = shape(instance, self.pointer, self.name, self.schema, self.path());
        let finding = rules::WRONG_SHAPE
            .at(self.at_value(), message)
            .bench("what stands here would not reach the page or the card")
            .instead(instead);
        Some(self.with_form(finding))
    }

    /// One text where a group of values belongs, such as `oil: 5W`.
    fn group_of_one(&self, instance: &Json) -> Finding {
        let written = instance.as_str().map_or_else(|| instance.to_string(), str::to_owned);
        let fields = self.catalogue.iter().map(|(_, field)| field);
        let names: Vec<&str> =
            fields.filter(|field| field.group == self.name).map(|field| field.name.as_str()).collect();
        let first = names.iter().take(GROUP_NAMED).map(|name| format!("`{name}:`")).collect::<Vec<_>>();
        let oil = match self.name {
            "oil" => "; the oil itself is named by the id of its record in specs/oils, and never by a grade",
            _ => "",
        };
        rules::WRONG_SHAPE
            .at(
                self.at_value(),
                format!("`{}` is a group of values, and `{written}` says none of them by its name", self.name),
            )
            .bench("what stands here would not reach the page or the card")
            .instead(format!(
                "write each value on a line of its own below `{}:`, two spaces further in: {} and what else the field reference lists{oil}",
                self.name,
                first.join(", ")
            ))
    }

    fn empty(&self) -> Finding {
        let bench = match self.error.instance().is_array() {
            true => "a list of nothing is read as if it were not there",
            false => "the page and the card would show nothing where it belongs",
        };
        rules::WRONG_SHAPE
            .at(self.at_key(), format!("`{}` is empty", self.name))
            .bench(bench)
            .instead("fill it in, or leave the line out")
    }
}

/// How many values of a group are named where one text stands in its place.
const GROUP_NAMED: usize = 3;

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
    use RecordKind::{Build, Family, Fork, Oil, Spring};
    matches!(kind, Fork | Family | Oil | Spring | Build)
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

fn unknown_key(word: &str, span: Span, pointer: &str, keys: &[String], catalogue: &Catalogue) -> Finding {
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
    if thickness.contains(&word.to_lowercase().as_str()) && keys.iter().any(|key| key == "choices") {
        return rules::UNKNOWN_KEY.at(span, format!("`{word}` is not known{}", inside(pointer)))
            .bench("a “weight” says nothing of how thick an oil is, and another brand’s would be poured")
            .instead("name the oil under `oil:` with `oil:` and its id; how thick it is stands in its record in specs/oils");
    }
    let instead = by_another_word(word, keys, catalogue).unwrap_or_else(|| {
        did_you_mean(word, keys.iter().map(String::as_str), || match home {
            Some(key) => format!("this belongs to another section: `{key}`"),
            None if keys.is_empty() || keys.len() > 24 => {
                "see the field reference for what can be written here".to_owned()
            }
            None => format!("what can stand here: {}", keys.join(", ")),
        })
    });
    rules::UNKNOWN_KEY
        .at(span, format!("`{word}` is not known{}", inside(pointer)))
        .bench("a value under a wrong name never reaches the page or the card")
        .instead(instead)
}

/// The values that go by another word than their key in the trade: here, or in another section.
fn by_another_word(word: &str, keys: &[String], catalogue: &Catalogue) -> Option<String> {
    if keys.iter().any(|key| key == word) || catalogue.iter().any(|(_, field)| field.name == word) {
        return None;
    }
    let meant = catalogue.called(word);
    let here: Vec<&str> = meant
        .iter()
        .map(|field| field.name.as_str())
        .filter(|name| keys.iter().any(|key| key == name))
        .collect();
    let all: Vec<&str> = meant.iter().map(|field| field.key.as_str()).collect();
    match (here.as_slice(), all.as_slice()) {
        (_, []) => None,
        ([], all) => Some(format!("it is called {} here", quoted_or(all))),
        (here, _) => Some(format!("it is called {} here", quoted_or(here))),
    }
}

fn quoted_or(names: &[&str]) -> String {
    names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(" or ")
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
    let types: Vec<&str> = match &wants {
        Json::String(only) => vec![only.as_str()],
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
    let want: Vec<&str> = types.iter().map(word).collect();
    let name = match name {
        "" => "the record".to_owned(),
        item if item.parse::<usize>().is_ok() => format!("an entry of `{}`", parent(pointer, name)),
        name => format!("`{name}`"),
    };
    let quote = matches!(instance, Json::Number(_) | Json::Bool(_)) && types.contains(&"string");
    let instead = if quote {
        format!("put it in quotes: `\"{instance}\"`")
    } else if want.is_empty() {
        "see the field reference".to_owned()
    } else {
        format!("write {}", want.join(" or "))
    };
    (format!("{name} holds {have}"), instead)
}
