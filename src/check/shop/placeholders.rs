//! What a template says until somebody writes what is so must not be taken for it.

use std::collections::BTreeSet;

use crate::check::CheckedFork;
use crate::diagnostic::{Finding, Severity, rules};
use crate::record::{CONDITION_SAYS, Service, SpecRecord, TOOL_USE, WHY};
use crate::resolve::Shop;
use crate::syntax::Scheme;
use crate::text::Span;

/// placeholder: a record says of itself what it is, not what its template said.
pub(crate) fn records(_: &Shop, record: &SpecRecord, findings: &mut Vec<Finding>) {
    // A value that cannot be read has been told of.
    let has_another_finding = |span: Span| {
        record.values.iter().any(|line| {
            let inside = span.start >= line.span.start && span.end <= line.span.end;
            let sides = match &line.sides {
                crate::record::Sides::Each(entry) => [entry, entry],
                crate::record::Sides::Legs(left, right) => [left, right],
            };
            let named = |entry: &crate::record::Entry| {
                let parts = entry.state.values().chain(entry.attributes.values());
                parts.into_iter().any(|part| part.text.span == span && part.value.is_none())
            };
            inside && sides.iter().any(|entry| entry.span == span && entry.value.is_none() || named(entry))
        })
    };
    for left in record.placeholders.iter().filter(|left| !has_another_finding(left.span)) {
        let severity = if record.draft { Severity::Warning } else { Severity::Error };
        findings.push(
            rules::PLACEHOLDER
                .graded(
                    severity,
                    left.span,
                    format!("`{}` is what the template says, not what is so", left.text),
                )
                .bench("it would be printed as if somebody had looked it up")
                .instead("write what belongs here, or leave the line out where it may be"),
        );
    }
}

/// The procedures that these services name.
fn named_by<'s>(services: impl Iterator<Item = &'s Service>) -> BTreeSet<&'s str> {
    let entries = services.flat_map(|service| &service.entries);
    entries.flat_map(|entry| &entry.options).map(|procedure| procedure.text.as_str()).collect()
}

/// placeholder: a step says what to do.
pub(crate) fn procedures(shop: &Shop, forks: &[CheckedFork], findings: &mut Vec<Finding>) {
    let published = || forks.iter().filter(|fork| !fork.record.draft);
    let work = |service: &&Service| published().any(|fork| service.applies.holds(&fork.choices));
    let used = named_by(shop.services.iter().filter(work));
    for procedure in &shop.procedures {
        let severity =
            if used.contains(procedure.id.text.as_str()) { Severity::Error } else { Severity::Warning };
        let Some((first, more)) = procedure.placeholders.split_first() else { continue };
        let mut finding = rules::PLACEHOLDER
            .graded(severity, *first, format!("`{}` still says what its template says", procedure.id.text))
            .bench("whoever works from the card would find no work in this step")
            .instead("write what is to be done, and why");
        for span in more {
            finding = finding.also(*span, "and here");
        }
        findings.push(finding);
    }
}

/// placeholder: a complaint says how it is reproduced and what is looked for.
pub(crate) fn complaints(shop: &Shop, findings: &mut Vec<Finding>) {
    for complaint in shop.complaints.iter().filter(|complaint| complaint.placeholder) {
        findings.push(
            rules::PLACEHOLDER
                .graded(
                    Severity::Warning,
                    complaint.id.span,
                    format!("`{}` still says what its template says", complaint.id.text),
                )
                .bench("its page would lead nobody to the cause")
                .instead("write how riders say it, how it is reproduced and read, and its causes in order"),
        );
    }
}

/// placeholder: a valving says why it was changed, and which stacks it is of.
pub(crate) fn valvings(shop: &Shop, findings: &mut Vec<Finding>) {
    for valving in shop.valvings.iter().filter(|valving| valving.why == WHY || valving.stacks.is_empty()) {
        findings.push(
            rules::PLACEHOLDER
                .graded(
                    Severity::Warning,
                    valving.id.span,
                    format!("`{}` still says what its template says", valving.id.text),
                )
                .bench("nobody could build the stack again from it")
                .instead("write the day, why it was changed, and its stacks, or take it out"),
        );
    }
}

/// placeholder: a tool, a caution and a condition say what they are. Where a service's work uses them, it is an error.
pub(crate) fn shared(shop: &Shop, findings: &mut Vec<Finding>) {
    let used = named_by(shop.services.iter());
    let procedures = || shop.procedures.iter().filter(|procedure| used.contains(procedure.id.text.as_str()));
    let linked = |scheme: Scheme, id: &str| {
        let mut references = procedures().flat_map(|procedure| &procedure.body.references);
        references.any(|reference| reference.scheme == scheme && reference.target == id)
    };
    let named = |id: &str| {
        procedures().any(|p| {
            let lists = [&p.tools, &p.consumables, &p.needs, &p.brings, &p.ends];
            lists.into_iter().flatten().any(|name| name.text == id)
        })
    };
    let tools =
        shop.tools.iter().filter(|tool| tool.use_for == TOOL_USE).map(|tool| (&tool.id, Scheme::Tool));
    let cautions = shop
        .cautions
        .iter()
        .filter(|caution| caution.placeholder)
        .map(|caution| (&caution.id, Scheme::Caution));
    let of_tools =
        tools.chain(cautions).map(|(id, scheme)| (id, linked(scheme, &id.text) || named(&id.text)));
    let conditions = shop.conditions.list.iter().filter(|condition| condition.says == CONDITION_SAYS);
    let all = of_tools.chain(conditions.map(|condition| (&condition.id, named(&condition.id.text))));
    for (id, used) in all {
        let severity = if used { Severity::Error } else { Severity::Warning };
        findings.push(
            rules::PLACEHOLDER
                .graded(severity, id.span, format!("`{}` still says what its template says", id.text))
                .bench("it would be printed as if somebody had thought it through")
                .instead("write what is so, or take it out"),
        );
    }
}
