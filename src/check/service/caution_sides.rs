//! Where a caution must stand is said by the caution and by the condition: both say the same.

use std::collections::HashSet;

use super::condition_words::quoted;
use crate::check::CheckedFork;
use crate::check::look::of_each_kind;
use crate::diagnostic::{Finding, rules};
use crate::output::Digest;
use crate::record::{Caution, Condition, Text};
use crate::resolve::Shop;

/// caution-one-sided: a caution that says where it warns is asked for by these conditions and no others, and is for
/// every fork for which they mean anything.
pub(crate) fn sides(shop: &Shop, forks: &[CheckedFork], findings: &mut Vec<Finding>) {
    let kinds = of_each_kind(forks);
    for caution in
        shop.cautions.iter().filter(|one| !one.warns_at.is_empty() || !one.warns_also_at.is_empty())
    {
        for name in caution.warns_at.iter().chain(&caution.warns_also_at) {
            findings.extend(condition(shop, name).and_then(|condition| not_asked(caution, name, condition)));
        }
        for name in &caution.warns_at {
            findings.extend(
                condition(shop, name)
                    .and_then(|condition| not_for(caution, name, condition, (forks, &kinds))),
            );
        }
        findings.extend(shop.conditions.list.iter().filter_map(|condition| unsaid(caution, condition)));
    }
}

fn condition<'s>(shop: &'s Shop, name: &Text) -> Option<&'s Condition> {
    shop.conditions.list.iter().find(|condition| condition.id.text == name.text)
}

const HARM: &str = "the hazard meets somebody who has not been told";

fn not_asked(caution: &Caution, name: &Text, condition: &Condition) -> Option<Finding> {
    let id = &caution.id.text;
    if condition.cautions.iter().any(|asked| asked.text == *id) {
        return None;
    }
    let message = format!(
        "`{id}` warns where {} is brought about, and that condition does not ask for it",
        quoted(condition)
    );
    Some(
        rules::CAUTION_ONE_SIDED
            .at(name.span, message)
            .bench(HARM)
            .instead(format!("put `{id}` under `cautions:` of the condition `{}`", name.text))
            .also(condition.id.span, "the condition"),
    )
}

fn unsaid(caution: &Caution, condition: &Condition) -> Option<Finding> {
    let id = &caution.id.text;
    let asked = condition.cautions.iter().find(|asked| asked.text == *id)?;
    let mut said = caution.warns_at.iter().chain(&caution.warns_also_at);
    if said.any(|name| name.text == condition.id.text) {
        return None;
    }
    let message =
        format!("{} asks for `{id}`, and the caution does not say that it warns here", quoted(condition));
    Some(
        rules::CAUTION_ONE_SIDED
            .at(asked.span, message)
            .bench(HARM)
            .instead(format!("put `{}` under `warns_at:` of the caution `{id}`", condition.id.text))
            .also(caution.id.span, "the caution"),
    )
}

/// Forks on which the condition means something and the caution does not.
fn not_for(
    caution: &Caution,
    name: &Text,
    condition: &Condition,
    (forks, kinds): (&[CheckedFork], &[&CheckedFork]),
) -> Option<Finding> {
    let without = |fork: &&&CheckedFork| {
        condition.applies.holds(&fork.choices)
            && !caution.applies.holds(&fork.choices)
            && fork.open.is_empty()
    };
    let kinds: HashSet<Digest> = kinds.iter().filter(without).map(|fork| fork.kind).collect();
    if kinds.is_empty() {
        return None;
    }
    let reaches: Vec<String> =
        forks.iter().filter(|fork| kinds.contains(&fork.kind)).map(|fork| fork.id.clone()).collect();
    let first = reaches.first()?;
    let id = &caution.id.text;
    let message =
        format!("`{id}` warns where {} is brought about, and is not for `{first}`", quoted(condition));
    let mut finding = rules::CAUTION_ONE_SIDED
        .at(name.span, message)
        .bench(HARM)
        .instead(format!(
            "widen the caution's `for:`; where the hazard is on some of these forks alone, name `{}` under `warns_also_at:`",
            name.text
        ));
    finding.reaches = reaches;
    Some(finding)
}
