//! The dictionary: what the catalogue, the units and the readers know, so that a new field is in it by itself.

use benchleaf::catalogue::builtin;
use benchleaf::diagnostic::rules;
use benchleaf::quantity::UNITS;
use benchleaf::record::Phase;

/// Words that stand in records whatever the catalogue says.
const PLAIN: [&str; 63] = [
    "id: ",
    "maker: ",
    "model: ",
    "status: draft",
    "status: published",
    "family: ",
    "sources:",
    "source: ",
    "value: ",
    "state: ",
    "accept: ",
    "finding: ",
    "reason: ",
    "by: ",
    "until: ",
    "reviewed:",
    "compared: ",
    "date: ",
    "values: ",
    "left: ",
    "right: ",
    "not fitted",
    "unknown",
    "also_said: ",
    "instead: ",
    " or ",
    "whichever is first",
    "](spec:torque.axle \"by eye\")",
    "needs: ",
    "brings: ",
    "ends: ",
    "for: ",
    "fitted: ",
    "one_of: ",
    "where_fitted: ",
    "do: ",
    "legs: ",
    "cards:",
    "fork: ",
    "service: ",
    "card: ",
    "fields:",
    "group: ",
    "bottles: ",
    "waste: ",
    "waiting: ",
    "](spec:",
    "](procedure:",
    "](caution:",
    "](tool:",
    "](oil:",
    "](reading:",
    "> ",
    "1. ",
    "---\n",
    "&#x202e;",
    "\\u202e",
    " ± ",
    "..",
    " +",
    "/-",
    "≤ ",
    "≥ ",
];

pub fn words() -> Vec<String> {
    let mut words: Vec<String> = PLAIN.iter().map(|word| (*word).to_owned()).collect();
    let catalogue = builtin().expect("the built-in catalogue");
    for (_, field) in catalogue.iter() {
        words.push(field.key.clone());
        if let Some((group, name)) = field.key.split_once('.') {
            words.push(format!("\n{group}:\n  {name}: "));
        }
        words.push(field.title.clone());
    }
    for choice in &catalogue.choices {
        words.push(format!("{}: ", choice.key));
        words.extend(choice.options.iter().map(|(option, _)| option.clone()));
    }
    words.extend(UNITS.iter().map(|unit| format!(" {}", unit.symbol)));
    words.extend(Phase::ALL.map(|phase| phase.id().to_owned()));
    words.extend(rules::ALL.iter().map(|rule| rule.code.to_owned()));
    words
}
