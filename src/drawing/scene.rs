//! What a drawing is made for, and what the record says there.

use crate::catalogue::{FieldId, Key};
use crate::check::CheckedFork;
use crate::quantity::{Quantity, Value};
use crate::resolve::{Resolved, Shop, Side};

/// What a drawing is made for: a leg of a fork.
#[derive(Clone, Copy)]
pub(super) struct Scene<'s> {
    pub(super) shop: &'s Shop,
    pub(super) fork: &'s CheckedFork,
    pub(super) side: Side,
}

impl<'s> Scene<'s> {
    pub(super) fn found(&self, id: impl Into<FieldId>) -> Option<&'s Resolved> {
        self.fork.on(self.side, id.into()).filter(|value| !value.not_fitted() && !value.is_unknown())
    }

    pub(super) fn value(&self, key: Key) -> Option<&'s Value> {
        self.found(key).and_then(Resolved::value)
    }

    pub(super) fn quantity(&self, key: Key) -> Option<&'s Quantity> {
        self.found(key).and_then(Resolved::quantity)
    }

    pub(super) fn shown(&self, key: Key) -> Option<String> {
        self.quantity(key).map(|quantity| quantity.main().shown())
    }

    pub(super) fn millimeters(&self, key: Key) -> Option<f64> {
        self.quantity(key).map(|quantity| quantity.main().middle_si() * 1e3)
    }

    pub(super) fn text(&self, key: Key) -> Option<String> {
        match self.value(key)? {
            Value::Text(text) => Some(text.clone()),
            _ => None,
        }
    }

    pub(super) fn state(&self, key: Key, name: &str) -> String {
        self.found(key).map(|value| state(value, name)).unwrap_or_default()
    }

    pub(super) fn chose(&self, choice: &str, option: &str) -> bool {
        self.fork.choices.get(choice).is_some_and(|made| made == option)
    }
}

/// A part of the state in which a value is read, as the record says it; empty where it does not.
pub(super) fn state(value: &Resolved, name: &str) -> String {
    match value.entry.state.get(name).and_then(|named| named.value.as_ref()) {
        Some(Value::Choice(option)) => option.clone(),
        _ => String::new(),
    }
}
