//! At full travel a leg still has air, and the air does not push harder than the shop allows.

use crate::bench::air::Band;
use crate::bench::units::Force;
use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{MadeChoice, key};
use crate::check::look::{mm, on};
use crate::derive::{Air, AtGap, Enclosed};
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop, Side};

/// Above this ratio of air volumes, extended over full travel, a leg is hard near its end (common practice, no
/// source; the shop's limit of the air force decides what is dangerous).
const HIGH_RATIO: f64 = 12.0;

fn kilonewtons(force: Force) -> String {
    format!("{:.1} kN", force.value / 1000.0)
}

/// hydraulic-lock, air-force-limit, volume-ratio: at full travel a leg set by a gap still has air, and the air does
/// not push harder than the shop's limit.
pub(super) fn gap(shop: &Shop, fork: &ResolvedFork, side: Side, air: &Air, findings: &mut Vec<Finding>) {
    let Some(height) = OilSetBy::of(&fork.choices).and_then(OilSetBy::height) else { return };
    let Some(value) = fork.on(side, height.id()) else { return };
    let limit = shop.settings.air_force_limit();
    let too_hard = |at: &AtGap| at.push.is_some_and(|push| push.slow.value > limit);
    let at = format!("{:.0} °C", shop.settings.working_celsius());
    let (which, state) = if air.nominal.locks_short_by.is_some() || too_hard(&air.nominal) {
        ("", &air.nominal)
    } else {
        ("the least that is allowed, ", &air.least)
    };
    let article = if height == key::OIL_LEVEL { "a level" } else { "an air gap" };
    let called = format!("{article} of {which}{}", mm(state.gap));
    if let Some(short) = state.locks_short_by {
        findings.push(
            rules::HYDRAULIC_LOCK
                .at(
                    value.entry.span,
                    format!("{called} locks the leg on its oil {} short of full travel, at {at}", mm(short)),
                )
                .bench("the leg stops like a wall before full travel, and throws the rider or breaks a seal")
                // No figure is offered: what is worked out here is no sheet's.
                .instead("read the sheet again, its number, its edge and its state"),
        );
    } else if let (true, Some(push)) = (too_hard(state), state.push) {
        findings.push(
            rules::AIR_FORCE_LIMIT.at(value.entry.span, format!("{called} makes the air push with {} at full travel, at {at}; the shop's limit is {:.1} kN", band(push), limit / 1000.0))
                .bench("near full travel the leg is as good as a wall, and the wheel is thrown off the ground")
                .instead("read the sheet again, its number, its edge and its state"),
        );
    } else if air.nominal.ratio.is_some_and(|ratio| ratio > HIGH_RATIO) {
        let ratio = air.nominal.ratio.unwrap_or(0.0);
        findings.push(
            rules::VOLUME_RATIO.at(value.entry.span, format!("the air of this leg is squeezed to one part in {ratio:.0} at full travel"))
                .bench("the last part of the travel is so hard that the fork seems to be sprung too stiffly")
                .instead("read gap, stroke and spring mass again; if they are right, let the finding stand with `accept:`, a reason and a name"),
        );
    }
}

fn band(push: Band<Force>) -> String {
    format!("{} (slow) to {} (fast)", kilonewtons(push.slow), kilonewtons(push.fast))
}

/// The same for the outer chamber of a closed cartridge's leg.
pub(super) fn enclosed(
    shop: &Shop,
    fork: &ResolvedFork,
    side: Side,
    outer: &Enclosed,
    findings: &mut Vec<Finding>,
) {
    let Some(value) = on(fork, side, key::OIL_OUTER_AIR_VOLUME) else { return };
    let limit = shop.settings.air_force_limit();
    if let Some(short) = outer.locks_short_by {
        findings.push(
            rules::HYDRAULIC_LOCK
                .at(
                    value.entry.span,
                    format!(
                        "an outer air volume of {} locks the leg on its oil {} short of full travel",
                        value.entry.text,
                        mm(short)
                    ),
                )
                .bench("the leg stops like a wall before full travel, and throws the rider or breaks a seal")
                .instead("measure the outer air again, with the leg extended and everything in"),
        );
    } else if let Some(push) = outer.push.filter(|push| push.slow.value > limit) {
        findings.push(
            rules::AIR_FORCE_LIMIT.at(value.entry.span, format!("an outer air volume of {} makes the air push with {} at full travel; the shop's limit is {:.1} kN", value.entry.text, band(push), limit / 1000.0))
                .bench("near full travel the leg is as good as a wall, and the wheel is thrown off the ground")
                .instead("measure the outer air again, with the leg extended and everything in"),
        );
    }
}
