//! A gap or a pressure without its state is no value.

use crate::catalogue::choice::Damping;
use crate::catalogue::{Field, MadeChoice};
use crate::check::look::{each, weight};
use crate::check::sample;
use crate::diagnostic::{Finding, rules};
use crate::quantity::Dimension;
use crate::resolve::{ResolvedFork, Shop};

/// state-missing: a gap says every part of its state. A rod that is fixed in its leg stands nowhere else, so its place
/// need not be said.
pub(crate) fn state(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let fixed_rod = Damping::of(&fork.choices).is_some_and(Damping::has_fixed_rod);
    for value in each(fork) {
        let field = shop.catalogue.field(value.field);
        if value.not_fitted() || value.is_unknown() || value.value().is_none() {
            continue;
        }
        let lacks: Vec<&str> = field
            .state
            .iter()
            .map(String::as_str)
            .filter(|part| !value.entry.state.contains_key(*part))
            .filter(|part| !fixed_rod || *part != "rod")
            .collect();
        if lacks.is_empty() {
            continue;
        }
        let entry = &value.entry;
        let bare = entry.state.is_empty() && entry.attributes.is_empty() && entry.sources.is_empty();
        let instead = if bare && fork.alike(value.field) {
            "write it as a mapping, in which the figure stands behind `value:` and its state behind `state:`"
        } else {
            "add to its `state:` what is missing"
        };
        let lines = sample::state_lines(field, &entry.text, &lacks, bare && fork.alike(value.field));
        findings.push(
            rules::STATE_MISSING
                .graded(
                    weight(fork),
                    value.entry.span,
                    format!("`{}` does not say its state: {}", field.key, lacks.join(", ")),
                )
                .bench(without_state(field))
                .instead(instead)
                .lines(lines),
        );
    }
}

/// What a value does whose state is not said.
fn without_state(field: &Field) -> &'static str {
    match (field.group.as_str(), field.kind.dimensions().first()) {
        (_, Some(Dimension::Pressure)) => {
            "the same air reads higher in a warm or loaded leg, and the leg would be set wrong"
        }
        ("oil", _) => {
            "the same oil reads differently with the spring in, the rod up or from another edge, and the leg would be set wrong"
        }
        _ => "measured from another edge or in another state it is another length, and would be set wrong",
    }
}
