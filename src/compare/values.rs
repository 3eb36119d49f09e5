//! Values that changed: by fork, an inherited one said once with the models it reaches.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::bench;
use super::change::{Figure, ReviewChange, ValueChange};
use super::number::signed;
use super::pairs::{Pair, Pairs};
use crate::book::{figure, vouch};
use crate::catalogue::Field;
use crate::check::value::slips;
use crate::check::{CheckedFork, CheckedOil};
use crate::pipeline::Checked;
use crate::quantity::{Quantity, Saying, Shape, Value};
use crate::record::{Entry, Sides, SourceKind, SourceNote, SpecRecord};
use crate::resolve::{Origin, Resolved, ResolvedFork, Shop, Side};

/// Record, rank of the field, leg, and what it was and is: what makes two changes one.
type Key = (String, usize, &'static str, Option<Figure>, Option<Figure>);

/// The changed values of all forks.
pub(super) fn forks(old: &Checked, new: &Checked, pairs: &Pairs<'_>) -> Vec<ValueChange> {
    let mut changes: BTreeMap<Key, ValueChange> = BTreeMap::new();
    for (was, is) in pairs.both.iter().copied() {
        for key in keys(&old.shop, was).union(&keys(&new.shop, is)) {
            let (old_id, new_id) = (old.shop.catalogue.find(key), new.shop.catalogue.find(key));
            let alike = old_id.is_none_or(|id| was.alike(id)) && new_id.is_none_or(|id| is.alike(id));
            let sides: &[Side] = if alike { &[Side::Left] } else { &Side::BOTH };
            for side in sides {
                let from = old_id.and_then(|id| was.on(*side, id));
                let to = new_id.and_then(|id| is.on(*side, id));
                if !same(from, to) {
                    let pair = Pair { old: (old, was), new: (new, is), key, side: *side, from, to };
                    one_value(&pair, if alike { "" } else { side.word() }, &mut changes);
                }
            }
        }
    }
    changes.into_values().collect()
}

fn one_value(pair: &Pair<'_>, side: &'static str, changes: &mut BTreeMap<Key, ValueChange>) {
    let (old, new) = (pair.old.0, pair.new.0);
    let id = &pair.new.1.id;
    let (record, inherited) = match pair.to.or(pair.from).map(|value| &value.origin) {
        Some(Origin::Family(family)) => (format!("family {family}"), true),
        Some(Origin::Fork(fork)) => (format!("fork {fork}"), true),
        Some(Origin::Spring(spring)) => (format!("spring {spring}"), true),
        _ => (format!("fork {id}"), false),
    };
    let Some((field, rank)) = field(old, new, pair.key) else { return };
    let rank = if field.safety { rank } else { rank + usize::from(u16::MAX) };
    let before = pair.from.map(|value| figure(&old.shop, field, &value.entry, &value.sources));
    let after = pair.to.map(|value| figure(&new.shop, field, &value.entry, &value.sources));
    let sentences = bench::of_value(pair);
    let values = (pair.from.and_then(Resolved::value), pair.to.and_then(Resolved::value));
    let at = (record.clone(), rank, side, before.clone(), after.clone());
    let change =
        changes.entry(at).or_insert_with(|| change(&new.shop, record, field, side, (before, after), values));
    if inherited {
        change.reaches.push(id.clone());
    }
    if old.shop.is_reviewed() || new.shop.is_reviewed() {
        let standing = |fork: &CheckedFork, there: bool| match there {
            true => vouch::sentence(fork.review.of(pair.key)),
            false => "Not given.".to_owned(),
        };
        let (was, is) = (standing(pair.old.1, pair.from.is_some()), standing(pair.new.1, pair.to.is_some()));
        note_review(change, was, is, inherited.then(|| id.clone()));
    }
    for sentence in sentences {
        if !change.bench.contains(&sentence) {
            change.bench.push(sentence);
        }
    }
}

/// Adds who vouches before and after, once for all models for which it is the same.
fn note_review(change: &mut ValueChange, old: String, new: String, model: Option<String>) {
    let same_words =
        change.review.iter_mut().find(|same_words| same_words.old == old && same_words.new == new);
    match same_words {
        Some(same_words) => same_words.reaches.extend(model),
        None => change.review.push(ReviewChange { old, new, reaches: model.into_iter().collect() }),
    }
}

/// The changed values of the oils that both sides have.
pub(super) fn oils(old: &Checked, new: &Checked) -> Vec<ValueChange> {
    let mut out = Vec::new();
    for is in &new.oils {
        let id = &is.record.id.text;
        let Some(was) = old.oils.iter().find(|oil| oil.record.id.text == *id) else { continue };
        let (from, to) = (oil_lines(&old.shop, &was.record), oil_lines(&new.shop, &is.record));
        for key in from.keys().chain(to.keys()).collect::<BTreeSet<_>>() {
            let (a, b) = (from.get(key), to.get(key));
            let alike = a
                .zip(b)
                .is_some_and(|(a, b)| same_entry(&a.0, &b.0) && told_sources(&a.1) == told_sources(&b.1));
            let Some((field, _)) = field(old, new, key).filter(|_| !alike) else { continue };
            let before = a.map(|(entry, notes)| figure(&old.shop, field, entry, notes));
            let after = b.map(|(entry, notes)| figure(&new.shop, field, entry, notes));
            let values = (a.and_then(|a| a.0.value.as_ref()), b.and_then(|b| b.0.value.as_ref()));
            let mut change = change(&new.shop, format!("oil {id}"), field, "", (before, after), values);
            if old.shop.is_reviewed() || new.shop.is_reviewed() {
                let standing = |oil: &CheckedOil, there: bool| match there {
                    true => vouch::sentence(oil.review.of(key)),
                    false => "Not given.".to_owned(),
                };
                let (was, is) = (standing(was, a.is_some()), standing(is, b.is_some()));
                note_review(&mut change, was, is, None);
            }
            out.push(change);
        }
    }
    out
}

fn oil_lines(shop: &Shop, record: &SpecRecord) -> BTreeMap<String, (Arc<Entry>, Vec<Arc<SourceNote>>)> {
    let mut out = BTreeMap::new();
    for line in &record.values {
        let Sides::Each(entry) = &line.sides else { continue };
        let named = if entry.sources.is_empty() { record.source.as_slice() } else { &entry.sources };
        let notes = named.iter().filter_map(|id| record.source_note(&id.text).cloned()).collect();
        out.insert(shop.catalogue.field(line.field).key.clone(), (Arc::clone(entry), notes));
    }
    out
}

fn field<'c>(old: &'c Checked, new: &'c Checked, key: &str) -> Option<(&'c Field, usize)> {
    [new, old].into_iter().find_map(|checked| {
        let id = checked.shop.catalogue.find(key)?;
        Some((checked.shop.catalogue.field(id), usize::from(id.0)))
    })
}

fn keys(shop: &Shop, fork: &ResolvedFork) -> BTreeSet<String> {
    let all = fork.legs.iter().flat_map(|leg| leg.values.keys()).chain(fork.whole.keys());
    all.map(|id| shop.catalogue.field(*id).key.clone()).collect()
}

/// Whether two values say the same, as the bench and the reviewer read it.
fn same(old: Option<&Resolved>, new: Option<&Resolved>) -> bool {
    match (old, new) {
        (Some(old), Some(new)) => {
            same_entry(&old.entry, &new.entry) && told_sources(&old.sources) == told_sources(&new.sources)
        }
        (None, None) => true,
        _ => false,
    }
}

fn same_entry(old: &Entry, new: &Entry) -> bool {
    let value = match (&old.value, &new.value) {
        (Some(old), Some(new)) => old == new,
        (None, None) => old.text == new.text,
        _ => false,
    };
    let parts = |entry: &Entry| -> Vec<(String, Option<Value>)> {
        let all = entry.state.iter().chain(&entry.attributes);
        all.map(|(key, named)| (key.clone(), named.value.clone())).collect()
    };
    value && parts(old) == parts(new) && besides(old).eq(besides(new))
}

/// What other sources say, and what is done where the value is unknown, in words.
fn besides(entry: &Entry) -> impl Iterator<Item = String> {
    let said = entry.also_said.iter().map(|said| format!("{} says {}", said.source.text, said.text.text));
    let instead = entry.instead.iter();
    said.chain(instead.map(|instead| format!("instead: {} ({})", instead.what.text, instead.by.text)))
}

/// The sources in words.
fn told_sources(sources: &[Arc<SourceNote>]) -> Vec<String> {
    let in_words = |source: &Arc<SourceNote>| {
        let kind = Some(source.kind.title().to_owned());
        let parts = [kind, Some(source.title.clone()), source.by.clone(), source.date.clone()];
        parts.into_iter().flatten().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
    };
    sources.iter().map(in_words).collect()
}

/// A value as the comparison tells it, with what belongs to it and its sources.
pub(super) fn figure(shop: &Shop, field: &Field, entry: &Entry, sources: &[Arc<SourceNote>]) -> Figure {
    let shown = match entry.value.as_ref().map(|value| figure::value_text(shop, field, value)) {
        Some((main, second, _)) if second.is_empty() => main,
        Some((main, second, _)) => format!("{main} ({second})"),
        None => format!("{} (unreadable)", entry.text),
    };
    let attributes =
        entry.attributes.iter().map(|(key, named)| format!("{}: {}", key.replace('_', " "), named.text.text));
    let all = [figure::state(entry)].into_iter().chain(attributes).chain(besides(entry));
    let state = all.filter(|part| !part.is_empty());
    Figure {
        shown: shown.replace('\u{a0}', " "),
        state: state.collect::<Vec<_>>().join(", ").replace('\u{a0}', " "),
        sources: told_sources(sources),
        estimate: !sources.is_empty() && sources.iter().all(|source| source.kind == SourceKind::Estimate),
    }
}

/// Which slip would explain the change: the new number meant in another unit, or the old one read in it.
fn slip_words(field: &Field, old: &Quantity, new: &Quantity) -> Option<String> {
    if let Some(slip) = slips::between(field, old, new) {
        let also = if new.has_twin() { ", and the second unit worked out from it" } else { "" };
        return Some(format!("{} would be the old value: maybe {}{also}", slip.would_be, slip.words));
    }
    let slip = slips::between(field, new, old)?;
    Some(format!("{} is the new value: maybe the old number was read in another unit", slip.would_be))
}

fn change(
    shop: &Shop,
    record: String,
    field: &Field,
    side: &'static str,
    (old, new): (Option<Figure>, Option<Figure>),
    (from, to): (Option<&Value>, Option<&Value>),
) -> ValueChange {
    let quantities = from.and_then(Value::quantity).zip(to.and_then(Value::quantity));
    let (absolute, relative) =
        quantities.map_or((None, None), |(old, new)| difference(shop, field, (old, new)));
    let moved = quantities.filter(|(old, new)| old.middle_si() != new.middle_si());
    let slip = moved.and_then(|(old, new)| slip_words(field, old, new));
    ValueChange {
        record,
        key: field.key.clone(),
        title: field.title.clone(),
        side,
        safety: field.safety,
        old,
        new,
        absolute,
        relative,
        bench: Vec::new(),
        slip,
        reaches: Vec::new(),
        review: Vec::new(),
    }
}

/// The difference of the targets, in the unit that the card prints and in the one that the new value is written in;
/// and in per cent of the old value.
fn difference(
    shop: &Shop,
    field: &Field,
    (old, new): (&Quantity, &Quantity),
) -> (Option<String>, Option<String>) {
    let range = |quantity: &Quantity| matches!(quantity.main().shape, Shape::Range { .. });
    if old.dimension() != new.dimension() || range(old) != range(new) || old.middle_si() == new.middle_si() {
        return (None, None);
    }
    let on_card = [old, new].map(|quantity| shop.main_said(Some(field), quantity));
    let [first, written] =
        [apart(&on_card[0], &on_card[1], range(new)), apart(old.main(), new.main(), range(new))];
    let absolute = if on_card[1].unit == new.unit() { first } else { format!("{first} ({written})") };
    let unit = new.unit();
    let (before, after) = (unit.from_si(old.middle_si()), unit.from_si(new.middle_si()));
    // A share of a point on a scale says nothing, and nothing has no share.
    let shareless = unit.offset_numerator != 0 || before == 0.0;
    let share = (after / before - 1.0) * 100.0;
    let relative = (!shareless).then(|| format!("{} %", signed(share, usize::from(share.abs() < 9.95))));
    (Some(absolute), relative)
}

/// How far two readings are apart, in the unit of the new one.
fn apart(old: &Saying, new: &Saying, range: bool) -> String {
    let unit = new.unit;
    let (before, after) = (unit.from_si(old.middle_si()), unit.from_si(new.middle_si()));
    let [was, is] = [old, new].map(|said| usize::from(said.shape.number().decimals()));
    let written = if old.unit == unit { is.max(was) } else { is + 1 };
    // The middle of a range may stand half a step further.
    format!("{} {}", signed(after - before, written + usize::from(range)), unit.symbol)
}
