//! What became of a card: current, replaced, gone.

use std::collections::{BTreeMap, BTreeSet};

use super::card::CardNow;
use super::code::typed;
use crate::record::ReleasedCard;

/// What became of a released card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fate<'c> {
    /// It says what the sources say.
    Current(&'c CardNow),
    /// The card of that fork and service reads differently now.
    Replaced {
        /// The card as it is now.
        now: &'c CardNow,
        /// The fork's values are the same: steps or cautions changed.
        same_values: bool,
    },
    /// There is no card of that fork and service any more.
    Gone,
}

/// The released cards with what became of them, each code once, the latest release first.
pub fn fates<'c>(released: &'c [ReleasedCard], now: &'c [CardNow]) -> Vec<(&'c ReleasedCard, Fate<'c>)> {
    let current: BTreeMap<(&str, &str), &CardNow> =
        now.iter().map(|card| ((card.fork.as_str(), card.service.as_str()), card)).collect();
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    let latest = released.iter().rev().filter(|old| seen.insert(&old.card.text));
    let fate = |old: &'c ReleasedCard| match current.get(&(old.fork.text.as_str(), old.service.text.as_str()))
    {
        Some(card) if card.card == old.card.text => Fate::Current(card),
        Some(card) => Fate::Replaced { now: card, same_values: card.values == old.values.text },
        None => Fate::Gone,
    };
    latest.map(|old| (old, fate(old))).collect()
}

/// The answer to a typed code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer<'c> {
    /// It cannot be a code.
    NoCode,
    /// No card is current or was released under it.
    Unknown(String),
    /// Cards that are current under it: one by its card's code, or all of a fork by its values' code.
    Current(String, Vec<&'c CardNow>),
    /// Cards that were released under it and are current no more.
    Superseded(String, Vec<(&'c ReleasedCard, Fate<'c>)>),
}

/// Looks a typed code up: among the cards as they are, then among those released.
pub fn look_up<'c>(text: &str, released: &'c [ReleasedCard], now: &'c [CardNow]) -> Answer<'c> {
    let Some(code) = typed(text) else { return Answer::NoCode };
    let by_card: Vec<&CardNow> = now.iter().filter(|card| card.card == code).collect();
    let by_values = || now.iter().filter(|card| card.values == code).collect::<Vec<_>>();
    let current = if by_card.is_empty() { by_values() } else { by_card };
    if !current.is_empty() {
        return Answer::Current(code, current);
    }
    let fits = |old: &ReleasedCard| old.card.text == code || old.values.text == code;
    let old: Vec<_> = fates(released, now).into_iter().filter(|(old, _)| fits(old)).collect();
    if old.is_empty() { Answer::Unknown(code) } else { Answer::Superseded(code, old) }
}
