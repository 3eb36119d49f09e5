//! Builds and valvings tell of a machine, and never of who rides it.

use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::judge::personal;
use crate::resolve::Shop;
use crate::text::Span;

/// job-personal, in builds and valvings, which are published.
pub(crate) fn texts(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    let mut told: Vec<(Span, &str)> = Vec::new();
    for record in shop.forks.iter() {
        let Some(build) = record.build() else { continue };
        let place = record.id.span;
        told.push((place, &build.title));
        told.extend([&build.use_for, &record.notes].into_iter().flatten().map(|text| (place, text.as_str())));
        told.extend(build.changes.iter().map(|(_, change)| (change.why.span, change.why.text.as_str())));
    }
    for valving in &shop.valvings {
        let texts =
            [Some(&valving.title), Some(&valving.why), valving.done_by.as_ref(), valving.notes.as_ref()];
        told.extend(texts.into_iter().flatten().map(|text| (valving.id.span, text.as_str())));
    }
    for (place, text) in told {
        let mut kinds: Vec<&str> = Vec::new();
        for telling in personal(text, false) {
            if !kinds.contains(&telling.what) {
                kinds.push(telling.what);
            }
        }
        findings.extend(kinds.into_iter().map(|what| {
            rules::JOB_PERSONAL
                .at(place, format!("this looks like {what}"))
                .bench("builds and valvings are published with the pages, and a repository forgets nothing")
                .instead("take it out, and keep it where the shop keeps its customers")
        }));
    }
}
