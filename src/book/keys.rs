//! Keys and ids in a person's words: what a finding or the arithmetic names by its key, pages and cards call by its
//! title.

use crate::catalogue::{Catalogue, attribute, state_part};
use crate::diagnostic::{Rule, in_words};
use crate::record::SpecRecord;
use crate::resolve::Shop;
use crate::words::{capital, escape, lower};

/// A field or choice by its title; the key itself where there is none.
fn of_key(catalogue: &Catalogue, key: &str) -> Option<String> {
    let field = catalogue.find(key).map(|id| catalogue.field(id).title.clone());
    field.or_else(|| catalogue.choices.iter().find(|choice| choice.key == key).map(|c| c.title.clone()))
}

/// A part of a value's state or an attribute by its title; other words as they are.
fn part_title(part: &str) -> String {
    let known = state_part(part).or_else(|| attribute(part));
    known.map_or_else(|| part.to_owned(), |known| lower(known.title))
}

/// What is missing, in a sentence: `front axle load with rider and unsprung mass are missing`. A key may be that of
/// an oil, `grade.density_15 of heron-15`, or name a part of a value, `oil.air_gap: rest`.
pub fn missing(shop: &Shop, keys: &[String]) -> String {
    let title_of = |key: &String| match key.split_once(" of ") {
        Some((key, oil)) => {
            let title = of_key(&shop.catalogue, key).map_or_else(|| key.to_owned(), |title| lower(&title));
            format!("{title} of {}", shop.oil(oil).map_or_else(|| oil.to_owned(), SpecRecord::title))
        }
        None => {
            let (key, part) = key.split_once(": ").map_or((key.as_str(), ""), |(key, part)| (key, part));
            let title = of_key(&shop.catalogue, key).map_or_else(|| key.to_owned(), |title| lower(&title));
            if part.is_empty() { title } else { format!("{title} ({})", part_title(part)) }
        }
    };
    let titles: Vec<String> = keys.iter().map(title_of).collect();
    match titles.as_slice() {
        [] => String::new(),
        [title_of] => format!("{title_of} is missing"),
        [first @ .., last] => format!("{} and {last} are missing", first.join(", ")),
    }
}

/// The title of whatever has this key or id in the shop.
fn title(shop: &Shop, id: &str) -> Option<String> {
    let record = || shop.fork(id).or(shop.oil(id));
    of_key(&shop.catalogue, id)
        .or_else(|| record().map(SpecRecord::title))
        .or_else(|| shop.family(id).map(|family| family.model.clone()))
        .or_else(|| shop.procedure(id).map(|procedure| procedure.title.clone()))
        .or_else(|| shop.service(id).map(|service| service.title.clone()))
        .or_else(|| shop.caution(id).map(|caution| caution.title.clone()))
        .or_else(|| shop.tool(id).map(|tool| tool.title.clone()))
}

/// A finding's sentence for a page: keys and ids by their titles. What is neither stays as it was written, without
/// its marks.
pub fn plain(shop: &Shop, message: &str) -> String {
    let mut out = String::with_capacity(message.len() + 32);
    let mut closes = false;
    for (n, piece) in message.split('`').enumerate() {
        if n % 2 == 0 {
            let rest = if closes { piece.strip_prefix(')') } else { None };
            out.push_str(rest.unwrap_or(piece));
            closes = false;
            continue;
        }
        match title(shop, piece) {
            // The message gives the title, and the key in brackets after it.
            Some(title) if out.to_lowercase().ends_with(&format!("{} (", title.to_lowercase())) => {
                out.truncate(out.len() - " (".len());
                closes = true;
            }
            Some(title) => out.push_str(&format!("“{title}”")),
            None => out.push_str(piece),
        }
    }
    capital(&out)
}

/// A sentence that says what to write in a source, as HTML: what is to be written stands as code.
pub fn as_code(text: &str) -> String {
    let pieces = text
        .split('`')
        .enumerate()
        .map(|(n, piece)| if n % 2 == 0 { escape(piece) } else { format!("<code>{}</code>", escape(piece)) });
    pieces.collect()
}

/// What a rule finds, in words: `outside-band` is `Outside the usual band`.
pub fn rule(code: &str) -> String {
    Rule::named(code).map_or_else(|| in_words(code), Rule::words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;

    fn shop() -> Shop {
        Shop { catalogue: builtin().expect("the catalogue"), ..Shop::default() }
    }

    #[test]
    fn what_is_missing_is_named_as_a_mechanic_names_it() {
        let keys = ["setup.front_load_rider", "setup.unsprung_mass"].map(str::to_owned);
        assert_eq!(
            missing(&shop(), &keys),
            "front axle load with rider and unsprung mass at the front are missing"
        );
        assert_eq!(missing(&shop(), &keys[..1]), "front axle load with rider is missing");
    }

    #[test]
    fn a_finding_stands_on_a_page_without_keys() {
        let message = "`oil.refill` is safety-critical and rests on an estimate";
        assert_eq!(
            plain(&shop(), message),
            "“Refill at an oil change” is safety-critical and rests on an estimate"
        );
        let message = "the step needs brake caliper bolts (`torque.caliper`), which not every fork has";
        assert_eq!(plain(&shop(), message), "The step needs brake caliper bolts, which not every fork has");
        // What is no key is the shop's own word.
        assert_eq!(plain(&shop(), "`zinc` is no source"), "Zinc is no source");
    }

    #[test]
    fn what_is_to_be_written_stands_as_code_and_breaks_out_of_nothing() {
        assert_eq!(as_code("add `a: <b>`, & go"), "add <code>a: &lt;b&gt;</code>, &amp; go");
    }
}
