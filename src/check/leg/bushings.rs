//! A bushing has play, and not more than its limit.

use crate::bench::units::Length;
use crate::catalogue::key;
use crate::check::look::on;
use crate::derive::{DerivedLeg, INNER_BUSHING, OUTER_BUSHING};
use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::Quantity;
use crate::resolve::{Resolved, ResolvedFork};

/// bushing-clearance: a bushing has play, and not more than its limit.
pub(super) fn bushings(fork: &ResolvedFork, leg: &DerivedLeg, findings: &mut Vec<Finding>) {
    for (which, answer, sizes) in
        [("outer", &leg.outer_bushing, OUTER_BUSHING), ("inner", &leg.inner_bushing, INNER_BUSHING)]
    {
        let Some(play) = answer.value() else { continue };
        let Some(wall) = on(fork, leg.side, sizes.wall) else { continue };
        let limit = on(fork, leg.side, key::BUSHINGS_CLEARANCE_LIMIT)
            .and_then(Resolved::quantity)
            .map(Quantity::middle_si);
        let hundredths = |length: Length| format!("{:.2} mm", length.value * 1000.0).replace('-', "−");
        if play.least.value <= 0.0 {
            findings.push(
                rules::BUSHING_CLEARANCE
                    .graded(
                        Severity::Error,
                        wall.entry.span,
                        format!(
                            "the {which} bushing has no play: bore, shaft and twice the wall leave {}",
                            hundredths(play.least)
                        ),
                    )
                    .bench("the tubes bind, or the bushing is crushed when it is driven in")
                    .instead("measure bore, shaft and wall again; a split bushing's wall counts twice"),
            );
        } else if limit.is_some_and(|limit| play.greatest.value > limit * (1.0 + 1e-9)) {
            let limit = on(fork, leg.side, key::BUSHINGS_CLEARANCE_LIMIT)
                .map_or("", |limit| limit.entry.text.as_str());
            findings.push(
                rules::BUSHING_CLEARANCE
                    .graded(
                        Severity::Warning,
                        wall.entry.span,
                        format!(
                            "the {which} bushing has up to {} of play when new; its limit is {limit}",
                            hundredths(play.greatest)
                        ),
                    )
                    .bench("new bushings would be thrown away as worn, and a fork with this play knocks")
                    .instead("measure bore, shaft and wall again, or correct the limit"),
            );
        }
    }
}
