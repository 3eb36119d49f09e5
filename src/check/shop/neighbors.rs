//! The figures of a fork that are another fork's, digit for digit.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::{FieldId, Key, key};
use crate::check::CheckedFork;
use crate::check::look::weight;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{Resolved, Shop, Side};

/// The amounts and heights that make up a fork's oil.
const OIL: [Key; 6] = [
    key::OIL_AIR_GAP,
    key::OIL_LEVEL,
    key::OIL_DRY_FILL,
    key::OIL_REFILL,
    key::OIL_INNER_VOLUME,
    key::OIL_OUTER_VOLUME,
];
/// How many of them must be alike before it is no coincidence of round figures.
const ALIKE: usize = 3;
/// How many pairs are named. Of more, a shop has copied on purpose or by a program, and one look tells.
const NAMED: usize = 20;

/// neighbors-figures: a fork that nobody has reviewed does not have the oil of an unrelated one, digit for digit.
///
/// The forks are sorted by what they say once, and each is compared with the first of its like: the work grows with
/// the number of forks, not of pairs.
pub(crate) fn figures(_: &Shop, forks: &[CheckedFork], findings: &mut Vec<Finding>) {
    let mut alike: BTreeMap<Vec<Said<'_>>, Vec<&CheckedFork>> = BTreeMap::new();
    for fork in forks {
        let said = oil(fork);
        let fields: BTreeSet<FieldId> = said.iter().map(|(field, ..)| *field).collect();
        if fields.len() >= ALIKE {
            alike.entry(said).or_default().push(fork);
        }
    }
    let mut pairs: Vec<(&CheckedFork, &CheckedFork)> = Vec::new();
    for group in alike.values() {
        let Some((first, rest)) = group.split_first() else { continue };
        let unreviewed =
            rest.iter().filter(|fork| unrelated(first, fork) && !(reviewed(first) && reviewed(fork)));
        pairs.extend(unreviewed.map(|fork| if reviewed(fork) { (*fork, *first) } else { (*first, *fork) }));
    }
    pairs.sort_by(|a, b| a.1.id.cmp(&b.1.id));
    let more = pairs.len().saturating_sub(NAMED);
    for (n, (known, copied)) in pairs.iter().take(NAMED).enumerate() {
        let Some((value, other)) = OIL.iter().find_map(|key| Some((copied.any(*key)?, known.any(*key)?)))
        else {
            continue;
        };
        let rest = if more > 0 && n + 1 == NAMED {
            format!(" ({more} more pairs like this)")
        } else {
            String::new()
        };
        findings.push(
            rules::NEIGHBORS_FIGURES
                .graded(
                    weight(copied),
                    value.entry.span,
                    format!("every oil figure of `{}` is that of `{}`, digit for digit{rest}", copied.id, known.id),
                )
                .bench("figures that were left from the record this one was copied from go into another fork")
                .instead("compare each with this fork's own sheet, and review them; where the forks share them, give them a family")
                .also(other.entry.span, "the same here"),
        );
    }
}

/// What is said of a field on one side, as written.
type Said<'f> = (FieldId, Side, &'f str);

/// What a fork says of its own oil.
fn oil(fork: &CheckedFork) -> Vec<Said<'_>> {
    let mut said = Vec::new();
    for key in OIL {
        for side in Side::BOTH {
            let value = fork.on(side, key.id()).filter(|value| value.quantity().is_some());
            said.extend(value.map(|value| (key.id(), side, value.entry.text.as_str())));
        }
    }
    said
}

/// Whether two forks have nothing in common that would explain it: no family, no source of the same title.
fn unrelated(one: &CheckedFork, other: &CheckedFork) -> bool {
    let family = |fork: &CheckedFork| fork.record.family.as_ref().map(|id| id.text.clone());
    if family(one).is_some() && family(one) == family(other) {
        return false;
    }
    let titles = |fork: &CheckedFork| -> BTreeSet<String> {
        let sources = OIL.iter().filter_map(|key| fork.any(*key)).flat_map(|value: &Resolved| &value.sources);
        sources.map(|source| source.title.to_lowercase()).collect()
    };
    titles(one).is_disjoint(&titles(other))
}

/// Whether somebody vouches for every one of these figures.
fn reviewed(fork: &CheckedFork) -> bool {
    OIL.iter().filter(|key| fork.any(**key).is_some()).all(|key| fork.review.of(key.name()).is_reviewed())
}
