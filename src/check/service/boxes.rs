//! A step that sets one value and has the box of another.

use crate::catalogue::{Field, Form, Role};
use crate::diagnostic::{Finding, rules};
use crate::record::Procedure;
use crate::resolve::Shop;
use crate::syntax::Scheme;
use crate::syntax::markdown::{Piece, Reference, Step};
use crate::words::lower_first;

/// box-for-another-value: the box of a step is that of the value it sets.
pub(crate) fn boxes(shop: &Shop, findings: &mut Vec<Finding>) {
    for procedure in &shop.procedures {
        for step in procedure.body.steps() {
            findings.extend(of_step(shop, procedure, step));
        }
    }
}

fn links(step: &Step, scheme: Scheme) -> Vec<&Reference> {
    let pieces = step.action.pieces.iter().filter_map(|piece| match piece {
        Piece::Reference(link) if link.scheme == scheme => Some(link),
        _ => None,
    });
    pieces.collect()
}

/// A box of a value that the step does not set, beside a value of the same kind that it sets and has no box for.
fn of_step(shop: &Shop, procedure: &Procedure, step: &Step) -> Option<Finding> {
    let (set, written) = (links(step, Scheme::Spec), links(step, Scheme::Reading));
    let field = |link: &Reference| shop.catalogue.find(&link.target).map(|id| shop.catalogue.field(id));
    let alone =
        |link: &&&Reference, others: &[&Reference]| others.iter().all(|other| other.target != link.target);
    let (read, read_field) = written
        .iter()
        .filter(|link| alone(link, &set))
        .find_map(|link| Some((link, field(link).filter(|field| is_target(field))?)))?;
    let (target, target_field) = set
        .iter()
        .filter(|link| alone(link, &written))
        .find_map(|link| Some((link, field(link).filter(|field| alike(field, read_field))?)))?;
    Some(
        rules::BOX_FOR_ANOTHER_VALUE
            .at(
                read.span,
                format!(
                    "a step of `{}` sets `{}` and has the box of `{}`",
                    procedure.id.text, target.target, read.target
                ),
            )
            .bench(format!(
                "{} is written down as if it were {}",
                lower_first(&target_field.title),
                lower_first(&read_field.title)
            ))
            .instead(format!("write `<reading:{}>`, or link the value that the box is for", target.target))
            .also(target.span, "set here"),
    )
}

/// A figure that is set to a target, and no limit, range or difference that it is judged by.
fn is_target(field: &Field) -> bool {
    field.form == Form::Target && field.role == Role::Set
}

/// Whether two values are taken for one another: of one group and one kind of number, both set to a target.
fn alike(field: &Field, other: &Field) -> bool {
    is_target(field) && field.group == other.group && field.kind == other.kind
}
