//! The list of what a fork takes over and is to be compared with its own sheet: on a screen, or all of it.

use std::collections::BTreeMap;
use std::fmt::Write;

use textwrap::{Options, WordSplitter};

use crate::approve::ToCompare;
use crate::review::CHOICE;
use crate::words::count;

/// The lines of a screen, with what is said below the list.
const SCREEN: usize = 23;
const WIDTH: usize = 80;

/// What there is to compare, by what a wrong one does.
const PARTS: [&str; 3] =
    ["What it is made of; its steps hang on it:", "These can hurt somebody:", "The others:"];

/// How the values of a part are listed.
#[derive(Clone, Copy, PartialEq)]
enum Form {
    /// A line each.
    Each,
    /// A paragraph for each group, with the figures.
    Figures,
    /// A paragraph for each group, without.
    Names,
    /// How many there are of each group.
    Counts,
}

/// The forms of the three parts, ever shorter: what can hurt somebody keeps its lines longest.
const BRIEFER: [[Form; 3]; 8] = [
    [Form::Each, Form::Each, Form::Each],
    [Form::Each, Form::Each, Form::Figures],
    [Form::Figures, Form::Each, Form::Figures],
    [Form::Figures, Form::Each, Form::Names],
    [Form::Figures, Form::Each, Form::Counts],
    [Form::Figures, Form::Figures, Form::Counts],
    [Form::Names, Form::Figures, Form::Counts],
    [Form::Names, Form::Names, Form::Counts],
];

fn part(value: &ToCompare) -> usize {
    match (value.key.starts_with(CHOICE), value.safety) {
        (true, _) => 0,
        (false, true) => 1,
        (false, false) => 2,
    }
}

/// Lists what is to be compared: what the steps hang on, what can hurt somebody, the rest. What does not fit on a
/// screen is named by its groups, what matters least first; `all` lists each with its figure.
pub(super) fn list(values: &[ToCompare], id: &str, source: &str, wanted: &[String], all: bool) -> String {
    if values.is_empty() {
        return format!("{id}: nothing that it takes over is still to be compared\n");
    }
    let is_wanted =
        |value: &&ToCompare| wanted.is_empty() || wanted.iter().any(|name| names(name.trim(), &value.key));
    let values: Vec<&ToCompare> = values.iter().filter(is_wanted).collect();
    let most =
        most_common(values.iter().map(|value| value.source.as_str()).filter(|source| !source.is_empty()));
    let mut told = String::new();
    for forms in BRIEFER {
        told = head(id, source, most);
        for (at, title) in PARTS.iter().enumerate() {
            let here: Vec<&ToCompare> = values.iter().copied().filter(|value| part(value) == at).collect();
            if here.is_empty() {
                continue;
            }
            let _ = writeln!(told, "{title}");
            told += &match forms[at] {
                Form::Each => each(&here, &values, most),
                Form::Figures | Form::Names => by_group(&here, forms[at] == Form::Figures),
                Form::Counts => counts(&here),
            };
        }
        told += &closing(&values, id, source, forms != BRIEFER[0]);
        if all || told.lines().count() <= SCREEN {
            break;
        }
    }
    told
}

/// Whether a name means a value: its key, or its group.
fn names(name: &str, key: &str) -> bool {
    name == key || key.split_once('.').is_some_and(|(group, _)| group == name)
}

fn head(id: &str, source: &str, most: Option<&str>) -> String {
    let from = most.map_or_else(String::new, |most| {
        format!(" The family has them from: {most}; what is from elsewhere says so.")
    });
    let each = format!("each must be what `{source}` says of this fork.");
    wrapped(&format!("{id} takes these over from its family; {each}{from}"), "", "")
}

/// Each with its figure.
fn each(here: &[&ToCompare], all: &[&ToCompare], most: Option<&str>) -> String {
    let wide = all.iter().map(|value| value.key.chars().count()).max().unwrap_or(0);
    let mut out = String::new();
    for value in here {
        let changed = if value.changed { "; changed since it was compared" } else { "" };
        let elsewhere = !value.source.is_empty() && most != Some(value.source.as_str());
        let from = if elsewhere { format!("; from: {}", value.source) } else { String::new() };
        let (lead, rest) = (format!("  {:<wide$}  ", value.key), " ".repeat(wide + 4));
        out += &wrapped(&format!("{}{from}{changed}", value.figure), &lead, &rest);
    }
    out
}

/// The groups, with how many there are of each and which, and with their figures where these are asked for.
fn by_group(here: &[&ToCompare], figures: bool) -> String {
    let mut groups: Vec<(&str, Vec<String>)> = Vec::new();
    for value in here {
        let (group, name) = value.key.split_once('.').unwrap_or(("", &value.key));
        // Of a choice its option is enough.
        let figure = match part(value) {
            0 => value.figure.split(':').next().unwrap_or_default(),
            _ => value.figure.as_str(),
        };
        let said = match (figures, value.changed) {
            (false, _) => name.to_owned(),
            (true, false) => format!("{name} {figure}"),
            (true, true) => format!("{name} {figure}, changed since it was compared"),
        };
        match groups.iter_mut().find(|(known, _)| *known == group) {
            Some((_, all)) => all.push(said),
            None => groups.push((group, vec![said])),
        }
    }
    let between = if figures { "; " } else { ", " };
    let of_group = |(group, all): &(&str, Vec<String>)| {
        wrapped(&format!("{group} ({}): {}", all.len(), all.join(between)), "  ", "    ")
    };
    groups.iter().map(of_group).collect()
}

/// How many there are of each group, in one paragraph.
fn counts(here: &[&ToCompare]) -> String {
    let mut groups: Vec<(&str, usize)> = Vec::new();
    for value in here {
        let group = value.key.split_once('.').map_or("", |(group, _)| group);
        match groups.iter_mut().find(|(known, _)| *known == group) {
            Some((_, n)) => *n += 1,
            None => groups.push((group, 1)),
        }
    }
    let told: Vec<String> = groups.iter().map(|(group, n)| format!("{group} {n}")).collect();
    wrapped(&told.join(", "), "  ", "  ")
}

/// How many there are, and how to see all.
fn closing(values: &[&ToCompare], id: &str, source: &str, brief: bool) -> String {
    let of = |at: usize| values.iter().filter(|value| part(value) == at).count();
    let changed = values.iter().filter(|value| value.changed).count();
    let changed = if changed == 0 { String::new() } else { format!("; {changed} changed since compared") };
    let counts = format!(
        "{} and {}: {} can hurt somebody{changed}.",
        count(of(0), "choice", "choices"),
        count(of(1) + of(2), "value", "values"),
        of(0) + of(1)
    );
    let how = match brief {
        true => format!(
            " Each with its figure: `benchleaf approve {id} --compared {source} --all`, or `--values` with a group or a key."
        ),
        false => String::new(),
    };
    wrapped(&format!("{counts}{how}"), "", "")
}

fn wrapped(text: &str, first: &str, rest: &str) -> String {
    let options = Options::new(WIDTH).initial_indent(first).subsequent_indent(rest);
    let mut out = textwrap::fill(text, options.word_splitter(WordSplitter::NoHyphenation));
    out.push('\n');
    out
}

/// What is said most often, of two the first by the alphabet; `None` where nothing is said.
fn most_common<'t>(all: impl Iterator<Item = &'t str>) -> Option<&'t str> {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    all.for_each(|one| *counts.entry(one).or_default() += 1);
    counts.into_iter().max_by_key(|(one, n)| (*n, std::cmp::Reverse(*one))).map(|(one, _)| one)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(key: &str, safety: bool) -> ToCompare {
        let (key, title) = (key.to_owned(), key.to_owned());
        ToCompare { key, title, figure: "9 clicks".into(), source: "Book 2".into(), safety, changed: false }
    }

    /// What can hurt somebody is listed with its figure as long as a screen holds it; the rest is counted by groups.
    #[test]
    fn what_matters_least_is_told_by_groups_where_a_screen_is_full() {
        let mut values: Vec<ToCompare> = (0..5).map(|n| value(&format!("choices.c{n}"), true)).collect();
        values.extend((0..4).map(|n| value(&format!("torque.t{n}"), true)));
        let few = list(&values, "fell-48", "sheet", &[], false);
        assert!(few.contains("  torque.t3   9 clicks\n") && !few.contains("--all"), "{few}");
        values.extend((0..30).map(|n| value(&format!("seals.s{n}"), false)));
        let many = list(&values, "fell-48", "sheet", &[], false);
        assert!(many.lines().count() <= SCREEN, "{many}");
        assert!(
            many.contains("torque.t3   9 clicks\n") && many.contains("seals (30): s0 9 clicks; s1 9 clicks"),
            "{many}"
        );
        assert!(many.contains("5 choices and 34 values: 9 can hurt somebody"), "{many}");
        assert!(many.contains("--compared sheet --all"), "{many}");
        let all = list(&values, "fell-48", "sheet", &[], true);
        assert!(all.contains("seals.s29   9 clicks\n") && !all.contains("--all"), "{all}");
        // Every key that can hurt somebody is named, however many there are.
        values.extend((0..40).map(|n| value(&format!("oil.o{n}"), true)));
        let told = list(&values, "fell-48", "sheet", &[], false);
        let words: Vec<&str> = told.split([' ', '\n', ',', '.', ';']).collect();
        for one in values.iter().filter(|value| value.safety) {
            let name = one.key.rsplit('.').next().unwrap_or_default();
            assert!(words.contains(&name), "{name}: {told}");
        }
        let group = list(&values, "fell-48", "sheet", &["torque".to_owned()], false);
        assert!(group.contains("torque.t0  9 clicks") && !group.contains("seals"), "{group}");
    }
}
