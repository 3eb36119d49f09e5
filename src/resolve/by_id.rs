//! Records of one kind, found by their id.

use std::ops::Deref;
use std::sync::Arc;

use crate::record::{Caution, Complaint, Job, Procedure, Service, SpecRecord, Tool, Valving};

/// A record that has an id.
pub trait HasId {
    /// Its id.
    fn id(&self) -> &str;
}

macro_rules! has_id {
    ($($record:ty),*) => {
        $(impl HasId for $record {
            fn id(&self) -> &str {
                &self.id.text
            }
        })*
    };
}

has_id!(Arc<SpecRecord>, Tool, Procedure, Service, Caution, Complaint, Valving);

impl HasId for Arc<Job> {
    fn id(&self) -> &str {
        &self.number.text
    }
}

/// Records in order of their ids, whatever order they were read in.
#[derive(Debug, Clone, PartialEq)]
pub struct ById<T>(Vec<T>);

impl<T: HasId> ById<T> {
    /// Adds a record at its place.
    pub fn insert(&mut self, record: T) {
        let at = self.0.partition_point(|other| other.id() <= record.id());
        self.0.insert(at, record);
    }

    /// The records themselves.
    pub fn into_records(self) -> impl Iterator<Item = T> {
        self.0.into_iter()
    }

    /// The record of an id.
    pub fn find(&self, id: &str) -> Option<&T> {
        self.0.binary_search_by(|record| record.id().cmp(id)).ok().and_then(|at| self.0.get(at))
    }
}

impl<T> Default for ById<T> {
    fn default() -> Self {
        ById(Vec::new())
    }
}

impl<T: HasId> FromIterator<T> for ById<T> {
    fn from_iter<I: IntoIterator<Item = T>>(records: I) -> Self {
        let mut records: Vec<T> = records.into_iter().collect();
        records.sort_by(|a, b| a.id().cmp(b.id()));
        ById(records)
    }
}

impl<T> Deref for ById<T> {
    type Target = [T];

    fn deref(&self) -> &[T] {
        &self.0
    }
}

impl<'r, T> IntoIterator for &'r ById<T> {
    type Item = &'r T;
    type IntoIter = std::slice::Iter<'r, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}
