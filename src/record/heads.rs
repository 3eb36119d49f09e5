//! What a record of each kind says besides the fields of the catalogue, as JSON Schema: made from the very types
//! that records are read into.

use schemars::generate::SchemaSettings;
use schemars::transform::{Transform, transform_subschemas};
use schemars::{JsonSchema, Schema};
use serde_json::{Map, Value as Json};

use super::build::BuildHead;
use super::caution::Caution;
use super::complaint::Complaint;
use super::conditions::Conditions;
use super::entry::{Accept, Instead};
use super::job::Job;
use super::kind::RecordKind;
use super::procedure::Procedure;
use super::released::Released;
use super::reviews::Reviews;
use super::service::Service;
use super::settings::{Settings, fields_schema};
use super::spec::{ChoicesHead, FamilyHead, ForkHead, OilHead, SharedHead};
use super::spring::SpringHead;
use super::tool::Tool;
use super::valving::Valving;

/// The shape of a kind's head: its keys, which of them must be there, and that there are no others.
pub(crate) fn head_schema(kind: RecordKind) -> Map<String, Json> {
    match kind {
        RecordKind::Shop => together([of::<Settings>(), fields_schema()]),
        RecordKind::Fork => together([of::<ForkHead>(), of::<ChoicesHead>(), of::<SharedHead>()]),
        RecordKind::Family => together([of::<FamilyHead>(), of::<ChoicesHead>(), of::<SharedHead>()]),
        RecordKind::Oil => together([of::<OilHead>(), of::<SharedHead>()]),
        RecordKind::Spring => together([of::<SpringHead>(), of::<SharedHead>()]),
        RecordKind::Build => together([of::<BuildHead>(), of::<SharedHead>()]),
        RecordKind::Valving => of::<Valving>(),
        RecordKind::Tool => of::<Tool>(),
        RecordKind::Procedure => of::<Procedure>(),
        RecordKind::Service => of::<Service>(),
        RecordKind::Caution => of::<Caution>(),
        RecordKind::Complaint => of::<Complaint>(),
        RecordKind::Conditions => of::<Conditions>(),
        RecordKind::Released => of::<Released>(),
        RecordKind::Reviews => of::<Reviews>(),
        RecordKind::Job => of::<Job>(),
    }
}

/// The shape of an acceptance, which stands at a value.
pub(crate) fn acceptance_schema() -> Map<String, Json> {
    of::<Accept>()
}

/// The shape of what is done in the place of an unknown figure, which stands at a value.
pub(crate) fn instead_schema() -> Map<String, Json> {
    of::<Instead>()
}

/// One shape from several that a record has at once.
fn together<const N: usize>(shapes: [Map<String, Json>; N]) -> Map<String, Json> {
    let mut whole = Map::new();
    for shape in shapes {
        for (keyword, value) in shape {
            match (whole.get_mut(&keyword), value) {
                (Some(Json::Object(all)), Json::Object(more)) => all.extend(more),
                (Some(Json::Array(all)), Json::Array(more)) => all.extend(more),
                (Some(_), _) => {}
                (None, value) => drop(whole.insert(keyword, value)),
            }
        }
    }
    whole
}

fn of<T: JsonSchema>() -> Map<String, Json> {
    let settings = SchemaSettings::draft2020_12().with(|settings| {
        settings.inline_subschemas = true;
        settings.meta_schema = None;
    });
    let mut schema =
        settings.with_transform(AsRecordsAreWritten).into_generator().into_root_schema_for::<T>();
    let mut shape = std::mem::take(schema.ensure_object());
    // They speak of the Rust type.
    shape.remove("title");
    shape.remove("description");
    shape
}

/// A record is not written by serde: what is left out is left out and never `null`, a key that is there says
/// something, and a help text is one line.
#[derive(Debug, Clone)]
struct AsRecordsAreWritten;

impl Transform for AsRecordsAreWritten {
    fn transform(&mut self, schema: &mut Schema) {
        transform_subschemas(self, schema);
        let Some(shape) = schema.as_object_mut() else { return };
        shape.remove("default");
        if let Some(Json::String(help)) = shape.get_mut("description") {
            *help = help.replace('\n', " ");
        }
        if let Some(Json::Array(types)) = shape.get_mut("type")
            && types.first().is_some_and(|first| first == "string")
            && types.last().is_some_and(|last| last == "null")
        {
            types.pop();
            if let [only] = types.as_slice() {
                let only = only.clone();
                shape.insert("type".into(), only);
            }
        }
        if let Some(Json::Object(properties)) = shape.get_mut("properties") {
            properties.values_mut().filter_map(Json::as_object_mut).for_each(never_empty);
        }
        // Of a list's or mapping's parts nothing is said but what they are called in Rust.
        for keyword in ["items", "additionalProperties"] {
            if let Some(Json::Object(part)) = shape.get_mut(keyword)
                && part.contains_key("properties")
            {
                part.remove("description");
            }
        }
        in_order(shape);
    }
}

/// A text that stands behind a key is not empty.
fn never_empty(shape: &mut Map<String, Json>) {
    if shape.get("type").is_some_and(|of| of == "string") && !shape.contains_key("enum") {
        shape.insert("minLength".into(), 1.into());
    }
}

/// The keywords that come first in a schema, in the order in which a person reads them.
const FIRST: [&str; 6] = ["type", "enum", "minItems", "minLength", "required", "properties"];

fn in_order(shape: &mut Map<String, Json>) {
    let mut rest = std::mem::take(shape);
    for keyword in FIRST {
        shape.extend(rest.remove_entry(keyword));
    }
    shape.append(&mut rest);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::syntax::{from_tree, yaml};
    use crate::text::FileId;

    fn tree(text: &str) -> yaml::Node {
        yaml::read(FileId(7), text, &mut Vec::new()).expect("a tree")
    }

    #[test]
    fn a_head_is_read_with_the_places_of_its_texts() {
        let text =
            "title: Seal driver\nkind: consumable\ncalled: [driver, mandrel]\neach_leg: 2\nworn: true\n";
        let tool: Tool = from_tree(&tree(text));
        assert_eq!(
            (tool.title.as_str(), tool.consumable, tool.each_leg, tool.worn),
            ("Seal driver", true, Some(2), true)
        );
        for called in &tool.called {
            assert_eq!(called.text, text[called.span.range()]);
            assert_eq!(called.span.file, FileId(7));
        }
        assert_eq!(tool.called.len(), 2);
    }

    #[test]
    fn what_has_the_wrong_shape_is_read_as_nothing_and_the_rest_is_kept() {
        let tool: Tool =
            from_tree(&tree("title: [a, b]\nkind: {a: b}\ncalled: driver\neach_leg: few\nuse: press\n"));
        assert_eq!((tool.title.as_str(), tool.consumable, tool.each_leg), ("", false, None));
        assert_eq!(tool.use_for, "press");
        // A word where a list is due is read as a list of one.
        assert_eq!(tool.called.iter().map(|called| called.text.as_str()).collect::<Vec<_>>(), ["driver"]);
        let legs: Procedure = from_tree(&tree("legs: sideways\nphase: 5\nfor: left\n"));
        assert_eq!(legs.legs, crate::record::OnLegs::Both);
    }

    #[test]
    fn every_kind_has_a_head_that_allows_no_other_keys() {
        for kind in RecordKind::ALL {
            let shape = head_schema(kind);
            assert_eq!(shape["additionalProperties"], false, "{kind:?}");
            let properties = shape["properties"].as_object().expect("properties");
            for key in shape["required"].as_array().into_iter().flatten() {
                assert!(properties.contains_key(key.as_str().expect("a key")), "{kind:?}: {key}");
            }
            let helped = properties.iter().filter(|(key, _)| *key != "for");
            for (key, property) in helped {
                assert!(property["description"].is_string(), "{kind:?}: `{key}` has no help");
            }
        }
    }
}
