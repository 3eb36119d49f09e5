//! Every choice that applies to a fork is made, and no other.

use crate::check::look::{head, weight};
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop};

/// choice-missing, choice-not-applicable: every choice that applies is made, and no other.
pub(crate) fn choices(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let record = &fork.record;
    // A build chooses nothing: what its fork lacks is told there.
    if record.build().is_some() {
        return;
    }
    let family = record.family.as_ref().and_then(|id| shop.family(&id.text));
    for choice in &shop.catalogue.choices {
        let place = record
            .choices
            .get(&choice.key)
            .or_else(|| family.and_then(|family| family.choices.get(&choice.key)));
        match (place, choice.applies.holds(&fork.choices)) {
            // What a family that cannot be read has chosen is not known.
            (None, true) if fork.family_lost => {}
            (None, true) => {
                let options: Vec<&str> = choice.options.iter().map(|(id, _)| id.as_str()).collect();
                findings.push(
                    rules::CHOICE_MISSING
                        .graded(weight(fork), head(fork), format!("the choice `{}` is not made", choice.key))
                        .bench("what this fork must be given, and how it is bled and set, hangs on it")
                        .instead(format!(
                            "under `choices:` add `{}:` with one of {}",
                            choice.key,
                            options.join(", ")
                        )),
                );
            }
            (Some(_), false) if choice.applies.undecided(&fork.choices, &fork.open) => {}
            (Some(text), false) => findings.push(
                rules::CHOICE_NOT_APPLICABLE
                    .at(text.span, format!("this fork has no choice of `{}`", choice.key))
                    .bench(
                        "one of the two choices is wrong, and with it what is asked for and cautioned about",
                    )
                    .instead("look at the fork itself which of the two is true, and correct the other"),
            ),
            _ => {}
        }
    }
}
