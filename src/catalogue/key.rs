//! The key of each field of the built-in catalogue, as a Rust name. The build makes the names from the data, so a
//! key that is not in the catalogue does not compile. A field that a shop declares has no name here: it is found
//! by its text, with `Catalogue::find`.

use borsh::{BorshDeserialize, BorshSerialize};

/// A field by its place in the catalogue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, BorshSerialize, BorshDeserialize)]
pub struct FieldId(pub u16);

/// The key of a field of the built-in catalogue.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Key(u16);

impl Key {
    /// As a record writes it: `oil.air_gap`.
    pub const fn name(self) -> &'static str {
        NAMES[self.0 as usize]
    }

    /// The field. The built-in fields come first in every catalogue of a shop, in the order of the keys.
    pub const fn id(self) -> FieldId {
        FieldId(self.0)
    }

    /// The key of a field; `None` where the shop declared it.
    pub fn of(id: FieldId) -> Option<Key> {
        ALL.get(usize::from(id.0)).copied()
    }
}

impl From<Key> for FieldId {
    fn from(key: Key) -> FieldId {
        key.id()
    }
}

impl std::fmt::Debug for Key {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(self.name())
    }
}

impl std::fmt::Display for Key {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(self.name())
    }
}

include!(concat!(env!("OUT_DIR"), "/keys.rs"));

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;

    #[test]
    fn the_keys_are_the_fields_of_the_catalogue_in_their_order() {
        let catalogue = builtin().expect("the built-in catalogue");
        let fields: Vec<(FieldId, &str)> =
            catalogue.iter().map(|(id, field)| (id, field.key.as_str())).collect();
        let keys: Vec<(FieldId, &str)> = ALL.iter().map(|key| (key.id(), key.name())).collect();
        assert_eq!(fields, keys);
    }
}
