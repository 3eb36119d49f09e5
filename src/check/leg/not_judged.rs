//! What could not be checked, and the value that would let it be.

use crate::catalogue::{Key, key};
use crate::check::look::{head, on};
use crate::derive::{Derived, INNER_BUSHING, OUTER_BUSHING};
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop};

/// not-judged: what could not be checked, and the value that would unlock it (note).
pub(super) fn not_judged(shop: &Shop, fork: &ResolvedFork, derived: &Derived, findings: &mut Vec<Finding>) {
    // Where a choice cannot be understood, what this fork must have is not known either.
    let understood =
        shop.catalogue.choices.iter().filter(|choice| choice.applies.holds(&fork.choices)).all(|choice| {
            fork.choices.get(&choice.key).is_some_and(|made| choice.options.iter().any(|(id, _)| id == made))
        });
    if !understood {
        return;
    }
    let mut lines: Vec<(&str, &[String])> = Vec::new();
    for leg in &derived.legs {
        lines.push(("whether the leg locks on its oil", leg.air.missing()));
        lines.push(("whether the outer chamber locks on its oil", leg.outer.missing()));
        // A record that does not say how large a chamber is has not tried.
        for (what, missing, volume) in [
            ("what the main air pushes", leg.main_chamber.missing(), key::AIR_MAIN_VOLUME),
            ("what the balance air pulls", leg.balance_chamber.missing(), key::AIR_BALANCE_VOLUME),
        ] {
            if on(fork, leg.side, volume).is_some() {
                lines.push((what, missing));
            }
        }
        lines.push(("coil bind", leg.coil_bind.missing()));
        let given = |key: Key| on(fork, leg.side, key).is_some();
        if given(key::ROD_NUT_HEIGHT) && !given(key::ROD_NUT_FACES) {
            lines.push(("which way the rod nut turns", leg.nut.missing()));
        }
        // A record that says nothing of a bushing has not tried; one that says half of it has.
        for (what, answer, sizes) in [
            ("play of the outer bushing", &leg.outer_bushing, OUTER_BUSHING),
            ("play of the inner bushing", &leg.inner_bushing, INNER_BUSHING),
        ] {
            let sizes = [sizes.bore, sizes.shaft, sizes.wall];
            if sizes.iter().any(|size| on(fork, leg.side, *size).is_some()) {
                lines.push((what, answer.missing()));
            }
        }
        for joint in &leg.joints {
            lines.push(("what the bolt carries", joint.strain.missing()));
        }
    }
    for joint in &derived.joints {
        lines.push(("what the bolt carries", joint.strain.missing()));
    }
    lines.retain(|(_, keys)| !keys.is_empty() && !keys.iter().any(|key| said_already(shop, fork, key)));
    lines.sort();
    lines.dedup();
    for (what, keys) in lines {
        let keys: Vec<String> = keys.iter().map(|key| format!("`{key}`")).collect();
        let (verb, them) = if keys.len() == 1 { ("is", "it") } else { ("are", "them") };
        findings.push(
            rules::NOT_JUDGED
                .at(head(fork), format!("{what} is not judged: {} {verb} missing", keys.join(", ")))
                .bench("not judged is not passed: the card says so")
                .instead(format!("measure {them} at the next strip and add {them} to the record")),
        );
    }
}

/// Whether the lack of a value has a finding of its own, because the fork must have it.
fn said_already(shop: &Shop, fork: &ResolvedFork, key: &str) -> bool {
    shop.catalogue
        .find(key)
        .map(|id| shop.catalogue.field(id))
        .is_some_and(|field| field.applies.holds(&fork.choices) && field.required.holds(&fork.choices))
}
