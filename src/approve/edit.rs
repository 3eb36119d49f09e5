//! Adding to a list in a YAML text without touching any other byte, or saying why it cannot be done.
//!
//! Where to add is read off the places in our own tree. The new text is then read again, and must hold
//! everything it held before and the addition; anything else is refused.

use std::fmt;

use crate::diagnostic::Severity;
use crate::syntax::yaml::{self, Entry, Node, Tree};
use crate::text::FileId;

/// Something to add to a list, in both ways a list can be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// Lines without indentation and without the dash.
    pub lines: Vec<String>,
    /// The same between brackets.
    pub flow: String,
}

/// Why nothing can be added to a record's text, to follow "the file cannot be added to: ".
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CannotAdd {
    /// It cannot be read as YAML.
    NotYaml,
    /// It holds something else than keys with values.
    NotAMapping,
    /// It holds nothing.
    Empty,
    /// Its keys stand in braces.
    InBraces,
    /// The list's key, named here, stands behind something else.
    KeyInsideLine(String),
    /// Under the list's key, named here, stands something else.
    NoList(String),
    /// The list's first dash stands behind something else.
    DashInsideLine,
    /// Something stands behind the last entry.
    BehindTheLast,
    /// Something besides the list would change.
    ElseWouldChange,
}

impl fmt::Display for CannotAdd {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CannotAdd::NotYaml => write!(out, "it cannot be read as YAML"),
            CannotAdd::NotAMapping => write!(out, "it is no mapping"),
            CannotAdd::Empty => write!(out, "it holds nothing"),
            CannotAdd::InBraces => write!(out, "it is written in braces, not line by line"),
            CannotAdd::KeyInsideLine(key) => write!(out, "`{key}:` does not begin its line"),
            CannotAdd::NoList(key) => write!(out, "`{key}:` holds no list"),
            CannotAdd::DashInsideLine => write!(out, "the list's first dash does not begin its line"),
            CannotAdd::BehindTheLast => write!(out, "something stands behind the list's last entry"),
            CannotAdd::ElseWouldChange => write!(
                out,
                "it is written in a way in which nothing can be added without changing something else"
            ),
        }
    }
}

impl std::error::Error for CannotAdd {}

/// Adds items at the end of the list under a key of the record; where there is no such key, it is added at the
/// record's end.
///
/// # Errors
/// Why it cannot be done.
pub fn append(text: &str, key: &str, items: &[Item]) -> Result<String, CannotAdd> {
    let before = read(text).ok_or(CannotAdd::NotYaml)?;
    let Tree::Map(entries) = &before.value else { return Err(CannotAdd::NotAMapping) };
    let (at, added) = match before.entry(key) {
        None => new_list(text, &before, entries, key, items)?,
        Some(entry) => match &entry.value.value {
            Tree::List(list) if text[entry.value.span.range()].starts_with('[') => {
                flow_list(text, &entry.value, list, items)
            }
            Tree::List(list) => block_list(text, &entry.value, list, items)?,
            _ if entry.value.is_empty() && text[entry.value.span.range()].is_empty() => {
                let indent = indent(text, entry.key_span.range().start)
                    .ok_or_else(|| CannotAdd::KeyInsideLine(key.to_owned()))?;
                let at = line_end(text, entry.key_span.range().end);
                (at, lines(text, at, &block(items, &format!("{indent}  "))))
            }
            _ => return Err(CannotAdd::NoList(key.to_owned())),
        },
    };
    let mut out = String::with_capacity(text.len() + added.len());
    out.push_str(&text[..at]);
    out.push_str(&added);
    out.push_str(&text[at..]);
    if is_only_longer(&before, &out, key, items) { Ok(out) } else { Err(CannotAdd::ElseWouldChange) }
}

fn read(text: &str) -> Option<Node> {
    let mut findings = Vec::new();
    let root = yaml::read(FileId(0), text, &mut findings);
    root.filter(|_| findings.iter().all(|finding| finding.severity != Severity::Error))
}

/// Where a new key goes, and its text.
fn new_list(
    text: &str,
    root: &Node,
    entries: &[Entry],
    key: &str,
    items: &[Item],
) -> Result<(usize, String), CannotAdd> {
    let first = entries.first().ok_or(CannotAdd::Empty)?;
    let indent = indent(text, first.key_span.range().start)
        .filter(|_| !text[root.span.range()].starts_with('{'))
        .ok_or(CannotAdd::InBraces)?;
    let mut all = vec![format!("{indent}{key}:")];
    all.extend(block(items, &format!("{indent}  ")));
    let at = end_mark(text, root.span.range().end).unwrap_or(text.len());
    Ok((at, lines(text, at, &all)))
}

/// Where a document's end mark (`...`) stands after its content.
fn end_mark(text: &str, from: usize) -> Option<usize> {
    let mut at = line_end(text, from);
    // The content may end exactly where a line begins.
    if from == 0 || text[..from].ends_with('\n') {
        at = from;
    }
    for line in text[at..].split_inclusive('\n') {
        let rest = line.strip_prefix("...");
        if rest.is_some_and(|rest| rest.trim().is_empty() || rest.starts_with([' ', '\t'])) {
            return Some(at);
        }
        at += line.len();
    }
    None
}

fn block_list(text: &str, list: &Node, old: &[Node], items: &[Item]) -> Result<(usize, String), CannotAdd> {
    // The list's own place is that of its first dash, or, where the dashes are not indented, of what follows it.
    let start = list.span.range().start;
    let dash = match old.first() {
        Some(first) if !text[start..].starts_with('-') => {
            text[..first.span.range().start].trim_end().len().saturating_sub(1)
        }
        _ => start,
    };
    let indent =
        indent(text, dash).filter(|_| text[dash..].starts_with('-')).ok_or(CannotAdd::DashInsideLine)?;
    let end = old.last().map_or(dash, |last| last.span.range().end);
    let at = if text[..end].ends_with('\n') { end } else { line_end(text, end) };
    let rest = text[end..at].trim();
    if !rest.is_empty() && !rest.starts_with('#') {
        return Err(CannotAdd::BehindTheLast);
    }
    Ok((at, lines(text, at, &block(items, indent))))
}

fn flow_list(text: &str, list: &Node, old: &[Node], items: &[Item]) -> (usize, String) {
    let all: Vec<&str> = items.iter().map(|item| item.flow.as_str()).collect();
    let all = all.join(", ");
    match old.last() {
        Some(last) => (last.span.range().end, format!(", {all}")),
        None => (
            list.span.range().start + 1,
            format!("{all}{}", if after_bracket(text, list) { " " } else { "" }),
        ),
    }
}

/// Whether a comment follows the opening bracket: it needs a blank before it.
fn after_bracket(text: &str, list: &Node) -> bool {
    text[list.span.range().start + 1..].starts_with('#')
}

fn block(items: &[Item], indent: &str) -> Vec<String> {
    let dashed = |item: &Item| {
        let lines = item.lines.iter().enumerate();
        lines
            .map(|(n, line)| format!("{indent}{}{line}", if n == 0 { "- " } else { "  " }))
            .collect::<Vec<_>>()
    };
    items.iter().flat_map(dashed).collect()
}

/// The blanks before a place, where nothing else stands before it in its line.
fn indent(text: &str, at: usize) -> Option<&str> {
    let start = text[..at].rfind('\n').map_or(0, |n| n + 1);
    let before = text[start..at].trim_start_matches('\u{feff}');
    before.bytes().all(|byte| byte == b' ').then_some(before)
}

/// Where the line after a place begins; the end of the text where there is none.
fn line_end(text: &str, at: usize) -> usize {
    text[at..].find('\n').map_or(text.len(), |n| at + n + 1)
}

/// Lines to stand at the beginning of a line or at the text's end, with the line end in use there. A text
/// without a line end at its end keeps to that.
fn lines(text: &str, at: usize, lines: &[String]) -> String {
    let before = &text[..at];
    let end = |text: &str| if text.ends_with("\r\n") { "\r\n" } else { "\n" };
    if before.ends_with('\n') {
        let end = end(before);
        return lines.iter().map(|line| format!("{line}{end}")).collect();
    }
    let end = before.rfind('\n').map_or("\n", |n| end(&before[..=n]));
    lines.iter().map(|line| format!("{end}{line}")).collect()
}

/// Whether the new text holds what the old one held, and the items at the end of the list, and nothing else.
fn is_only_longer(before: &Node, text: &str, key: &str, items: &[Item]) -> bool {
    let flows: Vec<&str> = items.iter().map(|item| item.flow.as_str()).collect();
    let added_items = read(&format!("[{}]", flows.join(", ")));
    let (Some(after), Some(added_items)) = (read(text), added_items) else { return false };
    let (Tree::Map(old), Tree::Map(new)) = (&before.value, &after.value) else { return false };
    let there = old.iter().position(|entry| entry.key == key).unwrap_or(old.len());
    let added = old.len() + usize::from(there == old.len());
    new.len() == added
        && new.iter().enumerate().all(|(n, entry)| match old.get(n) {
            Some(was) if n != there => was.key == entry.key && same(&was.value, &entry.value),
            was => {
                let had = was.map_or(&[][..], |was| was.value.items());
                let has = entry.value.items();
                entry.key == key
                    && has.len() == had.len() + items.len()
                    && had.iter().chain(added_items.items()).zip(has).all(|(a, b)| same(a, b))
            }
        })
}

/// Whether two trees say the same, wherever they stand.
fn same(a: &Node, b: &Node) -> bool {
    match (&a.value, &b.value) {
        (Tree::Scalar { .. }, Tree::Scalar { .. }) => a.value == b.value,
        (Tree::List(a), Tree::List(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b)),
        (Tree::Map(a), Tree::Map(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.key == b.key && same(&a.value, &b.value))
        }
        _ => false,
    }
}
