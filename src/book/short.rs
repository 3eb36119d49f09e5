//! A value in a few words, as a card and the steps have it.

use super::figure::{apart, instead_of_figure, main_said, two_units, value_text};
use super::view::CardFigure;
use crate::catalogue::{Field, FieldId};
use crate::quantity::Value;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};

/// What stands where a number would that nobody knows; what is done instead stands beside it.
pub const UNKNOWN: &str = "UNKNOWN";

/// The value on each side, once where both say the same.
pub fn sides(fork: &ResolvedFork, id: FieldId) -> Vec<(&'static str, &Resolved)> {
    let real =
        |side| fork.on(side, id).filter(|resolved| !resolved.not_fitted() && resolved.value().is_some());
    match (real(Side::Left), real(Side::Right)) {
        (Some(left), Some(_)) if fork.alike(id) => vec![("", left)],
        (left, right) => {
            left.map(|left| ("L", left)).into_iter().chain(right.map(|right| ("R", right))).collect()
        }
    }
}

/// A value on one side with its tolerance and its second unit apart.
pub fn card_figure(shop: &Shop, field: &Field, side: &str, resolved: &Resolved) -> CardFigure {
    let side = side.to_owned();
    match resolved.value() {
        Some(Value::Unknown) => CardFigure { side, main: UNKNOWN.to_owned(), ..CardFigure::default() },
        Some(Value::Quantity(quantity)) => {
            let (main, tolerance) = apart(&main_said(shop, Some(field), quantity));
            let (_, second, _) = two_units(shop, Some(field), quantity);
            CardFigure { side, main, tolerance, second }
        }
        Some(value) => {
            let (main, second, _) = value_text(shop, field, value);
            CardFigure { side, main, second, tolerance: String::new() }
        }
        None => CardFigure { side, ..CardFigure::default() },
    }
}

/// The value in a few words: `96 mm ± 2 mm`, or left and right.
pub fn short_text(shop: &Shop, fork: &ResolvedFork, id: FieldId) -> String {
    let field = shop.catalogue.field(id);
    let text_of = |(side, resolved): &(&str, &Resolved)| {
        if resolved.is_unknown() {
            let aside = instead_of_figure(resolved);
            return format!("{side} {UNKNOWN} [{aside}]").trim_start().to_owned();
        }
        let figure = card_figure(shop, field, side, resolved);
        let parts = [figure.side, figure.main, figure.tolerance];
        parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("\u{a0}")
    };
    sides(fork, id).iter().map(text_of).collect::<Vec<_>>().join(", ")
}
