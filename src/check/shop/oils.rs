//! Rules on oils and springs.

use crate::catalogue::{Choices, Owner};
use crate::check::sample;
use crate::diagnostic::{Finding, Severity, rules};
use crate::resolve::Shop;
use crate::words::lower_first;

/// missing-value: what every oil and every spring must say.
pub(crate) fn missing(shop: &Shop, findings: &mut Vec<Finding>) {
    let oils = shop.oils.iter().map(|oil| (oil, Owner::Oil, "maker's data sheet"));
    let springs = shop.springs.iter().map(|spring| (spring, Owner::Spring, "bench"));
    for (record, owner, from) in oils.chain(springs) {
        let weight = if record.draft { Severity::Warning } else { Severity::Error };
        for (id, field) in shop.catalogue.of(owner) {
            if !field.required.holds(&Choices::new()) || record.values.iter().any(|line| line.field == id) {
                continue;
            }
            findings.push(
                rules::MISSING_VALUE
                    .graded(weight, record.id.span, format!("`{}` is missing", field.key))
                    .bench(lower_first(&field.wrong))
                    .instead(format!(
                        "under `{}:` add `{}`, {}",
                        field.group,
                        sample::line(field),
                        sample::words(shop, field, from)
                    )),
            );
        }
    }
}
