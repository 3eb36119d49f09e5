//! How a value that is missing is written: its form with a blank for every figure, so that nothing that is offered
//! can be taken for what a sheet says.

use crate::catalogue::{Field, state_part};
use crate::quantity::{Kind, blank};
use crate::record::BLANK;
use crate::resolve::Shop;
use crate::syntax::scalar;

/// How many of the shop's records or options are offered; more would hide the rest of the sentence.
const MOST: usize = 8;

/// What stands after a field's key: a form to be filled in, never a figure.
fn form(field: &Field) -> String {
    let parts = parts(field);
    match parts.as_slice() {
        [value] => value.strip_prefix("value: ").unwrap_or(value).to_owned(),
        several => format!("{{{}}}", several.join(", ")),
    }
}

/// The value, its state and its thread's, each with its key.
fn parts(field: &Field) -> Vec<String> {
    let value = match &field.kind {
        Kind::Choice(_) | Kind::Reference(_) | Kind::Text => BLANK.to_owned(),
        _ => field.examples.first().map_or_else(|| BLANK.to_owned(), |example| blank(example)),
    };
    let mut parts = vec![format!("value: {value}")];
    if !field.state.is_empty() {
        let state: Vec<String> = field.state.iter().map(|part| format!("{part}: {BLANK}")).collect();
        parts.push(format!("state: {{{}}}", state.join(", ")));
    }
    // A torque says in which state its thread is.
    if field.attributes.iter().any(|key| key == "thread_state") {
        parts.push(format!("thread_state: {BLANK}"));
    }
    parts
}

/// The line to add, as it is written below its group: `axle: {value: … N·m (… lbf·ft), thread_state: …}`.
pub fn line(field: &Field) -> String {
    format!("{}: {}", field.name, form(field))
}

/// How wide a line of a record is shown at most, in letters.
const WIDE: usize = 68;

/// The lines to add below a group's name, indented as they stand there, with a remark.
pub fn lines(field: &Field, remark: &str) -> Vec<String> {
    let short = format!("  {}", line(field));
    let remark = format!("# {remark}");
    if short.chars().count() + 3 + remark.chars().count() <= WIDE {
        return vec![format!("{short}   {remark}")];
    }
    if short.chars().count() <= WIDE {
        return vec![format!("  {remark}"), short];
    }
    let head = format!("  {}:   {remark}", field.name);
    std::iter::once(head).chain(parts(field).into_iter().map(|part| format!("    {part}"))).collect()
}

/// The lines that give a value its state: with the figure, where it stood alone behind its key. What may be written
/// for each part stands in a remark.
pub fn state_lines(field: &Field, figure: &str, parts: &[&str], whole: bool) -> Vec<String> {
    let mut lines = vec![format!("{}:", field.group), format!("  {}:", field.name)];
    if whole {
        lines.push(format!("    value: {}", scalar(figure)));
    }
    lines.push("    state:".to_owned());
    for part in parts.iter().filter_map(|part| state_part(part)) {
        let may_be = match &part.kind {
            Kind::Choice(options) => {
                options.iter().map(|(id, _)| id.as_str()).collect::<Vec<_>>().join(" or ")
            }
            _ => format!("in the form {}", blank(part.example)),
        };
        lines.push(format!("      {}: {BLANK}   # {may_be}", part.key));
    }
    lines
}

/// What belongs in a field's blanks, in words.
pub fn words(shop: &Shop, field: &Field, sheet: &str) -> String {
    match &field.kind {
        Kind::Choice(options) => {
            format!("with {}", one_of(options.iter().map(|(id, _)| id.as_str())))
        }
        Kind::Reference(to) => {
            let ids: Vec<&str> = match to.as_str() {
                "tool" => shop.tools.iter().map(|tool| tool.id.text.as_str()).collect(),
                _ => shop.oils.iter().map(|oil| oil.id.text.as_str()).collect(),
            };
            let folder = if to == "tool" { "specs/tools" } else { "specs/oils" };
            match ids.is_empty() {
                true => format!(
                    "with the id of a record in {folder}; there is none yet: `benchleaf new {} ID` begins one",
                    folder.trim_start_matches("specs/").trim_end_matches('s')
                ),
                false => format!("with {}, or a new record in {folder}", one_of(ids.into_iter())),
            }
        }
        Kind::Text => format!("in the words of the {sheet}"),
        _ => format!("with the figure from the {sheet}, {}", silent(field)),
    }
}

/// What is written where the sheet does not say: of what can hurt somebody also what is done, and who answers for it.
fn silent(field: &Field) -> &'static str {
    match field.safety {
        true => {
            "`unknown` where it does not say, and what an approver says is done: `instead: {do: \"…\", by: \"…\"}`"
        }
        false => "`unknown` where it does not say",
    }
}

fn one_of<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<String> = names.map(|name| format!("`{name}`")).collect();
    let more = if names.len() > MOST { ", …" } else { "" };
    format!("one of {}{more}", names[..names.len().min(MOST)].join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;

    #[test]
    fn no_figure_of_an_example_is_left_in_a_form() {
        for (text, form) in [
            ("65 N·m (48 lbf·ft)", "… N·m (… lbf·ft)"),
            ("88..108 mm (3.46..4.25 in)", "… to … mm (… to … in)"),
            ("41 × 54.4 × 13 mm", "… × … × … mm"),
            ("43.3 mm +0.03/-0", "… mm +…/-…"),
            ("≤ 0.2 mm (0.008 in)", "≤ … mm (… in)"),
        ] {
            assert_eq!(blank(text), form);
        }
        for (_, field) in builtin().unwrap().iter() {
            assert!(
                !line(field).split_once(':').unwrap().1.contains(|c: char| c.is_ascii_digit()),
                "{}",
                field.key
            );
        }
    }
}
