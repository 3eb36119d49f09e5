//! Made-up forks of every combination of choices, for the tests of the arithmetic, of whoever tells its figures, and of
//! the cards. The library's own tests read this file as well.

use std::collections::BTreeMap;
use std::fmt::Write;

use benchleaf::catalogue::{Catalogue, Choices, Field, Owner, state_part};
use benchleaf::text::Memory;

/// The choices that nothing here depends on keep their first option.
const FIXED: [&str; 7] = ["rebound", "compression", "compression_high", "preload", "drain", "axle", "bars"];

/// An oil that each of them names.
pub(crate) const OIL: &str = "id: fork-oil-15\nmaker: Alder\nproduct: Fifteen\nlabel: \"15\"\nsources:\n  data: {kind: maker-sheet, title: \"Data\", date: \"2019-01\"}\nsource: data\ngrade:\n  viscosity_40: 15.2 mm²/s\n  viscosity_100: 3.69 mm²/s\n  density_15: 852 kg/m³\n";

/// Whether nothing in the arithmetic hangs on a choice.
pub(crate) fn is_fixed(choice: &str) -> bool {
    FIXED.contains(&choice)
}

/// Every combination of the choices that are open together.
pub(crate) fn combinations(catalogue: &Catalogue) -> Vec<Choices> {
    let mut all = vec![Choices::new()];
    for choice in &catalogue.choices {
        let mut longer = Vec::new();
        for made in all {
            if !choice.applies.holds(&made) {
                longer.push(made);
                continue;
            }
            let options = if is_fixed(&choice.key) { 1 } else { choice.options.len() };
            for (option, _) in choice.options.iter().take(options) {
                let mut next = made.clone();
                next.insert(choice.key.clone(), option.clone());
                longer.push(next);
            }
        }
        all = longer;
    }
    all
}

/// A record with every field that these choices can have, each with the catalogue's example or a text given here.
pub(crate) fn record(
    catalogue: &Catalogue,
    id: &str,
    choices: &Choices,
    given: &BTreeMap<&str, String>,
) -> String {
    let mut text = format!(
        "id: {id}\nmaker: Alder Forks\nmodel: {id}\nstatus: draft\nmachines:\n  - {{maker: Rook, model: {id}, years: 2019..2021}}\nsources:\n  sheet: {{kind: maker-sheet, title: \"Sheet\", date: \"2019-01\"}}\nsource: sheet\nchoices:\n"
    );
    for (choice, option) in choices {
        let _ = writeln!(text, "  {choice}: {option}");
    }
    for group in catalogue.groups.iter().filter(|group| group.of == Owner::Fork) {
        let fields = catalogue.of(Owner::Fork).filter(|(_, field)| field.group == group.key);
        let lines: Vec<String> = fields
            .filter(|(_, field)| field.applies.holds(choices))
            .filter_map(|(_, field)| line(field, given.get(field.key.as_str())))
            .collect();
        if !lines.is_empty() {
            let _ = write!(text, "{}:\n{}", group.key, lines.concat());
        }
    }
    text
}

fn line(field: &Field, given: Option<&String>) -> Option<String> {
    let value = given.or(field.examples.first())?;
    if value.is_empty() {
        return None;
    }
    if field.state.is_empty() {
        return Some(format!("  {}: {{value: \"{value}\"}}\n", field.name));
    }
    let parts = field.state.iter().filter_map(|part| {
        let usual = field.usual_state.get(part).cloned();
        Some(format!("{part}: {}", usual.or_else(|| Some(state_part(part)?.example.to_owned()))?))
    });
    let state: Vec<String> = parts.collect();
    Some(format!("  {}: {{value: \"{value}\", state: {{{}}}}}\n", field.name, state.join(", ")))
}

/// The sources of a shop of these forks and one oil.
pub(crate) fn shop(records: impl IntoIterator<Item = (String, String)>) -> Memory {
    let forks = records.into_iter().map(|(id, text)| (format!("specs/forks/{id}.yaml"), text));
    let rest = [
        ("specs/shop.yaml".to_owned(), "name: Alder Bench\nworking_temperature: 50 °C\n".to_owned()),
        ("specs/oils/fork-oil-15.yaml".to_owned(), OIL.to_owned()),
    ];
    Memory::new(forks.chain(rest))
}
