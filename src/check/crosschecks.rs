//! Rules on figures that can be had in two ways: the spring's rate and its wire, the measured slope and the bore,
//! the fit code and the measured bore.

use super::arithmetic::on;
use crate::bench::OutOfRange;
use crate::bench::fits::limits;
use crate::bench::oil::Surface;
use crate::bench::spring::{STEEL_SHEAR_MODULUS, Winding, rate_from_wire};
use crate::bench::units::{Length, SpringRate, millimetres, pressure};
use crate::derive::DerivedLeg;
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Quantity, Value};
use crate::resolve::{Resolved, ResolvedFork, Shop};

/// How far a spring's rate may be from the one of its wire. The wire counts in the fourth power, so a tenth of a
/// millimetre is 8 %; dead coils are counted differently by different people.
const RATE_APART: f64 = 0.15;

/// How far a measured slope may be from the one of bore and rod.
const SLOPE_APART: f64 = 0.15;

/// Every rule on one leg.
pub(super) fn rules(shop: &Shop, fork: &ResolvedFork, leg: &DerivedLeg, found: &mut Vec<Finding>) {
    let look = |key: &str| on(shop, fork, leg.side, key);
    rate_and_wire(leg, look, found);
    slope_and_bore(leg, look, found);
    fit_and_bore(look, found);
}

fn length(value: Option<&Resolved>) -> Option<Length> {
    value?.quantity()?.length()
}

/// rate-and-wire: the stated rate is about the one that wire, mean diameter and coils give.
fn rate_and_wire<'f>(
    leg: &DerivedLeg,
    look: impl Fn(&str) -> Option<&'f Resolved>,
    found: &mut Vec<Finding>,
) {
    let (Some(stated), Some(spring)) = (look("spring.rate"), leg.spring.value()) else { return };
    // A spring in segments is progressive, and its wire gives no single rate.
    if matches!(stated.value(), Some(Value::Sections(list)) if list.len() > 1) {
        return;
    }
    let (Some(wire), Some(mean), Some(coils)) = (
        length(look("spring.wire_diameter")),
        length(look("spring.mean_diameter")),
        look("spring.active_coils").and_then(Resolved::quantity).map(Quantity::middle_si),
    ) else {
        return;
    };
    let computed = rate_from_wire(wire, mean, coils, pressure(STEEL_SHEAR_MODULUS), Winding::Even);
    let Ok(rate) = spring.rate_at(millimetres(0.0)) else { return };
    let in_mm = |rate: SpringRate| format!("{:.1} N/mm", rate.value / 1000.0);
    let wrong = match &computed {
        Ok(computed) if (computed.value / rate.value - 1.0).abs() <= RATE_APART => return,
        Ok(computed) => format!("the wire gives {}, not {}", in_mm(*computed), stated.entry.text),
        Err(why) => format!("the wire gives no rate: {why}"),
    };
    let mut finding = rules::RATE_AND_WIRE.at(stated.entry.span, wrong)
        .bench("one of the figures is another spring's, and with it the sag and the stored force")
        .instead("measure wire and coils again: mean diameter is outside less wire, and the dead end coils do not count");
    if let Some(wire) = look("spring.wire_diameter") {
        finding = finding.also(wire.entry.span, "the wire");
    }
    found.push(finding);
}

/// slope-and-bore: the measured slope is about the ring between bore and rod at the gap.
fn slope_and_bore<'f>(
    leg: &DerivedLeg,
    look: impl Fn(&str) -> Option<&'f Resolved>,
    found: &mut Vec<Finding>,
) {
    let (Some(stated), Some(gap)) =
        (look("oil.surface_slope"), length(look("oil.air_gap").or_else(|| look("oil.level"))))
    else {
        return;
    };
    let Some(slope) = stated.quantity().and_then(Quantity::slope) else { return };
    let Some(drawn) = leg.drawn.value() else { return };
    let Ok(ring) = Surface::slope_at(drawn, gap) else { return };
    if (slope.value / ring.value - 1.0).abs() <= SLOPE_APART {
        return;
    }
    let mut finding = rules::SLOPE_AND_BORE
        .at(
            stated.entry.span,
            format!(
                "bore and rod give {:.2} mL/mm at the gap, not the measured {}",
                ring.value * 1000.0,
                stated.entry.text
            ),
        )
        .bench("the table on the card would draw off too much or too little")
        .instead("measure the slope again over 20 mm of gap, or bore and rod where the oil stands");
    if let Some(bore) = look("tubes.bore") {
        finding = finding.also(bore.entry.span, "the bore");
    }
    found.push(finding);
}

/// fit-and-bore: the measured housing bore lies in the limits of its fit code.
fn fit_and_bore<'f>(look: impl Fn(&str) -> Option<&'f Resolved>, found: &mut Vec<Finding>) {
    let (Some(coded), Some(bore)) = (look("seals.housing_fit"), look("seals.housing_bore")) else { return };
    let (Some(Value::Fit(fit)), Some(said)) = (coded.value(), bore.quantity()) else { return };
    match limits(millimetres(fit.nominal.float()), &fit.code) {
        Ok(zone) => {
            // A bore that is said as a bare nominal size is not a measurement, and lies at the code's lower limit.
            let slack = 1e-9;
            if said.least_si() < zone.lower.value - slack || said.greatest_si() > zone.upper.value + slack {
                let fine = |length: Length| format!("{:.3}", length.value * 1000.0);
                found.push(
                    rules::FIT_AND_BORE.at(bore.entry.span, format!("a housing bore of {} is not within {}: {} to {} mm (ISO 286)", bore.entry.text, coded.entry.text, fine(zone.lower), fine(zone.upper)))
                        .bench("a seal in a bore too wide walks out, and one too narrow is crushed when it is driven in")
                        .instead("measure the bore again with an inside micrometer, or correct the code")
                        .also(coded.entry.span, "the code"),
                );
            }
        }
        Err(OutOfRange::NotInTable { .. }) => found.push(
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
