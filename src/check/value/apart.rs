//! Values of one record that do not go together: each alone is plausible, beside the other one of them is not.
//!
//! Limits that follow from what the values are (a spring's preload, the room a piston sweeps) make errors; limits
//! of the trade are common practice without a source and make warnings.

use crate::catalogue::choice::Orientation;
use crate::catalogue::{Field, FieldId, Key, MadeChoice, Role, key};
use crate::check::look::weight;
use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::{Dimension, Quantity, Shape, Value};
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// A refill lies between these shares of the dry fill (common practice, no source: 85 to 98 %, with room).
const REFILL: (f64, f64) = (0.70, 1.0);
/// How far preload and the two lengths may be apart beyond their tolerances: what a steel rule reads.
const LENGTHS_APART: f64 = 0.001;
/// A spring is thrown away well before it has lost this share (common practice, no source: 1 to 4 %).
const SPRING_SET: f64 = 0.05;
/// A stanchion is worn out well before it has lost this, m (common practice, no source: about a tenth).
const STANCHION_WORN: f64 = 0.000_3;
/// Sag as a share of the stroke, alone and with a rider, and what is common (common practice, no source).
const SAGS: [(Key, (f64, f64), &str); 2] = [
    (key::SETUP_SAG_STATIC, (0.06, 0.32), "a tenth to a quarter"),
    (key::SETUP_SAG_RIDER, (0.12, 0.45), "a quarter to a third"),
];
/// What a rider adds to the front axle's load, kg (common practice, no source).
const RIDER_ON_FRONT: (f64, f64) = (5.0, 75.0);
/// The share of a build's rider, gear and load on the front axle (common practice, no source: a third to a half).
const RIDERS_SHARE: (f64, f64) = (0.15, 0.7);
/// The cap's thread beside the stanchion, as a ratio (common practice, no source): inside a conventional
/// stanchion, or in the outer tube of inverted legs.
const CAP_THREAD: (f64, f64) = (0.7, 1.35);
/// The greatest section of an O-ring in ISO 3601-1, m (from memory of the standard: 6.99 mm), with room.
const O_RING_SECTION: f64 = 0.0075;
/// A tolerance is no greater than these shares of what is set or made to a length, or of another value (common
/// practice, no source).
const WIDE: (f64, f64) = (0.12, 0.35);

/// One leg's values by key.
struct Leg<'f> {
    shop: &'f Shop,
    fork: &'f ResolvedFork,
    side: Side,
}

/// A value with its amount, SI.
type Found<'f> = (&'f Resolved, &'f Quantity);

impl<'f> Leg<'f> {
    fn value(&self, field: impl Into<FieldId>) -> Option<&'f Resolved> {
        self.fork.on(self.side, field.into())
    }

    fn of(&self, field: impl Into<FieldId>) -> Option<Found<'f>> {
        let value = self.value(field)?;
        Some((value, value.quantity()?))
    }

    fn title(&self, value: &Resolved) -> String {
        lower_first(&self.shop.catalogue.field(value.field).title)
    }

    /// A finding at the first of two values that names both.
    fn two(
        &self,
        severity: Severity,
        (value, other): (&Resolved, &Resolved),
        how: &str,
        instead: &str,
    ) -> Finding {
        let field = self.shop.catalogue.field(value.field);
        rules::FIGURES_UNLIKELY
            .graded(
                severity,
                value.entry.span,
                format!(
                    "{} of {} does not go with {} of {}: {how}",
                    self.title(value),
                    value.entry.text,
                    self.title(other),
                    other.entry.text
                ),
            )
            .bench(lower_first(&field.wrong))
            .instead(instead)
            .also(other.entry.span, "beside this")
    }
}

/// Every rule on one leg's values beside each other.
pub(crate) fn rules(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for side in Side::BOTH {
        let leg = Leg { shop, fork, side };
        let all = [
            refill(&leg),
            preload(&leg),
            spring_limit(&leg),
            stanchion_limit(&leg),
            sag_of_stroke(&leg, 0),
            sag_of_stroke(&leg, 1),
            sags(&leg),
            loads(&leg),
            cap_thread(&leg),
            o_ring(&leg),
            swept(&leg),
            nut_tolerance(&leg),
            shares(&leg),
        ];
        findings.extend(all.into_iter().flatten());
        for &(setting, range) in shop.catalogue.relations().whole_ranges() {
            findings.extend(beyond(&leg, setting, range));
        }
        for value in fork.leg(side).values.values().chain(fork.whole.values()) {
            findings.extend(tolerance(&leg, value));
            findings.extend(turned(&leg, value));
        }
    }
    findings.sort_by(|a, b| (a.span, a.code(), &a.message).cmp(&(b.span, b.code(), &b.message)));
    findings.dedup_by(|a, b| (a.span, a.code(), &a.message) == (b.span, b.code(), &b.message));
}

fn refill(leg: &Leg<'_>) -> Option<Finding> {
    let ((value, refill), (other, dry)) = (leg.of(key::OIL_REFILL)?, leg.of(key::OIL_DRY_FILL)?);
    let share = refill.middle_si() / dry.middle_si();
    if !share.is_finite() || (REFILL.0..REFILL.1).contains(&share) {
        return None;
    }
    let (severity, how) = match share >= REFILL.1 {
        true => (Severity::Error, "what drains out is less than a dry leg takes".to_owned()),
        false => (Severity::Warning, format!("it is {:.0} % of it, and 85 to 98 % is common", share * 100.0)),
    };
    Some(leg.two(severity, (value, other), &how, "read both on the sheet again; they may be exchanged"))
}

/// Preload is free length less fitted length, by what the three are.
fn preload(leg: &Leg<'_>) -> Option<Finding> {
    let (value, fitted) = leg.of(key::SPRING_FITTED_LENGTH)?;
    let (free, preload) = (leg.of(key::SPRING_FREE_LENGTH)?, leg.of(key::SPRING_PRELOAD)?);
    let room = |quantity: &Quantity| (quantity.greatest_si() - quantity.least_si()) / 2.0;
    let apart = (free.1.middle_si() - fitted.middle_si() - preload.1.middle_si()).abs();
    let room = LENGTHS_APART + room(free.1) + room(fitted) + room(preload.1);
    if apart <= room {
        return None;
    }
    let how = format!("less {} fitted, {} apart", value.entry.text, crate::check::look::mm(metre(apart)));
    let instead = "read the three again: preload is free length less fitted length, adjuster fully out";
    let finding = leg.two(weight(leg.fork), (preload.0, free.0), &how, instead);
    Some(finding.also(value.entry.span, "the fitted length"))
}

fn metre(value: f64) -> crate::bench::units::Length {
    crate::bench::units::millimetres(value * 1000.0)
}

fn spring_limit(leg: &Leg<'_>) -> Option<Finding> {
    let (value, limit) = leg.of(key::SPRING_FREE_LENGTH_LIMIT)?;
    let (other, free) = leg.of(key::SPRING_FREE_LENGTH)?;
    let lost = 1.0 - limit.middle_si() / free.middle_si();
    (lost > SPRING_SET).then(|| {
        let how = format!("it lets {:.0} % be lost, and 1 to 4 % is common", lost * 100.0);
        leg.two(weight(leg.fork), (value, other), &how, "read the limit again, digit by digit")
    })
}

fn stanchion_limit(leg: &Leg<'_>) -> Option<Finding> {
    let (value, limit) = leg.of(key::TUBES_STANCHION_LIMIT)?;
    let (other, size) = leg.of(key::TUBES_STANCHION_DIAMETER)?;
    let worn = size.middle_si() - limit.middle_si();
    if worn < -1e-9 {
        let how = "a new tube would be thrown away";
        let instead = "correct the one that is wrong; a limit lies a little under the size";
        return Some(leg.two(Severity::Error, (value, other), how, instead));
    }
    (worn > STANCHION_WORN).then(|| {
        let how = format!("it lets {:.2} mm wear off, and a tenth is common", worn * 1000.0);
        leg.two(weight(leg.fork), (value, other), &how, "read the limit again, digit by digit")
    })
}

fn sag_of_stroke(leg: &Leg<'_>, which: usize) -> Option<Finding> {
    let (field, (least, most), common) = SAGS[which];
    let ((value, sag), (other, stroke)) = (leg.of(field)?, leg.of(key::TUBES_STROKE)?);
    let share = sag.middle_si() / stroke.middle_si();
    (!(least..=most).contains(&share)).then(|| {
        let how = format!("it is {:.0} % of it, and {common} is common", share * 100.0);
        leg.two(Severity::Warning, (value, other), &how, "read both again, digit by digit")
    })
}

fn sags(leg: &Leg<'_>) -> Option<Finding> {
    let ((value, alone), (other, rider)) = (leg.of(key::SETUP_SAG_STATIC)?, leg.of(key::SETUP_SAG_RIDER)?);
    (alone.middle_si() >= rider.middle_si()).then(|| {
        let how = "a rider makes the fork sink further";
        leg.two(Severity::Warning, (value, other), how, "read both again; they may be exchanged")
    })
}

fn loads(leg: &Leg<'_>) -> Option<Finding> {
    let ((value, alone), (other, rider)) =
        (leg.of(key::SETUP_FRONT_LOAD)?, leg.of(key::SETUP_FRONT_LOAD_RIDER)?);
    let added = rider.middle_si() - alone.middle_si();
    if !(RIDER_ON_FRONT.0..=RIDER_ON_FRONT.1).contains(&added) {
        let how = format!("a rider would add {added:.0} kg to the front").replace('-', "−");
        return Some(leg.two(Severity::Warning, (value, other), &how, "read both again, number and unit"));
    }
    let rider = leg.fork.record.build()?.rider.as_ref()?;
    let share = added / rider.middle_si();
    (!(RIDERS_SHARE.0..=RIDERS_SHARE.1).contains(&share)).then(|| {
        let how =
            format!("a rider of {:.0} kg would put {added:.0} kg of it on the front", rider.middle_si());
        leg.two(Severity::Warning, (value, other), &how, "weigh rider and front axle again, number and unit")
    })
}

fn cap_thread(leg: &Leg<'_>) -> Option<Finding> {
    let (value, other) = (leg.value(key::TORQUE_CAP_TO_TUBE)?, leg.of(key::TUBES_STANCHION_DIAMETER)?);
    let named = value.entry.attributes.get("thread")?;
    let Some(Value::Thread(thread)) = &named.value else { return None };
    let cut = thread.diameter_mm.float() / 1000.0;
    let share = cut / other.1.middle_si();
    // The thread is cut into the wall: wider than the bore at the edge, and inside a conventional stanchion.
    let bore = leg.value(key::TUBES_BORE).filter(|bore| at_the_edge(bore).is_some_and(|bore| cut <= bore));
    let conventional = Orientation::of(&leg.fork.choices) == Some(Orientation::Conventional);
    let wide = share > CAP_THREAD.1 || conventional && share >= 1.0;
    let (what, beside) = match bore {
        Some(bore) => ("narrow for the bore", bore),
        None if wide => ("wide for the stanchion", other.0),
        None if share < CAP_THREAD.0 => ("narrow for the stanchion", other.0),
        None => return None,
    };
    Some(
        rules::FIGURES_UNLIKELY
            .graded(Severity::Warning, named.text.span, format!("a cap of {} is too {what}", named.text.text))
            .bench("the wrong cap or die is ordered, or a torque is taken from another fork's cap")
            .instead("measure the cap's thread again, outside and with a pitch gauge")
            .also(beside.entry.span, "what it is cut into"),
    )
}

/// A value that may be given in stretches, at the edge, m.
fn at_the_edge(value: &Resolved) -> Option<f64> {
    match value.value()? {
        Value::Sections(sections) => sections.first().map(|section| section.value.middle_si()),
        Value::Quantity(quantity) => Some(quantity.middle_si()),
        _ => None,
    }
}

fn o_ring(leg: &Leg<'_>) -> Option<Finding> {
    let value = leg.value(key::SEALS_CAP_O_RING)?;
    let Some(Value::Size(size)) = value.value() else { return None };
    let section = size.unit.to_si(size.parts.get(1)?.float());
    (section > O_RING_SECTION).then(|| {
        rules::FIGURES_UNLIKELY
            .graded(
                Severity::Warning,
                value.entry.span,
                format!("an O-ring of {} is thicker than any of ISO 3601-1", value.entry.text),
            )
            .bench("the wrong ring is ordered, and the cap weeps or does not go home")
            .instead("measure a new one again: inside diameter, then section; a point may be missing")
    })
}

/// A ring of three sizes is wider outside than inside. Seals that fit a tube are told where their fit is.
fn turned(leg: &Leg<'_>, value: &Resolved) -> Option<Finding> {
    let Some(Value::Size(size)) = value.value() else { return None };
    let [inside, outside, _] = size.parts_si()[..] else { return None };
    let fitted = leg.shop.catalogue.relations().fits().iter().any(|fit| fit.seal == value.field);
    let field = leg.shop.catalogue.field(value.field);
    (inside >= outside && !fitted).then(|| {
        rules::FIGURES_UNLIKELY
            .graded(
                weight(leg.fork),
                value.entry.span,
                format!("{} of {} is no narrower inside than outside", leg.title(value), value.entry.text),
            )
            .bench(lower_first(&field.wrong))
            .instead("measure a new one again: inside, outside, then how thick it is")
    })
}

/// The main chamber is greater than what its piston sweeps, or the air would be squeezed to nothing.
fn swept(leg: &Leg<'_>) -> Option<Finding> {
    let ((value, volume), (other, piston)) =
        (leg.of(key::AIR_MAIN_VOLUME)?, leg.of(key::AIR_PISTON_DIAMETER)?);
    let stroke = leg.of(key::TUBES_STROKE)?.1.middle_si();
    let sweeps = std::f64::consts::PI / 4.0 * piston.middle_si() * piston.middle_si() * stroke;
    (sweeps >= volume.middle_si()).then(|| {
        let how = format!("over the stroke the piston sweeps {:.0} mL", sweeps * 1e6);
        let instead = "measure piston and chamber again; the chamber is the greater";
        leg.two(Severity::Error, (value, other), &how, instead)
    })
}

/// Of two chambers the greater takes the greater share of the lubricant (common practice, no source).
fn shares(leg: &Leg<'_>) -> Option<Finding> {
    let ((value, main), (other, second)) =
        (leg.of(key::OIL_LUBRICANT_MAIN)?, leg.of(key::OIL_LUBRICANT_SECOND)?);
    let (greater, smaller) = (leg.of(key::AIR_MAIN_VOLUME)?, leg.of(key::AIR_BALANCE_VOLUME)?);
    let more = (main.middle_si() - second.middle_si()) * (greater.1.middle_si() - smaller.1.middle_si());
    (more < 0.0).then(|| {
        let how = format!(
            "the chambers are {} and {}, and the smaller one would get the more",
            greater.0.entry.text, smaller.0.entry.text
        );
        let finding =
            leg.two(weight(leg.fork), (value, other), &how, "read both shares again; they may be exchanged");
        finding.also(smaller.0.entry.span, "the smaller chamber")
    })
}

/// tolerance-too-wide: half a turn of the nut is more than it can be out.
fn nut_tolerance(leg: &Leg<'_>) -> Option<Finding> {
    let ((value, height), (other, pitch)) = (leg.of(key::ROD_NUT_HEIGHT)?, leg.of(key::ROD_NUT_PITCH)?);
    let wide = (height.greatest_si() - height.least_si()) / 2.0;
    (height.main().shape.has_tolerance() && wide > pitch.middle_si() / 2.0 * (1.0 + 1e-9)).then(|| {
        too_wide(leg, value, "is more than half a turn of its thread").also(other.entry.span, "the pitch")
    })
}

/// tolerance-too-wide: a tolerance out of proportion to its value.
fn tolerance(leg: &Leg<'_>, value: &Resolved) -> Option<Finding> {
    let quantity = value.quantity()?;
    let written = quantity.main();
    let field = leg.shop.catalogue.field(value.field);
    let middle = quantity.middle_si();
    if !matches!(written.shape, Shape::PlusMinus { .. } | Shape::Limits { .. })
        || middle <= 0.0
        || written.dimension() == Dimension::Temperature
    {
        return None;
    }
    let share = (quantity.greatest_si() - quantity.least_si()) / 2.0 / middle;
    let most = if is_length(field) { WIDE.0 } else { WIDE.1 };
    (share > most).then(|| too_wide(leg, value, &format!("is {:.0} % of the value", share * 100.0)))
}

/// Whether a length is set or made, as against clicks, torques and pressures.
fn is_length(field: &Field) -> bool {
    field.kind.dimensions() == [Dimension::Length] && field.role != Role::Inspected
}

fn too_wide(leg: &Leg<'_>, value: &Resolved, how: &str) -> Finding {
    rules::TOLERANCE_TOO_WIDE
        .at(value.entry.span, format!("the tolerance of {} {} {how}", leg.title(value), value.entry.text))
        .bench("nearly every leg would pass, and the two could stand far apart")
        .instead("read the tolerance again, number and unit; a range to choose from is another value")
}

/// setting-beyond-range: an adjuster stands inside its whole range, counted in the same.
fn beyond(leg: &Leg<'_>, setting: FieldId, range: FieldId) -> Option<Finding> {
    let ((value, set), (other, range)) = (leg.of(setting)?, leg.of(range)?);
    let field = leg.shop.catalogue.field(value.field);
    let finding = |severity, message| {
        Some(
            rules::SETTING_BEYOND_RANGE
                .graded(severity, value.entry.span, message)
                .bench(lower_first(&field.wrong))
                .instead("read both again: one of them belongs to another part, or is in another unit")
                .also(other.entry.span, "the whole range"),
        )
    };
    let name = leg.title(value);
    if set.dimension() != range.dimension() {
        return finding(
            Severity::Warning,
            format!("{name} of {} is not counted as its range of {}", value.entry.text, other.entry.text),
        );
    }
    // Where the click felt at fully closed is called one, the last is one more than the range.
    let first = |resolved: &Resolved| {
        resolved.entry.attributes.get("first_click").map(|named| named.text.text.clone())
    };
    let offset = if set.dimension() == Dimension::Clicks && first(value) != first(other) { 1.0 } else { 0.0 };
    if set.greatest_si() <= range.greatest_si() + offset + 1e-9 {
        return None;
    }
    finding(
        Severity::Error,
        format!("{name} of {} is beyond its whole range of {}", value.entry.text, other.entry.text),
    )
}
