//! What the library says that comes with the program: procedures, cautions, conditions and services that a shop may
//! have taken over, and which guards of theirs are gone from the shop's.
//!
//! A shop's text is known as the library's by its id and by its words, so that a text of the shop's own with the same
//! id is let alone: half of the library's sentences must stand in it, and for conditions and services, half of those
//! of the library in the shop.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use serde_json::json;

use super::code::short;
use super::guards::{CARRIED, Change, STEP_ORDER, WORD_ORDER, changes};
use super::seen::{SAYS, SENTENCES, Seen, TextKey, TextKind, acts, carried, ids, of_shop, sentences};
use crate::catalogue::When;
use crate::record::{OnLegs, WORKS};
use crate::resolve::Shop;

/// One line for each text: its kind, its id, and what is kept of each part.
const LIBRARY: &str = include_str!("library.txt");

/// The parts of a review that are kept: the guards by name, and the steps.
const KEPT: [&str; 34] = [
    "pours",
    "renews",
    "called",
    "waits",
    "uses_up",
    "worn",
    SAYS,
    "needs",
    "brings",
    "ends",
    "cautions",
    "sets",
    "writes",
    "hand_back",
    "start",
    "procedures",
    "evidence",
    "only_after",
    "only_then",
    "not_then",
    "not_said",
    "state",
    "implies",
    "excludes",
    "signal",
    "ended_by",
    "handed_back",
    "warns_at",
    "warns_at_end_of",
    "warns_with",
    "sign_off",
    "on_card",
    "again",
    "whole_job",
];

/// What is done, sentence by sentence, each as a code.
const ACTS: &str = "acts";

/// A guard of the library that a shop's text has no longer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lost {
    /// Which text.
    pub key: TextKey,
    /// What went.
    pub change: Change,
}

static TEXTS: LazyLock<BTreeMap<TextKey, Seen>> = LazyLock::new(|| {
    let read = |line: &str| {
        let (word, id, seen): (String, String, Seen) = serde_json::from_str(line).ok()?;
        let kind = TextKind::ALL.into_iter().find(|kind| kind.word() == word)?;
        Some(((kind, id), seen))
    };
    LIBRARY.lines().filter_map(read).collect()
});

/// What is kept of a shop's texts, as the library keeps its own.
pub fn library_of(shop: &Shop) -> BTreeMap<TextKey, Seen> {
    let mut out = of_shop(shop);
    for seen in out.values_mut() {
        seen.retain(|part, _| KEPT.contains(&part.as_str()) || part == "steps");
    }
    let mut add = |kind: TextKind, id: &str, part: &str, words: Vec<String>| {
        if let Some(seen) = out.get_mut(&(kind, id.to_owned())) {
            seen.insert(part.to_owned(), words);
        }
    };
    for one in &shop.procedures {
        let legs = OnLegs::ALL.iter().filter(|(_, on)| *on == one.legs && *on != OnLegs::default());
        let fitted = ids(&one.fitted).into_iter().map(|key| format!("fitted: {key}"));
        let narrower = fitted.chain(legs.map(|(word, _)| format!("legs: {word}"))).collect::<Vec<_>>();
        add(TextKind::Procedure, &one.id.text, "ways", ways(&one.applies, &narrower));
        add(TextKind::Procedure, &one.id.text, SENTENCES, sentences(&one.body));
        add(TextKind::Procedure, &one.id.text, ACTS, acts(&one.body).iter().map(|text| code(text)).collect());
        add(TextKind::Procedure, &one.id.text, CARRIED, carried(&one.body));
    }
    for one in &shop.cautions {
        add(TextKind::Caution, &one.id.text, "ways", ways(&one.applies, &[]));
        add(TextKind::Caution, &one.id.text, SENTENCES, sentences(&one.body));
    }
    for one in &shop.conditions.list {
        let works = WORKS.iter().filter(|(_, works)| *works == one.works && *works != Default::default());
        let fitted = ids(&one.fitted).into_iter().map(|key| format!("fitted: {key}"));
        let narrower = fitted.chain(works.map(|(word, _)| format!("works: {word}"))).collect::<Vec<_>>();
        add(TextKind::Condition, &one.id.text, "ways", ways(&one.applies, &narrower));
        add(TextKind::Condition, &one.id.text, SENTENCES, vec![code(&one.says)]);
    }
    for one in &shop.services {
        add(TextKind::Service, &one.id.text, "ways", ways(&one.applies, &[]));
    }
    out
}

/// The library's file, from the shop that it is made of.
pub fn written(shop: &Shop) -> String {
    let line = |((kind, id), seen): (&TextKey, &Seen)| format!("{}\n", json!([kind.word(), id, seen]));
    library_of(shop).iter().map(line).collect()
}

fn code(text: &str) -> String {
    short(text.as_bytes())
}

/// Each combination of options for which something is meant, narrowed by what else its head says.
fn ways(when: &When, narrower: &[String]) -> Vec<String> {
    let mut out = BTreeSet::new();
    let always = [BTreeMap::new()];
    let all = if when.is_always() { &always[..] } else { &when.0 };
    for alternative in all {
        let mut open: Vec<Vec<String>> = vec![narrower.to_vec()];
        for (choice, options) in alternative {
            let with = |way: &Vec<String>| {
                let one = |option: &String| [way.as_slice(), &[format!("{choice}: {option}")]].concat();
                options.iter().map(one).collect::<Vec<_>>()
            };
            open = open.iter().flat_map(with).collect();
        }
        out.extend(open.into_iter().map(|way| way.join(", ")));
    }
    out.into_iter().collect()
}

/// Whether one combination asks for nothing that the other does not.
fn covers(wide: &str, narrow: &str) -> bool {
    let asks: BTreeSet<&str> = narrow.split(", ").collect();
    wide.is_empty() || wide.split(", ").all(|part| asks.contains(part))
}

fn part<'s>(seen: &'s Seen, name: &str) -> &'s [String] {
    seen.get(name).map_or(&[], Vec::as_slice)
}

/// Whether at least half of the one stands in the other.
fn half(of: &[String], inside: &[String]) -> bool {
    !of.is_empty() && 2 * of.iter().filter(|one| inside.contains(one)).count() >= of.len()
}

/// The words of texts.
fn words_of(texts: &[String]) -> Vec<String> {
    texts.iter().flat_map(|text| text.split_whitespace()).map(str::to_owned).collect()
}

/// Whether a shop took over the library's conditions.
fn took_conditions(there: &BTreeMap<TextKey, Seen>) -> bool {
    let mut count = (0, 0);
    for (key, seen) in TEXTS.iter().filter(|(key, _)| key.0 == TextKind::Condition) {
        let same = there.get(key).is_some_and(|now| part(now, SENTENCES) == part(seen, SENTENCES));
        count = (count.0 + usize::from(same), count.1 + 1);
    }
    2 * count.0 >= count.1
}

/// Whether this text is the library's, whatever was changed in it.
fn is_taken(key: &TextKey, was: &Seen, is: &Seen, conditions: bool) -> bool {
    match key.0 {
        TextKind::Procedure | TextKind::Caution => half(part(was, SENTENCES), part(is, SENTENCES)),
        TextKind::Condition => conditions && half(&words_of(part(was, SAYS)), &words_of(part(is, SAYS))),
        TextKind::Service => conditions && half(part(was, "procedures"), part(is, "procedures")),
    }
}

/// The guards of the library that are gone from the texts that a shop took over from it, in the order of the texts.
pub fn lost(shop: &Shop) -> Vec<Lost> {
    let there = library_of(shop);
    let conditions = took_conditions(&there);
    let mut out = Vec::new();
    for (key, was) in TEXTS.iter() {
        let Some(is) = there.get(key).filter(|is| is_taken(key, was, is, conditions)) else { continue };
        let guards: Vec<Change> = changes(key.0, was, is).into_iter().filter(|change| change.guard).collect();
        let exchanged = guards.iter().any(|change| change.part == STEP_ORDER);
        let moved = moved(shop, key, was, is).filter(|_| !exchanged);
        let all = guards.into_iter().chain(narrowed(was, is)).chain(moved).chain(fewer(was, is));
        out.extend(
            all.filter(|change| means_something(shop, &there, change, conditions))
                .map(|change| Lost { key: key.clone(), change }),
        );
    }
    out
}

/// A condition of the shop's own may be brought about by any procedure; and what a shop has taken out altogether, a
/// procedure or a condition for forks that it never sees, is not asked for where it was named.
fn means_something(shop: &Shop, there: &BTreeMap<TextKey, Seen>, change: &Change, conditions: bool) -> bool {
    let named = |kind: TextKind| {
        let key = (kind, change.name.clone());
        there.contains_key(&key) && TEXTS.contains_key(&key)
    };
    match change.part.as_str() {
        "needs" | "brings" | "ends" | "hand_back" | "start" | "only_after" | "implies" | "excludes"
        | "ended_by" | "warns_at" | "warns_at_end_of" => conditions && named(TextKind::Condition),
        "procedures" => named(TextKind::Procedure),
        // A shop that has another product, or another kind of glasses, says so in a record of its own.
        "uses_up" | "worn" => shop.tool(&change.name).is_some(),
        _ => true,
    }
}

/// Two sentences of the steps whose order was turned round: what has to be done first is done after.
fn moved(shop: &Shop, key: &TextKey, was: &Seen, is: &Seen) -> Option<Change> {
    let (old, new) = (part(was, ACTS), part(is, ACTS));
    let once =
        |code: &&String| [old, new].iter().all(|all| all.iter().filter(|one| one == code).count() == 1);
    let (old, new): (Vec<_>, Vec<_>) = (old.iter().filter(once).collect(), new.iter().filter(once).collect());
    let (first, now) = old.into_iter().zip(new).find(|(old, new)| old != new)?;
    let texts = acts(&shop.procedures.iter().find(|one| one.id.text == key.1)?.body);
    let text = |of: &str| texts.iter().find(|text| code(text) == of);
    let (first, now) = (text(first)?, text(now)?);
    Some(Change {
        guard: true,
        part: WORD_ORDER.to_owned(),
        name: first.clone(),
        what: format!("says “{now}” before “{first}”"),
    })
}

/// A caution that fewer steps carry, and at least one still does.
fn fewer(was: &Seen, is: &Seen) -> Option<Change> {
    let (old, new) = (part(was, CARRIED), part(is, CARRIED));
    let times = |all: &[String], id: &str| all.iter().filter(|one| *one == id).count();
    let id = new.iter().find(|id| times(new, id) < times(old, id))?;
    Some(Change {
        guard: true,
        part: CARRIED.to_owned(),
        name: id.clone(),
        what: format!(
            "carries the caution `{id}` at {} of its steps, and no longer at {}",
            times(new, id),
            times(old, id)
        ),
    })
}

/// Forks that a text is no longer for.
fn narrowed(was: &Seen, is: &Seen) -> Option<Change> {
    let now = part(is, "ways");
    let lost: Vec<&str> = part(was, "ways")
        .iter()
        .filter(|way| !now.iter().any(|wide| covers(wide, way)))
        .map(String::as_str)
        .collect();
    let first = lost.first()?;
    let which = if first.is_empty() { "every fork".to_owned() } else { format!("forks with {first}") };
    Some(Change {
        guard: true,
        part: "for".to_owned(),
        name: String::new(),
        what: format!("is no longer for {which}"),
    })
}
