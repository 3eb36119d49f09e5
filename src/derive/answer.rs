//! A result, or what it lacks; and the asking that leads to it.

use crate::bench::OutOfRange;
use crate::bench::oil::Stretch;
use crate::bench::units::{Force, Length, Mass, Pressure, SpringRate, ThermodynamicTemperature, Volume};
use crate::catalogue::{FieldId, Key, MadeChoice};
use crate::quantity::{Quantity, Value};
use crate::record::{Sides, SpecRecord};
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};

/// A result with what it assumes.
#[derive(Debug, Clone, PartialEq)]
pub struct Known<T> {
    /// The result.
    pub value: T,
    /// What it assumes, in sentences for the page; in the order in which they came up.
    pub assumptions: Vec<String>,
    /// The keys it was made from.
    pub rests_on: Vec<String>,
}

/// What the arithmetic has to say about one thing.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer<T> {
    /// The result.
    Known(Known<T>),
    /// Not judged: these keys are missing.
    Missing(Vec<String>),
    /// The values are there, but they make no sense together.
    Refused {
        /// Why.
        why: OutOfRange,
        /// The keys they stand under.
        rests_on: Vec<String>,
    },
    /// A value could not be read, which has been said; what depends on it stays silent.
    Silent,
    /// This fork has no such thing.
    NotHere,
}

impl<T> Answer<T> {
    /// The result, when there is one.
    pub(crate) fn known(&self) -> Option<&Known<T>> {
        match self {
            Answer::Known(result) => Some(result),
            _ => None,
        }
    }

    /// The bare result, when there is one.
    pub(crate) fn value(&self) -> Option<&T> {
        self.known().map(|result| &result.value)
    }

    /// The keys the result was made from; none where there is no result.
    pub(crate) fn rests_on(&self) -> &[String] {
        self.known().map_or(&[], |result| &result.rests_on)
    }

    /// The keys it lacks.
    pub(crate) fn missing(&self) -> &[String] {
        match self {
            Answer::Missing(keys) => keys,
            _ => &[],
        }
    }

    /// Another result made of this one, with the same assumptions.
    pub(crate) fn map<U>(&self, make: impl FnOnce(&T) -> Result<U, OutOfRange>) -> Answer<U> {
        match self {
            Answer::Known(result) => match make(&result.value) {
                Ok(value) => Answer::Known(Known {
                    value,
                    assumptions: result.assumptions.clone(),
                    rests_on: result.rests_on.clone(),
                }),
                Err(why) => Answer::Refused { why, rests_on: result.rests_on.clone() },
            },
            Answer::Missing(keys) => Answer::Missing(keys.clone()),
            Answer::Refused { why, rests_on } => {
                Answer::Refused { why: why.clone(), rests_on: rests_on.clone() }
            }
            Answer::Silent => Answer::Silent,
            Answer::NotHere => Answer::NotHere,
        }
    }

    /// "not judged: … missing", for a card or a page; `None` when there is a result or nothing to judge.
    pub(crate) fn not_judged(&self) -> Option<String> {
        match self {
            Answer::Missing(keys) => Some(format!("not judged: {} missing", keys.join(", "))),
            Answer::Refused { why, .. } => Some(format!("not judged: {why}")),
            Answer::Silent => Some("not judged: a value it needs could not be read".to_owned()),
            Answer::Known(_) | Answer::NotHere => None,
        }
    }
}

/// How a value stands in the record.
pub(super) enum Given<'a> {
    /// It has a value.
    Value(&'a Resolved, &'a Value),
    /// The part does not exist.
    NotFitted,
    /// Nobody said.
    Absent,
    /// The record says that its source does not say it.
    Unknown,
    /// It could not be read.
    Unreadable,
    /// This leg does not take it.
    NotHere,
}

/// Asks one leg for values, and remembers what was missing on the way.
#[derive(Clone)]
pub(super) struct Ask<'a> {
    pub shop: &'a Shop,
    pub fork: &'a ResolvedFork,
    pub side: Side,
    missing: Vec<String>,
    silent: bool,
    unknown: bool,
    refused: Option<(OutOfRange, Vec<String>)>,
    rests_on: Vec<String>,
    assumptions: Vec<String>,
}

impl<'a> Ask<'a> {
    pub(crate) fn new(shop: &'a Shop, fork: &'a ResolvedFork, side: Side) -> Self {
        Ask {
            shop,
            fork,
            side,
            missing: Vec::new(),
            silent: false,
            unknown: false,
            refused: None,
            rests_on: Vec::new(),
            assumptions: Vec::new(),
        }
    }

    /// The same question of the other leg, or of this one.
    pub(crate) fn on(&self, side: Side) -> Self {
        Ask::new(self.shop, self.fork, side)
    }

    pub(crate) fn chosen<C: MadeChoice>(&self) -> Option<C> {
        C::of(&self.fork.choices)
    }

    /// Whether this leg can hold the value.
    pub(crate) fn takes(&self, field: impl Into<FieldId>) -> bool {
        self.fork.takes(self.side, self.shop.catalogue.field(field.into()))
    }

    pub(crate) fn look(&self, field: impl Into<FieldId>) -> Given<'a> {
        let field = field.into();
        match self.fork.on(self.side, field) {
            _ if !self.takes(field) => Given::NotHere,
            None => Given::Absent,
            Some(resolved) => match resolved.value() {
                None => Given::Unreadable,
                Some(Value::NotFitted) => Given::NotFitted,
                Some(Value::Unknown) => Given::Unknown,
                Some(value) => Given::Value(resolved, value),
            },
        }
    }

    /// A value, if it is there; an unreadable one silences the answer, and without an unknown one there is none.
    pub(crate) fn may(&mut self, field: impl Into<FieldId>) -> Option<&'a Value> {
        let field = field.into();
        match self.look(field) {
            Given::Value(_, value) => {
                self.rests_on.push(self.shop.catalogue.field(field).key.clone());
                Some(value)
            }
            Given::Unreadable => {
                self.silent = true;
                None
            }
            // No other figure fills in for it, and nothing is worked out without it.
            Given::Unknown => {
                self.unknown = true;
                self.lack(field);
                None
            }
            Given::NotFitted | Given::Absent | Given::NotHere => None,
        }
    }

    /// A value that has to be there.
    pub(crate) fn need(&mut self, field: impl Into<FieldId>) -> Option<&'a Value> {
        let field = field.into();
        let value = self.may(field);
        if value.is_none() {
            self.lack(field);
        }
        value
    }

    pub(crate) fn quantity(&mut self, field: impl Into<FieldId>) -> Option<&'a Quantity> {
        self.need(field).and_then(Value::quantity)
    }

    pub(crate) fn may_quantity(&mut self, field: impl Into<FieldId>) -> Option<&'a Quantity> {
        self.may(field).and_then(Value::quantity)
    }

    pub(crate) fn length(&mut self, field: impl Into<FieldId>) -> Option<Length> {
        self.quantity(field).and_then(Quantity::length)
    }

    pub(crate) fn may_length(&mut self, field: impl Into<FieldId>) -> Option<Length> {
        self.may_quantity(field).and_then(Quantity::length)
    }

    pub(crate) fn volume(&mut self, field: impl Into<FieldId>) -> Option<Volume> {
        self.quantity(field).and_then(Quantity::volume)
    }

    pub(crate) fn may_mass(&mut self, field: impl Into<FieldId>) -> Option<Mass> {
        self.may_quantity(field).and_then(Quantity::mass)
    }

    pub(crate) fn pressure(&mut self, field: impl Into<FieldId>) -> Option<Pressure> {
        self.quantity(field).and_then(Quantity::pressure)
    }

    /// A diameter in stretches.
    pub(crate) fn stretches(&mut self, field: impl Into<FieldId>, needed: bool) -> Option<Vec<Stretch>> {
        let value = if needed { self.need(field) } else { self.may(field) }?;
        match value {
            Value::Sections(sections) => sections
                .iter()
                .map(|section| {
                    Some(Stretch {
                        diameter: section.value.length()?,
                        until: section.until.as_ref().and_then(Quantity::length),
                    })
                })
                .collect(),
            Value::Quantity(quantity) => Some(vec![Stretch { diameter: quantity.length()?, until: None }]),
            _ => None,
        }
    }

    /// Spring rates in segments.
    pub(crate) fn rates(&mut self, field: impl Into<FieldId>) -> Option<Vec<(SpringRate, Option<Length>)>> {
        match self.need(field)? {
            Value::Sections(sections) => sections
                .iter()
                .map(|section| {
                    Some((section.value.spring_rate()?, section.until.as_ref().and_then(Quantity::length)))
                })
                .collect(),
            Value::Quantity(quantity) => Some(vec![(quantity.spring_rate()?, None)]),
            _ => None,
        }
    }

    /// The option a value's state says for one of its parts.
    pub(crate) fn state(&self, field: impl Into<FieldId>, part: &str) -> Option<&'a str> {
        match self.look(field) {
            Given::Value(resolved, _) => match resolved.entry.state.get(part)?.value.as_ref()? {
                Value::Choice(option) => Some(option),
                _ => None,
            },
            _ => None,
        }
    }

    /// Says that nothing is worked out where a part of a value's state is unknown on which it hangs.
    pub(crate) fn needs_state(&mut self, field: impl Into<FieldId>, parts: &[&str]) {
        let field = field.into();
        let Given::Value(resolved, _) = self.look(field) else { return };
        let unknown = |part: &&&str| {
            resolved.entry.state.get(**part).is_some_and(|named| named.value == Some(Value::Unknown))
        };
        for part in parts.iter().filter(unknown) {
            self.unknown = true;
            self.lack_text(format!("{}: {part}", self.shop.catalogue.field(field).key));
        }
    }

    /// Whether something asked for is unknown.
    pub(crate) fn lacks_state(&self) -> bool {
        self.unknown
    }

    /// The temperature a value's state says.
    pub(crate) fn state_temperature(&self, field: impl Into<FieldId>) -> Option<ThermodynamicTemperature> {
        match self.look(field) {
            Given::Value(resolved, _) => {
                resolved.entry.state.get("temperature")?.value.as_ref()?.quantity()?.temperature()
            }
            _ => None,
        }
    }

    /// The oil record a reference leads to.
    pub(crate) fn oil(&mut self, field: impl Into<FieldId>) -> Option<&'a SpecRecord> {
        match self.need(field)? {
            Value::Reference(id) => {
                let record = self.shop.oil(id);
                // A dangling reference has been said by its own rule.
                self.silent |= record.is_none();
                record
            }
            _ => None,
        }
    }

    /// A quantity of an oil record.
    pub(crate) fn of_oil(&mut self, oil: &'a SpecRecord, key: Key) -> Option<&'a Quantity> {
        match oil_value(oil, key) {
            Some(Some(value)) => value.quantity(),
            Some(None) => {
                self.silent = true;
                None
            }
            None => {
                self.missing.push(format!("{key} of {}", oil.id.text));
                None
            }
        }
    }

    /// Says that a value is missing.
    pub(crate) fn lack(&mut self, field: impl Into<FieldId>) {
        self.missing.push(self.shop.catalogue.field(field.into()).key.clone());
    }

    /// Says that something is missing that is no value of its own, such as a part of one.
    pub(crate) fn lack_text(&mut self, text: impl Into<String>) {
        self.missing.push(text.into());
    }

    pub(crate) fn assume(&mut self, text: impl Into<String>) {
        let text = text.into();
        if !self.assumptions.contains(&text) {
            self.assumptions.push(text);
        }
    }

    /// Takes over another answer, with what it lacks, rests on and assumes.
    pub(crate) fn take<'b, T>(&mut self, answer: &'b Answer<T>) -> Option<&'b T> {
        match answer {
            Answer::Known(result) => {
                self.rests_on.extend(result.rests_on.iter().cloned());
                for text in &result.assumptions {
                    self.assume(text.clone());
                }
                Some(&result.value)
            }
            Answer::Missing(keys) => {
                self.missing.extend(keys.iter().cloned());
                None
            }
            Answer::Refused { why, rests_on } => {
                self.refused = Some((why.clone(), rests_on.clone()));
                None
            }
            Answer::Silent | Answer::NotHere => {
                self.silent = true;
                None
            }
        }
    }

    /// The answer, when something it needs was not there.
    pub(crate) fn lacking<T>(self) -> Answer<T> {
        if self.silent {
            return Answer::Silent;
        }
        if let Some((why, rests_on)) = self.refused {
            return Answer::Refused { why, rests_on };
        }
        Answer::Missing(sorted(self.missing))
    }

    /// The answer, from a computed result.
    pub(crate) fn answer<T>(self, result: Result<T, OutOfRange>) -> Answer<T> {
        if self.silent || self.unknown {
            return self.lacking();
        }
        match result {
            Ok(value) => {
                Answer::Known(Known { value, assumptions: self.assumptions, rests_on: sorted(self.rests_on) })
            }
            Err(why) => Answer::Refused { why, rests_on: sorted(self.rests_on) },
        }
    }
}

/// A value of an oil record: absent, unreadable, or there.
pub(super) fn oil_value(oil: &SpecRecord, key: Key) -> Option<Option<&Value>> {
    let line = oil.values.iter().find(|line| line.field == key.id())?;
    let entry = match &line.sides {
        Sides::Each(entry) | Sides::Legs(entry, _) => entry,
    };
    match &entry.value {
        Some(Value::NotFitted | Value::Unknown) => None,
        other => Some(other.as_ref()),
    }
}

fn sorted(mut keys: Vec<String>) -> Vec<String> {
    keys.sort();
    keys.dedup();
    keys
}

/// A force from a mass that weighs on something.
pub(super) fn weight_of(load: Mass) -> Force {
    crate::bench::units::force(load.value * crate::bench::units::GRAVITY)
}
