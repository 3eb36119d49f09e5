//! Mistakes in procedures, cautions, conditions and services.

use std::collections::BTreeSet;

use benchleaf::quantity::{Quantity, Shape};
use benchleaf::record::{Procedure, Text};
use benchleaf::syntax::Scheme;
use benchleaf::syntax::markdown::{Body, Reference};
use benchleaf::text::Span;

use crate::mistake::{Change, Mistake};
use crate::random::Random;
use crate::records::misspelt;
use crate::world::{World, taken_out};

/// Every body of procedures and cautions, with its record's name.
fn bodies(world: &World) -> Vec<(String, &Body)> {
    let shop = &world.checked.shop;
    let procedures = shop.procedures.iter().map(|one| (format!("procedure {}", one.id.text), &one.body));
    let cautions = shop.cautions.iter().map(|one| (format!("caution {}", one.id.text), &one.body));
    procedures.chain(cautions).collect()
}

/// The whole of a link in the source, brackets and all.
fn link(world: &World, reference: &Reference) -> Span {
    let text = world.file(reference.span);
    let (start, end) = (reference.span.range().start, reference.span.range().end);
    let from = text[..start].rfind(['[', '<']).unwrap_or(start);
    let to = text[end..].find([')', '>']).map_or(end, |at| end + at + 1);
    Span::new(reference.span.file, from, to)
}

/// Each reference to a value.
fn values<'w>(world: &'w World, schemes: &[Scheme]) -> Vec<(String, &'w Reference)> {
    let of = |(name, body): (String, &'w Body)| {
        let fits = body.references.iter().filter(|reference| schemes.contains(&reference.scheme));
        fits.map(|reference| (name.clone(), reference)).collect::<Vec<_>>()
    };
    bodies(world).into_iter().flat_map(of).collect()
}

/// A figure that some fork gives for a value.
fn some_figure(world: &World, key: &str) -> Option<String> {
    let lines = world.lines();
    let line = lines.iter().find(|line| {
        let text = &line.entry.text;
        line.field.key == key
            && line.entry.value.as_ref().is_some_and(|value| value.quantity().is_some())
            && !text.is_empty()
    })?;
    let text = line.entry.text.split(" (").next()?;
    Some(text.to_owned())
}

/// A link to a value written as a figure.
pub fn prose_number(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for (name, reference) in values(world, &[Scheme::Spec]) {
        let counted = ["adjusters.", "intervals.", "setup.bleed"]
            .iter()
            .any(|group| reference.target.starts_with(group));
        let timed = reference.target == "oil.rest_time";
        let Some(figure) = some_figure(world, &reference.target).filter(|_| !counted && !timed) else {
            continue;
        };
        let span = link(world, reference);
        let what = format!("{name}: `{}` reads `{figure}`", world.text(span));
        out.push(Mistake::new(what, world.change(span, figure.clone())).words([figure]));
    }
    out
}

/// A figure added to a step or a caution.
pub fn prose_added(world: &World, random: &mut Random) -> Vec<Mistake> {
    const ADDED: [&str; 8] = [
        "Tighten it to 22 N·m.",
        "Then 24 lb.",
        "Pour in 16 oz.",
        "Pump it to 2.5 bar.",
        "Tighten to twenty-two newton metres.",
        "Pour in 1,2 L.",
        "Fill 480 mL.",
        "Go to 30 ft-lb and not further.",
    ];
    let mut out = Vec::new();
    for (name, body) in bodies(world) {
        for reference in &body.references {
            // The end of the paragraph that the link stands in.
            let text = world.file(reference.span);
            let end = reference.span.range().end;
            let at = text[end..].find("\n\n").map_or(text.trim_end().len(), |found| end + found);
            let paragraph = text[..end].rfind("\n\n").map_or(0, |found| found + 2);
            if reference.scheme == Scheme::Caution
                || text[paragraph..].trim_start().starts_with('>')
                || at < end
            {
                continue;
            }
            let Some(added) = random.of_list(&ADDED) else { continue };
            let span = Span::new(reference.span.file, at, at);
            let place = Span::new(reference.span.file, paragraph, at);
            let what = format!("{name}: added `{added}`");
            out.push(Mistake::new(what, world.within(place, span, format!(" {added}"))).added());
        }
    }
    for caution in world.checked.shop.cautions.iter() {
        let text = world.file(caution.id.span);
        let at = text.trim_end().len();
        let Some(added) = random.of_list(&ADDED) else { continue };
        let span = Span::new(caution.id.span.file, at, at);
        let what = format!("caution {}: added `{added}`", caution.id.text);
        out.push(Mistake::new(what, world.change(span, format!(" {added}"))).added());
    }
    out
}

/// A link or a box of another value of the same group.
pub fn reference_other(world: &World, scheme: Scheme) -> Vec<Mistake> {
    let catalogue = &world.checked.shop.catalogue;
    let used: BTreeSet<&str> = world
        .lines()
        .iter()
        .map(|line| line.field.key.clone())
        .filter_map(|key| catalogue.find(&key).map(|id| catalogue.field(id).key.as_str()))
        .collect();
    let mut out = Vec::new();
    for (name, reference) in values(world, &[scheme]) {
        let Some(here) = catalogue.find(&reference.target).map(|id| catalogue.field(id)) else { continue };
        let other = |key: &&&str| {
            let there = catalogue.find(key).map(|id| catalogue.field(id));
            there.is_some_and(|there| {
                there.group == here.group && there.key != here.key && there.kind == here.kind
            })
        };
        for key in used.iter().filter(other) {
            let what = format!("{name}: `{}` leads to `{key}`", reference.target);
            out.push(
                Mistake::new(what, world.change(reference.span, *key))
                    .words([reference.target.clone()])
                    .hurts(here.safety),
            );
        }
    }
    out
}

pub fn refill_dry(world: &World) -> Vec<Mistake> {
    let other = |target: &str| match target {
        "oil.refill" => Some("oil.dry_fill"),
        "oil.dry_fill" => Some("oil.refill"),
        _ => None,
    };
    let swapped = |(name, reference): (String, &Reference)| {
        let there = other(&reference.target)?;
        let what = format!("{name}: `{}` leads to `{there}`", reference.target);
        Some(Mistake::new(what, world.change(reference.span, there)).words([reference.target.clone()]))
    };
    values(world, &[Scheme::Spec, Scheme::Reading]).into_iter().filter_map(swapped).collect()
}

pub fn link_lost(world: &World, random: &mut Random) -> Vec<Mistake> {
    let schemes = [Scheme::Spec, Scheme::Reading, Scheme::Caution, Scheme::Tool];
    let lost = |(name, reference): (String, &Reference)| {
        let there = misspelt(random, &reference.target);
        let what = format!("{name}: `{}` reads `{there}`", reference.target);
        Mistake::new(what, world.change(reference.span, there))
    };
    values(world, &schemes).into_iter().map(lost).collect()
}

/// A quarter turn in a step reads two full turns.
pub fn turn_words(world: &World) -> Vec<Mistake> {
    const QUARTERS: [&str; 2] = ["a quarter turn", "one quarter turn"];
    let mut out = Vec::new();
    for procedure in world.checked.shop.procedures.iter() {
        let text = world.file(procedure.id.span);
        for quarter in QUARTERS {
            for (at, _) in text.match_indices(quarter) {
                let span = Span::new(procedure.id.span.file, at, at + quarter.len());
                let what = format!("procedure {}: `{quarter}` reads `two full turns`", procedure.id.text);
                out.push(Mistake::new(what, world.change(span, "two full turns")));
            }
        }
    }
    out
}

/// The ends of a range, SI.
pub fn ends(range: &Quantity) -> Option<(f64, f64)> {
    let Shape::Range { from, to } = &range.main().shape else { return None };
    let si = |number: String| Some(range.main().unit.to_si(number.parse().ok()?));
    Some((si(from.to_string())?, si(to.to_string())?))
}

/// Whether one of these wrenches reads well at every torque that the procedure links, on every fork that has it.
fn serve_all(world: &World, procedure: &Procedure, wrenches: &[&str]) -> bool {
    let shop = &world.checked.shop;
    let ranges: Vec<(f64, f64)> =
        wrenches.iter().filter_map(|id| ends(shop.tool(id)?.torques.as_ref()?)).collect();
    let linked = |key: &str| {
        let mut links = procedure.body.references.iter();
        links.any(|link| link.scheme == Scheme::Spec && link.target == key)
    };
    world.lines().iter().filter(|line| line.field.group == "torque" && linked(&line.field.key)).all(|line| {
        let torque = line.entry.value.as_ref().and_then(|value| value.quantity());
        torque.is_none_or(|torque| {
            let at = torque.middle_si();
            ranges.iter().any(|(least, greatest)| (*least..=*greatest).contains(&at))
        })
    })
}

/// A torque wrench exchanged for one that does not read well at one of the procedure's joints, or that its steps do not
/// name.
pub fn wrench(world: &World) -> Vec<Mistake> {
    let shop = &world.checked.shop;
    let wrenches: Vec<&str> =
        shop.tools.iter().filter(|tool| tool.torques.is_some()).map(|tool| tool.id.text.as_str()).collect();
    let mut out = Vec::new();
    for procedure in shop.procedures.iter() {
        let has: Vec<&Text> =
            procedure.tools.iter().filter(|tool| wrenches.contains(&tool.text.as_str())).collect();
        for tool in &has {
            for other in wrenches.iter().filter(|other| has.iter().all(|had| had.text != **other)) {
                let mut now: Vec<&str> = has.iter().map(|had| had.text.as_str()).collect();
                now.retain(|had| *had != tool.text);
                now.push(other);
                let named = procedure.body.references.iter().any(|link| link.target == tool.text);
                if !named && serve_all(world, procedure, &now) {
                    continue;
                }
                let what = format!("procedure {}: `{}` reads `{other}`", procedure.id.text, tool.text);
                out.push(Mistake::new(what, world.change(tool.span, *other)).words([*other, "torque"]));
            }
        }
    }
    out
}

/// An entry of a list taken out.
fn without(world: &World, entry: &Text, what: String) -> Mistake {
    let text = world.file(entry.span);
    let range = taken_out(text, entry.span.range().start, entry.span.range().end);
    let change = Change { range: range.clone(), place: range, ..world.change(entry.span, "") };
    Mistake::new(what, change).words([entry.text.clone(), says(world, &entry.text)])
}

/// The sentence of a condition.
fn says(world: &World, id: &str) -> String {
    let conditions = &world.checked.shop.conditions.list;
    conditions
        .iter()
        .find(|condition| condition.id.text == id)
        .map_or_else(String::new, |condition| condition.says.clone())
}

/// Each entry of a list of a procedure's head left out.
pub fn left_out(world: &World, key: &str, list: impl Fn(&Procedure) -> &[Text]) -> Vec<Mistake> {
    let mut out = Vec::new();
    for procedure in world.checked.shop.procedures.iter() {
        for entry in list(procedure) {
            let what = format!("procedure {}: `{key}` without `{}`", procedure.id.text, entry.text);
            out.push(without(world, entry, what).words([format!("`{}`", procedure.id.text)]));
        }
    }
    out
}

pub fn condition_lost(world: &World, random: &mut Random) -> Vec<Mistake> {
    let mut out = Vec::new();
    for procedure in world.checked.shop.procedures.iter() {
        for entry in procedure.needs.iter().chain(&procedure.brings) {
            let there = misspelt(random, &entry.text);
            let what = format!("procedure {}: `{}` reads `{there}`", procedure.id.text, entry.text);
            out.push(Mistake::new(what, world.change(entry.span, there)));
        }
    }
    out
}

/// A step left out; one that links to something, or one that does not.
pub fn step(world: &World, linking: bool) -> Vec<Mistake> {
    let mut out = Vec::new();
    for procedure in world.checked.shop.procedures.iter() {
        if procedure.body.steps().count() < 2 {
            continue;
        }
        for (at, step) in procedure.body.steps().enumerate() {
            let inside = |reference: &&Reference| {
                let strong = [Scheme::Spec, Scheme::Reading, Scheme::Caution].contains(&reference.scheme);
                strong && step.span.range().contains(&reference.span.range().start)
            };
            let links: Vec<String> =
                procedure.body.references.iter().filter(inside).map(|one| one.target.clone()).collect();
            if links.is_empty() == linking {
                continue;
            }
            let what = format!("procedure {}: without step {}", procedure.id.text, at + 1);
            let words = links.into_iter().chain([format!("`{}`", procedure.id.text)]);
            out.push(Mistake::new(what, world.change(step.span, "")).words(words));
        }
    }
    out
}

pub fn caution_link(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for procedure in world.checked.shop.procedures.iter() {
        for reference in procedure.body.steps().flat_map(|step| &step.cautions) {
            let text = world.file(reference.span);
            let whole = link(world, reference).range();
            let after = &text[whole.end..];
            let end = text.len() - after.trim_start_matches(['\n', ' ']).len();
            let span = Span::new(reference.span.file, whole.start, end);
            let what = format!("procedure {}: without the link to `{}`", procedure.id.text, reference.target);
            out.push(
                Mistake::new(what, world.change(span, ""))
                    .words([reference.target.clone(), reference.text.clone()]),
            );
        }
    }
    out
}

pub fn signal_word(world: &World) -> Vec<Mistake> {
    const LOWER: [(&str, &str); 3] = [("danger", "warning"), ("warning", "caution"), ("caution", "notice")];
    let mut out = Vec::new();
    for caution in world.checked.shop.cautions.iter() {
        let Some(word) = world.tree(caution.id.span).and_then(|tree| tree.get("signal")) else { continue };
        let Some((_, lower)) = LOWER.iter().find(|(word_of, _)| world.text(word.span) == *word_of) else {
            continue;
        };
        let what = format!("caution {}: `signal: {lower}`", caution.id.text);
        out.push(Mistake::new(what, world.change(word.span, *lower)).words([caution.id.text.clone()]));
    }
    out
}

pub fn caution_text(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for caution in world.checked.shop.cautions.iter() {
        let text = world.file(caution.id.span);
        let Some((_, body)) = benchleaf::syntax::markdown::split(text) else { continue };
        let mut from = body + (text[body..].len() - text[body..].trim_start().len());
        while let Some(end) = text[from..].find(". ") {
            let span = Span::new(caution.id.span.file, from, from + end + 2);
            let what = format!("caution {}: without `{}`", caution.id.text, world.text(span).trim());
            out.push(Mistake::new(what, world.change(span, "")).words([caution.id.text.clone()]));
            from += end + 2;
        }
    }
    out
}

/// Whether some fork of the shop has chosen an option.
fn chosen(world: &World, option: &str) -> bool {
    world.checked.forks.iter().any(|fork| fork.choices.values().any(|made| made == option))
}

/// A record's `for:` loses an alternative of one of its lists; what was for all is narrowed.
pub fn narrowed(world: &World, heads: &[(String, Span)], narrow: bool) -> Vec<Mistake> {
    let mut out = Vec::new();
    for (name, id) in heads {
        let Some(tree) = world.tree(*id) else { continue };
        let Some(list) = tree.get("for") else {
            if narrow {
                let span = Span::new(id.file, id.range().end, id.range().end);
                let change = world.change(span, "\nfor: [{orientation: [inverted]}]");
                out.push(
                    Mistake::new(format!("{name}: only for inverted forks"), change).words([name.clone()]),
                );
            }
            continue;
        };
        let text = world.file(*id);
        for alternative in list.items() {
            for options in alternative.entries().iter().map(|entry| &entry.value) {
                if options.items().len() < 2 {
                    continue;
                }
                for option in options.items() {
                    if !narrow && !chosen(world, world.text(option.span)) {
                        continue;
                    }
                    let range = taken_out(text, option.span.range().start, option.span.range().end);
                    let what = format!("{name}: no longer for `{}`", world.text(option.span));
                    let change = Change { range, ..world.within(list.span, option.span, "") };
                    out.push(Mistake::new(what, change).words([name.rsplit(' ').next().unwrap_or_default()]));
                }
            }
            if list.items().len() > 1 {
                let range = taken_out(text, alternative.span.range().start, alternative.span.range().end);
                let what = format!("{name}: no longer for `{}`", world.text(alternative.span));
                let change = Change { range, ..world.within(list.span, alternative.span, "") };
                out.push(Mistake::new(what, change).words([name.rsplit(' ').next().unwrap_or_default()]));
            }
        }
    }
    out
}

pub fn caution_for(world: &World) -> Vec<Mistake> {
    let heads: Vec<_> = world
        .checked
        .shop
        .cautions
        .iter()
        .map(|one| (format!("caution {}", one.id.text), one.id.span))
        .collect();
    narrowed(world, &heads, true)
}

pub fn procedure_for(world: &World) -> Vec<Mistake> {
    let procedures = world.checked.shop.procedures.iter();
    let heads: Vec<_> = procedures.map(|one| (format!("procedure {}", one.id.text), one.id.span)).collect();
    narrowed(world, &heads, false)
}

pub fn condition_caution(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for condition in &world.checked.shop.conditions.list {
        for entry in &condition.cautions {
            let what = format!("condition {}: without the caution `{}`", condition.id.text, entry.text);
            out.push(without(world, entry, what).words([condition.id.text.clone()]));
        }
    }
    out
}

pub fn condition_excludes(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for condition in &world.checked.shop.conditions.list {
        for entry in condition.excludes.iter().chain(&condition.implies) {
            let what = format!("condition {}: without `{}`", condition.id.text, entry.text);
            out.push(without(world, entry, what).words([condition.id.text.clone()]));
        }
    }
    out
}

pub fn hand_back(world: &World) -> Vec<Mistake> {
    let shop = &world.checked.shop;
    let of_all = shop.conditions.hand_back.iter().map(|entry| ("every service".to_owned(), entry));
    let services = shop.services.iter().flat_map(|service| {
        service.hand_back.iter().map(|entry| (format!("service {}", service.id.text), entry))
    });
    let made = |(name, entry): (String, &Text)| {
        without(world, entry, format!("{name}: hand-back without `{}`", entry.text))
    };
    of_all.chain(services).map(made).collect()
}

/// The lines of a service's list, each as it stands.
fn service_lines(world: &World, service: &benchleaf::record::Service) -> Vec<(Span, Vec<String>)> {
    let text = world.file(service.id.span);
    let of = |entry: &benchleaf::record::ServiceEntry| {
        let first = entry.options.first()?.span.range().start;
        let start = text[..first].rfind("\n  - ")? + 1;
        let end =
            text[first..].find("\n  - ").or_else(|| text[first..].rfind('\n')).map(|at| first + at + 1)?;
        let ids = entry.options.iter().map(|option| option.text.clone()).collect();
        Some((Span::new(service.id.span.file, start, end), ids))
    };
    service.entries.iter().filter_map(of).collect()
}

pub fn service_entry(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for service in world.checked.shop.services.iter() {
        for (span, ids) in service_lines(world, service) {
            let what = format!("service {}: without {}", service.id.text, ids.join(" / "));
            let brought =
                ids.iter().filter_map(|id| world.checked.shop.procedure(id)).flat_map(|one| &one.brings);
            let brought: Vec<String> =
                brought.flat_map(|text| [text.text.clone(), says(world, &text.text)]).collect();
            out.push(Mistake::new(what, world.change(span, "")).words(ids).words(brought));
        }
    }
    out
}

/// Two neighbors exchanged, unless it is on record that their order is free.
pub fn service_order(world: &World) -> Vec<Mistake> {
    let free = include_str!("../../tests/free_swaps.txt");
    let is_free = |a: &[String], b: &[String]| {
        let pairs = a.iter().flat_map(|a| b.iter().map(move |b| (a, b)));
        pairs.into_iter().any(|(a, b)| {
            free.lines()
                .any(|line| line.trim() == format!("{a} / {b}") || line.trim() == format!("{b} / {a}"))
        })
    };
    let mut out = Vec::new();
    for service in world.checked.shop.services.iter() {
        for pair in service_lines(world, service).windows(2) {
            let [(one, ids), (other, next)] = pair else { continue };
            if is_free(ids, next) {
                continue;
            }
            let what = format!(
                "service {}: {} and {} exchanged",
                service.id.text,
                ids.join(" / "),
                next.join(" / ")
            );
            let there = world.change(*other, world.text(*one));
            let mistake = Mistake::new(what, world.change(*one, world.text(*other))).and(there);
            out.push(mistake.words(ids.clone()).words(next.clone()));
        }
    }
    out
}
