//! A build says over which fork it is, and why each value is another one.

use std::collections::BTreeSet;

use crate::catalogue::{Field, FieldId, key};
use crate::check::CheckedFork;
use crate::check::shop::links::dangling;
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::quantity::{Value, read_value};
use crate::record::{Build, Change, RecordKind, SpecRecord, Text};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// Every build with its record.
fn builds(shop: &Shop) -> impl Iterator<Item = (&SpecRecord, &Build)> {
    shop.forks.iter().filter_map(|record| Some((record.as_ref(), record.build()?)))
}

/// dangling-reference, build-fork: a build is over a fork of its maker's, has a name of its own, and a spring and a
/// valving that are there.
pub(crate) fn forks(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    for (record, build) in builds(shop) {
        if !build.fork.text.is_empty() {
            dangling(shop, RecordKind::Fork, &build.fork.text, build.fork.span, findings);
        }
        for (kind, named) in [(RecordKind::Spring, &build.spring), (RecordKind::Valving, &build.valving)] {
            named.iter().for_each(|named| dangling(shop, kind, &named.text, named.span, findings));
        }
        let bench = "the card of the one would be taken for the card of the other";
        if shop.forks.iter().any(|other| other.id.text == build.fork.text && other.build().is_some()) {
            findings.push(
                rules::BUILD_FORK
                    .at(build.fork.span, format!("`{}` is a build itself", build.fork.text))
                    .bench("what was changed twice could not be told from what the maker says")
                    .instead(
                        "name the fork that both are over, and repeat what this build keeps of the other",
                    ),
            );
        }
        if shop.models().any(|fork| fork.id.text == record.id.text) {
            findings.push(
                rules::BUILD_FORK
                    .at(record.id.span, format!("a fork has the id `{}` too", record.id.text))
                    .bench(bench)
                    .instead("give the build an id of its own, and name its file the same"),
            );
        }
        let valving =
            build.valving.as_ref().and_then(|named| Some((named, shop.valvings.find(&named.text)?)));
        if let Some((named, valving)) = valving.filter(|(_, valving)| valving.fork.text != build.fork.text) {
            findings.push(
                rules::BUILD_FORK
                    .at(named.span, format!("the valving `{}` is one of `{}`", named.text, valving.fork.text))
                    .bench("its shims may not fit the pistons of this fork")
                    .instead("name a valving of this build's own fork")
                    .also(valving.fork.span, "its fork"),
            );
        }
    }
}

/// build-unexplained: each value of a build has its change with a reason, and each change its value.
pub(crate) fn explained(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    for (record, build) in builds(shop) {
        let own: BTreeSet<&str> =
            record.values.iter().map(|line| shop.catalogue.field(line.field).key.as_str()).collect();
        let rate = key::SPRING_RATE.name();
        for line in &record.values {
            let field = shop.catalogue.field(line.field);
            if build.change(&field.key).is_none() {
                findings.push(unexplained(line.key_span, &field.key));
            }
        }
        if let Some(spring) = &build.spring
            && build.change(rate).is_none()
        {
            findings.push(unexplained(spring.span, rate));
        }
        for (named, _) in &build.changes {
            if own.contains(named.text.as_str()) || named.text == rate && build.spring.is_some() {
                continue;
            }
            let known = shop.catalogue.find(&named.text).is_some();
            let hint = did_you_mean(&named.text, own.iter().copied(), || match known {
                true => "add the value, or take the change out".to_owned(),
                false => "use a key of the field reference".to_owned(),
            });
            findings.push(
                rules::BUILD_UNEXPLAINED
                    .at(named.span, format!("the build has no value `{}` that would be changed", named.text))
                    .bench("whoever reads it takes the fork for changed where it is as the maker made it")
                    .instead(hint),
            );
        }
    }
}

fn unexplained(place: crate::text::Span, key: &str) -> Finding {
    rules::BUILD_UNEXPLAINED
        .at(place, format!("nothing says why `{key}` is another one than the fork's"))
        .bench("the next job cannot tell a decision from a slip, and sets it back or leaves it")
        .instead("add it under `changes:`, with what the fork said, why, and the day")
        .lines(vec!["changes:".to_owned(), format!("  {key}: {{instead_of: …, why: \"…\", date: \"…\"}}")])
}

/// build-overtaken: what a build was made instead of is what its fork says now.
pub(crate) fn overtaken(shop: &Shop, models: &[CheckedFork], findings: &mut Vec<Finding>) {
    for (record, build) in builds(shop) {
        let Some(fork) = models.iter().find(|fork| fork.id == build.fork.text) else { continue };
        for (named, change) in &build.changes {
            let Some(id) = shop.catalogue.find(&named.text) else { continue };
            let field = shop.catalogue.field(id);
            findings.extend(of_change((field, id), fork, (record, named, change)));
        }
    }
}

fn of_change(
    (field, id): (&Field, FieldId),
    fork: &ResolvedFork,
    (record, named, change): (&SpecRecord, &Text, &Change),
) -> Option<Finding> {
    let now: Vec<&Value> = Side::BOTH.iter().filter_map(|side| fork.on(*side, id)?.value()).collect();
    let is_now = |value: &Value| now.iter().any(|now| same(now, value));
    let place = change.instead_of.as_ref().map_or(named.span, |was| was.span);
    let said = match &change.instead_of {
        None if now.is_empty() => return None,
        None => format!("the fork says {} of it now", now.first()?.shown()),
        Some(was) => {
            let (value, _) = read_value(&was.text, &field.spec());
            match value {
                Some(value) if is_now(&value) => return None,
                Some(_) if now.is_empty() => "the fork says nothing of it now".to_owned(),
                Some(_) => format!("the fork says {} now, not {}", now.first()?.shown(), was.text),
                None => format!("`{}` cannot be read as {}", was.text, lower_first(&field.title)),
            }
        }
    };
    Some(
        rules::BUILD_OVERTAKEN
            .at(place, format!("`{}` of the build `{}`: {said}", field.key, record.id.text))
            .bench("the build was made for a fork that is another one now, and may be wrong for it")
            .instead("look whether the build still holds, then write what the fork says now, and the day"),
    )
}

/// Whether two values say the same figure, tolerance and second unit left out.
fn same(a: &Value, b: &Value) -> bool {
    match (a.quantity(), b.quantity()) {
        (Some(a), Some(b)) => {
            a.dimension() == b.dimension()
                && (a.middle_si() - b.middle_si()).abs() <= 1e-9 * a.middle_si().abs()
        }
        _ => a == b,
    }
}
