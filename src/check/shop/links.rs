//! Every reference leads somewhere.

use crate::catalogue::Owner;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::quantity::{Dimension, Kind, Value};
use crate::record::{RecordKind, Singled, SpecRecord, Text, is_id};
use crate::resolve::Shop;
use crate::syntax::Scheme;
use crate::syntax::markdown::{Body, Reference};
use crate::text::Span;

pub(crate) fn dangling(shop: &Shop, kind: RecordKind, id: &str, span: Span, findings: &mut Vec<Finding>) {
    if shop.knows(kind, id) {
        return;
    }
    let ids = shop.known.get(&kind).into_iter().flatten().map(String::as_str);
    let instead = match shop.called_now(kind, id) {
        Some(now) => format!("write `{now}`, as it is called now"),
        None => did_you_mean(id, ids, || match is_id(id) {
            true => format!("add `{}`, or name one that exists", kind.path(id)),
            false => "name one that exists; an id is small letters, digits and hyphens".to_owned(),
        }),
    };
    findings.push(
        rules::DANGLING_REFERENCE
            .at(span, format!("there is no {} `{id}`", kind.word()))
            .bench("what it should bring would be missing from the page and the card")
            .instead(instead),
    );
}

/// A reference from a value to another record.
pub(crate) fn value(shop: &Shop, to: &str, target: &str, span: Span, findings: &mut Vec<Finding>) {
    let kind = if to == "tool" { RecordKind::Tool } else { RecordKind::Oil };
    dangling(shop, kind, target, span, findings);
}

/// dangling-reference: the forks, families and makers that a `for:` names are there.
pub(crate) fn singled(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    for Singled { by, name } in &shop.singled {
        match *by {
            "fork" => dangling(shop, RecordKind::Fork, &name.text, name.span, findings),
            "family" => dangling(shop, RecordKind::Family, &name.text, name.span, findings),
            _ if shop.unread(RecordKind::Fork) => {}
            _ => {
                let makers = || shop.forks.iter().map(|fork| fork.maker.as_str());
                if makers().all(|maker| maker != name.text) {
                    findings.push(
                        rules::DANGLING_REFERENCE
                            .at(name.span, format!("no fork of this shop is made by `{}`", name.text))
                            .bench("what it should bring would be missing from the page and the card")
                            .instead(did_you_mean(&name.text, makers(), || {
                                "write the maker as the forks' records write it".to_owned()
                            })),
                    );
                }
            }
        }
    }
}

/// dangling-reference, unknown-source: what a record points at exists.
pub(crate) fn records(shop: &Shop, record: &SpecRecord, findings: &mut Vec<Finding>) {
    for service in record.parts.iter().flat_map(|part| &part.services) {
        dangling(shop, RecordKind::Service, &service.text, service.span, findings);
    }
    if let Some(Text { text, span }) = &record.family {
        dangling(shop, RecordKind::Family, text, *span, findings);
    }
    value_links(shop, record, findings);
}

/// dangling-reference, tool-or-consumable: what services and procedures list exists.
pub(crate) fn texts(shop: &Shop, findings: &mut Vec<Finding>) {
    for service in &shop.services {
        for procedure in &service.procedures {
            dangling(shop, RecordKind::Procedure, &procedure.text, procedure.span, findings);
        }
    }
    for procedure in &shop.procedures {
        for (list, consumable) in [(&procedure.tools, false), (&procedure.consumables, true)] {
            for id in list {
                dangling(shop, RecordKind::Tool, &id.text, id.span, findings);
                let Some(tool) = shop.tool(&id.text) else { continue };
                if tool.consumable != consumable {
                    let (is, list) =
                        if tool.consumable { ("a consumable", "consumables") } else { ("a tool", "tools") };
                    findings.push(
                        rules::TOOL_OR_CONSUMABLE
                            .at(id.span, format!("`{}` is {is}", id.text))
                            .bench("it would be missing from what is laid out before the job")
                            .instead(format!("name it under `{list}:`")),
                    );
                }
            }
        }
    }
}

/// dangling-reference: the value a part takes its size from, or a kit its part, is in the catalogue.
pub(crate) fn sizes(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    let of_kits = shop.forks.iter().chain(&shop.families).flat_map(|record| &record.parts);
    let of_kits = of_kits.flat_map(|part| &part.holds);
    let of_tools = shop.tools.iter().flat_map(|tool| tool.sized_by.iter().chain(&tool.fits_on));
    for key in of_tools.chain(of_kits) {
        if shop.catalogue.find(&key.text).is_none() {
            let keys = shop.catalogue.iter().map(|(_, field)| field.key.as_str());
            let look = || "see the field reference for what a fork record can hold".to_owned();
            findings.push(
                rules::DANGLING_REFERENCE
                    .at(key.span, format!("there is no value `{}`", key.text))
                    .bench("the part would be pulled from the shelf without its size, or twice")
                    .instead(did_you_mean(&key.text, keys, look)),
            );
        }
    }
}

/// dangling-reference: what a procedure renews is an interval.
pub(crate) fn renewals(shop: &Shop, findings: &mut Vec<Finding>) {
    let intervals = || {
        let all = shop.catalogue.iter().filter(|(_, field)| field.kind == Kind::Interval);
        all.map(|(_, field)| field.key.as_str())
    };
    for key in shop.procedures.iter().flat_map(|procedure| &procedure.renews) {
        if intervals().all(|key_of_interval| key_of_interval != key.text) {
            let look = || "name an interval of the field reference, such as `intervals.oil`".to_owned();
            findings.push(
                rules::DANGLING_REFERENCE
                    .at(key.span, format!("there is no interval `{}`", key.text))
                    .bench("the rider would not be told when this is next due")
                    .instead(did_you_mean(&key.text, intervals(), look)),
            );
        }
    }
}

/// dangling-reference: what a procedure tries again is a value of the fork.
pub(crate) fn tried_again(shop: &Shop, findings: &mut Vec<Finding>) {
    let torques = || {
        let all = shop.catalogue.of(Owner::Fork);
        all.filter(|(_, field)| field.kind == Kind::Quantity(Dimension::Torque)).map(|(_, f)| f.key.as_str())
    };
    for key in shop.procedures.iter().flat_map(|procedure| &procedure.again) {
        if torques().all(|known| known != key.text) {
            let look = || "name a torque of the field reference, such as `torque.axle`".to_owned();
            findings.push(
                rules::DANGLING_REFERENCE
                    .at(key.span, format!("there is no torque `{}`", key.text))
                    .bench("the bolt would have no tick on the card, and nobody would try it again")
                    .instead(did_you_mean(&key.text, torques(), look)),
            );
        }
    }
}

/// dangling-reference: the part that a procedure or a condition is about is one that a record can leave out.
pub(crate) fn parts(shop: &Shop, findings: &mut Vec<Finding>) {
    let keys = || shop.catalogue.of(Owner::Fork).map(|(_, field)| field.key.as_str());
    let procedures = shop.procedures.iter().flat_map(|procedure| &procedure.fitted);
    for key in procedures.chain(shop.conditions.list.iter().flat_map(|condition| &condition.fitted)) {
        if keys().all(|key_of_field| key_of_field != key.text) {
            let look = || "name a value of the field reference, such as `torque.handlebar`".to_owned();
            findings.push(
                rules::DANGLING_REFERENCE
                    .at(key.span, format!("there is no value `{}`", key.text))
                    .bench("work on a part that a fork does not have would stand on its card all the same")
                    .instead(did_you_mean(&key.text, keys(), look)),
            );
        }
    }
}

/// dangling-reference: what procedures, cautions and complaints link to exists.
pub(crate) fn procedures(shop: &Shop, findings: &mut Vec<Finding>) {
    let bodies = shop.procedures.iter().map(|p| &p.body).chain(shop.cautions.iter().map(|c| &c.body));
    let bodies = bodies.chain(shop.complaints.iter().map(|complaint| &complaint.body));
    for reference in bodies.flat_map(|body: &Body| &body.references) {
        link(shop, reference, findings);
    }
}

fn link(shop: &Shop, reference: &Reference, findings: &mut Vec<Finding>) {
    let kind = match reference.scheme {
        Scheme::Procedure => RecordKind::Procedure,
        Scheme::Caution => RecordKind::Caution,
        Scheme::Tool => RecordKind::Tool,
        Scheme::Oil => RecordKind::Oil,
        // Told by rules of their own.
        Scheme::Picture => return,
        Scheme::Spec | Scheme::Reading => {
            if shop.catalogue.find(&reference.target).is_none() {
                let keys = shop.catalogue.iter().map(|(_, field)| field.key.as_str());
                findings.push(
                    rules::DANGLING_REFERENCE
                        .at(reference.span, format!("there is no value `{}`", reference.target))
                        .bench("the number would be missing from the step")
                        .instead(by_another_word(shop, &reference.target).unwrap_or_else(|| {
                            did_you_mean(&reference.target, keys, || {
                                "see the field reference for what a fork record can hold".to_owned()
                            })
                        })),
                );
            }
            return;
        }
    };
    dangling(shop, kind, &reference.target, reference.span, findings);
}

/// The values that go by another word in the trade: `torque.damper_rod` is the cap's torque to it.
fn by_another_word(shop: &Shop, target: &str) -> Option<String> {
    let (group, word) = target.rsplit_once('.').unwrap_or(("", target));
    let meant: Vec<&str> = shop.catalogue.called(word).iter().map(|field| field.key.as_str()).collect();
    let of_group = |key: &&&str| key.split('.').next() == Some(group);
    let here: Vec<&str> = meant.iter().filter(of_group).copied().collect();
    let all = if here.is_empty() { meant } else { here };
    (!all.is_empty()).then(|| format!("write `{}`", all.join("` or `")))
}

/// unknown-source, dangling-reference inside values: what a value points at exists.
pub(crate) fn value_links(shop: &Shop, record: &crate::record::SpecRecord, findings: &mut Vec<Finding>) {
    let sources: Vec<&str> = record.sources.iter().map(|source| source.id.text.as_str()).collect();
    let mut source = |text: &crate::record::Text| {
        if record.source_note(&text.text).is_none() {
            findings.push(
                rules::UNKNOWN_SOURCE
                    .at(text.span, format!("`{}` is not among this record's sources", text.text))
                    .bench("nobody could look up where the number comes from")
                    .instead(did_you_mean(&text.text, sources.iter().copied(), || {
                        if sources.is_empty() {
                            "add it under `sources:` with its kind and title".to_owned()
                        } else {
                            format!("name one of {}, or add it under `sources:`", sources.join(", "))
                        }
                    })),
            );
        }
    };
    if let Some(text) = &record.source {
        source(text);
    }
    let entries: Vec<_> = record
        .values
        .iter()
        .flat_map(|line| match &line.sides {
            crate::record::Sides::Each(entry) => vec![(line.field, entry)],
            crate::record::Sides::Legs(left, right) => vec![(line.field, left), (line.field, right)],
        })
        .collect();
    for (_, entry) in &entries {
        entry.sources.iter().for_each(&mut source);
        entry.also_said.iter().for_each(|said| source(&said.source));
    }
    for (id, entry) in entries {
        let Some(Value::Reference(target)) = &entry.value else { continue };
        let field = shop.catalogue.field(id);
        if let crate::quantity::Kind::Reference(to) = &field.kind {
            value(shop, to, target, entry.span, findings);
        }
    }
}
