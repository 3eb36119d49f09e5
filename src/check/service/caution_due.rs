//! A caution that says with which tools, consumables and values it warns, and at the end of which conditions: the
//! procedures that use, link or end these carry it.

use std::collections::BTreeMap;

use super::alike::alike;
use super::condition_words::quoted;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::plan::{Bits, Planned, Plans, Vocabulary};
use crate::record::{Caution, Procedure, RecordKind, Text};
use crate::resolve::Shop;
use crate::syntax::Scheme;

/// dangling-reference: what a caution warns with is a value or a tool of the shop.
pub(crate) fn names(shop: &Shop, findings: &mut Vec<Finding>) {
    for name in shop.cautions.iter().flat_map(|caution| &caution.warns_with) {
        let is_value = shop.catalogue.find(&name.text).is_some() || shop.catalogue.incomplete;
        let is_tool = shop.knows(RecordKind::Tool, &name.text);
        if is_value || is_tool {
            continue;
        }
        let tools = shop.tools.iter().map(|tool| tool.id.text.as_str());
        let all = shop.catalogue.iter().map(|(_, field)| field.key.as_str()).chain(tools);
        let look = || "name a tool of specs/tools, or a value of the field reference".to_owned();
        findings.push(
            rules::DANGLING_REFERENCE
                .at(name.span, format!("there is no tool and no value `{}`", name.text))
                .bench("the hazard meets somebody who has not been told")
                .instead(did_you_mean(&name.text, all, look)),
        );
    }
}

/// caution-not-given: a procedure carries the cautions that warn with what it uses, links or ends.
pub(crate) fn due(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, findings: &mut Vec<Finding>) {
    let due = |one: &&Caution| !one.warns_with.is_empty() || !one.warns_at_end_of.is_empty();
    let cautions: Vec<&Caution> = shop.cautions.iter().filter(due).collect();
    if cautions.is_empty() {
        return;
    }
    let vocabulary = Vocabulary::of(shop);
    let mut missing: BTreeMap<(&str, &str), Finding> = BTreeMap::new();
    for alike in alike(forks, plans) {
        let fork = alike.first();
        let meant = vocabulary.meant(fork);
        let here: Vec<&&Caution> = cautions.iter().filter(|one| one.applies.holds(&fork.choices)).collect();
        for item in plans.of(fork).iter().flat_map(|plan| &plan.items) {
            for caution in here.iter().filter(|caution| !carries(item.procedure, caution)) {
                let Some((why, place)) =
                    by_use(item.procedure, caution).or_else(|| by_end(&vocabulary, item, caution, &meant))
                else {
                    continue;
                };
                let finding = missing
                    .entry((&item.procedure.id.text, &caution.id.text))
                    .or_insert_with(|| not_given(item.procedure, caution, &why, place));
                alike.reach(finding);
            }
        }
    }
    findings.extend(missing.into_values());
}

fn carries(procedure: &Procedure, caution: &Caution) -> bool {
    let mut links = procedure.body.references.iter();
    links.any(|link| link.scheme == Scheme::Caution && link.target == caution.id.text)
}

/// What of a caution's list a procedure uses or links, in words, and where the caution says it.
fn by_use<'c>(procedure: &Procedure, caution: &'c Caution) -> Option<(String, &'c Text)> {
    let uses =
        |name: &&Text| procedure.tools.iter().chain(&procedure.consumables).any(|id| id.text == name.text);
    let links = |name: &&Text| {
        let mut all = procedure.body.references.iter();
        all.any(|link| link.scheme == Scheme::Spec && link.target == name.text)
    };
    let used = caution.warns_with.iter().find(uses).map(|name| (format!("uses `{}`", name.text), name));
    used.or_else(|| {
        let linked = caution.warns_with.iter().find(links)?;
        Some((format!("links `{}`", linked.text), linked))
    })
}

/// Which condition of a caution's list a procedure ends, in words.
fn by_end<'c>(
    vocabulary: &Vocabulary<'_>,
    item: &Planned<'_>,
    caution: &'c Caution,
    meant: &Bits,
) -> Option<(String, &'c Text)> {
    let procedure = item.procedure;
    let lists = [procedure.needs.as_slice(), &procedure.brings, &procedure.ends];
    let effect = vocabulary.effect(lists, item.legs, meant);
    let ends = |name: &&Text| {
        !vocabulary.slots(std::slice::from_ref(*name), item.legs, meant).and(&effect.ends).is_empty()
    };
    let name = caution.warns_at_end_of.iter().find(ends)?;
    let says = vocabulary.find(&name.text).map(|at| quoted(&vocabulary.conditions[at]))?;
    Some((format!("ends {says}"), name))
}

fn not_given(procedure: &Procedure, caution: &Caution, why: &str, place: &Text) -> Finding {
    let (procedure_id, id) = (&procedure.id.text, &caution.id.text);
    rules::CAUTION_NOT_GIVEN
        .at(procedure.id.span, format!("`{procedure_id}` {why}, and it gives no caution `{id}`"))
        .bench("the hazard meets somebody who has not been told")
        .instead(format!("put `[…](caution:{id})` into the step where the hazard begins"))
        .also(place.span, "asked for here")
}
