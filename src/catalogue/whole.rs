//! The whole catalogue of a shop: the built-in fields, then the shop's own.

use std::collections::HashMap;

use foldhash::fast::RandomState;

use super::choice::Choice;
use super::field::{Field, Form, Group, Owner, RawGroup};
use super::key::FieldId;
use super::relations::Relations;

/// The choices, groups and fields a record of this shop can hold.
#[derive(Debug, Clone, Default)]
pub struct Catalogue {
    /// The choices, in the order a person would make them.
    pub choices: Vec<Choice>,
    /// The groups, in the order a page shows them.
    pub groups: Vec<Group>,
    /// Some of the shop's own fields could not be read, so that a key that is not known may be one of them.
    pub incomplete: bool,
    /// It is the built-in one, and nothing was added to it.
    pub(super) built_in: bool,
    fields: Vec<Field>,
    index: HashMap<String, FieldId, RandomState>,
    relations: Relations,
}

impl Catalogue {
    /// Adds a group and its fields; says in one sentence what is wrong with the first bad entry.
    pub fn add(&mut self, raw: RawGroup, by_shop: bool) -> Result<(), (String, String)> {
        self.built_in = false;
        let group = Group { key: raw.group, title: raw.title, of: raw.of };
        for (name, field) in raw.fields {
            let key = format!("{}.{name}", group.key);
            if self.index.contains_key(&key) {
                return Err((name, format!("`{key}` is in the catalogue already")));
            }
            let made = Field::make(&key, &name, &group, field, by_shop).map_err(|why| (name.clone(), why))?;
            let id = FieldId(
                u16::try_from(self.fields.len())
                    .map_err(|_| (name, "there are too many fields".to_owned()))?,
            );
            self.fields.push(made);
            self.index.insert(key, id);
        }
        self.missing_relation(&group.key, by_shop)?;
        if !self.groups.iter().any(|known| known.key == group.key && known.of == group.of) {
            self.groups.push(group);
        }
        self.relations = Relations::of(&self.fields, |key| self.index.get(key).copied());
        Ok(())
    }

    /// Whether it is the built-in catalogue as it is, with no field of a shop's own.
    pub fn is_built_in(&self) -> bool {
        self.built_in
    }

    /// A field that a shop relates to one that there is not. The relations of the built-in fields are tested.
    fn missing_relation(&self, group: &str, by_shop: bool) -> Result<(), (String, String)> {
        for field in self.fields.iter().filter(|field| by_shop && field.by_shop && field.group == group) {
            let lost = field.related.keys().find(|key| !self.index.contains_key(*key));
            // A range is known by its name; without its value it is a range on its own.
            if let Some(key) = lost.filter(|_| field.form != Form::Range) {
                return Err((
                    field.name.clone(),
                    format!("`{key}`, to which it is related, is not in the catalogue"),
                ));
            }
        }
        Ok(())
    }

    /// The field of an id this catalogue gave.
    pub fn field(&self, id: FieldId) -> &Field {
        &self.fields[usize::from(id.0)]
    }

    /// The field of a key such as `oil.air_gap`.
    pub fn find(&self, key: &str) -> Option<FieldId> {
        self.index.get(key).copied()
    }

    /// The fields that go by this word in the trade, as `damper rod` or `damper_rod`.
    pub fn called(&self, word: &str) -> Vec<&Field> {
        let said = word.to_lowercase().replace(['-', ' '], "_");
        self.iter().map(|(_, field)| field).filter(|field| field.called.contains(&said)).collect()
    }

    /// How the fields stand to each other.
    pub fn relations(&self) -> &Relations {
        &self.relations
    }

    /// All fields in catalogue order.
    pub fn iter(&self) -> impl Iterator<Item = (FieldId, &Field)> {
        self.fields.iter().zip(0u16..).map(|(field, n)| (FieldId(n), field))
    }

    /// The fields of one kind of record.
    pub fn of(&self, owner: Owner) -> impl Iterator<Item = (FieldId, &Field)> {
        self.iter().filter(move |(_, field)| field.of == owner)
    }

    /// The choice with a key.
    pub fn choice(&self, key: &str) -> Option<&Choice> {
        self.choices.iter().find(|choice| choice.key == key)
    }

    /// What a person calls an option of a choice; the id itself where it is unknown.
    pub fn option_title<'a>(&'a self, choice: &str, option: &'a str) -> &'a str {
        self.choice(choice)
            .and_then(|choice| choice.options.iter().find(|(id, _)| id == option))
            .map_or(option, |(_, title)| title)
    }
}
