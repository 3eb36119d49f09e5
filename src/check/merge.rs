//! The same finding, which a family's line gives for every fork that takes it over, is said once.

use std::collections::BTreeSet;

use crate::diagnostic::Finding;
use crate::resolve::Shop;
use crate::text::FileId;

/// Says the same finding once, with every model it reaches. A finding in a fork's own file reaches
/// that fork alone, which goes without saying.
pub(super) fn merge(shop: &Shop, mut all: Vec<Finding>) -> Vec<Finding> {
    all.sort_by(|a, b| {
        (a.span, a.code(), &a.message, &a.also, &a.reaches).cmp(&(
            b.span,
            b.code(),
            &b.message,
            &b.also,
            &b.reaches,
        ))
    });
    let mut out: Vec<Finding> = Vec::with_capacity(all.len());
    for finding in all {
        match out.last_mut() {
            Some(last)
                if (last.span, last.code(), &last.message)
                    == (finding.span, finding.code(), &finding.message) =>
            {
                last.reaches.extend(finding.reaches);
                // Error outweighs warning: the fork that is published decides.
                last.severity = last.severity.min(finding.severity);
                for label in finding.also {
                    if !last.also.contains(&label) && last.also.len() < 4 {
                        last.also.push(label);
                    }
                }
            }
            _ => out.push(finding),
        }
    }
    let of_forks: BTreeSet<FileId> = shop.forks.iter().map(|fork| fork.file).collect();
    for finding in &mut out {
        finding.reaches.sort();
        finding.reaches.dedup();
        if of_forks.contains(&finding.span.file) {
            finding.reaches.clear();
        }
    }
    out
}
