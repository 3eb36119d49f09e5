//! Findings that a shop lets stand, with a reason and a name.

use crate::diagnostic::{Finding, did_you_mean};
use crate::record::{Accept, Sides};
use crate::resolve::Shop;
use crate::source::Span;

/// The findings that may be let stand: judgements on a value, never a value that cannot be read.
const ACCEPTABLE: [&str; 15] = [
    "outside-band",
    "second-saying",
    "estimate",
    "leg-difference",
    "leg-difference-missing",
    "outside-tuning-range",
    "volume-ratio",
    "pitch-not-preferred",
    "bushing-clearance",
    "oil-index",
    "pressure-limit",
    "rate-and-wire",
    "slope-and-bore",
    "fit-and-bore",
    "unit-slip",
];

/// accept-idle, accept-refused: drops what is accepted at its value, and says which acceptance meets nothing.
pub(super) fn apply(shop: &Shop, mut found: Vec<Finding>) -> Vec<Finding> {
    let mut idle = Vec::new();
    for record in shop.forks.iter().chain(&shop.families).chain(&shop.oils) {
        for line in &record.values {
            let entries = match &line.sides {
                Sides::Each(entry) => vec![entry],
                Sides::Legs(left, right) => vec![left, right],
            };
            let mut accepts: Vec<&Accept> = entries.iter().flat_map(|entry| &entry.accept).collect();
            accepts.sort_by_key(|accept| accept.finding.span);
            accepts.dedup_by_key(|accept| accept.finding.span);
            for accept in accepts {
                one(
                    accept,
                    line.span,
                    entries.iter().all(|entry| entry.value.is_some()),
                    &mut found,
                    &mut idle,
                );
            }
        }
    }
    found.extend(idle);
    found
}

fn one(accept: &Accept, line: Span, readable: bool, found: &mut Vec<Finding>, idle: &mut Vec<Finding>) {
    let code = accept.finding.text.as_str();
    if !ACCEPTABLE.contains(&code) {
        idle.push(
            Finding::error(
                "accept-refused",
                accept.finding.span,
                format!("`{code}` is not a finding that can be let stand"),
            )
            .bench("a value that cannot be read or does not belong must be mended, not waved through")
            .instead(did_you_mean(code, ACCEPTABLE, || {
                "mend the value: only a judgement on a sound one can be let stand, such as `outside-band`"
                    .to_owned()
            })),
        );
        return;
    }
    let before = found.len();
    let inside = |span: Span| {
        span.file == line.file && span.start >= line.start && span.end <= line.end.max(span.start)
    };
    found.retain(|finding| !(finding.code == code && inside(finding.span)));
    if found.len() == before && readable {
        idle.push(
            Finding::warning(
                "accept-idle",
                accept.finding.span,
                format!("there is no finding `{code}` here to let stand"),
            )
            .bench("an acceptance that meets nothing hides the next mistake")
            .instead("remove it"),
        );
    }
}
