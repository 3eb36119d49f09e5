//! What the reviews of a published fork leave out.

use std::collections::BTreeSet;

use super::judged::Judged;
use crate::diagnostic::{Finding, rules};
use crate::review::{Standing, is_estimate};

/// not-reviewed: safety-critical values that the reviews of a published fork do not cover. A fork that nobody has
/// reviewed at all is on the review list and on its card, and is no finding.
pub(super) fn unreviewed(judged: &Judged<'_>, findings: &mut Vec<Finding>) {
    let Judged { shop, record, review, lines } = judged;
    if record.draft || record.reviewed.iter().all(|review| review.compared.is_some()) {
        return;
    }
    // An estimate cannot be reviewed, and has a warning of its own.
    let safety: BTreeSet<&str> = lines
        .values()
        .map(|(line, from)| (shop.catalogue.field(line.field), is_estimate(line, from)))
        .filter(|(field, estimate)| field.safety && !estimate)
        .map(|(field, _)| field.key.as_str())
        .collect();
    let never: Vec<&str> = review
        .values
        .iter()
        .filter(|(key, standing)| **standing == Standing::Never && safety.contains(key.as_str()))
        .map(|(key, _)| key.as_str())
        .collect();
    let Some(first) = never.first() else { return };
    let what = match never.len() {
        1 => format!("the safety-critical value `{first}` is in none of this fork's reviews"),
        n => format!("{n} safety-critical values are in none of this fork's reviews, among them `{first}`"),
    };
    findings.push(
        rules::NOT_REVIEWED
            .at(record.id.span, what)
            .bench("the card marks them UNREVIEWED, and the person at the bench has to decide")
            .instead(format!(
                "check them against their sources, then `benchleaf approve {}`",
                record.id.text
            )),
    );
}
