//! Mistakes in the heads of records, in oils, and in which record belongs to which.

use benchleaf::record::SpecRecord;
use benchleaf::text::Span;

use crate::mistake::{Change, Mistake};
use crate::random::Random;
use crate::world::World;

/// An id with a letter lost.
pub fn misspelt(random: &mut Random, id: &str) -> String {
    let places: Vec<usize> =
        id.char_indices().skip(1).filter(|(_, c)| c.is_ascii_alphabetic()).map(|(at, _)| at).collect();
    let mut out = id.to_owned();
    if let Some(at) = random.of_list(&places) {
        out.remove(*at);
    }
    out
}

/// Another option of a choice.
pub fn choice(world: &World) -> Vec<Mistake> {
    let shop = &world.checked.shop;
    let mut out = Vec::new();
    for record in shop.forks.iter().chain(shop.families.iter()) {
        for (key, made) in &record.choices {
            let Some(choice) = shop.catalogue.choice(key) else { continue };
            for (option, _) in choice.options.iter().filter(|(option, _)| *option != made.text) {
                let what = format!("{}: {key} `{}` reads `{option}`", record.name(), made.text);
                out.push(
                    Mistake::new(what, world.change(made.span, option.clone()))
                        .words([key.replace('_', " "), option.clone()]),
                );
            }
        }
    }
    out
}

pub fn family_wrong(world: &World) -> Vec<Mistake> {
    let shop = &world.checked.shop;
    let mut out = Vec::new();
    for record in shop.forks.iter() {
        let Some(family) = &record.family else { continue };
        for other in shop.families.iter().filter(|other| other.id.text != family.text) {
            let what = format!("{}: family `{}` reads `{}`", record.name(), family.text, other.id.text);
            let change = world.change(family.span, other.id.text.clone());
            out.push(Mistake::new(what, change).words([other.id.text.clone(), "family".to_owned()]));
        }
    }
    out
}

/// A key at the left edge reads otherwise.
fn head(text: &str, key: &str, value: &str) -> String {
    let mut out = String::new();
    for line in text.split_inclusive('\n') {
        match line.starts_with(&format!("{key}:")) {
            true => out.push_str(&format!("{key}: {value}\n")),
            false => out.push_str(line),
        }
    }
    out
}

/// A record copied under another id.
fn copy(world: &World, record: &SpecRecord, id: &str, heads: &[(&str, &str)]) -> Option<Change> {
    let old = world.file(record.id.span);
    let mut text = head(old, "id", id);
    for (key, value) in heads {
        text = head(&text, key, value);
    }
    // Nobody has reviewed the copy.
    let end = text.find("\nreviewed:").map_or(text.len(), |at| at + 1);
    text.truncate(end);
    Some(Change { path: format!("specs/forks/{id}.yaml"), range: 0..0, place: 0..0, text })
}

pub fn duplicate(world: &World) -> Vec<Mistake> {
    let forks = world.checked.shop.forks.iter();
    let made = |record: &std::sync::Arc<SpecRecord>| {
        let id = format!("{}-b", record.id.text);
        let change = copy(world, record, &id, &[])?;
        Some(Mistake::new(format!("{} copied to `{id}`", record.name()), change).words([id]).added())
    };
    forks.filter_map(made).collect()
}

/// A fork of another maker with a family of the shop: its own figures are those of a fork of the family, the rest
/// comes from the family.
pub fn family_foreign(world: &World) -> Vec<Mistake> {
    let forks = world.checked.shop.forks.iter().filter(|record| record.family.is_some());
    let made = |record: &std::sync::Arc<SpecRecord>| {
        let heads = [("maker", "Orrin Forks"), ("model", "R9"), ("status", "published")];
        let mut change = copy(world, record, "orrin-r9", &heads)?;
        // Other machines, and no figure of its own that could be taken for the neighbor's.
        change.text = change.text.replace("{maker: ", "{maker: Orrin ");
        let family = record.family.as_ref()?.text.clone();
        let what = format!("a fork of another maker made like {}", record.name());
        Some(Mistake::new(what, change).words(["orrin-r9".to_owned(), family]).added())
    };
    forks.filter_map(made).collect()
}

/// The viscosity at 40 °C, mm²/s.
fn viscosity(world: &World, oil: &SpecRecord) -> Option<f64> {
    let id = world.checked.shop.catalogue.find("grade.viscosity_40")?;
    oil.values.iter().find(|line| line.field == id).and_then(|line| match &line.sides {
        benchleaf::record::Sides::Each(entry) => {
            entry.value.as_ref()?.quantity().map(|said| said.middle_si())
        }
        benchleaf::record::Sides::Legs(..) => None,
    })
}

pub fn oil_other(world: &World) -> Vec<Mistake> {
    let shop = &world.checked.shop;
    let mut out = Vec::new();
    for line in world.lines() {
        let Some(here) = shop.oil(&line.entry.text).and_then(|oil| viscosity(world, oil)) else { continue };
        for oil in shop.oils.iter() {
            let Some(there) = viscosity(world, oil) else { continue };
            if !(0.5..2.0).contains(&(there / here)) {
                let what = format!(
                    "{} {}: `{}` reads `{}`",
                    line.record.name(),
                    line.field.key,
                    line.entry.text,
                    oil.id.text
                );
                out.push(Mistake::new(
                    what,
                    world.within(line.line.span, line.entry.span, oil.id.text.clone()),
                ));
            }
        }
    }
    out
}

pub fn oil_lost(world: &World, random: &mut Random) -> Vec<Mistake> {
    let lines = world.lines();
    let oils = lines.iter().filter(|line| world.checked.shop.oil(&line.entry.text).is_some());
    oils.map(|line| {
        let there = misspelt(random, &line.entry.text);
        let what =
            format!("{} {}: `{}` reads `{there}`", line.record.name(), line.field.key, line.entry.text);
        Mistake::new(what, world.within(line.line.span, line.entry.span, there))
    })
    .collect()
}

/// A viscosity of an oil, its digits exchanged or its point moved.
pub fn oil_figure(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    let shop = &world.checked.shop;
    for oil in shop.oils.iter() {
        for line in &oil.values {
            let field = shop.catalogue.field(line.field);
            let benchleaf::record::Sides::Each(entry) = &line.sides else { continue };
            let viscosity = field.key.starts_with("grade.viscosity_");
            let Some(quantity) =
                entry.value.as_ref().and_then(|value| value.quantity()).filter(|_| viscosity)
            else {
                continue;
            };
            let number = quantity.main().shape.number().to_string();
            let letters: Vec<char> = number.chars().collect();
            let mut wrong = vec![number.replace('.', "")];
            if letters.len() > 1
                && letters[0] != letters[1]
                && letters[1].is_ascii_digit()
                && letters[1] != '0'
            {
                wrong.push(format!("{}{}{}", letters[1], letters[0], &number[2..]));
            }
            for there in wrong.into_iter().filter(|there| *there != number) {
                let text = entry.text.replacen(&number, &there, 1);
                let what = format!("{} {}: `{}` reads `{text}`", oil.name(), field.key, entry.text);
                let change = world.within(line.span, entry.span, text);
                out.push(Mistake::new(what, change).truth(line.field, quantity.middle_si()));
            }
        }
    }
    out
}

/// Each machine's years in a record's text, with their place.
fn years(world: &World) -> Vec<(Span, String, u32, u32)> {
    let mut out = Vec::new();
    for record in world.checked.shop.forks.iter() {
        for machine in &record.machines {
            let text = world.text(machine.span);
            let Some(at) = text.find("years: ") else { continue };
            let from = at + "years: ".len();
            let length = text[from..].find(['}', ',', '\n']).unwrap_or(text.len() - from);
            let written = text[from..from + length].trim().trim_matches('"');
            let (first, last) = written.split_once("..").unwrap_or((written, written));
            let (Ok(first), Ok(last)) = (first.parse(), last.parse()) else { continue };
            out.push((machine.span.part(from..from + length), record.name(), first, last));
        }
    }
    out
}

pub fn years_wrong(world: &World) -> Vec<Mistake> {
    let wrong = |(span, name, first, last): (Span, String, u32, u32)| {
        // So far ahead that they lie in the future.
        let ahead = if last > 2010 { 20 } else { 50 };
        let mut there = vec![format!("{}..{}", first + ahead, last + ahead)];
        if first != last {
            there.push(format!("{last}..{first}"));
        }
        there
            .into_iter()
            .map(|text| Mistake::new(format!("{name}: years read `{text}`"), world.change(span, text)))
            .collect::<Vec<_>>()
    };
    years(world).into_iter().flat_map(wrong).collect()
}

pub fn years_one(world: &World) -> Vec<Mistake> {
    let wrong = |(span, name, first, last): (Span, String, u32, u32)| {
        let text = format!("{first}..{}", last + 1);
        Mistake::new(format!("{name}: years read `{text}`"), world.change(span, text))
    };
    years(world).into_iter().map(wrong).collect()
}

pub fn date_future(world: &World) -> Vec<Mistake> {
    let shop = &world.checked.shop;
    let mut out = Vec::new();
    for record in shop.forks.iter().chain(shop.families.iter()).chain(shop.oils.iter()) {
        let Some(sources) = world.tree(record.id.span).and_then(|tree| tree.get("sources")) else { continue };
        for source in sources.entries() {
            let Some(date) = source.value.get("date") else { continue };
            let what = format!("{}: the date of `{}` reads 2037-05", record.name(), source.key);
            out.push(Mistake::new(what, world.within(source.value.span, date.span, "\"2037-05\"")));
        }
    }
    out
}

pub fn source_lost(world: &World, random: &mut Random) -> Vec<Mistake> {
    let mut out = Vec::new();
    for line in world.lines() {
        for source in &line.entry.sources {
            let there = misspelt(random, &source.text);
            let what = format!(
                "{} {}: source `{}` reads `{there}`",
                line.record.name(),
                line.field.key,
                source.text
            );
            out.push(Mistake::new(what, world.within(line.line.span, source.span, there)));
        }
    }
    out
}
