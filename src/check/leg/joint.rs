//! A torque is one that its bolt carries, on a thread that bolts have.

use crate::catalogue::Field;
use crate::check::value::room::{carried_by, offered};
use crate::check::value::slips::{Room, explaining, in_words};
use crate::derive::Joint;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// torque-over-proof, pitch-not-preferred: a torque its bolt carries, on a thread that bolts have.
pub(super) fn joint(
    shop: &Shop,
    fork: &ResolvedFork,
    side: Side,
    joint: &Joint,
    findings: &mut Vec<Finding>,
) {
    let Some(value) = fork.on(side, joint.field) else { return };
    let field = shop.catalogue.field(joint.field);
    let name = lower_first(&field.title);
    if let Some(strain) = joint.strain.value() {
        let carries = format!("{:.1} kN", strain.proof.value / 1000.0);
        if strain.certainly_over() {
            let slip = carried_by(joint).and_then(|most| over_proof(fork, field, value, most));
            let slip = slip.map_or_else(
                || "read the sheet again, number, unit, thread and class".to_owned(),
                |slip| format!("read the sheet again, number, unit, thread and class: {slip}"),
            );
            findings.push(
                rules::TORQUE_OVER_PROOF
                    .at(
                        value.entry.span,
                        format!(
                            "{name} of {} pulls the bolt with at least {:.1} kN; its class carries {carries}",
                            value.entry.text,
                            strain.preload.least.value / 1000.0
                        ),
                    )
                    .bench("the bolt stretches for good or breaks, or the thread in the casting is torn out")
                    .instead(slip),
            );
        } else if strain.possibly_over() {
            findings.push(
                rules::TORQUE_NEAR_PROOF.at(value.entry.span, format!("{name} of {} may pull the bolt with {:.1} kN if the thread runs easily; its class carries {carries}", value.entry.text, strain.preload.greatest.value / 1000.0))
                    .bench("on a slippery thread the same torque stretches the bolt")
                    .instead("keep to the thread state that the sheet names, and wipe off what is not meant to be there"),
            );
        }
    }
    findings.extend(over_strongest(&name, value, joint));
    if let Some(pitches) = &joint.pitches_there_are {
        let pitches: Vec<String> =
            pitches.iter().map(|pitch| format!("{}", libm::round(pitch.value * 1e6) / 1000.0)).collect();
        let place = value.entry.attributes.get("thread").map_or(value.entry.span, |thread| thread.text.span);
        let text = value.entry.attributes.get("thread").map_or("", |thread| thread.text.text.as_str());
        findings.push(
            rules::PITCH_NOT_PREFERRED
                .at(place, format!("bolts and nuts have no thread {text} (ISO 261)"))
                .bench("the wrong bolt is ordered, or the right one is forced into another pitch")
                .instead(format!(
                    "look at the bolt; for its diameter there are pitches of {} mm",
                    pitches.join(", ")
                )),
        );
    }
}

/// A bolt whose class is not said is judged as the strongest there is.
fn over_strongest(name: &str, value: &Resolved, joint: &Joint) -> Option<Finding> {
    let strain = joint.over_strongest.as_ref()?;
    let kn = |force: f64| format!("{:.1} kN", force / 1000.0);
    let message = format!(
        "{name} of {} pulls the bolt with at least {}; even one of class 12.9 carries {}",
        value.entry.text,
        kn(strain.preload.least.value),
        kn(strain.proof.value)
    );
    Some(
        rules::TORQUE_OVER_PROOF
            .at(value.entry.span, message)
            .bench("the bolt stretches for good or breaks, or the thread in the casting is torn out")
            .instead("read the sheet again, number, unit and thread"),
    )
}

/// The slips that would explain a torque inside its band that its bolt does not carry. Those of one outside are
/// told where its band is, so that one value is explained in one place.
fn over_proof(fork: &ResolvedFork, field: &Field, value: &Resolved, most: f64) -> Option<String> {
    let quantity = value.quantity()?;
    let band = field.band(&fork.choices, value.value()?)?;
    if !(band.from..=band.to).contains(&quantity.middle_si()) {
        return None;
    }
    let room = Room::of(band).between(offered(most));
    in_words(&explaining(field, quantity, room, false), quantity.has_twin())
}
