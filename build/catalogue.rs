//! Writes the names of the catalogue as Rust: a constant for the key of each field, and an enum for each choice
//! that makes up a fork. A key or an option that is not in the data does not compile.

use std::error::Error;
use std::path::Path;
use std::{fs, io};

use serde_yaml::{Mapping, Value};

/// Where the data files of the catalogue are.
const FOLDER: &str = "src/catalogue";

type Made<T> = Result<T, Box<dyn Error + Send + Sync>>;

/// Writes `groups.rs`, `keys.rs` and `choices.rs` into the folder of generated code.
pub fn write(out: &Path) -> io::Result<()> {
    let text = || -> Made<[(&str, String); 3]> {
        let groups = groups()?;
        Ok([("groups.rs", group_files(&groups)), ("keys.rs", keys(&groups)?), ("choices.rs", choices()?)])
    };
    for (name, text) in text().map_err(io::Error::other)? {
        fs::write(out.join(name), text)?;
    }
    Ok(())
}

fn read(file: &str) -> Made<Value> {
    let text = fs::read_to_string(Path::new(FOLDER).join(file))?;
    serde_yaml::from_str(&text).map_err(|error| format!("{FOLDER}/{file}: {error}").into())
}

/// The names of the groups, in the order of the catalogue.
fn groups() -> Made<Vec<String>> {
    let list = read("groups.yaml")?;
    let list = list.as_sequence().ok_or("groups.yaml is no list")?;
    Ok(list.iter().filter_map(Value::as_str).map(str::to_owned).collect())
}

/// The texts of the groups' files, built into the program.
fn group_files(groups: &[String]) -> String {
    let text = |group: &String| {
        format!(
            "    include_str!(concat!(env!(\"CARGO_MANIFEST_DIR\"), \"/{FOLDER}/fields/{group}.yaml\")),\n"
        )
    };
    format!("&[\n{}]\n", groups.iter().map(text).collect::<String>())
}

/// A constant for each key, a list of all of them, and their spellings.
fn keys(groups: &[String]) -> Made<String> {
    let (mut constants, mut all, mut names) = (String::new(), String::new(), String::new());
    let mut count = 0;
    for group in groups {
        let data = read(&format!("fields/{group}.yaml"))?;
        for (field, entry) in mapping(&data, "fields", group)? {
            let field = field.as_str().ok_or("a field's name is no word")?;
            let constant = format!("{group}_{field}").to_uppercase();
            let title = title(entry, field)?;
            constants.push_str(&format!("/// {title}.\npub const {constant}: Key = Key({count});\n"));
            all.push_str(&format!("    {constant},\n"));
            names.push_str(&format!("    \"{group}.{field}\",\n"));
            count += 1;
        }
    }
    Ok(format!(
        "{constants}\n/// Every key, in the order of the catalogue.\npub const ALL: [Key; {count}] = [\n{all}];\n\n\
         const NAMES: [&str; {count}] = [\n{names}];\n"
    ))
}

/// An enum for each choice, with the words that a record writes.
fn choices() -> Made<String> {
    let data = read("choices.yaml")?;
    let mut text = String::new();
    for (choice, entry) in mapping(&data, "choices", "choices.yaml")? {
        let choice = choice.as_str().ok_or("a choice's name is no word")?;
        let name = camel(choice);
        let (mut variants, mut options) = (String::new(), String::new());
        for (option, meaning) in mapping(entry, "options", choice)? {
            let option = option.as_str().ok_or("an option's name is no word")?;
            let variant = camel(option);
            let meaning = meaning.as_str().unwrap_or(option);
            variants.push_str(&format!("    /// {meaning}.\n    {variant},\n"));
            options.push_str(&format!("        (\"{option}\", {name}::{variant}),\n"));
        }
        let title = title(entry, choice)?;
        text.push_str(&format!(
            "/// {title}.\n#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]\n\
             pub enum {name} {{\n{variants}}}\n\n\
             impl MadeChoice for {name} {{\n    const CHOICE: &'static str = \"{choice}\";\n    \
             const OPTIONS: &'static [(&'static str, {name})] = &[\n{options}    ];\n}}\n\n"
        ));
    }
    Ok(text)
}

fn mapping<'v>(value: &'v Value, key: &str, place: &str) -> Made<&'v Mapping> {
    value.get(key).and_then(Value::as_mapping).ok_or_else(|| format!("{place}: no `{key}`").into())
}

fn title<'v>(entry: &'v Value, name: &str) -> Made<&'v str> {
    entry.get("title").and_then(Value::as_str).ok_or_else(|| format!("{name}: no `title`").into())
}

/// `damping-rod` and `air_chambers` as the name of a Rust type.
fn camel(word: &str) -> String {
    let part =
        |part: &str| part.chars().take(1).flat_map(char::to_uppercase).chain(part.chars().skip(1)).collect();
    word.split(['-', '_']).map(part).collect::<Vec<String>>().concat()
}
