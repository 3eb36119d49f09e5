//! Rules that read the arithmetic of one fork: where a leg would lock or push like a wall, where coils touch,
//! where a torque is more than its bolt carries, and what could not be judged.

use super::fork::{head, lower_first};
use super::room::carried_by;
use super::slips::{Room, explaining, told};
use crate::bench::OutOfRange;
use crate::bench::air::Band;
use crate::bench::units::{Force, Length};
use crate::catalogue::Field;
use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{MadeChoice, key};
use crate::derive::{Air, Answer, AtGap, Derived, DerivedLeg, Enclosed, Joint};
use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::Quantity;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};

/// Above this ratio of air volumes, extended over full travel, a leg is hard near its end (common practice, no
/// source; the shop's limit of the air force decides what is dangerous).
const HIGH_RATIO: f64 = 12.0;

/// Millimetres for a message, to a tenth where it matters.
pub(super) fn mm(length: Length) -> String {
    let value = length.value * 1000.0;
    let text = if value.abs() < 10.0 { format!("{value:.1}") } else { format!("{value:.0}") };
    format!("{} mm", text.strip_suffix(".0").unwrap_or(&text).replace('-', "−"))
}

fn kilonewtons(force: Force) -> String {
    format!("{:.1} kN", force.value / 1000.0)
}

pub(super) fn on<'f>(shop: &Shop, fork: &'f ResolvedFork, side: Side, key: &str) -> Option<&'f Resolved> {
    fork.on(side, shop.catalogue.find(key)?)
}

/// Every rule on one fork's arithmetic.
pub(super) fn rules(shop: &Shop, fork: &ResolvedFork, derived: &Derived, found: &mut Vec<Finding>) {
    for leg in &derived.legs {
        if let Some(air) = leg.air.value() {
            gap(shop, fork, leg.side, air, found);
        }
        if let Some(outer) = leg.outer.value() {
            enclosed(shop, fork, leg.side, outer, found);
        }
        coil_bind(shop, fork, leg, found);
        free_length(shop, fork, leg.side, found);
        bushings(shop, fork, leg, found);
        warm_gap(shop, fork, derived, leg, found);
        super::crosschecks::rules(shop, fork, leg, found);
        super::pressures::rules(shop, fork, leg, found);
        for joint in &leg.joints {
            self::joint(shop, fork, leg.side, joint, found);
        }
        refusals(shop, fork, leg, found);
    }
    for joint in &derived.joints {
        self::joint(shop, fork, Side::Left, joint, found);
    }
    not_judged(shop, fork, derived, found);
}

/// locks-on-oil, air-force-limit, volume-ratio: at full travel a leg set by a gap still has air, and the air does
/// not push harder than the shop's limit.
fn gap(shop: &Shop, fork: &ResolvedFork, side: Side, air: &Air, found: &mut Vec<Finding>) {
    let Some(height) = OilSetBy::of(&fork.choices).and_then(OilSetBy::height) else { return };
    let Some(value) = fork.on(side, height.id()) else { return };
    let word = if height == key::OIL_LEVEL { "level" } else { "gap" };
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
        found.push(
            rules::LOCKS_ON_OIL.at(value.entry.span,
                format!("{called} locks the leg on its oil {} short of full travel, at {at}", mm(short)),
            )
            .bench("the leg stops like a wall before full travel, and throws the rider or breaks a seal")
            .instead(format!(
                "a {word} above {} leaves air at full travel; read the sheet again, its edge and its state too",
                rounded_up(air.locks_at)
            )),
        );
    } else if let (true, Some(push)) = (too_hard(state), state.push) {
        let begins = air.limit_at.map_or_else(String::new, |gap| {
            format!("; a {word} above {} stays under the limit", rounded_up(gap))
        });
        found.push(
            rules::AIR_FORCE_LIMIT.at(value.entry.span, format!("{called} makes the air push with {} at full travel, at {at}; the shop's limit is {:.1} kN", band(push), limit / 1000.0))
                .bench("near full travel the leg is as good as a wall, and the wheel is thrown off the ground")
                .instead(format!("read the sheet again, its edge and its state too{begins}")),
        );
    } else if air.nominal.ratio.is_some_and(|ratio| ratio > HIGH_RATIO) {
        let ratio = air.nominal.ratio.unwrap_or(0.0);
        found.push(
            rules::VOLUME_RATIO.at(value.entry.span, format!("the air of this leg is squeezed to one part in {ratio:.0} at full travel"))
                .bench("the last part of the travel is so hard that the fork seems to be sprung too stiffly")
                .instead("read gap, stroke and spring mass again; if they are right, let the finding stand with `accept:`, a reason and a name"),
        );
    }
}

fn band(push: Band<Force>) -> String {
    format!("{} (slow) to {} (fast)", kilonewtons(push.slow), kilonewtons(push.fast))
}

/// A gap on the safe side of the one where it begins, in whole millimetres.
fn rounded_up(gap: Length) -> String {
    format!("{:.0} mm", libm::ceil(gap.value * 1000.0 - 1e-9))
}

/// The same for the outer chamber of a closed cartridge's leg.
fn enclosed(shop: &Shop, fork: &ResolvedFork, side: Side, outer: &Enclosed, found: &mut Vec<Finding>) {
    let Some(value) = on(shop, fork, side, "oil.outer_air_volume") else { return };
    let limit = shop.settings.air_force_limit();
    if let Some(short) = outer.locks_short_by {
        found.push(
            rules::LOCKS_ON_OIL
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
        found.push(
            rules::AIR_FORCE_LIMIT.at(value.entry.span, format!("an outer air volume of {} makes the air push with {} at full travel; the shop's limit is {:.1} kN", value.entry.text, band(push), limit / 1000.0))
                .bench("near full travel the leg is as good as a wall, and the wheel is thrown off the ground")
                .instead("measure the outer air again, with the leg extended and everything in"),
        );
    }
}

/// coil-bind: the coils do not touch before full travel.
fn coil_bind(shop: &Shop, fork: &ResolvedFork, leg: &DerivedLeg, found: &mut Vec<Finding>) {
    let (Some(bind), Some(solid)) = (leg.coil_bind.value(), on(shop, fork, leg.side, "spring.solid_length"))
    else {
        return;
    };
    if bind.binds() {
        let over = Length::new::<uom::si::length::meter>(-bind.margin.value);
        let mut finding = rules::COIL_BIND.at(solid.entry.span, format!("at the greatest preload the spring is {} long at full travel, {} less than its solid length of {}", mm(bind.least), mm(over), solid.entry.text))
            .bench("the coils touch before full travel: the leg stops dead, and the spring takes a set or breaks")
            .instead("read free length, preload, stroke and solid length again; one of them is not this spring's");
        if let Some(free) = on(shop, fork, leg.side, "spring.free_length") {
            finding = finding.also(free.entry.span, "free length");
        }
        found.push(finding);
    }
}

/// free-length-under-limit: the new spring is longer than the length at which it is thrown away.
fn free_length(shop: &Shop, fork: &ResolvedFork, side: Side, found: &mut Vec<Finding>) {
    let (Some(free), Some(limit)) =
        (on(shop, fork, side, "spring.free_length"), on(shop, fork, side, "spring.free_length_limit"))
    else {
        return;
    };
    let (Some(length), Some(least)) =
        (free.quantity().map(Quantity::least_si), limit.quantity().map(Quantity::middle_si))
    else {
        return;
    };
    if length < least * (1.0 - 1e-12) {
        found.push(
            rules::FREE_LENGTH_UNDER_LIMIT
                .at(
                    limit.entry.span,
                    format!(
                        "the free length {} is under its own service limit {}",
                        free.entry.text, limit.entry.text
                    ),
                )
                .bench("a new spring would be thrown away, or a set one kept")
                .instead(
                    "correct the one that is wrong; a limit lies a few millimetres under the free length",
                )
                .also(free.entry.span, "free length"),
        );
    }
}

/// bushing-clearance: a bushing has play, and not more than its limit.
fn bushings(shop: &Shop, fork: &ResolvedFork, leg: &DerivedLeg, found: &mut Vec<Finding>) {
    for (which, answer) in [("outer", &leg.outer_bushing), ("inner", &leg.inner_bushing)] {
        let Some(play) = answer.value() else { continue };
        let Some(wall) = on(shop, fork, leg.side, &format!("bushings.{which}_wall")) else { continue };
        let limit = on(shop, fork, leg.side, "bushings.clearance_limit")
            .and_then(Resolved::quantity)
            .map(Quantity::middle_si);
        let hundredths = |length: Length| format!("{:.2} mm", length.value * 1000.0).replace('-', "−");
        if play.least.value <= 0.0 {
            found.push(
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
            let limit = on(shop, fork, leg.side, "bushings.clearance_limit")
                .map_or("", |limit| limit.entry.text.as_str());
            found.push(
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

/// gap-moves: a gap that moves more than its tolerance between the bench and the road (note).
fn warm_gap(shop: &Shop, fork: &ResolvedFork, derived: &Derived, leg: &DerivedLeg, found: &mut Vec<Finding>) {
    let Some(warm) = leg.warm_gap.value() else { return };
    let key = if fork.choices.get("oil_set_by").is_some_and(|by| by == "level") {
        "oil.level"
    } else {
        "oil.air_gap"
    };
    let Some(value) = on(shop, fork, leg.side, key) else { return };
    let Some(said) = value.quantity() else { return };
    let tolerance = (said.greatest_si() - said.least_si()) / 2.0;
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
        found.push(
            rules::GAP_MOVES
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

/// torque-over-proof, pitch-not-preferred: a torque its bolt carries, on a thread that bolts have.
fn joint(shop: &Shop, fork: &ResolvedFork, side: Side, joint: &Joint, found: &mut Vec<Finding>) {
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
            found.push(
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
            found.push(
                rules::TORQUE_NEAR_PROOF.at(value.entry.span, format!("{name} of {} may pull the bolt with {:.1} kN if the thread runs easily; its class carries {carries}", value.entry.text, strain.preload.greatest.value / 1000.0))
                    .bench("on a slippery thread the same torque stretches the bolt")
                    .instead("keep to the thread state that the sheet names, and wipe off what is not meant to be there"),
            );
        }
    }
    if let Some(known) = &joint.pitches_there_are {
        let known: Vec<String> =
            known.iter().map(|pitch| format!("{}", libm::round(pitch.value * 1e6) / 1000.0)).collect();
        let place = value.entry.attributes.get("thread").map_or(value.entry.span, |thread| thread.text.span);
        let text = value.entry.attributes.get("thread").map_or("", |thread| thread.text.text.as_str());
        found.push(
            rules::PITCH_NOT_PREFERRED
                .at(place, format!("bolts and nuts have no thread {text} (ISO 261)"))
                .bench("the wrong bolt is ordered, or the right one is forced into another pitch")
                .instead(format!(
                    "look at the bolt; for its diameter there are pitches of {} mm",
                    known.join(", ")
                )),
        );
    }
}

/// The slips that would explain a torque inside its band that its bolt does not carry. Those of one outside are
/// told where its band is, so that one value is explained in one place.
fn over_proof(fork: &ResolvedFork, field: &Field, value: &Resolved, most: f64) -> Option<String> {
    let quantity = value.quantity()?;
    let band = field.band(&fork.choices, value.value()?)?;
    if !(band.from..=band.to).contains(&quantity.middle_si()) {
        return None;
    }
    let room = Room::of(band).between((f64::NEG_INFINITY, most));
    told(&explaining(field, quantity, room, false), quantity.has_twin())
}

/// figures-contradict: values that are each plausible but make no sense together.
fn refusals(shop: &Shop, fork: &ResolvedFork, leg: &DerivedLeg, found: &mut Vec<Finding>) {
    let refused = [
        refused(&leg.surface),
        refused(&leg.drawn),
        refused(&leg.inserted),
        refused(&leg.corrections),
        refused(&leg.air),
        refused(&leg.outer),
        refused(&leg.main_chamber),
        refused(&leg.warm_gap),
        refused(&leg.spring),
        refused(&leg.coil_bind),
        refused(&leg.cap_force),
        refused(&leg.nut),
        refused(&leg.outer_bushing),
        refused(&leg.inner_bushing),
    ];
    let mut said: Vec<&OutOfRange> = Vec::new();
    for (why, keys) in refused.into_iter().flatten() {
        // One contradiction shows in everything that rests on it.
        if said.contains(&why) {
            continue;
        }
        said.push(why);
        let mut places =
            keys.iter().filter_map(|key| on(shop, fork, leg.side, key).map(|value| (key, value)));
        let Some((key, value)) = places.next() else { continue };
        let mut finding = rules::FIGURES_CONTRADICT
            .at(value.entry.span, format!("these figures make no sense together: {why}"))
            .bench("nothing that rests on them can be computed, and one of them would be set or fitted wrong")
            .instead(format!("read `{key}` and what stands with it again: one of them is wrong"));
        for (_, other) in places.filter(|(_, other)| other.entry.span != value.entry.span).take(3) {
            finding = finding.also(other.entry.span, lower_first(&shop.catalogue.field(other.field).title));
        }
        found.push(finding);
    }
}

fn refused<T>(answer: &Answer<T>) -> Option<(&OutOfRange, &[String])> {
    match answer {
        Answer::Refused { why, rests_on } => Some((why, rests_on)),
        _ => None,
    }
}

/// not-judged: what could not be checked, and the value that would unlock it (note).
fn not_judged(shop: &Shop, fork: &ResolvedFork, derived: &Derived, found: &mut Vec<Finding>) {
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
        lines.push(("coil bind", leg.coil_bind.missing()));
        // A record that says nothing of a bushing has not tried; one that says half of it has.
        for (what, answer, which) in [
            ("play of the outer bushing", &leg.outer_bushing, "outer"),
            ("play of the inner bushing", &leg.inner_bushing, "inner"),
        ] {
            let tried = ["bore", "shaft", "wall"]
                .iter()
                .any(|part| on(shop, fork, leg.side, &format!("bushings.{which}_{part}")).is_some());
            if tried {
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
        found.push(
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
