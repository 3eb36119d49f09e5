//! Springs and legs: stored force, coil bind, load and sag.

use super::asked::{Asked, Input, Takes};
use super::sheet::{MM, NEWTON, RATE, Refusal, Sheet};
use super::subject::Subject;
use crate::bench::leg::{Leg, drop_of_front, load_per_leg, sag, vertical_rate};
use crate::bench::spring::{
    STEEL_SHEAR_MODULUS, Spring, StoredForce, Winding, coil_bind, held_by_tool, rate_from_wire,
};
use crate::bench::units::{GRAVITY, force, length, pressure, spring_rate};
use crate::catalogue::{Key, key};
use crate::quantity::Dimension::{Angle, Length as LengthOf, Mass, SpringRate, Turns};
use crate::resolve::Side;

const fn spring_length(
    name: &'static str,
    help: &'static str,
    example: &'static str,
    key: Option<Key>,
) -> Input {
    Input { name, help, example, takes: Takes::One(LengthOf), key }
}

const RATES: Input = Input {
    name: "rate",
    help: "the spring's rate, in segments where it is progressive",
    example: "9.1 N/mm",
    takes: Takes::Stretches(SpringRate),
    key: Some(key::SPRING_RATE),
};
const PRELOAD: Input = spring_length("preload", "the fitted preload", "14 mm", Some(key::SPRING_PRELOAD));
const STROKE: Input = spring_length("stroke", "the stroke", "126 mm", Some(key::TUBES_STROKE));

fn held(sheet: &mut Sheet, name: &'static str, label: &str, held: &StoredForce) {
    sheet.number(name, label, held.force.value, NEWTON);
    sheet.words("kilograms_force", "The same", format!("{:.0} kgf", held.kilograms_force));
}

fn stored(asked: &Asked) -> Result<Sheet, Refusal> {
    let spring = Spring::in_segments(&asked.rates("rate")?)?;
    let preload = asked.length("preload")?;
    let mut sheet = Sheet::default();
    sheet.number("preloaded", "Behind the cap", spring.force_at(preload)?.value, NEWTON);
    if let Some(tool) = asked.may_length("tool")? {
        held(&mut sheet, "held", "Held by the tool", &held_by_tool(&spring, preload, tool)?);
    }
    if let Some(stroke) = asked.may_length("stroke")? {
        sheet.number(
            "full_travel",
            "At full travel",
            spring.force_at(length(preload.value + stroke.value))?.value,
            NEWTON,
        );
    }
    Ok(sheet)
}

fn wire(asked: &Asked) -> Result<Sheet, Refusal> {
    let coils = asked.quantity("coils")?.middle_si();
    let rate = rate_from_wire(
        asked.length("wire")?,
        asked.length("mean")?,
        coils,
        pressure(STEEL_SHEAR_MODULUS),
        Winding::Even,
    )?;
    let mut sheet = Sheet::default();
    sheet.number("rate", "Rate", rate.value, RATE);
    sheet.assume("an evenly wound steel spring, shear modulus 79.3 GPa");
    Ok(sheet)
}

fn bind(asked: &Asked) -> Result<Sheet, Refusal> {
    let bind = coil_bind(
        asked.length("free")?,
        asked.length("preload")?,
        asked.length("stroke")?,
        asked.length("solid")?,
    )?;
    let mut sheet = Sheet::default();
    sheet.number("least", "Length at full travel", bind.least.value, MM);
    if bind.binds() {
        sheet.number("short", "COILS TOUCH short by", -bind.margin.value, MM);
    } else {
        sheet.number("margin", "Left before the coils touch", bind.margin.value, MM);
    }
    Ok(sheet)
}

/// Both legs as the record knows them, with what was given in place of what is on record; without a record two legs
/// alike with nothing but their springs.
fn legs(asked: &Asked, sheet: &mut Sheet) -> Result<[Leg; 2], Refusal> {
    let Some(known) = asked.fork else {
        sheet.assume("both legs alike, the springs alone: air and top-out springs are left out");
        let spring = Spring::in_segments(&asked.rates("rate")?)?;
        let spring = Some((spring, asked.length("preload")?));
        let stroke = asked.length("stroke")?;
        let leg = Leg { spring, top_out: None, bottoming: None, air: None, gas: None, stroke };
        return Ok([leg.clone(), leg]);
    };
    let mut legs = Vec::new();
    for side in Side::BOTH {
        let forces = &known.derived.leg(side).forces;
        let Some(found) = forces.known() else {
            let why = forces.not_judged().unwrap_or_else(|| "not judged".to_owned());
            return Err(Refusal(format!("the {} leg of {}: {why}", side.word(), known.fork.id)));
        };
        for text in &found.assumptions {
            sheet.assume(text.clone());
        }
        legs.push(with_given(asked, sheet, found.value.clone())?);
    }
    let [left, right] = legs.try_into().map_err(|_| Refusal("a fork has two legs".to_owned()))?;
    Ok([left, right])
}

/// A leg with what was given on the command line in place of what is on record. A leg without a spring gets none.
fn with_given(asked: &Asked, sheet: &mut Sheet, mut leg: Leg) -> Result<Leg, Refusal> {
    if let Some((spring, preload)) = &mut leg.spring {
        if asked.was_given("rate") {
            *spring = Spring::in_segments(&asked.rates("rate")?)?;
            sheet.assume("the spring's rate as given; everything else as recorded");
        }
        if asked.was_given("preload") {
            *preload = asked.length("preload")?;
            sheet.assume("the preload as given, adjuster included; everything else as recorded");
        }
    }
    if asked.was_given("stroke") {
        leg.stroke = asked.length("stroke")?;
    }
    Ok(leg)
}

fn sag_of(asked: &Asked) -> Result<Sheet, Refusal> {
    let weight = |mass: crate::bench::units::Mass| force(mass.value * GRAVITY);
    let rake = asked.angle("rake")?;
    let load = load_per_leg(weight(asked.mass("load")?), weight(asked.mass("unsprung")?), rake)?;
    let mut sheet = Sheet::default();
    sheet.number("load", "Load on each leg", load.value, NEWTON);
    let [left, right] = legs(asked, &mut sheet)?;
    let springs = [&left, &right].map(|leg| match &leg.spring {
        Some((spring, _)) => spring.rate_at(length(0.0)),
        None => Ok(spring_rate(0.0)),
    });
    let [left_rate, right_rate] = springs;
    let (left_rate, right_rate) = (left_rate?, right_rate?);
    if left_rate.value + right_rate.value > 0.0 {
        let rate = vertical_rate(left_rate, right_rate, rake)?;
        sheet.number("vertical_rate", "Rate at the axle", rate.value, RATE);
    }
    let found = sag(&left, &right, 2.0 * load)?;
    sheet.number("sag", "Sag along the legs", found.value, MM);
    sheet.number("drop", "The front drops by", drop_of_front(found, rake)?.value, MM);
    sheet.assume("on level ground, standing still, without friction");
    Ok(sheet)
}

pub(super) static SUBJECTS: &[Subject] = &[
    Subject {
        name: "spring",
        about: "The force stored in a spring: behind its cap, held by a tool, at full travel",
        inputs: &[
            RATES,
            PRELOAD,
            spring_length("tool", "how far the tool pushes it down beyond the preload", "45 mm", None),
            STROKE,
        ],
        example: &["--rate", "9.1 N/mm", "--preload", "14 mm", "--tool", "45 mm"],
        shows: "Held by the tool  537 N (121 lbf)",
        run: stored,
    },
    Subject {
        name: "wire",
        about: "A spring's rate from its wire",
        inputs: &[
            spring_length("wire", "the wire's diameter", "4.9 mm", Some(key::SPRING_WIRE_DIAMETER)),
            spring_length(
                "mean",
                "the mean coil diameter: outside less wire",
                "29 mm",
                Some(key::SPRING_MEAN_DIAMETER),
            ),
            Input {
                name: "coils",
                help: "the active coils",
                example: "26 turns",
                takes: Takes::One(Turns),
                key: Some(key::SPRING_ACTIVE_COILS),
            },
        ],
        example: &["--wire", "4.9 mm", "--mean", "29 mm", "--coils", "26 turns"],
        shows: "Rate  9.01 N/mm (51.5 lbf/in)",
        run: wire,
    },
    Subject {
        name: "bind",
        about: "Whether a spring's coils touch before full travel",
        inputs: &[
            spring_length("free", "the free length", "305 mm", Some(key::SPRING_FREE_LENGTH)),
            spring_length(
                "solid",
                "the length with all coils touching",
                "151 mm",
                Some(key::SPRING_SOLID_LENGTH),
            ),
            PRELOAD,
            STROKE,
        ],
        example: &["--free", "305 mm", "--solid", "151 mm", "--preload", "14 mm", "--stroke", "126 mm"],
        shows: "Left before the coils touch  14.0 mm (0.55 in)",
        run: bind,
    },
    Subject {
        name: "sag",
        about: "Load on each leg, and how far the legs sink under it",
        inputs: &[
            Input {
                name: "load",
                help: "what the front wheel carries on the scales",
                example: "98 kg",
                takes: Takes::One(Mass),
                key: Some(key::SETUP_FRONT_LOAD),
            },
            Input {
                name: "unsprung",
                help: "wheel, brakes and lower legs",
                example: "16 kg",
                takes: Takes::One(Mass),
                key: Some(key::SETUP_UNSPRUNG_MASS),
            },
            Input {
                name: "rake",
                help: "the rake",
                example: "25°",
                takes: Takes::One(Angle),
                key: Some(key::SETUP_RAKE),
            },
            RATES,
            PRELOAD,
            STROKE,
        ],
        example: &[
            "--load",
            "98 kg",
            "--unsprung",
            "16 kg",
            "--rake",
            "25°",
            "--rate",
            "9.1 N/mm",
            "--preload",
            "14 mm",
            "--stroke",
            "126 mm",
        ],
        shows: "Sag along the legs  26.0 mm (1.03 in)",
        run: sag_of,
    },
];
