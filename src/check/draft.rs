//! Whoever writes a draft asks for what is left to do: what it lacks is told once, as the lines to fill in.

use std::collections::{BTreeMap, BTreeSet};

use super::CheckedFork;
use super::look::{head, weight};
use super::service::needs_value::block;
use super::value::missing::lacked;
use crate::diagnostic::{Finding, rules};
use crate::resolve::Shop;
use crate::words::count;

/// The values that may be told one by one; of more, the lines are told once.
const FEW: usize = 2;

/// What a draft lacks as one finding with its lines, and the other findings. Nothing is taken together of a fork that is
/// published, or that lacks little.
pub fn told_once(shop: &Shop, fork: &CheckedFork, findings: &[Finding]) -> Option<(Finding, Vec<Finding>)> {
    let place = head(fork);
    // What one leg alone lacks stands in no line of its own.
    let whole: BTreeSet<String> = lacked(shop, fork)
        .into_iter()
        .map(|id| format!("`{}` is missing", shop.catalogue.field(id).key))
        .collect();
    let is_needed = |one: &Finding| one.rule == &rules::PROCEDURE_NEEDS_VALUE && one.span == place;
    let is_lacked = |one: &Finding| {
        one.rule == &rules::MISSING_VALUE && one.span == place && whole.contains(&one.message)
    };
    let (together, rest): (Vec<Finding>, Vec<Finding>) =
        findings.iter().cloned().partition(|one| is_needed(one) || is_lacked(one));
    if !fork.record.draft || together.len() <= FEW {
        return None;
    }
    let needed = together.into_iter().find(|one| is_needed(one));
    let lines = match &needed {
        Some(needed) => needed.lines.clone(),
        None => block(shop, fork, &BTreeMap::new()),
    };
    let is_value = |line: &&String| line.strip_prefix("  ").is_some_and(|line| !line.starts_with([' ', '#']));
    let values = count(lines.iter().filter(is_value).count(), "value is", "values are");
    let rule = if needed.is_some() { &rules::PROCEDURE_NEEDS_VALUE } else { &rules::MISSING_VALUE };
    let first = rule
        .graded(weight(fork), place, format!("`{}` gets no card yet: {values} missing", fork.id))
        .bench("there is nothing to work from")
        .instead(
            "copy these lines into the record, below a group that is there already, and fill them in from the \
             maker's sheet: `unknown` where it does not say, and of what can hurt somebody what is done `instead:`. \
             Behind some stands what may be written; in brackets the procedures that ask for it",
        )
        .lines(lines);
    Some((first, rest))
}
