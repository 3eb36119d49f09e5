//! What a family says reaches at least one of its forks.

use crate::check::CheckedFork;
use crate::check::value::stray::which_is_true;
use crate::diagnostic::{Finding, rules};
use crate::record::{RecordKind, Sides};
use crate::resolve::Shop;
use crate::words::lower_first;

/// unused-family, not-for-this-fork: a family has forks, and each of its values is for one of them.
pub(crate) fn families(shop: &Shop, forks: &[CheckedFork], findings: &mut Vec<Finding>) {
    // A fork that could not be read may be of any family; a shop without a fork has been told so.
    if shop.unread(RecordKind::Fork) || forks.is_empty() {
        return;
    }
    for family in &shop.families {
        let of_it = |fork: &&CheckedFork| {
            fork.record.family.as_ref().is_some_and(|named| named.text == family.id.text)
        };
        let members: Vec<&CheckedFork> = forks.iter().filter(of_it).collect();
        if members.is_empty() {
            findings.push(
                rules::UNUSED_FAMILY
                    .at(family.id.span, format!("no fork is of the family `{}`", family.id.text))
                    .bench("what it says stands on no page")
                    .instead("name it with `family:` in a fork, or remove it"),
            );
            continue;
        }
        for line in &family.values {
            // A value that cannot be read has been told, and says nothing of what the fork has.
            if matches!(&line.sides, Sides::Each(entry) if entry.value.is_none()) {
                continue;
            }
            let field = shop.catalogue.field(line.field);
            let for_it = |fork: &&CheckedFork| {
                field.applies.holds(&fork.choices) || field.applies.undecided(&fork.choices, &fork.open)
            };
            if !members.iter().any(for_it) {
                let what =
                    format!("no fork of this family has {} (`{}`)", lower_first(&field.title), field.key);
                findings.push(
                    rules::NOT_FOR_THIS_FORK.at(line.key_span, what)
                        .bench("a figure that no fork is set by leads to the wrong work, or stands for a wrong choice")
                        .instead(which_is_true(field)),
                );
            }
        }
    }
}
