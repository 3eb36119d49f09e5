//! Catalogue and records to JSON Schema (draft 2020-12): what an editor completes and explains, and
//! what the pipeline checks the shape of a record with.
//!
//! The schema speaks of shape alone. What a value may say belongs to the reader of values, and what a
//! fork must give to the rules, since a family may give it. A record's head is described by the types that it is read
//! into; here the choices, the groups and the fields of the catalogue come in.

mod offer;
mod validate;

pub use offer::Names;
pub use validate::{SchemaFault, Validators};

use serde_json::{Map, Value as Json, json};

use crate::catalogue::{Attribute, Catalogue, Field, NAMES, Owner, STATE_PARTS, attributes};
use crate::quantity::{Kind, blank};
use crate::record::{
    CHOICES_OF_THE_CATALOGUE, FOR_FORKS, RecordKind, acceptance_schema, head_schema, instead_schema,
};

/// The schema of one kind of record in this shop.
pub fn schema(catalogue: &Catalogue, kind: RecordKind) -> Json {
    let mut whole = Map::new();
    whole.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    whole.insert("title".into(), json!(kind.title()));
    whole.extend(head_schema(kind));
    let owner = match kind {
        RecordKind::Fork | RecordKind::Family | RecordKind::Build => Some(Owner::Fork),
        RecordKind::Spring => Some(Owner::Spring),
        RecordKind::Oil => Some(Owner::Oil),
        _ => None,
    };
    if let Some(owner) = owner {
        if let Some(Json::Object(properties)) = whole.get_mut("properties") {
            groups(catalogue, owner, properties);
        }
        whole.insert("$defs".into(), Json::Object(defs()));
    }
    let mut whole = Json::Object(whole);
    fill_in(catalogue, &mut whole);
    whole
}

/// What the values of a record refer to.
fn defs() -> Map<String, Json> {
    let mut defs = Map::new();
    defs.insert("accept".into(), accept());
    defs.insert("instead".into(), instead());
    defs.insert("origin".into(), origin());
    defs.insert("note".into(), text("What else is worth knowing about this value."));
    let attributes = attributes().iter().map(|attribute| ("attribute", attribute));
    for (family, part) in attributes.chain(STATE_PARTS.iter().map(|part| ("state", part))) {
        defs.insert(format!("{family}-{}", part.key), attribute_schema(part));
    }
    defs
}

/// Puts the choices of the catalogue where a head leaves room for them.
fn fill_in(catalogue: &Catalogue, shape: &mut Json) {
    match shape {
        Json::Object(map) => {
            let made = match map.get("$comment").and_then(Json::as_str) {
                Some(FOR_FORKS) => Some(applies(catalogue)),
                Some(CHOICES_OF_THE_CATALOGUE) => Some(object(choices(catalogue, false), &[])),
                _ => None,
            };
            match made {
                Some(made) => {
                    map.remove("$comment");
                    let help = std::mem::replace(map, made);
                    map.extend(help);
                }
                None => map.values_mut().for_each(|inner| fill_in(catalogue, inner)),
            }
        }
        Json::Array(items) => items.iter_mut().for_each(|item| fill_in(catalogue, item)),
        _ => {}
    }
}

/// The schema as the file's text, with the shop's own names to be offered: indented, with a line feed at its end.
pub fn file_text(catalogue: &Catalogue, names: &Names, kind: RecordKind) -> String {
    let mut schema = schema(catalogue, kind);
    offer::offer(catalogue, names, kind, &mut schema);
    format!("{schema:#}\n")
}

fn object(properties: Map<String, Json>, required: &[&str]) -> Map<String, Json> {
    let mut out = Map::new();
    out.insert("type".into(), json!("object"));
    if !required.is_empty() {
        out.insert("required".into(), json!(required));
    }
    out.insert("properties".into(), Json::Object(properties));
    out.insert("additionalProperties".into(), json!(false));
    out
}

fn properties<const N: usize>(list: [(&str, Json); N]) -> Map<String, Json> {
    list.into_iter().map(|(key, value)| (key.to_owned(), value)).collect()
}

fn text(help: &str) -> Json {
    json!({"type": "string", "minLength": 1, "description": help})
}

fn choices(catalogue: &Catalogue, several: bool) -> Map<String, Json> {
    let each = catalogue.choices.iter().map(|choice| {
        let ids: Vec<&str> = choice.options.iter().map(|(id, _)| id.as_str()).collect();
        let options: Vec<String> = choice.options.iter().map(|(id, title)| format!("{id}: {title}")).collect();
        let help = format!("{} {}", choice.help, options.join("; "));
        let shape = if several {
            json!({"type": ["string", "array"], "enum": null, "items": {"type": "string", "enum": ids}, "title": choice.title, "description": help.trim()})
        } else {
            json!({"type": "string", "enum": ids, "title": choice.title, "description": help.trim()})
        };
        (choice.key.clone(), without_null(shape))
    });
    each.collect()
}

fn without_null(mut shape: Json) -> Json {
    if let Json::Object(map) = &mut shape {
        map.retain(|_, value| !value.is_null());
    }
    shape
}

fn applies(catalogue: &Catalogue) -> Map<String, Json> {
    properties([
        ("type", json!("array")),
        ("minItems", json!(1)),
        ("items", Json::Object(object(singled(choices(catalogue, true)), &[]))),
    ])
}

/// The choices, and the names by which forks are singled out.
fn singled(mut choices: Map<String, Json>) -> Map<String, Json> {
    const HELP: [&str; 3] = [
        "These forks alone, by id.",
        "The forks of these families alone, by id.",
        "The forks of these makers alone, as their records write them.",
    ];
    for (key, help) in NAMES.iter().zip(HELP) {
        let shape = json!({"type": ["string", "array"], "items": {"type": "string"}, "description": help});
        choices.insert((*key).to_owned(), shape);
    }
    choices
}

fn groups(catalogue: &Catalogue, owner: Owner, out: &mut Map<String, Json>) {
    for group in catalogue.groups.iter().filter(|group| group.of == owner) {
        let fields = catalogue.of(owner).filter(|(_, field)| field.group == group.key);
        let each = fields.map(|(_, field)| (field.name.clone(), field_schema(field))).collect();
        let mut shape = object(each, &[]);
        shape.insert("title".into(), json!(group.title));
        out.insert(group.key.clone(), Json::Object(shape));
    }
}

/// The types a value of this kind may have in YAML: text, and for whole numbers and classes a number.
fn types(kind: &Kind, mapping: bool) -> Json {
    let mut types = vec!["string"];
    if matches!(kind, Kind::Count | Kind::PropertyClass) {
        types.push("number");
    }
    if matches!(kind, Kind::Choice(options) if options.iter().any(|(id, _)| id == "true")) {
        types.push("boolean");
    }
    if mapping {
        types.push("object");
    }
    json!(types)
}

fn scalar(kind: &Kind, examples: &[&str], mapping: bool) -> Map<String, Json> {
    let mut out = Map::new();
    out.insert("type".into(), types(kind, mapping));
    // A form and never a figure: what an editor offers is taken.
    let mut forms: Vec<String> = match kind {
        Kind::Choice(options) => options.iter().map(|(id, _)| id.clone()).collect(),
        _ => examples.iter().map(|example| blank(example)).collect(),
    };
    if !forms.is_empty() {
        forms.push("unknown".to_owned());
        out.insert("examples".into(), json!(forms));
    }
    out
}

fn attribute_schema(attribute: &Attribute) -> Json {
    let mut out = scalar(&attribute.kind, &[attribute.example], false);
    out.insert("title".into(), json!(attribute.title));
    out.insert("description".into(), json!(attribute.help));
    Json::Object(out)
}

fn field_schema(field: &Field) -> Json {
    let examples: Vec<&str> = field.examples.iter().map(String::as_str).collect();
    let units: Vec<&str> = field.units.iter().map(|unit| unit.symbol).collect();
    let mut help = field.measured.clone();
    if !units.is_empty() {
        help.push_str(&format!(" Usual units: {}.", units.join(", ")));
    }
    if field.safety {
        help.push_str(" Safety-critical: say it in two units, or what another source says of it.");
    }
    if !field.wrong.is_empty() {
        help.push_str(&format!(" If wrong: {}", field.wrong));
    }
    let side = {
        let mut side = scalar(&field.kind, &[], true);
        side.insert("required".into(), json!(["value"]));
        side.insert("properties".into(), Json::Object(mapping(field, &[])));
        side.insert("additionalProperties".into(), json!(false));
        Json::Object(side)
    };
    let mut inner = mapping(field, &examples);
    inner.insert("left".into(), side);
    let left = format!("#/properties/{}/properties/{}/properties/left", field.group, field.name);
    inner.insert("right".into(), json!({"$ref": left}));
    let mut out = scalar(&field.kind, &examples, true);
    out.insert("title".into(), json!(field.title));
    out.insert("description".into(), json!(help.trim()));
    out.insert("properties".into(), Json::Object(inner));
    out.insert("additionalProperties".into(), json!(false));
    out.insert("dependentRequired".into(), json!({"left": ["right"], "right": ["left"]}));
    out.insert(
        "if".into(),
        json!({"type": "object", "not": {"anyOf": [{"required": ["left"]}, {"required": ["right"]}]}}),
    );
    out.insert("then".into(), json!({"required": ["value"]}));
    Json::Object(out)
}

fn mapping(field: &Field, examples: &[&str]) -> Map<String, Json> {
    let mut out = properties([
        ("value", Json::Object(scalar(&field.kind, examples, false))),
        ("source", json!({"$ref": "#/$defs/origin"})),
        ("note", json!({"$ref": "#/$defs/note"})),
        ("also_said", also_said(field)),
        ("instead", json!({"$ref": "#/$defs/instead"})),
        ("accept", json!({"$ref": "#/$defs/accept"})),
    ]);
    if !field.state.is_empty() {
        let parts =
            field.state.iter().map(|key| (key.clone(), json!({"$ref": format!("#/$defs/state-{key}")})));
        let mut shape = object(parts.collect(), &[]);
        shape.insert("description".into(), json!("The state it is measured in."));
        out.insert("state".into(), Json::Object(shape));
    }
    for key in &field.attributes {
        out.insert(key.clone(), json!({"$ref": format!("#/$defs/attribute-{key}")}));
    }
    out
}

fn accept() -> Json {
    let acceptance = acceptance_schema();
    json!({"type": ["object", "array"], "properties": acceptance["properties"], "required": acceptance["required"], "additionalProperties": false, "items": acceptance, "description": "A finding that is let stand, with the reason and a name; printed with the value."})
}

fn origin() -> Json {
    json!({"type": ["string", "array"], "items": {"type": "string"}, "description": "The source this value comes from. What another source says of it stands under `also_said:`."})
}

/// What other sources say, each by its id.
fn also_said(field: &Field) -> Json {
    json!({"type": "object", "additionalProperties": Json::Object(scalar(&field.kind, &[], false)), "description": "What other sources say, each its own figure behind its id. It is compared with the value and never set."})
}

fn instead() -> Json {
    let mut shape = instead_schema();
    shape.insert("description".into(), json!("What is done where the value is `unknown`, in one sentence without a figure, and who answers for it; step and card print it."));
    Json::Object(shape)
}
