//! A target is one figure, a range is two, a limit says on which side it lies: four kinds of number that
//! are never taken for one another.

use std::collections::BTreeSet;

use crate::catalogue::{Field, Form, Role};
use crate::check::look::each;
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Dimension, Quantity, Shape, blank};
use crate::record::Entry;
use crate::resolve::{ResolvedFork, Shop};
use crate::text::Span;
use crate::words::lower_first;

/// wrong-form: a value has the form its field calls for.
pub(crate) fn forms(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let mut seen: BTreeSet<Span> = BTreeSet::new();
    for value in each(fork) {
        let field = shop.catalogue.field(value.field);
        let Some(quantity) = value.quantity() else { continue };
        if seen.insert(value.entry.span)
            && let Some((what, instead)) = wrong(field, quantity, &value.entry)
        {
            findings.push(
                rules::WRONG_FORM
                    .at(value.entry.span, format!("{} {what}", lower_first(&field.title)))
                    .bench("whoever sets or judges the part would go to the wrong figure")
                    .instead(instead),
            );
        }
    }
}

/// What is wrong with a value's form, and what to write instead.
fn wrong(field: &Field, quantity: &Quantity, entry: &Entry) -> Option<(String, String)> {
    let shape = &quantity.main().shape;
    let text = &entry.text;
    let limit = matches!(shape, Shape::AtMost(_) | Shape::AtLeast(_));
    let range = matches!(shape, Shape::Range { .. });
    match field.form {
        // A sheet may give the two ends that a joint is tightened between; the wrench is set inside them.
        Form::Target if range && field.kind.dimensions() == [Dimension::Torque] => None,
        Form::Target if field.role == Role::Set && range => Some((
            format!("is set to one figure, and `{text}` is a range"),
            "write the figure with its tolerance; a range to choose from is another value".to_owned(),
        )),
        Form::Target if field.role == Role::Set && limit => Some((
            format!("is set to one figure, and `{text}` is a limit"),
            "write the figure with its tolerance".to_owned(),
        )),
        Form::Range if !range => Some((
            format!("is a range, and `{text}` is not"),
            format!("write its two ends{}", example(field)),
        )),
        Form::Limit | Form::Difference => {
            let most = !field.examples.first().is_some_and(|example| example.starts_with('≥'));
            let sign = if most { '≤' } else { '≥' };
            match (shape, most) {
                (Shape::AtMost(_), true) | (Shape::AtLeast(_), false) => None,
                (Shape::AtMost(_), false) | (Shape::AtLeast(_), true) => Some((
                    format!("is a limit on the other side than `{text}` says"),
                    format!("write it with `{sign}`{}", example(field)),
                )),
                _ => Some((
                    format!("is a limit, and `{text}` does not say on which side"),
                    format!("write `{sign} {}` if that is meant", quantity.canonical()),
                )),
            }
        }
        _ => None,
    }
}

fn example(field: &Field) -> String {
    field.examples.first().map(|example| format!(", as in `{}`", blank(example))).unwrap_or_default()
}
