//! What records in Markdown share: a head between two lines of dashes, and how long the work takes.

use super::value::read;
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Dimension, Kind, Quantity, Value, Wanted};
use crate::syntax::{markdown, yaml, yaml::Node};
use crate::text::{FileId, Span};

/// Splits a Markdown record into its head and where its body begins.
pub(super) fn head(
    file: FileId,
    text: &str,
    what: &str,
    findings: &mut Vec<Finding>,
) -> Option<(Node, usize)> {
    let Some((front, body)) = markdown::split(text) else {
        let end = text.find('\n').unwrap_or(text.len());
        findings.push(
            rules::FRONT_MATTER.at(Span::new(file, 0, end),
                format!("this {what} does not begin with a head between two `---` lines"),
            )
            .bench(
                "without a head nothing knows which fork it is for, and it would be missing from every card",
            )
            .instead("begin with `---`, then `id:` and `title:`, then `---`"),
        );
        return None;
    };
    Some((yaml::read(file, &text[front], findings)?, body))
}

pub(super) fn time(root: &Node, key: &str, text: &str, findings: &mut Vec<Finding>) -> Option<Quantity> {
    let node = root.get(key)?;
    let kind = Kind::Quantity(Dimension::Time);
    let wanted = Wanted { kind: &kind, units: &[], title: "Time", example: "20 min", bands: &[] };
    match read(&wanted, node, text, findings) {
        Some(Value::Quantity(quantity)) => Some(quantity),
        _ => None,
    }
}
