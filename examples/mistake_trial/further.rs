//! Mistakes that a reviewer made by hand: sentences that hold somebody back, what is worn, waited for and signed, tools,
//! and figures of one record that belong together.

use benchleaf::quantity::Dimension;
use benchleaf::record::{Procedure, Text};
use benchleaf::syntax::markdown::Step;
use benchleaf::text::Span;

use crate::mistake::{Change, Mistake};
use crate::world::{Line, World, taken_out};

/// Words that forbid or limit, and what turns them round. Empty: left out.
const TURNED: [(&str, &str); 14] = [
    (", no more", ""),
    ("never ", ""),
    (" only", ""),
    ("slack", "tight"),
    ("slowly", "quickly"),
    ("collapse the", "extend the"),
    ("Do not ", ""),
    (" before ", " after "),
    ("without ", "with "),
    ("othing ", "omething "),
    ("by hand", "with the wrench"),
    ("upright", "level"),
    ("clear of", "close to"),
    ("stop.", "go on."),
];

/// The words of a step that say what to do, without its reason.
fn action(world: &World, step: &Step) -> Span {
    let text = world.text(step.span);
    let end = text.find("\n   >").unwrap_or(text.trim_end().len());
    Span::new(step.span.file, step.span.range().start, step.span.range().start + end)
}

/// Each step of each procedure, by what to do.
fn actions(world: &World) -> Vec<(&Procedure, Span)> {
    let shop = &world.checked.shop;
    let of = |one: &'_ Procedure| one.body.steps().map(|step| action(world, step)).collect::<Vec<_>>();
    shop.procedures.iter().flat_map(|one| of(one).into_iter().map(move |span| (one, span))).collect()
}

fn named(procedure: &Procedure) -> [String; 1] {
    [format!("`{}`", procedure.id.text)]
}

/// A word that forbids or limits is turned round, or left out.
pub fn limit_words(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for (procedure, span) in actions(world) {
        for (word, turned) in TURNED {
            for (at, _) in world.text(span).match_indices(word) {
                let from = span.range().start + at;
                let here = Span::new(span.file, from, from + word.len());
                let what = format!("procedure {}: `{word}` reads `{turned}`", procedure.id.text);
                out.push(Mistake::new(what, world.change(here, turned)).words(named(procedure)));
            }
        }
    }
    out
}

/// A sentence with such a word left out of its step; none that links a value, a box or a caution.
pub fn limit_lost(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for (procedure, span) in actions(world) {
        let text = world.text(span);
        let mut from = 0;
        for sentence in text.split_inclusive(". ") {
            let here =
                Span::new(span.file, span.range().start + from, span.range().start + from + sentence.len());
            from += sentence.len();
            let links = ["](", "<reading:"].iter().any(|mark| sentence.contains(mark));
            let limits = TURNED.iter().any(|(word, _)| sentence.contains(word));
            if limits && !links && sentence.len() < text.len() {
                let what = format!("procedure {}: without `{}`", procedure.id.text, sentence.trim());
                out.push(Mistake::new(what, world.change(here, "")).words(named(procedure)));
            }
        }
    }
    out
}

/// Two neighboring steps exchanged, each under the other's number.
pub fn steps_exchanged(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for procedure in world.checked.shop.procedures.iter() {
        let steps: Vec<Span> = procedure.body.steps().map(|step| step.span).collect();
        for pair in steps.windows(2) {
            let (one, other) = (world.text(pair[0]).to_owned(), world.text(pair[1]).to_owned());
            let what = format!("procedure {}: two steps exchanged: {:.30}…", procedure.id.text, one);
            let there = world.change(pair[1], format!("{}\n", one.trim_end()));
            let here = world.change(pair[0], format!("{}\n\n", other.trim_end()));
            out.push(Mistake::new(what, here).and(there).words(named(procedure)));
        }
    }
    out
}

/// A key of a head left out, with its line.
fn without_key(world: &World, id: Span, key: &str, name: &str) -> Option<Mistake> {
    let node = world.tree(id)?.get(key)?;
    let text = world.file(id);
    let range = taken_out(text, node.span.range().start, node.span.range().end);
    let change = Change { range: range.clone(), place: range, ..world.change(node.span, "") };
    Some(Mistake::new(format!("{name}: without `{key}:`"), change).words([name.to_owned()]))
}

/// What is signed for, and what is said for the whole job, left out.
pub fn signed(world: &World) -> Vec<Mistake> {
    let shop = &world.checked.shop;
    let procedures = shop.procedures.iter().map(|one| (&one.id, "sign_off"));
    let cautions = shop.cautions.iter().map(|one| (&one.id, "whole_job"));
    let all = procedures.chain(cautions);
    all.filter_map(|(id, key)| without_key(world, id.span, key, &format!("`{}`", id.text))).collect()
}

/// How long something waits left out of a head.
pub fn waiting(world: &World) -> Vec<Mistake> {
    let procedures = world.checked.shop.procedures.iter();
    procedures
        .filter_map(|one| without_key(world, one.id.span, "waiting", &format!("`{}`", one.id.text)))
        .collect()
}

/// What is worn, or used up, left out of a head.
pub fn worn(world: &World, consumable: bool) -> Vec<Mistake> {
    let shop = &world.checked.shop;
    let mut out = Vec::new();
    for procedure in shop.procedures.iter() {
        let of = |id: &&Text| {
            shop.tool(&id.text)
                .is_some_and(|tool| if consumable { tool.consumable && !tool.worn } else { tool.worn })
        };
        for id in procedure.tools.iter().chain(&procedure.consumables).filter(of) {
            let range = taken_out(world.file(id.span), id.span.range().start, id.span.range().end);
            let change = Change { range: range.clone(), place: range, ..world.change(id.span, "") };
            let what = format!("procedure {}: without `{}`", procedure.id.text, id.text);
            out.push(Mistake::new(what, change).words([id.text.clone()]));
        }
    }
    out
}

/// The torques of a wrench ten times too large at their upper end, or ten times too small at the lower.
pub fn wrench_range(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for tool in world.checked.shop.tools.iter() {
        let Some(node) = world.tree(tool.id.span).and_then(|tree| tree.get("torques")) else { continue };
        let text = world.text(node.span);
        let Some((low, high)) = text.split_once("..") else { continue };
        for wrong in [format!("{low}..{}", high.replacen(' ', "0 ", 1)), format!("0.{low}..{high}")] {
            let what = format!("tool {}: `{text}` reads `{wrong}`", tool.id.text);
            out.push(Mistake::new(what, world.change(node.span, wrong)).words([tool.id.text.clone()]));
        }
    }
    out
}

/// The last calibration years too late.
pub fn calibration(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for tool in world.checked.shop.tools.iter() {
        let Some(last) = tool.calibrated.last() else { continue };
        let wrong = format!("\"2029{}\"", &last.text[4..]);
        let what = format!("tool {}: calibrated {wrong}", tool.id.text);
        out.push(Mistake::new(what, world.change(last.span, wrong)).words([tool.id.text.clone()]));
    }
    out
}

/// A gauge exchanged, in head and steps, for one with another scale.
pub fn gauge(world: &World) -> Vec<Mistake> {
    let shop = &world.checked.shop;
    let scale = |id: &str| Some(crate::work::ends(&shop.tool(id)?.reads(Dimension::Pressure)?)?.1);
    let mut out = Vec::new();
    for procedure in shop.procedures.iter() {
        for id in &procedure.tools {
            let Some(here) = scale(&id.text) else { continue };
            for other in shop.tools.iter() {
                let far = scale(&other.id.text).is_some_and(|there| there > 4.0 * here || here > 4.0 * there);
                if !far {
                    continue;
                }
                let what =
                    format!("procedure {}: `{}` reads `{}`", procedure.id.text, id.text, other.id.text);
                let mut mistake = Mistake::new(what, world.change(id.span, other.id.text.clone()));
                for link in procedure.body.references.iter().filter(|link| link.target == id.text) {
                    mistake = mistake.and(world.change(link.span, format!("tool:{}", other.id.text)));
                }
                let linked = |key: &str| {
                    key.starts_with("air.") && procedure.body.references.iter().any(|link| link.target == key)
                };
                // A pressure that the other gauge reads as well makes no mistake.
                let reads = |line: &Line<'_>| {
                    let said = line.entry.value.as_ref().and_then(|value| value.quantity());
                    let there = scale(&other.id.text).unwrap_or_default();
                    said.is_none_or(|said| (0.08 * there..=there).contains(&said.middle_si()))
                };
                let lines = world.lines();
                let target = |line: &&Line<'_>| {
                    linked(&line.field.key) && line.field.form == benchleaf::catalogue::Form::Target
                };
                if lines.iter().filter(target).any(|line| !reads(line)) {
                    out.push(mistake.words([other.id.text.clone()]));
                }
            }
        }
    }
    out
}

/// One of two damping adjusters counted from the other end.
pub fn counted(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for line in world.lines() {
        let Some(from) = line.entry.attributes.get("counted") else { continue };
        let damping = ["adjusters.rebound", "adjusters.compression"].contains(&line.field.key.as_str());
        let turned = match from.text.text.as_str() {
            "from-closed" => "from-open",
            "from-open" => "from-closed",
            _ => continue,
        };
        let others = world.lines_of(line.record);
        let beside = others.iter().any(|other| {
            other.id != line.id
                && other.field.group == "adjusters"
                && other.field.key != "adjusters.preload"
                && other.entry.attributes.contains_key("counted")
        });
        if damping && beside {
            let what = format!("{} {}: counted {turned}", line.record.name(), line.field.key);
            out.push(Mistake::new(what, world.within(line.line.span, from.text.span, turned)));
        }
    }
    out
}

/// Two values of one record exchanged.
fn exchanged(world: &World, one: &str, other: &str) -> Vec<Mistake> {
    let mut out = Vec::new();
    let shop = &world.checked.shop;
    for record in shop.forks.iter().chain(shop.families.iter()) {
        let lines = world.lines_of(record);
        let of = |key: &str| {
            lines.iter().find(|line| line.field.key == key).and_then(|line| Some((line, world.node(line)?)))
        };
        let (Some((a, here)), Some((b, there))) = (of(one), of(other)) else { continue };
        let what = format!("{} {one} and {other} exchanged", record.name());
        let first = world.within(a.line.span, here.span, world.text(there.span));
        let second = world.within(b.line.span, there.span, world.text(here.span));
        out.push(Mistake::new(what, first).and(second));
    }
    out
}

/// The shares of lubricant of two chambers exchanged.
pub fn lubricants(world: &World) -> Vec<Mistake> {
    exchanged(world, "oil.lubricant_main", "oil.lubricant_second")
}

/// Everything that stands for one leg alone among the adjusters, on the other leg.
pub fn adjuster_sides(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for record in world.checked.shop.forks.iter() {
        let lines = world.lines_of(record);
        let mut changes = Vec::new();
        for line in lines.iter().filter(|line| line.field.group == "adjusters") {
            let Some(node) = world.node(line) else { continue };
            let (Some(left), Some(right)) = (node.get("left"), node.get("right")) else { continue };
            let one = world.within(line.line.span, left.span, world.text(right.span));
            if changes.iter().all(|change: &Change| change.range != one.range) {
                changes.push(one);
                changes.push(world.within(line.line.span, right.span, world.text(left.span)));
            }
        }
        let mut changes = changes.into_iter();
        let Some(first) = changes.next() else { continue };
        let what = format!("{}: left and right of every adjuster exchanged", record.name());
        out.push(changes.fold(Mistake::new(what, first), Mistake::and));
    }
    out
}

/// The values of a key, each with its text.
fn of_key<'w>(world: &'w World, key: &str) -> Vec<(Line<'w>, Span)> {
    let lines = world.lines().into_iter().filter(|line| line.field.key == key);
    lines.filter_map(|line| world.node(&line).map(|node| node.span).map(|span| (line, span))).collect()
}

/// A spring's limit some millimeters, or a quarter, too low.
pub fn spring_limit(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for (line, span) in of_key(world, "spring.free_length_limit") {
        let Some(at) = line
            .entry
            .value
            .as_ref()
            .and_then(|value| value.quantity())
            .map(|said| said.middle_si() * 1000.0)
        else {
            continue;
        };
        for share in [0.955, 0.75] {
            let wrong = format!("≥ {:.0} mm", at * share);
            let what = format!("{} {}: {wrong}", line.record.name(), line.field.key);
            out.push(Mistake::new(what, world.within(line.line.span, span, wrong)));
        }
    }
    out
}

/// The spring's preload ten millimeters more, both lengths kept.
pub fn preload(world: &World) -> Vec<Mistake> {
    let has = |line: &Line<'_>, key: &str| world.lines_of(line.record).iter().any(|one| one.field.key == key);
    let mut out = Vec::new();
    for (line, span) in of_key(world, "spring.preload") {
        if !has(&line, "spring.fitted_length") || !has(&line, "spring.free_length") {
            continue;
        }
        let Some(said) = line.entry.value.as_ref().and_then(|value| value.quantity()) else { continue };
        let wrong = format!("{:.0} mm", said.middle_si() * 1000.0 + 10.0);
        let what = format!("{} {}: {wrong}", line.record.name(), line.field.key);
        out.push(Mistake::new(what, world.within(line.line.span, span, wrong)));
    }
    out
}

/// The leg that the axle is screwed into is the one that floats.
pub fn axle_side(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for (line, span) in of_key(world, "setup.axle_held") {
        let text = world.text(span).to_owned();
        let wrong = text
            .replacen("screwed into the left", "screwed into the @", 1)
            .replacen("screwed into the right", "screwed into the left", 1)
            .replacen('@', "right", 1);
        if wrong != text {
            let what = format!("{} {}: {wrong}", line.record.name(), line.field.key);
            out.push(Mistake::new(what, world.within(line.line.span, span, wrong)));
        }
    }
    out
}

/// How many jobs of a fork are on record.
fn jobs(world: &World, fork: &str) -> usize {
    world.checked.shop.jobs.iter().filter(|job| job.fork.text == fork).count()
}

/// Dry fill and refill of another fork at this one's gap, where two jobs or more are on record.
pub fn fills_other(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    let shop = &world.checked.shop;
    for record in shop.forks.iter().filter(|record| jobs(world, &record.id.text) >= 2) {
        for other in shop.forks.iter().filter(|other| other.id != record.id) {
            let (here, there) = (world.lines_of(record), world.lines_of(other));
            let of = |lines: &[Line<'_>], key: &str| {
                let line = lines.iter().find(|line| line.field.key == key)?;
                world.node(line).map(|node| (line.line.span, node.span))
            };
            let mut mistake: Option<Mistake> = None;
            for key in ["oil.dry_fill", "oil.refill"] {
                let (Some((whole, mine)), Some((_, theirs))) = (of(&here, key), of(&there, key)) else {
                    continue;
                };
                if world.text(mine) == world.text(theirs) || world.text(theirs).contains("source") {
                    continue;
                }
                let change = world.within(whole, mine, world.text(theirs));
                let what = format!("{}: the fills of {}", record.name(), other.name());
                mistake = Some(
                    mistake.map_or_else(|| Mistake::new(what, change.clone()), |one| one.and(change.clone())),
                );
            }
            out.extend(mistake);
        }
    }
    out
}

/// Another damping oil of the shop in the record of a fork that has jobs, or in its family.
pub fn oil_of_jobs(world: &World) -> Vec<Mistake> {
    let shop = &world.checked.shop;
    let mut out = Vec::new();
    for (line, span) in of_key(world, "oil.oil") {
        let here = world.text(span);
        let with_jobs = shop.forks.iter().any(|fork| {
            let of = fork.id == line.record.id
                || fork.family.as_ref().is_some_and(|family| family.text == line.record.id.text);
            of && jobs(world, &fork.id.text) >= 2
        });
        for oil in
            shop.oils.iter().filter(|oil| oil.id.text != here && oil.id.text.starts_with("quillon-damp"))
        {
            if with_jobs && here.starts_with("quillon-damp") {
                let what = format!("{} oil.oil: `{here}` reads `{}`", line.record.name(), oil.id.text);
                out.push(Mistake::new(what, world.within(line.line.span, span, oil.id.text.clone())));
            }
        }
    }
    out
}

/// The state of a thread that a step puts locking compound on, said to be dry.
pub fn thread_compound(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for line in world.lines() {
        let Some(state) = line.entry.attributes.get("thread_state") else { continue };
        if state.text.text == "locking-compound" {
            let what = format!("{} {}: `thread_state: dry`", line.record.name(), line.field.key);
            let words = [line.field.key.clone()];
            out.push(Mistake::new(what, world.within(line.line.span, state.text.span, "dry")).words(words));
        }
    }
    out
}
