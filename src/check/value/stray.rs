//! A value that a fork's choices have no use for.

use crate::catalogue::Field;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop};

/// not-for-this-fork: a value is given that these choices have no use for.
pub(crate) fn stray(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for value in &fork.stray {
        if value.not_fitted() || value.value().is_none() {
            continue;
        }
        let field = shop.catalogue.field(value.field);
        findings.push(
            rules::NOT_FOR_THIS_FORK
                .at(value.key_span, format!("this fork has no `{}`: {}", field.key, why(shop, fork, field)))
                .bench("a figure that this fork is not set by leads to the wrong work")
                .instead(which_is_true(field)),
        );
    }
}

/// What to do about a value and a choice that exclude each other. A figure that can hurt is never waved away: it may
/// be the choice that is wrong.
pub(crate) fn which_is_true(field: &Field) -> &'static str {
    if field.safety {
        "look at the fork itself: where it has this, correct the choice; where it has not, find out whose figure this is"
    } else {
        "correct the choice it hangs on, or remove it"
    }
}

/// Which choice makes a field not apply, in words.
fn why(shop: &Shop, fork: &ResolvedFork, field: &Field) -> String {
    let first = field.applies.0.first().and_then(|all| {
        all.iter().find(|(choice, options)| {
            fork.choices.get(*choice).is_none_or(|chosen| !options.contains(chosen))
        })
    });
    let Some((choice, options)) = first else { return "it does not apply".to_owned() };
    let name = |id: &str| shop.catalogue.option_title(choice, id).to_lowercase();
    let title =
        shop.catalogue.choice(choice).map_or(choice.as_str(), |choice| choice.title.as_str()).to_lowercase();
    let options_in_words: Vec<String> = options.iter().map(|id| name(id)).collect();
    match fork.choices.get(choice) {
        Some(chosen) => format!("{title} is {}, not {}", name(chosen), options_in_words.join(" or ")),
        None => format!("it needs {title}: {}", options_in_words.join(" or ")),
    }
}
