//! Catalogue and records to JSON Schema (draft 2020-12): what an editor completes and explains, and
//! what the pipeline checks the shape of a record with.
//!
//! The schema speaks of shape alone. What a value may say belongs to the reader of values, and what a
//! fork must give to the rules, since a family may give it.

mod validate;

pub use validate::{SchemaFault, Validators};

use serde_json::{Map, Value as Json, json};

use crate::catalogue::{Attribute, Catalogue, Field, Owner, STATE_PARTS, attributes};
use crate::quantity::{Dimension, Kind};
use crate::record::{Holder, OnLegs, Phase, RecordKind, Signal, SourceKind, WORKS};

/// The kinds of record there is a schema for, with the schema's file name.
pub const FILES: [(RecordKind, &str); 10] = [
    (RecordKind::Shop, "shop.schema.json"),
    (RecordKind::Fork, "fork.schema.json"),
    (RecordKind::Family, "family.schema.json"),
    (RecordKind::Oil, "oil.schema.json"),
    (RecordKind::Tool, "tool.schema.json"),
    (RecordKind::Service, "service.schema.json"),
    (RecordKind::Procedure, "procedure.schema.json"),
    (RecordKind::Caution, "caution.schema.json"),
    (RecordKind::Conditions, "conditions.schema.json"),
    (RecordKind::Released, "released.schema.json"),
];

/// The schema of one kind of record in this shop.
pub fn schema(catalogue: &Catalogue, kind: RecordKind) -> Json {
    let (required, properties, title): (&[&str], Map<String, Json>, &str) = match kind {
        RecordKind::Fork => (&["id", "maker", "model"], fork(catalogue, true), "A fork model"),
        RecordKind::Family => (&["id", "title"], fork(catalogue, false), "What several fork models share"),
        RecordKind::Oil => (&["id", "maker", "product"], oil(catalogue), "A fork oil"),
        RecordKind::Tool => (&["id", "title", "kind", "use"], tool(), "A tool or a consumable"),
        RecordKind::Service => (
            &["id", "title", "procedures"],
            service(catalogue),
            "Procedures in order, for some kinds of fork",
        ),
        RecordKind::Procedure => (&["id", "title", "phase"], procedure(catalogue), "The head of a procedure"),
        RecordKind::Caution => (&["id", "title", "signal"], caution(catalogue), "The head of a caution"),
        RecordKind::Conditions => {
            (&["conditions"], conditions(catalogue), "What procedures need, bring about and end")
        }
        RecordKind::Released => (&["cards"], released(), "The cards that were released, oldest first"),
        RecordKind::Shop => (&["name"], shop(), "The shop's own choices"),
    };
    let mut defs = Map::new();
    if matches!(kind, RecordKind::Fork | RecordKind::Family | RecordKind::Oil) {
        defs.insert("accept".into(), accept());
        defs.insert("origin".into(), origin());
        defs.insert("note".into(), text("What else is worth knowing about this value."));
        let known = attributes().iter().map(|known| ("attribute", known));
        for (family, known) in known.chain(STATE_PARTS.iter().map(|known| ("state", known))) {
            defs.insert(format!("{family}-{}", known.key), attribute_schema(known));
        }
    }
    let mut out = object(properties, required);
    let mut whole = Map::new();
    whole.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    whole.insert("title".into(), json!(title));
    whole.append(&mut out);
    if !defs.is_empty() {
        whole.insert("$defs".into(), Json::Object(defs));
    }
    Json::Object(whole)
}

/// The schema as the file's text: indented, with a line feed at its end.
pub fn file_text(catalogue: &Catalogue, kind: RecordKind) -> String {
    format!("{:#}\n", schema(catalogue, kind))
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

fn id() -> Json {
    text("The record's id: lower case letters, digits and hyphens; the file has the same name.")
}

fn one_of<'a>(help: &str, options: impl Iterator<Item = &'a str>) -> Json {
    json!({"type": "string", "enum": options.collect::<Vec<_>>(), "description": help})
}

fn texts(help: &str) -> Json {
    json!({"type": "array", "items": {"type": "string"}, "description": help})
}

fn sources() -> [(&'static str, Json); 3] {
    let note = object(
        properties([
            ("kind", one_of("What kind of source it is.", SourceKind::ALL.iter().map(|(id, _, _)| *id))),
            ("title", text("What it is: sheet, issue, page, or what was measured.")),
            (
                "date",
                json!({"type": ["string", "integer"], "description": "When, in quotes: \"2024-05-11\".", "examples": ["2024-05-11"]}),
            ),
            ("by", text("Who measured or wrote it.")),
        ]),
        &["kind", "title"],
    );
    [
        (
            "sources",
            json!({"type": "object", "additionalProperties": note, "description": "Where values come from, each named once."}),
        ),
        ("source", text("The source of every value that names none.")),
        ("notes", text("Anything else worth knowing.")),
    ]
}

fn fork(catalogue: &Catalogue, model: bool) -> Map<String, Json> {
    let mut out = properties([("id", id())]);
    if model {
        let machine = object(
            properties([
                ("maker", text("Who made the machine.")),
                ("model", text("The machine's model.")),
                (
                    "years",
                    json!({"type": ["string", "integer"], "description": "One year, or first and last: 2016..2019.", "examples": ["2016..2019", "2018"]}),
                ),
            ]),
            &["maker", "model", "years"],
        );
        out.extend(properties([
            ("maker", text("Who made the fork.")),
            ("model", text("The fork's model.")),
            ("family", text("The family record whose values this model shares.")),
            (
                "machines",
                json!({"type": "array", "items": machine, "description": "The machines it is fitted to."}),
            ),
        ]));
    } else {
        out.extend(properties([("title", text("What the family is called."))]));
    }
    out.extend(properties([
        (
            "status",
            one_of(
                "A draft is published as a marked page, without a card.",
                ["published", "draft"].into_iter(),
            ),
        ),
        ("choices", Json::Object(object(choices(catalogue, false), &[]))),
    ]));
    out.extend(properties(sources()));
    out.insert("reviewed".into(), reviewed());
    groups(catalogue, Owner::Fork, &mut out);
    out
}

fn oil(catalogue: &Catalogue) -> Map<String, Json> {
    let mut out = properties([
        ("id", id()),
        ("maker", text("Who makes the oil.")),
        ("product", text("What it is called.")),
        ("label", text("What the bottle says. A \"weight\" is no viscosity.")),
        ("status", one_of("A draft is published as a marked page.", ["published", "draft"].into_iter())),
    ]);
    out.extend(properties(sources()));
    out.insert("reviewed".into(), reviewed());
    groups(catalogue, Owner::Oil, &mut out);
    out
}

/// Who reviewed what: the program writes it.
fn reviewed() -> Json {
    let code =
        json!({"type": "string", "description": "The code of what was seen.", "examples": ["7H2K-9QWD"]});
    let one = object(
        properties([
            ("by", text("Who reviewed.")),
            ("date", text("The day, in quotes: \"2026-03-02\".")),
            (
                "values",
                json!({"type": "object", "additionalProperties": code, "description": "The values that were reviewed, by key."}),
            ),
            ("digest", text("The seal over the entry.")),
        ]),
        &["by", "date", "values", "digest"],
    );
    json!({"type": ["array", "null"], "items": one, "description": "Who reviewed which values, and when. Written by `benchleaf approve`, not by hand."})
}

fn released() -> Map<String, Json> {
    let card = object(
        properties([
            ("fork", text("The fork, by id.")),
            ("service", text("The service, by id.")),
            ("values", text("The code of the fork's values.")),
            ("card", text("The code of the card.")),
            ("date", text("The day of the review, in quotes.")),
        ]),
        &["fork", "service", "values", "card", "date"],
    );
    properties([(
        "cards",
        json!({"type": ["array", "null"], "items": card, "description": "Each card. Written by `benchleaf approve`, not by hand."}),
    )])
}

fn tool() -> Map<String, Json> {
    properties([
        ("id", id()),
        ("title", text("What it is called.")),
        ("kind", one_of("A consumable is used up by the job.", ["tool", "consumable"].into_iter())),
        ("use", text("What it is for.")),
        ("size", text("Its size, where it matters.")),
        ("unit", text("How a consumable is counted.")),
        ("sized_by", text("The fork's value that says its size, by key, such as seals.oil_seal.")),
        (
            "each_leg",
            json!({"type": "integer", "minimum": 1, "maximum": 100, "description": "How many each leg takes, where that is known beforehand."}),
        ),
        ("called", texts("Words by which steps speak of it, besides its title.")),
        (
            "worn",
            json!({"type": "boolean", "description": "Worn through the whole procedure, so that no step need name it."}),
        ),
        ("notes", text("Anything else worth knowing.")),
    ])
}

fn service(catalogue: &Catalogue) -> Map<String, Json> {
    properties([
        ("id", id()),
        ("title", text("What it is called.")),
        ("for", applies(catalogue)),
        ("time", text("How long it takes, such as 3 h.")),
        (
            "covers",
            one_of(
                "Which part of the fork it answers for: whole-fork means that every safety-critical value is set and every part measured. Left out: only what its steps touch.",
                ["whole-fork"].into_iter(),
            ),
        ),
        ("start", texts("Conditions that hold when it begins, besides those for every service.")),
        ("hand_back", texts("Conditions that must hold at hand-back, besides those for every service.")),
        (
            "procedures",
            json!({"type": "array", "minItems": 1, "items": entry(), "description": "The procedures in order: an id, or a choice by what the fork is."}),
        ),
        ("notes", text("What it is good for.")),
    ])
}

fn procedure(catalogue: &Catalogue) -> Map<String, Json> {
    properties([
        ("id", id()),
        ("title", text("What it is called.")),
        ("phase", one_of("Which part of the job it belongs to.", Phase::ALL.into_iter().map(Phase::id))),
        ("for", applies(catalogue)),
        (
            "fitted",
            texts(
                "Values of the part it is about, such as torque.handlebar: it is done only where the record does not say `not fitted`.",
            ),
        ),
        ("time", text("How long hands are on it, such as 20 min.")),
        (
            "waiting",
            text("How long it rests, drips or settles by itself, such as 10 min. Not part of `time`."),
        ),
        (
            "pours",
            text("Oil it pours into each leg beside what the record gives, such as a rinse of 100 mL."),
        ),
        ("tools", texts("Tools it needs, by id.")),
        ("consumables", texts("Consumables it uses, by id.")),
        ("legs", legs()),
        ("needs", texts("Conditions that must hold before it, by id.")),
        ("brings", texts("Conditions that hold after it, by id.")),
        ("ends", texts("Conditions that no longer hold after it, by id.")),
        ("renews", texts("Intervals that begin anew with it, such as intervals.oil.")),
    ])
}

fn legs() -> Json {
    one_of("The legs it is done on. Left out: both.", OnLegs::ALL.iter().map(|(id, _)| *id))
}

/// An entry of a service's list. The reader sees to it that exactly one way to choose is given.
fn entry() -> Json {
    let mut shape = object(
        properties([
            ("do", text("A procedure, by id.")),
            ("one_of", texts("The first of these whose `for:` fits the fork; one must.")),
            ("where_fitted", texts("Every one of these whose `for:` fits the fork; none need.")),
            ("legs", legs()),
        ]),
        &[],
    );
    shape.insert("type".into(), json!(["string", "object"]));
    Json::Object(shape)
}

fn conditions(catalogue: &Catalogue) -> Map<String, Json> {
    let one = object(
        properties([
            ("says", text("The sentence a mechanic says, such as: the leg is bled.")),
            ("otherwise", text("What happens where it is needed and does not hold, one sentence.")),
            ("per", one_of("What it is said of.", Holder::ALL.iter().map(|(id, _)| *id))),
            ("for", applies(catalogue)),
            (
                "fitted",
                texts(
                    "Values of the part it is about: it means nothing on a leg whose record says `not fitted`.",
                ),
            ),
            (
                "works",
                one_of(
                    "The leg it means anything for, where the legs do different work.",
                    WORKS.iter().map(|(id, _)| *id),
                ),
            ),
            ("implies", texts("Conditions that hold whenever it holds.")),
            (
                "excludes",
                texts("Conditions that cannot hold while it holds; bringing one about ends the other."),
            ),
            ("cautions", texts("Cautions that a procedure must carry which brings it about.")),
        ]),
        &["says", "per"],
    );
    properties([
        (
            "conditions",
            json!({"type": "object", "additionalProperties": one, "description": "Each condition by its id."}),
        ),
        ("start", texts("What holds when a job begins, for every service.")),
        ("hand_back", texts("What must hold when a job is handed back, for every service.")),
    ])
}

fn caution(catalogue: &Catalogue) -> Map<String, Json> {
    properties([
        ("id", id()),
        ("title", text("The hazard in a few words.")),
        ("for", applies(catalogue)),
        (
            "signal",
            one_of(
                "How grave it is: danger will kill or seriously injure, warning could, caution could cause minor or moderate injury, notice is damage alone.",
                Signal::ALL.iter().map(|(id, _)| *id),
            ),
        ),
    ])
}

fn shop() -> Map<String, Json> {
    let dimensions: Map<String, Json> = Dimension::ALL
        .iter()
        .map(|dimension| {
            let units: Vec<&str> = dimension.units().map(|unit| unit.symbol).collect();
            let help = format!("First and second unit of {}.", dimension.title());
            (dimension.id().to_owned(), json!({"type": "array", "items": {"type": "string"}, "maxItems": 2, "minItems": 1, "description": help, "examples": [units]}))
        })
        .collect();
    let limits = properties([(
        "air_force",
        text("The greatest air force one leg may reach at full travel, such as 3 kN."),
    )]);
    let values = properties([(
        "second_saying",
        one_of("Whether a safety-critical value must be said twice.", ["required", "off"].into_iter()),
    )]);
    properties([
        ("name", text("The shop's name.")),
        ("place", text("Where it is.")),
        ("units", Json::Object(object(dimensions, &[]))),
        (
            "paper",
            json!({"type": "array", "items": {"type": "string", "enum": ["a4", "letter"]}, "description": "The paper cards are printed on."}),
        ),
        (
            "first_click",
            one_of("What the first click out from fully closed is called.", ["zero", "one"].into_iter()),
        ),
        ("bench_temperature", text("The temperature gaps are set at, such as 20 °C.")),
        ("working_temperature", text("The temperature a fork works at, such as 50 °C.")),
        ("bottles", texts("The oil bottles on the shelf, such as 1 L.")),
        ("waste", text("Oil allowed for waste, such as 5 %.")),
        ("limits", Json::Object(object(limits, &[]))),
        ("approvers", texts("Who may approve values.")),
        ("site", text("The address the site is served from.")),
        ("safety_values", Json::Object(object(values, &[]))),
        (
            "fields",
            json!({"type": "array", "items": {"type": "object", "required": ["group", "title", "fields"]}, "description": "Fields of the shop's own, described like those of the field reference."}),
        ),
    ])
}

fn choices(catalogue: &Catalogue, several: bool) -> Map<String, Json> {
    let each = catalogue.choices.iter().map(|choice| {
        let ids: Vec<&str> = choice.options.iter().map(|(id, _)| id.as_str()).collect();
        let told: Vec<String> = choice.options.iter().map(|(id, title)| format!("{id}: {title}")).collect();
        let help = format!("{} {}", choice.help, told.join("; "));
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

fn applies(catalogue: &Catalogue) -> Json {
    json!({
        "type": "array",
        "minItems": 1,
        "items": Json::Object(object(choices(catalogue, true), &[])),
        "description": "The forks it is for: any of these; inside one, all must hold. Left out: every fork.",
    })
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
    let mut examples: Vec<&str> = examples.to_vec();
    if let Kind::Choice(options) = kind {
        examples = options.iter().map(|(id, _)| id.as_str()).collect();
    }
    if !examples.is_empty() {
        out.insert("examples".into(), json!(examples));
    }
    out
}

fn attribute_schema(known: &Attribute) -> Json {
    let mut out = scalar(&known.kind, &[known.example], false);
    out.insert("title".into(), json!(known.title));
    out.insert("description".into(), json!(known.help));
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
        help.push_str(" Safety-critical: say it in two units or name two sources.");
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
    let one = object(
        properties([
            ("finding", text("The finding's code.")),
            ("reason", text("Why it may stand.")),
            ("by", text("Who answers for it: one of the shop's approvers, where it names them.")),
            (
                "until",
                text("The last day it stands, in quotes: \"2027-03-31\". Left out: until it is taken back."),
            ),
        ]),
        &["finding", "reason", "by"],
    );
    json!({"type": ["object", "array"], "properties": one["properties"], "required": one["required"], "additionalProperties": false, "items": one, "description": "A finding that is let stand, with the reason and a name; printed with the value."})
}

fn origin() -> Json {
    json!({"type": ["string", "array"], "items": {"type": "string"}, "description": "The source this value comes from; two of them are a second source."})
}
