//! Rules on one fork's values: what is missing, what does not belong, what is said only once, what is
//! outside its band, what lacks its state.

use super::sample;
use crate::catalogue::{Field, FieldId, Per};
use crate::diagnostic::{Finding, Severity, did_you_mean, rules};
use crate::quantity::{Dimension, Quantity, Value};
use crate::record::SecondSaying;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::text::Span;
pub(crate) use crate::words::lower_first;

/// The place of a record's head, for what is missing from it.
pub(super) fn head(fork: &ResolvedFork) -> Span {
    fork.record.id.span
}

/// An error, or for a draft a warning.
pub(super) fn weight(fork: &ResolvedFork) -> Severity {
    if fork.record.draft { Severity::Warning } else { Severity::Error }
}

/// Every value of the fork once: a value both legs share is given for the left leg.
pub(super) fn each(fork: &ResolvedFork) -> impl Iterator<Item = &Resolved> {
    let right = fork.legs[1].values.iter().filter(|(field, value)| {
        fork.legs[0].values.get(field).is_none_or(|left| !std::sync::Arc::ptr_eq(&left.entry, &value.entry))
    });
    fork.whole.values().chain(fork.legs[0].values.values()).chain(right.map(|(_, value)| value))
}

/// choice-missing, choice-not-applicable: every choice that applies is made, and no other.
pub(super) fn choices(shop: &Shop, fork: &ResolvedFork, found: &mut Vec<Finding>) {
    let record = &fork.record;
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
                found.push(
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
            (Some(text), false) => found.push(
                rules::CHOICE_NOT_APPLICABLE
                    .at(text.span, format!("this fork has no choice of `{}`", choice.key))
                    .bench(
                        "one of the two choices is wrong, and with it what is asked for and cautioned about",
                    )
                    .instead("remove it, or correct the choice it belongs to"),
            ),
            _ => {}
        }
    }
}

/// missing-value: what this fork's choices call for is given, on every leg that needs it.
pub(super) fn missing(shop: &Shop, fork: &ResolvedFork, found: &mut Vec<Finding>) {
    if fork.family_lost {
        return;
    }
    for (id, field) in shop.catalogue.of(crate::catalogue::Owner::Fork) {
        if !field.applies.holds(&fork.choices) || !field.required.holds(&fork.choices) {
            continue;
        }
        let lacks = |side: Side| fork.takes(side, field) && fork.on(side, id).is_none();
        let (left, right) = (lacks(Side::Left), lacks(Side::Right));
        if !left && !right {
            continue;
        }
        let where_from = match (left && right, field.per) {
            (true, _) | (_, Per::Pair | Per::Fork) => String::new(),
            (false, Per::Leg) => format!(" for the {} leg", if left { "left" } else { "right" }),
        };
        let bench = if field.wrong.is_empty() {
            "the card could not be filled in".to_owned()
        } else {
            lower_first(&field.wrong)
        };
        found.push(
            rules::MISSING_VALUE
                .graded(weight(fork), head(fork), format!("`{}` is missing{where_from}", field.key))
                .bench(bench)
                .instead(format!(
                    "under `{}:` add `{}`, {}",
                    field.group,
                    sample::line(field),
                    sample::words(shop, field, "maker's sheet")
                )),
        );
    }
}

/// not-for-this-fork: a value is given that these choices have no use for.
pub(super) fn stray(shop: &Shop, fork: &ResolvedFork, found: &mut Vec<Finding>) {
    for value in &fork.stray {
        if value.not_fitted() || value.value().is_none() {
            continue;
        }
        let field = shop.catalogue.field(value.field);
        found.push(
            rules::NOT_FOR_THIS_FORK
                .at(value.key_span, format!("this fork has no `{}`: {}", field.key, why(shop, fork, field)))
                .bench("a figure that this fork is not set by leads to the wrong work")
                .instead("remove it, or correct the choice it hangs on"),
        );
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
    let wanted: Vec<String> = options.iter().map(|id| name(id)).collect();
    match fork.choices.get(choice) {
        Some(chosen) => format!("{title} is {}, not {}", name(chosen), wanted.join(" or ")),
        None => format!("it needs {title}: {}", wanted.join(" or ")),
    }
}

/// second-saying, estimate: a safety-critical value is said in two units or rests on two sources, and on
/// something better than an estimate.
pub(super) fn second_saying(shop: &Shop, fork: &ResolvedFork, found: &mut Vec<Finding>) {
    for value in each(fork) {
        let field = shop.catalogue.field(value.field);
        if value.not_fitted() || value.value().is_none() {
            continue;
        }
        let asked = field.safety && shop.settings.second_saying == SecondSaying::Required;
        let twice =
            value.value().is_none_or(|v| v.has_twin() || v.quantity().is_none()) || two_sources(value);
        if asked && !twice {
            let second = value.quantity().and_then(|quantity| other_unit(field, quantity)).map_or_else(
                || "name a second source: `source: [sheet, bench]`".to_owned(),
                |said| {
                    format!(
                        "add what the sheet says in its second unit, as in `{said}`, or name a second source"
                    )
                },
            );
            found.push(
                rules::SECOND_SAYING
                    .graded(
                        weight(fork),
                        value.entry.span,
                        format!("`{}` is safety-critical and said only once", field.key),
                    )
                    .bench(lower_first(&field.wrong))
                    .instead(second),
            );
        }
        if field.safety && value.is_estimate() {
            found.push(
                rules::ESTIMATE
                    .at(
                        value.entry.span,
                        format!("`{}` is safety-critical and rests on an estimate", field.key),
                    )
                    .bench(lower_first(&field.wrong))
                    .instead(
                        "measure it, or find the maker's sheet; until then the card says ESTIMATE beside it",
                    ),
            );
        }
    }
}

/// Whether two different sources are named; the same one twice is one.
fn two_sources(value: &Resolved) -> bool {
    value.sources.iter().any(|source| source.id.text != value.sources[0].id.text)
}

/// How the value is written with the first usual unit it is not written in. The figure is not worked out: that
/// would say the same thing twice, and not what a sheet says.
fn other_unit(field: &Field, quantity: &Quantity) -> Option<String> {
    let main = quantity.main();
    let unit = field
        .units
        .iter()
        .find(|unit| unit.dimension == main.unit.dimension && !unit.same_digits(main.unit))?;
    Some(format!("{} (… {})", main.canonical(), unit.symbol))
}

/// state-missing, outside-tuning-range: a gap says every part of its state, and lies in its tuning range.
pub(super) fn state(shop: &Shop, fork: &ResolvedFork, found: &mut Vec<Finding>) {
    for value in each(fork) {
        let field = shop.catalogue.field(value.field);
        if value.not_fitted() || value.value().is_none() {
            continue;
        }
        let lacks: Vec<&str> = field
            .state
            .iter()
            .map(String::as_str)
            .filter(|part| !value.entry.state.contains_key(*part))
            .collect();
        if lacks.is_empty() {
            continue;
        }
        let entry = &value.entry;
        let bare = entry.state.is_empty() && entry.attributes.is_empty() && entry.sources.is_empty();
        let instead = if bare && fork.alike(value.field) {
            "write it as a mapping, in which the figure stands behind `value:` and its state behind `state:`"
        } else {
            "add to its `state:` what is missing"
        };
        let lines = sample::state_lines(field, &entry.text, &lacks, bare && fork.alike(value.field));
        found.push(
            rules::STATE_MISSING
                .graded(
                    weight(fork),
                    value.entry.span,
                    format!("`{}` does not say its state: {}", field.key, lacks.join(", ")),
                )
                .bench(without_state(field))
                .instead(instead)
                .lines(lines),
        );
    }
    for (target, range) in [("oil.air_gap", "oil.air_gap_range")] {
        let (Some(target), Some(range)) = (shop.catalogue.find(target), shop.catalogue.find(range)) else {
            continue;
        };
        tuning(shop, fork, target, range, found);
    }
}

/// What a value does whose state is not said.
fn without_state(field: &Field) -> &'static str {
    match (field.group.as_str(), field.kind.dimensions().first()) {
        (_, Some(Dimension::Pressure)) => {
            "the same air reads higher in a warm or loaded leg, and the leg would be set wrong"
        }
        ("oil", _) => {
            "the same oil reads differently with the spring in, the rod up or from another edge, and the leg would be set wrong"
        }
        _ => "measured from another edge or in another state it is another length, and would be set wrong",
    }
}

fn tuning(shop: &Shop, fork: &ResolvedFork, target: FieldId, range: FieldId, found: &mut Vec<Finding>) {
    for side in Side::BOTH {
        let (Some(value), Some(limits)) = (fork.on(side, target), fork.on(side, range)) else { continue };
        let (Some(chosen), Some(between)) = (value.quantity(), limits.quantity()) else { continue };
        // In different states the two say nothing about each other; that has been said.
        if super::states::differ(value, limits).is_some() {
            continue;
        }
        let slack = 1e-9;
        if chosen.middle_si() < between.least_si() - slack
            || chosen.middle_si() > between.greatest_si() + slack
        {
            let field = shop.catalogue.field(target);
            found.push(
                rules::OUTSIDE_TUNING_RANGE
                    .at(
                        value.entry.span,
                        format!(
                            "{} of {} lies outside the tuning range {}",
                            lower_first(&field.title),
                            value.entry.text,
                            limits.entry.text
                        ),
                    )
                    .bench(lower_first(&field.wrong))
                    .instead("correct the one that is wrong")
                    .also(limits.entry.span, "the range that may be chosen"),
            );
        }
    }
}

/// unknown-source, dangling-reference inside values: what a value points at exists.
pub(super) fn value_links(shop: &Shop, record: &crate::record::SpecRecord, found: &mut Vec<Finding>) {
    let known: Vec<&str> = record.sources.iter().map(|source| source.id.text.as_str()).collect();
    let mut source = |text: &crate::record::Text| {
        if record.source_note(&text.text).is_none() {
            found.push(
                rules::UNKNOWN_SOURCE
                    .at(text.span, format!("`{}` is not among this record's sources", text.text))
                    .bench("nobody could look up where the number comes from")
                    .instead(did_you_mean(&text.text, known.iter().copied(), || {
                        if known.is_empty() {
                            "add it under `sources:` with its kind and title".to_owned()
                        } else {
                            format!("name one of {}, or add it under `sources:`", known.join(", "))
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
    }
    for (id, entry) in entries {
        let Some(Value::Reference(target)) = &entry.value else { continue };
        let field = shop.catalogue.field(id);
        if let crate::quantity::Kind::Reference(to) = &field.kind {
            super::links::value(shop, to, target, entry.span, found);
        }
    }
}
