//! How the lines of a draft are written.

use crate::catalogue::{Catalogue, Field, FieldId};
use crate::quantity::{Kind, blank};
use crate::record::BLANK;

/// A file to be written: its path inside the shop, and its text.
pub type Draft = (String, String);

const WIDTH: usize = 100;

/// Adds a comment, wrapped, each line behind `lead`.
pub(super) fn comment(out: &mut String, lead: &str, text: &str) {
    for line in
        textwrap::wrap(text, textwrap::Options::new(WIDTH).initial_indent(lead).subsequent_indent(lead))
    {
        out.push_str(line.trim_end());
        out.push('\n');
    }
}

/// A text as a YAML scalar in quotes.
pub(super) fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

/// The commented-out lines of fields, by group.
pub(super) fn blanks(out: &mut String, catalogue: &Catalogue, fields: &[(FieldId, &Field, bool)]) {
    let mut group = "";
    // A shop's own field of a group that is there stands with the others: a group is written once.
    let first = |wanted: &str| fields.iter().position(|(_, field, _)| field.group == wanted);
    let mut fields: Vec<&(FieldId, &Field, bool)> = fields.iter().collect();
    fields.sort_by_key(|(_, field, _)| first(&field.group));
    for (_, field, required) in fields {
        if field.group != group {
            group = &field.group;
            let title =
                catalogue.groups.iter().find(|other| other.key == *group).map_or(group, |other| &other.title);
            out.push_str(&format!("\n# {}\n# {group}:\n", title.to_uppercase()));
        }
        let form = form(field);
        if !required {
            // The editor says how it is measured; a draft that is read to its end is worth more than a long one.
            let form = if form.is_empty() { String::new() } else { format!(", {form}") };
            out.push_str(&format!("#   {}:   # {}{form}\n", field.name, field.title));
            continue;
        }
        comment(out, "#   # ", about(field).trim_end());
        let form = if form.is_empty() { String::new() } else { format!("   # {form}") };
        out.push_str(&format!("#   {}:{form}\n", field.name));
    }
}

/// What a value is that must be given, and how it is measured.
fn about(field: &Field) -> String {
    let mut about = field.title.clone();
    if field.safety {
        about.push_str(", SAFETY-CRITICAL: say it in two units, or what another source says of it");
    }
    about.push_str(". Must be given. ");
    about.push_str(&field.measured);
    if !field.state.is_empty() {
        about.push_str(&format!(" Its state must be said: {}.", field.state.join(", ")));
    }
    about
}

/// The form of a value, with blanks for what only the sheet can say; empty where words belong.
fn form(field: &Field) -> String {
    let words = matches!(field.kind, Kind::Choice(_) | Kind::Reference(_) | Kind::Text);
    let Some(example) = field.examples.first().filter(|_| !words) else { return String::new() };
    // A torque says in which state its thread is.
    match field.attributes.iter().any(|key| key == "thread_state") {
        true => format!("in the form {{value: {}, thread_state: {BLANK}}}", blank(example)),
        false => format!("in the form {}", blank(example)),
    }
}

pub(super) fn title(id: &str) -> String {
    let words = id.replace('-', " ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}", first.to_uppercase(), letters.as_str()))
}
