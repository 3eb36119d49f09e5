//! What an editor offers: the shop's own ids, where a record refers to another one or to a value.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Value as Json, json};

use crate::catalogue::{Catalogue, FieldId};
use crate::quantity::{Dimension, Kind};
use crate::record::RecordKind;

/// The shop's own names that a record can point at.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Names {
    /// The ids of its records, by kind; consumables stand among the tools.
    pub ids: BTreeMap<RecordKind, BTreeSet<String>>,
    /// The ids of consumables.
    pub consumables: BTreeSet<String>,
    /// The ids under which records name their sources.
    pub sources: BTreeSet<String>,
    /// The conditions of its procedures.
    pub conditions: BTreeSet<String>,
    /// The makers of its forks.
    pub makers: BTreeSet<String>,
    /// Who approves.
    pub approvers: BTreeSet<String>,
}

impl Names {
    fn of(&self, kind: RecordKind) -> Vec<String> {
        self.ids.get(&kind).into_iter().flatten().cloned().collect()
    }

    fn tools(&self, consumable: bool) -> Vec<String> {
        let all = self.of(RecordKind::Tool).into_iter();
        all.filter(|id| self.consumables.contains(id) == consumable).collect()
    }
}

fn keys(catalogue: &Catalogue, fits: impl Fn(&Kind) -> bool) -> Vec<String> {
    let fields = catalogue.iter().filter(|(_, field)| fits(&field.kind));
    fields.map(|(_, field)| field.key.clone()).collect()
}

/// What can stand behind a key of a record of this kind; empty where the shop has nothing to offer.
fn behind(catalogue: &Catalogue, names: &Names, kind: RecordKind, key: &str) -> Vec<String> {
    use RecordKind::{Build, Family, Fork, Oil, Spring, Valving};
    let list = |names: &BTreeSet<String>| names.iter().cloned().collect();
    match (kind, key) {
        (RecordKind::Fork, "family") => names.of(RecordKind::Family),
        (Fork | Family | Oil | Spring | Build, "source") => list(&names.sources),
        (Fork | Family | Oil | Spring | Build, "by") => list(&names.approvers),
        (Build | Valving, "fork") => names.of(Fork),
        (Build, "fitted_spring") => names.of(Spring),
        (Build, "valving") => names.of(Valving),
        (RecordKind::Procedure, "tools") => names.tools(false),
        (RecordKind::Procedure, "consumables") => names.tools(true),
        (RecordKind::Procedure, "needs" | "brings" | "ends")
        | (RecordKind::Service, "start" | "hand_back")
        | (RecordKind::Conditions, "implies" | "excludes" | "start" | "hand_back") => list(&names.conditions),
        (RecordKind::Procedure, "renews") => keys(catalogue, |kind| *kind == Kind::Interval),
        (RecordKind::Procedure | RecordKind::Conditions, "fitted") => {
            keys(catalogue, |kind| *kind == Kind::Quantity(Dimension::Torque) || *kind == Kind::Setting)
        }
        (RecordKind::Tool, "sized_by") => keys(catalogue, |_| true),
        (RecordKind::Service, "procedures" | "one_of" | "where_fitted" | "do") => {
            names.of(RecordKind::Procedure)
        }
        (RecordKind::Fork | RecordKind::Family, "services") => names.of(RecordKind::Service),
        (kind, "fork") if kind.is_text() => names.of(RecordKind::Fork),
        (kind, "family") if kind.is_text() => names.of(RecordKind::Family),
        (kind, "maker") if kind.is_text() => list(&names.makers),
        (RecordKind::Conditions, "cautions") => names.of(RecordKind::Caution),
        _ => Vec::new(),
    }
}

/// Puts the shop's names where they can be written.
pub(super) fn offer(catalogue: &Catalogue, names: &Names, kind: RecordKind, schema: &mut Json) {
    walk(schema, &|key| behind(catalogue, names, kind, key));
    let sources: Vec<&String> = names.sources.iter().collect();
    if let Some(origin) = schema.pointer_mut("/$defs/origin").filter(|_| !sources.is_empty()) {
        origin["examples"] = json!(sources);
        origin["items"]["examples"] = json!(sources);
    }
    for (id, field) in catalogue.iter() {
        let Kind::Reference(to) = &field.kind else { continue };
        let ids = names.of(if to == "tool" { RecordKind::Tool } else { RecordKind::Oil });
        references(catalogue, id, &ids, schema);
    }
}

/// A value that names another record: itself, in its mapping, and for the left leg.
fn references(catalogue: &Catalogue, id: FieldId, ids: &[String], schema: &mut Json) {
    let field = catalogue.field(id);
    let at = format!("/properties/{}/properties/{}", field.group, field.name);
    for inside in ["", "/properties/value", "/properties/left", "/properties/left/properties/value"] {
        let Some(shape) = schema.pointer_mut(&format!("{at}{inside}")) else { continue };
        if !ids.is_empty() {
            shape["examples"] = json!(ids);
        }
    }
}

/// Every property of a schema, however deep.
fn walk(schema: &mut Json, behind: &impl Fn(&str) -> Vec<String>) {
    match schema {
        Json::Object(map) => {
            if let Some(Json::Object(properties)) = map.get_mut("properties") {
                for (key, shape) in properties.iter_mut() {
                    let offered = behind(key);
                    if !offered.is_empty() {
                        put(shape, &offered);
                    }
                }
            }
            map.values_mut().for_each(|inner| walk(inner, behind));
        }
        Json::Array(items) => items.iter_mut().for_each(|item| walk(item, behind)),
        _ => {}
    }
}

/// Offers words for a text, or for each text of a list.
fn put(shape: &mut Json, offered: &[String]) {
    let is = |shape: &Json, name: &str| match &shape["type"] {
        Json::String(only) => only == name,
        Json::Array(several) => several.iter().any(|one| one == name),
        _ => false,
    };
    if is(shape, "string") && !shape["enum"].is_array() {
        shape["examples"] = json!(offered);
    }
    if shape["items"].is_object() && is(&shape["items"], "string") {
        shape["items"]["examples"] = json!(offered);
    }
}
