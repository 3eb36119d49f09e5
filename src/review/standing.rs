//! How each value stands: reviewed, changed since, or never reviewed.
//!
//! For each value the last day on which somebody reviewed it decides, and on one day the last review in the list. A
//! family's review vouches for the family; what a fork takes over from it and can hurt somebody counts as reviewed for
//! that fork only when it was compared with one of the fork's own sources.

use std::collections::BTreeMap;

use super::digest::{
    BUILT, CHOICE, CHOICES, GONE, MACHINES, PARTS, build_code, choice_code, choices_code, machines_code,
    parts_code, seal, value_code,
};
use crate::catalogue::{Choices, FieldId};
use crate::date::Date;
use crate::record::{Entry, RecordKind, Review, Sides, SourceKind, SourceNote, SpecLine, SpecRecord};
use crate::resolve::{ResolvedFork, Shop};
use crate::text::Span;
use crate::words::count;

/// Who vouched, and when.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Vouch {
    /// The day.
    pub date: Date,
    /// Who.
    pub by: String,
    /// The family in whose record it stands; `None` for the record's own.
    pub family: Option<String>,
    /// The title of the fork's own source with which an inherited value was compared; `None` for a review of what
    /// stands in the record.
    pub compared: Option<String>,
}

/// How a value stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// Reviewed as it is now.
    Reviewed(Vouch),
    /// Reviewed, and changed since.
    Changed(Vouch),
    /// Inherited and able to hurt somebody; its family's review vouches for the family alone, and nobody compared it
    /// with a source of this very fork.
    NotCompared,
    /// On one day two people reviewed it: the first saw what stands there now, and the second, who came later, saw
    /// something else.
    Disputed(Vouch, Vouch),
    /// Nobody has reviewed it, or it cannot be reviewed.
    Never,
}

impl Standing {
    /// Whether somebody vouches for the value as it is.
    pub fn is_reviewed(&self) -> bool {
        matches!(self, Standing::Reviewed(_))
    }
}

/// A value that was reviewed and is no longer there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gone {
    /// Its key.
    pub key: String,
    /// Who reviewed it last.
    pub vouch: Vouch,
    /// Where the review names it.
    pub span: Span,
}

/// How what a fork takes over from its family stands to the sources of the very fork.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Inherited {
    /// The values, by field.
    pub values: BTreeMap<FieldId, Comparison>,
    /// The choices, by key: they decide which values and which steps there are.
    pub choices: BTreeMap<String, Comparison>,
}

impl Inherited {
    /// Whether everything was compared, as it is.
    pub fn is_settled(&self) -> bool {
        self.values.values().chain(self.choices.values()).all(|comparison| *comparison == Comparison::Done)
    }

    /// The choices that nobody compared, as they are.
    pub fn open_choices(&self) -> impl Iterator<Item = &str> {
        self.choices.iter().filter(|(_, one)| **one != Comparison::Done).map(|(key, _)| key.as_str())
    }
}

/// So many values and choices, in words; at least one of the two is there.
pub fn counted(values: usize, choices: usize) -> String {
    let parts = [(values, "value", "values"), (choices, "choice", "choices")];
    let parts = parts.into_iter().filter(|(n, ..)| *n > 0).map(|(n, one, many)| count(n, one, many));
    parts.collect::<Vec<_>>().join(" and ")
}

/// The choices that a fork takes over from its family and that mean something for it, with what is chosen.
pub(crate) fn inherited_choices<'f>(shop: &'f Shop, fork: &'f ResolvedFork) -> Vec<(&'f str, &'f str)> {
    let own = &fork.record.choices;
    let applies =
        |key: &str| shop.catalogue.choice(key).is_some_and(|choice| choice.applies.holds(&fork.choices));
    let chosen = fork.family.iter().flat_map(|_| &fork.choices);
    let taken = chosen.filter(|(key, _)| !own.contains_key(*key) && applies(key));
    taken.map(|(key, option)| (key.as_str(), option.as_str())).collect()
}

/// How an inherited value stands to the sources of the very fork.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Comparison {
    /// Compared as it is now.
    Done,
    /// Compared, and changed since.
    Overtaken(Vouch),
    /// Nobody has compared it.
    Never,
}

/// The values of one record, by key, with the choices and the machines.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RecordReview {
    /// How each value stands; those that cannot be read are left out.
    pub values: BTreeMap<String, Standing>,
    /// What was reviewed and is gone.
    pub gone: Vec<Gone>,
}

impl RecordReview {
    /// How a value stands; a value that cannot be read is as good as never reviewed.
    pub fn of(&self, key: &str) -> &Standing {
        self.values.get(key).unwrap_or(&Standing::Never)
    }
}

/// The day of a review that counts: it is by an approver, on a day that there is, and as it was sealed.
pub fn counts(shop: &Shop, record: &SpecRecord, review: &Review) -> Option<Date> {
    let sound = is_approver(shop, &review.by.text) && is_sealed(record, review);
    Date::read(&review.date.text).filter(|_| sound)
}

/// Whether somebody may approve values. A shop that names nobody lets everybody.
pub(crate) fn is_approver(shop: &Shop, name: &str) -> bool {
    let approvers = &shop.settings.approvers;
    approvers.is_empty() || approvers.iter().any(|approver| approver.text == name)
}

/// Whether an entry is as it was when it was sealed.
pub(crate) fn is_sealed(record: &SpecRecord, review: &Review) -> bool {
    let values = review.values.iter().map(|(key, code)| (key.text.as_str(), code.text.as_str()));
    let compared = review.compared.as_ref().map(|source| source.text.as_str());
    let who = (review.by.text.as_str(), review.date.text.as_str());
    record.names().any(|name| review.digest.text == seal(&name, who, compared, values.clone()))
}

/// A value as the record that says it has it, with that record.
pub(crate) fn lines(fork: &ResolvedFork) -> BTreeMap<FieldId, (&SpecLine, &SpecRecord)> {
    let mut out = BTreeMap::new();
    for from in fork.under.iter().chain([&fork.record]).map(AsRef::as_ref) {
        for line in &from.values {
            let there = fork.whole.contains_key(&line.field)
                || fork.legs.iter().any(|leg| leg.values.contains_key(&line.field));
            if there {
                out.insert(line.field, (line, from));
            }
        }
    }
    out
}

/// The source of a fork's record that a comparison names, where inherited values can be compared with it: what the
/// maker says of this fork, or what was measured on it.
pub(crate) fn compared_with<'r>(record: &'r SpecRecord, source: &str) -> Option<&'r SourceNote> {
    let own = [SourceKind::MakerSheet, SourceKind::Measured];
    let note = record.source_note(source)?;
    (record.kind == RecordKind::Fork && own.contains(&note.kind)).then_some(note)
}

/// How every inherited value and choice stands to the sources of the very fork.
pub fn inherited(shop: &Shop, fork: &ResolvedFork) -> Inherited {
    let record = &fork.record;
    if fork.family.is_none() {
        return Inherited::default();
    }
    let mut compared = Entries::counting(shop, record, None);
    compared.list.retain(|(_, review)| {
        review.compared.as_ref().is_some_and(|source| compared_with(record, &source.text).is_some())
    });
    let of_line = |line: &SpecLine, from: &SpecRecord| {
        let field = shop.catalogue.field(line.field);
        let seen = compared.of(&field.key);
        // Making a code is work, and most values were never compared.
        if seen.is_empty() || field.safety && is_estimate(line, from) {
            return Comparison::Never;
        }
        let code = value_code(field, line, from);
        code.map_or(Comparison::Never, |code| by_code(last(seen, &code)))
    };
    let of_choice = |(key, option): (&str, &str)| {
        let name = format!("{CHOICE}{key}");
        (key.to_owned(), by_code(last(compared.of(&name), &choice_code(&name, option))))
    };
    let family = lines(fork).into_iter().filter(|(_, (_, from))| from.kind == RecordKind::Family);
    Inherited {
        values: family.map(|(id, (line, from))| (id, of_line(line, from))).collect(),
        choices: inherited_choices(shop, fork).into_iter().map(of_choice).collect(),
    }
}

fn by_code(standing: Standing) -> Comparison {
    match standing {
        Standing::Reviewed(_) => Comparison::Done,
        Standing::Changed(vouch) | Standing::Disputed(vouch, _) => Comparison::Overtaken(vouch),
        Standing::NotCompared | Standing::Never => Comparison::Never,
    }
}

/// How every value of a fork stands, inherited ones too.
pub fn of_fork(shop: &Shop, fork: &ResolvedFork, compared: &Inherited) -> RecordReview {
    let record = &fork.record;
    let entries = Entries::counting(shop, record, None);
    let family = fork.family.as_deref();
    let shared = family.map(|family| Entries::counting(shop, family, Some(&family.id.text)));
    let mut out = RecordReview::default();
    for (id, (line, from)) in lines(fork) {
        let inherited = from.kind == RecordKind::Family;
        let key = &shop.catalogue.field(id).key;
        let seen = entries.of(key).into_iter();
        let seen = seen.chain(shared.iter().filter(|_| inherited).flat_map(|entries| entries.of(key)));
        if let Some(standing) = of_line(shop, line, from, seen.collect()) {
            let alone = inherited
                && shop.catalogue.field(id).safety
                && compared.values.get(&id) != Some(&Comparison::Done);
            let standing = if alone && standing.is_reviewed() { Standing::NotCompared } else { standing };
            out.values.insert(key.clone(), standing);
        }
    }
    let choices = || Some(choices_code(&fork.choices));
    heads(&entries, CHOICES, choices, &mut out);
    // Whoever reviewed the record saw what it says; what it takes over is seen where it is compared.
    if let Some(standing) = out.values.get_mut(CHOICES)
        && standing.is_reviewed()
        && compared.open_choices().next().is_some()
    {
        *standing = Standing::NotCompared;
    }
    heads(&entries, MACHINES, || Some(machines_code(&record.machines)), &mut out);
    parts(&entries, record, &mut out);
    out.gone = entries.gone(shop, record, &out);
    out
}

/// The same of a build, from how its fork's values stand: what the build or its spring says takes their place.
pub fn of_build(
    shop: &Shop,
    build: &ResolvedFork,
    mut inherited: Inherited,
    mut out: RecordReview,
) -> (Inherited, RecordReview) {
    let record = &build.record;
    let entries = Entries::counting(shop, record, None);
    for (id, (line, from)) in lines(build) {
        if matches!(from.kind, RecordKind::Fork | RecordKind::Family) {
            continue;
        }
        inherited.values.remove(&id);
        let key = &shop.catalogue.field(id).key;
        let standing = match from.kind {
            RecordKind::Spring => of_fitted_spring(shop, from, line),
            _ => of_line(shop, line, from, entries.of(key)),
        };
        match standing {
            Some(standing) => drop(out.values.insert(key.clone(), standing)),
            None => drop(out.values.remove(key)),
        }
    }
    out.values.remove(MACHINES);
    heads(&entries, BUILT, || record.build().map(build_code), &mut out);
    out.gone = entries.gone(shop, record, &out);
    (inherited, out)
}

/// How a value of a fitted spring stands in the spring's own record, where it has another name.
fn of_fitted_spring(shop: &Shop, spring: &SpecRecord, line: &SpecLine) -> Option<Standing> {
    let own = shop.spring(&spring.id.text)?;
    let written = own.values.iter().find(|written| written.span == line.span)?;
    let seen = Entries::counting(shop, own, None).of(&shop.catalogue.field(written.field).key);
    of_line(shop, written, own, seen)
}

/// How every value of a family, an oil or a spring stands.
pub fn of_record(shop: &Shop, record: &SpecRecord) -> RecordReview {
    let entries = Entries::counting(shop, record, None);
    let mut out = RecordReview::default();
    for line in &record.values {
        let key = &shop.catalogue.field(line.field).key;
        if let Some(standing) = of_line(shop, line, record, entries.of(key)) {
            out.values.insert(key.clone(), standing);
        }
    }
    if record.kind == RecordKind::Family {
        heads(&entries, CHOICES, || Some(choices_code(&own_choices(record))), &mut out);
    }
    parts(&entries, record, &mut out);
    out.gone = entries.gone(shop, record, &out);
    out
}

/// What a record has chosen itself.
pub(crate) fn own_choices(record: &SpecRecord) -> Choices {
    record.choices.iter().map(|(key, text)| (key.clone(), text.text.clone())).collect()
}

/// The parts that a record orders by number, where it has any.
fn parts(entries: &Entries<'_>, record: &SpecRecord, out: &mut RecordReview) {
    if !record.parts.is_empty() {
        heads(entries, PARTS, || Some(parts_code(&record.parts)), out);
    }
}

fn heads(entries: &Entries<'_>, key: &str, code: impl FnOnce() -> Option<String>, out: &mut RecordReview) {
    let seen = entries.of(key);
    let standing = if seen.is_empty() { Some(Standing::Never) } else { code().map(|code| last(seen, &code)) };
    out.values.extend(standing.map(|standing| (key.to_owned(), standing)));
}

/// How a value stands by what was said of it; `None` where it cannot be read.
fn of_line(shop: &Shop, line: &SpecLine, from: &SpecRecord, seen: Vec<Seen<'_>>) -> Option<Standing> {
    // Making a code is work, and most values of most shops were never reviewed.
    if seen.is_empty() {
        let readable = entries(line).all(|entry| entry.value.is_some());
        return readable.then_some(Standing::Never);
    }
    let field = shop.catalogue.field(line.field);
    let code = value_code(field, line, from)?;
    let standing = last(seen, &code);
    let guess = field.safety && is_estimate(line, from);
    Some(if guess && standing.is_reviewed() { Standing::Never } else { standing })
}

fn entries(line: &SpecLine) -> impl Iterator<Item = &Entry> {
    let (left, right) = match &line.sides {
        Sides::Each(entry) => (entry, None),
        Sides::Legs(left, right) => (left, Some(right)),
    };
    std::iter::once(left).chain(right).map(AsRef::as_ref)
}

/// Whether a side of the value rests on nothing better than an estimate.
pub(crate) fn is_estimate(line: &SpecLine, from: &SpecRecord) -> bool {
    entries(line).any(|entry| {
        let ids = if entry.sources.is_empty() { from.source.as_slice() } else { &entry.sources };
        let mut kinds = ids.iter().filter_map(|id| from.source_note(&id.text)).map(|source| source.kind);
        kinds.clone().next().is_some() && kinds.all(|kind| kind == SourceKind::Estimate)
    })
}

/// A review of one value: who and when, and the code of what was seen.
pub(super) struct Seen<'r> {
    pub(super) vouch: Vouch,
    pub(super) code: &'r str,
}

/// The last day decides; on one day the last word, since a review is added behind those that stand there. A word of
/// somebody else that fits what stands there now, where the last one does not, is a dispute: two branches were merged,
/// or what was changed was put back.
pub(super) fn last(seen: Vec<Seen<'_>>, code: &str) -> Standing {
    let Some(day) = seen.iter().map(|seen| seen.vouch.date).max() else { return Standing::Never };
    let mut words: BTreeMap<&str, &Seen<'_>> = BTreeMap::new();
    let mut decides = None;
    for seen in seen.iter().filter(|seen| seen.vouch.date == day) {
        words.insert(&seen.vouch.by, seen);
        decides = Some(seen);
    }
    let Some(decides) = decides else { return Standing::Never };
    // Of several who saw the same, the first by name is told.
    let told = words.values().find(|seen| seen.code == decides.code).map_or(decides, |seen| *seen);
    if decides.code == code {
        return Standing::Reviewed(told.vouch.clone());
    }
    match words.values().find(|seen| seen.code == code) {
        Some(fits) => Standing::Disputed(fits.vouch.clone(), decides.vouch.clone()),
        None => Standing::Changed(told.vouch.clone()),
    }
}

/// The entries of a record that count.
struct Entries<'r> {
    list: Vec<(Date, &'r Review)>,
    family: Option<&'r str>,
    record: &'r SpecRecord,
}

impl<'r> Entries<'r> {
    fn counting(shop: &Shop, record: &'r SpecRecord, family: Option<&'r str>) -> Self {
        let list = record
            .reviewed
            .iter()
            .filter_map(|review| Some((counts(shop, record, review)?, review)))
            .collect();
        Entries { list, family, record }
    }

    fn vouch(&self, date: Date, review: &Review) -> Vouch {
        let source = review.compared.as_ref().and_then(|source| self.record.source_note(&source.text));
        Vouch {
            date,
            by: review.by.text.clone(),
            family: self.family.map(str::to_owned),
            compared: source.map(|source| source.title.clone()),
        }
    }

    fn of(&self, key: &str) -> Vec<Seen<'r>> {
        let seen = |(date, review): &(Date, &'r Review)| {
            let (_, code) = review.values.iter().find(|(name, _)| name.text == key)?;
            Some(Seen { vouch: self.vouch(*date, review), code: &code.text })
        };
        self.list.iter().filter_map(seen).collect()
    }

    /// What was reviewed and is no longer there, unless the last to look has seen that.
    fn gone(&self, shop: &Shop, record: &SpecRecord, there: &RecordReview) -> Vec<Gone> {
        let poisoned = |key: &str| {
            key != PARTS
                && shop.catalogue.find(key).is_none_or(|id| record.values.iter().any(|line| line.field == id))
        };
        let mut last: BTreeMap<&str, (Date, bool, Gone)> = BTreeMap::new();
        for (date, review) in &self.list {
            for (key, code) in &review.values {
                if there.values.contains_key(&key.text) || poisoned(&key.text) {
                    continue;
                }
                let gone = Gone { key: key.text.clone(), vouch: self.vouch(*date, review), span: key.span };
                if last.get(key.text.as_str()).is_none_or(|(day, ..)| day <= date) {
                    last.insert(&key.text, (*date, code.text == GONE, gone));
                }
            }
        }
        last.into_values().filter(|(_, seen, _)| !seen).map(|(.., gone)| gone).collect()
    }
}

/// A source of the value that is younger than a day, with its date as written.
pub(crate) fn later_source<'s>(
    line: &SpecLine,
    from: &'s SpecRecord,
    date: Date,
) -> Option<(&'s str, &'s str)> {
    let (left, right) = match &line.sides {
        Sides::Each(entry) => (entry, entry),
        Sides::Legs(left, right) => (left, right),
    };
    [left, right].into_iter().find_map(|entry| {
        let ids = if entry.sources.is_empty() { from.source.as_slice() } else { &entry.sources };
        ids.iter().filter_map(|id| from.source_note(&id.text)).find_map(|source| {
            let written = source.date.as_deref()?;
            Date::first_of(written).filter(|day| *day > date).map(|_| (source.id.text.as_str(), written))
        })
    })
}
