//! What records in Markdown share: a head between two lines of dashes, and how long the work takes.

use super::value::read;
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Dimension, FieldSpec, Kind, Quantity, Value};
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

/// What is measured, what it is called, and an example.
pub(super) type Measured = (Dimension, &'static str, &'static str);

/// How long something takes.
pub(super) const TIME: Measured = (Dimension::Time, "Time", "20 min");
/// What is poured beside the amounts of the record.
pub(super) const POURS: Measured = (Dimension::Volume, "Oil poured beside the record's amounts", "100 mL");

/// The torques a wrench reads well at.
pub(super) const TORQUES: Measured = (Dimension::Torque, "Torques it reads well at", "10..50 N·m");

/// How long a torque wrench is.
pub(super) const REACH: Measured = (Dimension::Length, "From the square to the mark on the grip", "320 mm");
/// The sizes that a holder, a socket or a driver fits.
pub(super) const FITS: Measured = (Dimension::Length, "What it fits", "20..36 mm");
/// How far a crowfoot stands out.
pub(super) const EXTENDS: Measured =
    (Dimension::Length, "From the square to the middle of the bolt", "30 mm");

/// A quantity of a head.
pub(super) fn quantity(
    root: &Node,
    key: &str,
    (dimension, title, example): Measured,
    text: &str,
    findings: &mut Vec<Finding>,
) -> Option<Quantity> {
    let node = root.get(key)?;
    let kind = Kind::Quantity(dimension);
    let wanted = FieldSpec { kind: &kind, units: &[], title, example, bands: &[] };
    match read(&wanted, node, text, findings) {
        Some(Value::Quantity(quantity)) => Some(quantity),
        _ => None,
    }
}
