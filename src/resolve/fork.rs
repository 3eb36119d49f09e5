//! A fork with its family's values laid under its own, split into left and right leg.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::shop::Shop;
use crate::catalogue::choice::Legs;
use crate::catalogue::{Choices, Field, FieldId, MadeChoice, NAMES, Per, Works};
use crate::quantity::{Quantity, Value};
use crate::record::{Entry, Part, RecordKind, Sides, SourceKind, SourceNote, SpecLine, SpecRecord};
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
    pub values: BTreeMap<FieldId, Resolved>,
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
    pub whole: BTreeMap<FieldId, Resolved>,
    /// Values given that this fork has no use for, with their places.
    pub stray: Vec<Resolved>,
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

/// Resolves one fork of the shop.
pub fn resolve(shop: &Shop, record: &Arc<SpecRecord>) -> ResolvedFork {
    let family = record.family.as_ref().and_then(|id| shop.family(&id.text));
    let under = shop.under(record);
    let all = || under.iter().chain([record]);
    let mut choices: Choices = Choices::new();
    for from in all() {
        choices.extend(from.choices.iter().map(|(key, text)| (key.clone(), text.text.clone())));
    }
    // Only a `for:` names forks.
    choices.retain(|key, _| !NAMES.contains(&key.as_str()));
    let mut open = BTreeSet::new();
    for choice in &shop.catalogue.choices {
        let is_option = |chosen: &String| choice.options.iter().any(|(id, _)| id == chosen);
        let made = choices.get(&choice.key).is_some_and(is_option);
        if made {
            continue;
        }
        choices.remove(&choice.key);
        if choice.applies.holds(&choices) || choice.applies.undecided(&choices, &open) {
            open.insert(choice.key.clone());
        }
    }
    choices.extend(names(shop, record));
    let works = match Legs::of(&choices) {
        Some(Legs::SpringLeft) => [Work::Spring, Work::Damper],
        Some(Legs::SpringRight) => [Work::Damper, Work::Spring],
        Some(Legs::Alike) | None => [Work::Both, Work::Both],
    };
    let leg = |side, work| Leg { side, work, values: BTreeMap::new() };
    let mut fork = ResolvedFork {
        record: Arc::clone(record),
        family: family.cloned(),
        under: under.clone(),
        id: record.id.text.clone(),
        choices,
        open,
        family_lost: record.family.is_some() && family.is_none()
            || record.build().is_some() && shop.built_over(record).is_none(),
        legs: [leg(Side::Left, works[0]), leg(Side::Right, works[1])],
        whole: BTreeMap::new(),
        stray: Vec::new(),
    };
    let mut lines: BTreeMap<FieldId, (&SpecLine, &SpecRecord)> = BTreeMap::new();
    for from in all() {
        for line in &from.values {
            lines.insert(line.field, (line, from));
        }
    }
    for (line, from) in lines.into_values() {
        place(shop, &mut fork, line, from);
    }
    fork
}

/// The names by which some text of the shop singles this fork out.
fn names(shop: &Shop, record: &SpecRecord) -> Choices {
    // What a text says of a fork, it says of the builds over it.
    let fork = record.build().map_or(&record.id.text, |build| &build.fork.text);
    let own = |by: &str| match by {
        "fork" => Some(fork),
        "family" => record.family.as_ref().map(|family| &family.text),
        _ => Some(&record.maker),
    };
    let mine = shop.singled.iter().filter(|singled| own(singled.by) == Some(&singled.name.text));
    mine.map(|singled| (singled.by.to_owned(), singled.name.text.clone())).collect()
}

fn place(shop: &Shop, fork: &mut ResolvedFork, line: &SpecLine, from: &SpecRecord) {
    let field = shop.catalogue.field(line.field);
    let origin = match from.kind {
        RecordKind::Family => Origin::Family(from.id.text.clone()),
        RecordKind::Spring => Origin::Spring(from.id.text.clone()),
        RecordKind::Fork if fork.record.build().is_some() => Origin::Fork(from.id.text.clone()),
        _ => Origin::Own,
    };
    let made = |entry: &Arc<Entry>| {
        let named: Vec<&str> = if entry.sources.is_empty() {
            from.source.iter().map(|text| text.text.as_str()).collect()
        } else {
            entry.sources.iter().map(|text| text.text.as_str()).collect()
        };
        Resolved {
            field: line.field,
            entry: Arc::clone(entry),
            origin: origin.clone(),
            key_span: line.key_span,
            others: (entry.also_said.iter())
                .filter_map(|said| from.source_note(&said.source.text).cloned())
                .collect(),
            sources: named.into_iter().filter_map(|id| from.source_note(id).cloned()).collect(),
        }
    };
    let (left, right) = match &line.sides {
        Sides::Each(entry) => (entry, entry),
        Sides::Legs(left, right) => (left, right),
    };
    let inherited = origin != Origin::Own;
    if !field.applies.holds(&fork.choices) && !field.applies.undecided(&fork.choices, &fork.open) {
        // A family may hold values for members that have chosen otherwise.
        if !inherited {
            fork.stray.push(made(left));
        }
        return;
    }
    if field.per != Per::Leg {
        fork.whole.insert(line.field, made(left));
        return;
    }
    let both = matches!(line.sides, Sides::Legs(..));
    for (n, entry) in [left, right].into_iter().enumerate() {
        // A figure given once goes to the leg that can hold it; one given for a leg that cannot is kept, to be found.
        if both || fork.legs[n].work.holds(field.works) {
            fork.legs[n].values.insert(line.field, made(entry));
        }
    }
}
