//! A fork with all that holds for it, split into left and right leg.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::by_field::ByField;
use crate::catalogue::{Choices, Field, FieldId, Per, Works};
use crate::output::Digest;
use crate::quantity::{Quantity, Value};
use crate::record::{Entry, Part, SourceKind, SourceNote, SpecRecord};
use crate::text::Span;

/// Left or right, as seen from the saddle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// Left leg.
    Left,
    /// Right leg.
    Right,
}

impl Side {
    /// Both, left first.
    pub const BOTH: [Side; 2] = [Side::Left, Side::Right];

    /// The leg on the other side.
    pub(crate) fn other(self) -> Side {
        match self {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
        }
    }

    /// "left" or "right".
    pub fn word(self) -> &'static str {
        match self {
            Side::Left => "left",
            Side::Right => "right",
        }
    }
}

/// What a leg does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Work {
    /// Spring and damper.
    Both,
    /// The spring alone.
    Spring,
    /// The damper alone.
    Damper,
}

impl Work {
    /// Whether a field that belongs to `works` is found in a leg that does this.
    pub fn holds(self, works: Works) -> bool {
        match (self, works) {
            (Work::Both, _) | (_, Works::Both) => true,
            (Work::Spring, Works::Spring) | (Work::Damper, Works::Damper) => true,
            (Work::Spring, Works::Damper) | (Work::Damper, Works::Spring) => false,
        }
    }
}

/// Which record said a value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// The fork's own.
    Own,
    /// Its family, by id.
    Family(String),
    /// A build's: the fork that it is over, by id.
    Fork(String),
    /// A build's: the spring of the stock that is fitted, by id.
    Spring(String),
}

/// A value as it holds for one leg or the whole fork.
#[derive(Debug, Clone)]
pub struct Resolved {
    /// Which value.
    pub field: FieldId,
    /// What was written.
    pub entry: Arc<Entry>,
    /// Which record said it.
    pub origin: Origin,
    /// The key's place.
    pub key_span: Span,
    /// The sources it rests on, first the one that was named first.
    pub sources: Vec<Arc<SourceNote>>,
    /// The sources that say a figure of their own beside it.
    pub others: Vec<Arc<SourceNote>>,
}

impl Resolved {
    /// The value; `None` when it could not be read.
    pub fn value(&self) -> Option<&Value> {
        self.entry.value.as_ref()
    }

    /// The quantity, where it is one.
    pub fn quantity(&self) -> Option<&Quantity> {
        self.value().and_then(Value::quantity)
    }

    /// Whether the record says that the part does not exist.
    pub fn not_fitted(&self) -> bool {
        matches!(self.value(), Some(Value::NotFitted))
    }

    /// Whether the record says that its source does not say it.
    pub fn is_unknown(&self) -> bool {
        matches!(self.value(), Some(Value::Unknown))
    }

    /// Rests on nothing better than an estimate.
    pub fn is_estimate(&self) -> bool {
        !self.is_unknown()
            && !self.sources.is_empty()
            && self.sources.iter().all(|source| source.kind == SourceKind::Estimate)
    }
}

/// One leg.
#[derive(Debug, Clone)]
pub struct Leg {
    /// Left or right.
    pub side: Side,
    /// What it does.
    pub work: Work,
    /// The values counted by leg.
    pub values: ByField<Resolved>,
}

/// A fork, complete.
#[derive(Debug, Clone)]
pub struct ResolvedFork {
    /// The record it was made from.
    pub record: Arc<SpecRecord>,
    /// The family the record names; `None` where it names none or the family is not there.
    pub family: Option<Arc<SpecRecord>>,
    /// The records whose values lie under its own, the lowest first; the family is one of them.
    pub under: Vec<Arc<SpecRecord>>,
    /// Its id.
    pub id: String,
    /// What it has chosen, the family's choices under its own.
    pub choices: Choices,
    /// The choices that apply and are not made, or made with a word that is none of the options. What
    /// hangs on them is not judged.
    pub open: BTreeSet<String>,
    /// The record names a family, or as a build a fork, that is not there or could not be read, so what it lacks may
    /// stand there.
    pub family_lost: bool,
    /// Left and right.
    pub legs: [Leg; 2],
    /// The values that count for both legs together or for the whole machine.
    pub whole: ByField<Resolved>,
    /// Values given that this fork has no use for, with their places.
    pub stray: Vec<Resolved>,
    /// What its services hang on: forks of one kind walk them alike.
    pub kind: Digest,
}

impl ResolvedFork {
    /// A leg.
    pub fn leg(&self, side: Side) -> &Leg {
        match side {
            Side::Left => &self.legs[0],
            Side::Right => &self.legs[1],
        }
    }

    /// A value as it holds for one side.
    pub fn on(&self, side: Side, field: FieldId) -> Option<&Resolved> {
        self.leg(side).values.get(&field).or_else(|| self.whole.get(&field))
    }

    /// The parts that its records order by number: its own, and those of its family that have another title.
    pub fn parts(&self) -> impl Iterator<Item = &Part> {
        // What lies higher takes the place of what has the same title below it.
        let all: Vec<&SpecRecord> =
            self.under.iter().map(AsRef::as_ref).chain([self.record.as_ref()]).collect();
        let mut out: Vec<&Part> = Vec::new();
        for part in all.into_iter().rev().flat_map(|from| &from.parts) {
            if out.iter().all(|higher| higher.title.text != part.title.text) {
                out.push(part);
            }
        }
        out.into_iter()
    }

    /// Every value, those of the left leg first; one that both legs share is there twice.
    pub fn all(&self) -> impl Iterator<Item = &Resolved> {
        self.legs.iter().flat_map(|leg| leg.values.values()).chain(self.whole.values())
    }

    /// The oils that its values name, by id.
    pub fn oils(&self) -> Vec<&str> {
        let named = self.all().filter_map(|resolved| match resolved.value() {
            Some(Value::Reference(id)) => Some(id.as_str()),
            _ => None,
        });
        named.collect()
    }

    /// A value on the first leg that has it.
    pub fn any(&self, field: impl Into<FieldId>) -> Option<&Resolved> {
        let field = field.into();
        Side::BOTH.iter().find_map(|side| self.on(*side, field))
    }

    /// Whether a field can hold a value on this side: its choices fit, and the leg does that work.
    pub fn takes(&self, side: Side, field: &Field) -> bool {
        field.applies.holds(&self.choices)
            && (field.per != Per::Leg || self.leg(side).work.holds(field.works))
    }

    /// The legs that have the part these values are of: those of which the record does not say `not fitted` for
    /// every one. Both where no value is named.
    pub fn fitted(&self, fields: impl Iterator<Item = FieldId> + Clone) -> [bool; 2] {
        Side::BOTH.map(|side| {
            let mut fields = fields.clone().peekable();
            fields.peek().is_none()
                || fields.any(|field| !self.on(side, field).is_some_and(Resolved::not_fitted))
        })
    }

    /// Whether left and right hold the same thing, to the letter.
    pub fn alike(&self, field: FieldId) -> bool {
        match (self.on(Side::Left, field), self.on(Side::Right, field)) {
            (Some(left), Some(right)) => {
                Arc::ptr_eq(&left.entry, &right.entry)
                    || (left.entry.text == right.entry.text && left.entry.state == right.entry.state)
            }
            (None, None) => true,
            _ => false,
        }
    }
}
