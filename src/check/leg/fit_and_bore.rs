//! A measured bore lies inside the limits of its fit.

use crate::bench::OutOfRange;
use crate::bench::fits::limits;
use crate::bench::units::{Length, millimetres};
use crate::catalogue::{Key, key};
use crate::diagnostic::{Finding, rules};
use crate::quantity::Value;
use crate::resolve::Resolved;

/// bore-outside-fit: the measured housing bore lies in the limits of its fit code.
pub(super) fn fit_and_bore<'f>(look: impl Fn(Key) -> Option<&'f Resolved>, findings: &mut Vec<Finding>) {
    let (Some(coded), Some(bore)) = (look(key::SEALS_HOUSING_FIT), look(key::SEALS_HOUSING_BORE)) else {
        return;
    };
    let (Some(Value::Fit(fit)), Some(measured)) = (coded.value(), bore.quantity()) else { return };
    match limits(millimetres(fit.nominal.float()), &fit.code) {
        Ok(zone) => {
            // A bore that is said as a bare nominal size is not a measurement, and lies at the code's lower limit.
            let slack = 1e-9;
            if measured.least_si() < zone.lower.value - slack
                || measured.greatest_si() > zone.upper.value + slack
            {
                let fine = |length: Length| format!("{:.3}", length.value * 1000.0);
                findings.push(
                    rules::BORE_OUTSIDE_FIT.at(bore.entry.span, format!("a housing bore of {} is not within {}: {} to {} mm (ISO 286)", bore.entry.text, coded.entry.text, fine(zone.lower), fine(zone.upper)))
                        .bench("a seal in a bore too wide walks out, and one too narrow is crushed when it is driven in")
                        .instead("measure the bore again with an inside micrometer, or correct the code")
                        .also(coded.entry.span, "the code"),
                );
            }
        }
        Err(OutOfRange::NotInTable { .. }) => findings.push(
            rules::NOT_JUDGED
                .at(
                    coded.entry.span,
                    format!("the fit {} is not judged: its limits are not carried here", coded.entry.text),
                )
                .bench(
                    "not judged is not passed: look the limits up before the bore is measured against them",
                )
                .instead("write holes D to H or JS, in grades 5 to 11, where the sheet gives one of them"),
        ),
        Err(_) => {}
    }
}
