//! How far a gap moves between the bench and the road.

use crate::bench::units::Length;
use crate::catalogue::MadeChoice;
use crate::catalogue::choice::OilSetBy;
use crate::check::look::{mm, on};
use crate::derive::{Derived, DerivedLeg};
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop};
use crate::words::lower_first;

/// gap-moves-when-warm: a gap that moves more than its tolerance between the bench and the road (note).
pub(super) fn warm_gap(
    shop: &Shop,
    fork: &ResolvedFork,
    derived: &Derived,
    leg: &DerivedLeg,
    findings: &mut Vec<Finding>,
) {
    let Some(warm) = leg.warm_gap.value() else { return };
    let Some(height) = OilSetBy::of(&fork.choices).and_then(OilSetBy::height) else { return };
    let Some(value) = on(fork, leg.side, height) else { return };
    let Some(height) = value.quantity() else { return };
    let tolerance = (height.greatest_si() - height.least_si()) / 2.0;
    let moved = warm.bench - warm.working;
    if tolerance > 0.0 && moved.value.abs() > tolerance {
        let ten = Length::new::<uom::si::length::meter>(warm.ten_degrees.value.abs());
        let cold = warm.set_at.value - crate::bench::units::ZERO_CELSIUS;
        // Where the legs take different amounts of oil each is told of, with its name.
        let moves = |leg: &DerivedLeg| {
            let warm = leg.warm_gap.value()?;
            let ten = Length::new::<uom::si::length::meter>(warm.ten_degrees.value.abs());
            Some((mm(warm.bench - warm.working), mm(ten)))
        };
        let alike = derived.legs.iter().all(|other| moves(other) == moves(leg));
        let of = if alike { String::new() } else { format!(" of the {} leg", leg.side.word()) };
        findings.push(
            rules::GAP_MOVES_WHEN_WARM
                .at(
                    value.entry.span,
                    format!(
                        "{}{of} is {} less at {:.0} °C than at {cold:.0} °C, more than its tolerance",
                        lower_first(&shop.catalogue.field(value.field).title),
                        mm(moved),
                        shop.settings.working_celsius()
                    ),
                )
                .bench(format!("set on warm oil it ends up wrong: every ten degrees move it by {}", mm(ten)))
                .instead("let the oil come to the temperature that the state names before it is read"),
        );
    }
}
