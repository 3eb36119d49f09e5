//! How a value that is missing is written: its form with a blank for every figure, so that nothing that is offered
//! can be taken for what a sheet says.

use crate::catalogue::{Field, attribute, state_part};
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
    if has_thread(field) {
        parts.push(format!("{THREAD_STATE}: {BLANK}"));
    }
    parts
}

/// The line to add, as it is written below its group: `axle: {value: … N·m (… lbf·ft), thread_state: …}`.
pub fn line(field: &Field) -> String {
    format!("{}: {}", field.name, form(field))
}

/// How wide a line of a record is shown at most, in letters.
const WIDE: usize = 68;

/// The line of a group's name, with what is written of every thread in it.
pub fn group<'f>(name: &str, mut fields: impl Iterator<Item = &'f Field>) -> Vec<String> {
    let thread = attribute(THREAD_STATE).filter(|_| fields.any(has_thread));
    let told =
        thread.map(|thread| remark(&format!("{THREAD_STATE}: {}", may_be(&thread.kind, thread.example))));
    std::iter::once(format!("{name}:")).chain(told.into_iter().flatten()).collect()
}

/// The lines to add below a group's name, indented as they stand there: what may be written, and a remark.
pub fn lines(field: &Field, by: &str) -> Vec<String> {
    let options = match &field.kind {
        Kind::Choice(_) => may_be(&field.kind, ""),
        Kind::Reference(to) => format!("a record of specs/{to}s"),
        _ => String::new(),
    };
    let said =
        [options.as_str(), by].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ");
    if !field.state.is_empty() {
        let value = parts(field).swap_remove(0);
        let head = remark(&said).into_iter().chain([format!("  {}:", field.name), format!("    {value}")]);
        let state = state_of(field.state.iter().map(String::as_str));
        let thread = Some(format!("    {THREAD_STATE}: {BLANK}")).filter(|_| has_thread(field));
        return head.chain(state).chain(thread).collect();
    }
    let short = format!("  {}", line(field));
    if said.is_empty() {
        return vec![short];
    }
    if short.chars().count() + said.chars().count() + 5 <= WIDE {
        return vec![format!("{short}   # {said}")];
    }
    remark(&said).into_iter().chain([short]).collect()
}

/// A remark on lines of its own.
fn remark(said: &str) -> Vec<String> {
    if said.is_empty() {
        return Vec::new();
    }
    let wrapped =
        textwrap::Options::new(WIDE).initial_indent("  # ").subsequent_indent("  # ").break_words(false);
    textwrap::wrap(said, wrapped).into_iter().map(std::borrow::Cow::into_owned).collect()
}

/// The key under which a torque says what is on its thread.
const THREAD_STATE: &str = "thread_state";

fn has_thread(field: &Field) -> bool {
    field.attributes.iter().any(|key| key == THREAD_STATE)
}

/// What may be written: the options, or the form of a figure.
fn may_be(kind: &Kind, example: &str) -> String {
    match kind {
        Kind::Choice(options) => options.iter().map(|(id, _)| id.as_str()).collect::<Vec<_>>().join(" or "),
        _ => format!("in the form {}", blank(example)),
    }
}

/// The lines of a state, each part with what may be written.
fn state_of<'p>(parts: impl Iterator<Item = &'p str>) -> Vec<String> {
    let parts = parts.filter_map(state_part);
    let parts =
        parts.map(|part| format!("      {}: {BLANK}   # {}", part.key, may_be(&part.kind, part.example)));
    std::iter::once("    state:".to_owned()).chain(parts).collect()
}

/// The lines that give a value its state: with the figure, where it stood alone behind its key. What may be written
/// for each part stands in a remark.
pub fn state_lines(field: &Field, figure: &str, parts: &[&str], whole: bool) -> Vec<String> {
    let mut lines = vec![format!("{}:", field.group), format!("  {}:", field.name)];
    if whole {
        lines.push(format!("    value: {}", scalar(figure)));
    }
    lines.extend(state_of(parts.iter().copied()));
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
