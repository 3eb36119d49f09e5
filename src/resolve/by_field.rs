//! Values by field, in the order of the catalogue, each found at once.

use crate::catalogue::FieldId;

/// No value: shops have fewer fields than that.
const NONE: u16 = u16::MAX;

/// Values by field, in the order of the catalogue.
#[derive(Debug, Clone)]
pub struct ByField<V> {
    values: Vec<(FieldId, V)>,
    /// For each field the place of its value, or [`NONE`]; as long as the last field that has one asks.
    places: Vec<u16>,
}

impl<V> Default for ByField<V> {
    fn default() -> Self {
        ByField { values: Vec::new(), places: Vec::new() }
    }
}

impl<V> ByField<V> {
    /// The value of a field.
    pub fn get(&self, field: &FieldId) -> Option<&V> {
        let place = *self.places.get(usize::from(field.0))?;
        self.values.get(usize::from(place)).map(|(_, value)| value)
    }

    /// Whether a field has a value.
    pub fn contains_key(&self, field: &FieldId) -> bool {
        self.get(field).is_some()
    }

    /// Gives a field a value in place of the one it has.
    pub fn insert(&mut self, field: FieldId, value: V) {
        match self.values.binary_search_by_key(&field, |(known, _)| *known) {
            Ok(at) => self.values[at].1 = value,
            // As a rule they come in order.
            Err(at) if at == self.values.len() => {
                self.places.resize(usize::from(field.0), NONE);
                self.places.push(u16::try_from(at).unwrap_or(NONE));
                self.values.push((field, value));
            }
            Err(at) => {
                self.values.insert(at, (field, value));
                self.place();
            }
        }
    }

    /// Keeps the values for which `keep` holds.
    pub fn retain(&mut self, mut keep: impl FnMut(&FieldId, &V) -> bool) {
        self.values.retain(|(field, value)| keep(field, value));
        self.place();
    }

    /// The fields with their values.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (&FieldId, &V)> + Clone {
        self.values.iter().map(|(field, value)| (field, value))
    }

    /// The fields that have a value.
    pub fn keys(&self) -> impl DoubleEndedIterator<Item = &FieldId> + Clone {
        self.values.iter().map(|(field, _)| field)
    }

    /// The values.
    pub fn values(&self) -> impl DoubleEndedIterator<Item = &V> + Clone {
        self.values.iter().map(|(_, value)| value)
    }

    /// The values, to be changed.
    pub fn values_mut(&mut self) -> impl DoubleEndedIterator<Item = &mut V> {
        self.values.iter_mut().map(|(_, value)| value)
    }

    /// Notes anew where each value stands.
    fn place(&mut self) {
        self.places.clear();
        let fields = self.values.last().map_or(0, |(last, _)| usize::from(last.0) + 1);
        self.places.resize(fields, NONE);
        for ((field, _), at) in self.values.iter().zip(0..NONE) {
            self.places[usize::from(field.0)] = at;
        }
    }
}

impl<V> FromIterator<(FieldId, V)> for ByField<V> {
    /// Of two values of one field the later one holds.
    fn from_iter<I: IntoIterator<Item = (FieldId, V)>>(all: I) -> Self {
        let mut values: Vec<(FieldId, V)> = all.into_iter().collect();
        values.reverse();
        values.sort_by_key(|(field, _)| *field);
        values.dedup_by_key(|(field, _)| *field);
        let mut out = ByField { values, places: Vec::new() };
        out.place();
        out
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn it_holds_what_an_ordered_map_holds(
            all in prop::collection::vec((0..300u16, 0..1000), 0..60),
            more in prop::collection::vec((0..300u16, 0..1000), 0..8),
            parity in 0..2,
        ) {
            let all: Vec<(FieldId, i32)> = all.into_iter().map(|(id, value)| (FieldId(id), value)).collect();
            let mut plain: BTreeMap<FieldId, i32> = all.iter().copied().collect();
            let mut made: ByField<i32> = all.into_iter().collect();
            for (id, value) in more {
                plain.insert(FieldId(id), value);
                made.insert(FieldId(id), value);
            }
            plain.retain(|_, value| *value % 2 == parity);
            made.retain(|_, value| *value % 2 == parity);
            prop_assert!(made.iter().eq(plain.iter()));
            prop_assert!(made.keys().eq(plain.keys()));
            prop_assert!(made.values().eq(plain.values()));
            for id in (0..310).map(FieldId) {
                prop_assert_eq!(made.get(&id), plain.get(&id));
                prop_assert_eq!(made.contains_key(&id), plain.contains_key(&id));
            }
        }
    }
}
