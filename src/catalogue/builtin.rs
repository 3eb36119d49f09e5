//! The catalogue that comes with the tool, from the data files beside this one.

use std::sync::LazyLock;

use indexmap::IndexMap;
use serde::Deserialize;

use super::choice::Choice;
use super::field::RawGroup;
use super::when::When;
use super::whole::Catalogue;

const CHOICES: &str = include_str!("choices.yaml");

/// The groups in the order a page shows them. The build lists them from `groups.yaml`.
const GROUPS: &[&str] = include!(concat!(env!("OUT_DIR"), "/groups.rs"));

#[derive(Deserialize)]
struct RawChoices {
    choices: IndexMap<String, RawChoice>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawChoice {
    title: String,
    #[serde(default)]
    help: String,
    options: IndexMap<String, String>,
    #[serde(default)]
    applies: When,
}

/// The built-in catalogue. It is read from data shipped in the program; a fault in that data is a
/// fault of the program, which the tests of this file find.
///
/// # Errors
/// One sentence that names the file and the entry.
pub fn builtin() -> Result<Catalogue, String> {
    // Read once, however many shops one process checks.
    static READ: LazyLock<Result<Catalogue, String>> = LazyLock::new(read);
    READ.clone()
}

fn read() -> Result<Catalogue, String> {
    let raw: RawChoices = serde_yaml::from_str(CHOICES).map_err(|error| format!("choices.yaml: {error}"))?;
    let choices = raw.choices.into_iter().map(|(key, choice)| Choice {
        key,
        title: choice.title,
        help: choice.help,
        options: choice.options.into_iter().collect(),
        applies: choice.applies,
    });
    let mut catalogue = Catalogue::default();
    catalogue.choices = choices.collect();
    for text in GROUPS {
        let group: RawGroup = serde_yaml::from_str(text).map_err(|error| format!("fields: {error}"))?;
        let name = group.group.clone();
        catalogue.add(group, false).map_err(|(field, why)| format!("{name}.{field}: {why}"))?;
    }
    catalogue.built_in = true;
    Ok(catalogue)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::state_part;
    use crate::quantity::{Kind, read_value};

    #[test]
    fn every_example_of_the_catalogue_reads_without_a_word() {
        let catalogue = builtin().expect("the built-in catalogue");
        for (_, field) in catalogue.iter() {
            assert!(!field.examples.is_empty(), "{} has no example", field.key);
            assert!(!field.measured.is_empty() && !field.wrong.is_empty(), "{} is not explained", field.key);
            for example in &field.examples {
                let (value, troubles) = read_value(example, &field.spec());
                assert!(value.is_some() && troubles.is_empty(), "{}: `{example}`: {troubles:?}", field.key);
            }
        }
    }

    #[test]
    fn conditions_name_choices_and_options_that_exist() {
        let catalogue = builtin().expect("the built-in catalogue");
        for (_, field) in catalogue.iter() {
            let required = match &field.required {
                crate::catalogue::Required::When(when) => when.0.clone(),
                _ => Vec::new(),
            };
            let bands = field.bands.iter().map(|band| band.when.clone());
            for (choice, options) in field.applies.0.iter().cloned().chain(required).chain(bands).flatten() {
                let known = catalogue.choice(&choice).unwrap_or_else(|| panic!("{}: {choice}", field.key));
                for option in options {
                    assert!(
                        known.options.iter().any(|(id, _)| *id == option),
                        "{}: {choice}: {option}",
                        field.key
                    );
                }
            }
            for key in field.related.keys() {
                assert!(catalogue.find(key).is_some(), "{} is related to {key}", field.key);
            }
            for (part, option) in &field.usual_state {
                let known = state_part(part).unwrap_or_else(|| panic!("{}: {part}", field.key));
                let Kind::Choice(options) = &known.kind else { panic!("{}: {part}", field.key) };
                assert!(options.iter().any(|(id, _)| id == option), "{}: {part}: {option}", field.key);
            }
            let other = field.difference.as_deref();
            assert!(other.is_none_or(|key| catalogue.find(key).is_some()), "{}: {other:?}", field.key);
        }
    }
}
