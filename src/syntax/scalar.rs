//! Writing a text as a scalar of YAML.

use super::yaml;

/// A text as a YAML scalar that every reader takes for the same text.
pub(crate) fn scalar(text: &str) -> String {
    let word = |c: char| c.is_alphanumeric() || matches!(c, '_' | '/' | '(' | ')');
    let inner = |c: char| word(c) || matches!(c, ' ' | '.' | '-' | '\'' | '’');
    let plain = text.chars().next().is_some_and(|c| c.is_alphabetic())
        && text.chars().last().is_some_and(|c| word(c) || c == '.')
        && text.chars().all(inner)
        && !yaml::other_readers_differ(text);
    if plain { text.to_owned() } else { format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\"")) }
}
