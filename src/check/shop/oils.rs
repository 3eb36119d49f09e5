//! Rules on oils.

use crate::catalogue::{Choices, Owner};
use crate::check::{CheckedFork, sample};
use crate::diagnostic::{Finding, Severity, rules};
use crate::resolve::Shop;
use crate::words::lower_first;

/// missing-value: what every oil must say.
pub(crate) fn missing(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    for oil in &shop.oils {
        let weight = if oil.draft { Severity::Warning } else { Severity::Error };
        for (id, field) in shop.catalogue.of(Owner::Oil) {
            if !field.required.holds(&Choices::new()) || oil.values.iter().any(|line| line.field == id) {
                continue;
            }
            findings.push(
                rules::MISSING_VALUE
                    .graded(weight, oil.id.span, format!("`{}` is missing", field.key))
                    .bench(lower_first(&field.wrong))
                    .instead(format!(
                        "under `{}:` add `{}`, {}",
                        field.group,
                        sample::line(field),
                        sample::words(shop, field, "maker's data sheet")
                    )),
            );
        }
    }
}
