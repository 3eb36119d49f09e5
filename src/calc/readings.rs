//! What is read and set with tools in hand: sag from three readings, a torque wrench with an extension.

use super::asked::{Asked, Input, Takes};
use super::joint;
use super::sheet::{MM, NM, Refusal, Sheet};
use super::subject::Subject;
use crate::bench::adjusters::turns_for;
use crate::bench::leg::preload_for;
use crate::bench::settled::settled;
use crate::bench::units::{Length, angle};
use crate::bench::wrench::setting;
use crate::catalogue::key;
use crate::quantity::Dimension::{Angle, Length as LengthOf, Torque};

const fn length(name: &'static str, help: &'static str, example: &'static str) -> Input {
    Input { name, help, example, takes: Takes::One(LengthOf), keys: &[] }
}

fn sag_from_readings(asked: &Asked) -> Result<Sheet, Refusal> {
    let reading = settled(asked.length("extended")?, asked.length("below")?, asked.length("above")?)?;
    let mut sheet = Sheet::default();
    sheet.number("sag", "Sag", reading.sag.value, MM);
    sheet.number("friction", "Friction holds it over", reading.friction.value, MM);
    if let Some(wanted) = asked.may_length("wanted")? {
        to_the_wanted(asked, &mut sheet, reading.sag, wanted)?;
    }
    sheet.assume("each reading is the same distance, let settle slowly, the machine upright");
    Ok(sheet)
}

/// The preload that brings a sag to the one that is wanted: by the fork's own legs, else by one rate and no air.
fn to_the_wanted(asked: &Asked, sheet: &mut Sheet, found: Length, wanted: Length) -> Result<(), Refusal> {
    let more = match asked.fork {
        Some(fork) => {
            let forces = [0, 1].map(|at| fork.told(&fork.fork.derived.legs[at].forces).known());
            let assumed = forces.iter().flatten().flat_map(|known| &known.assumptions);
            assumed.for_each(|text| sheet.assume(text.clone()));
            let legs = forces.map(|known| known.map(|known| known.value.clone()));
            let [Some(left), Some(right)] = legs else {
                asked.not_known(
                    "the preload to the wanted sag: the legs’ forces are not worked out".to_owned(),
                );
                return Ok(());
            };
            preload_for(&left, &right, found, wanted)?
        }
        None => {
            sheet.assume("springs of one rate, and no air above them");
            found - wanted
        }
    };
    sheet.number("preload", "Change of preload to the wanted sag", more.value, MM);
    let set = asked.fork.and_then(|fork| fork.leg().preload.value());
    if let Some((preload, Ok(set))) = set.map(|preload| (preload, &preload.set)) {
        let room = match more.value > 0.0 {
            true => set.greatest - set.baseline,
            false => set.baseline - preload.backed_off,
        };
        if more.value.abs() > room.value + 5e-5 {
            let left =
                format!("{:.1} mm that way from its baseline: another spacer or spring", room.value * 1e3);
            sheet.words("beyond", "The adjuster has only", left);
        }
    }
    if let Some(turn) = asked.may_length("turn")? {
        let turns = turns_for(more, turn)?;
        let way = if turns < 0.0 { "out" } else { "in" };
        sheet.words("turns", "Turns of the adjuster", format!("{:.2} {way}", turns.abs()));
    }
    Ok(())
}

fn wrench_setting(asked: &Asked) -> Result<Sheet, Refusal> {
    let torque = joint::torque(asked, joint::recorded(asked)?)?;
    let torque = torque.torque().ok_or_else(|| Refusal("`--torque` measures something else".to_owned()))?;
    let between = asked.may_angle("angle")?;
    let set =
        setting(torque, asked.length("wrench")?, asked.length("extension")?, between.unwrap_or(angle(0.0)))?;
    let mut sheet = Sheet::default();
    sheet.number("set", "Set the wrench to", set.value, NM);
    sheet.number("wanted", "so that the bolt gets", torque.value, NM);
    if between.is_none() {
        sheet.assume("the extension stands in line with the wrench and makes it longer");
    }
    sheet.assume("the wrench is pulled at the mark on its grip, square to the handle");
    Ok(sheet)
}

pub(super) static SUBJECTS: &[Subject] = &[
    Subject {
        name: "sag-read",
        about: "Sag from three readings, and the friction between two of them",
        inputs: &[
            length("extended", "the reading with the leg extended, wheel off the ground", "134 mm"),
            length("below", "the reading after pressing down and letting up slowly", "99 mm"),
            length("above", "the reading after lifting and letting down slowly", "105 mm"),
            length("wanted", "the sag that is wanted; it may be left out", "29 mm"),
            Input {
                name: "turn",
                help: "how far one turn of the adjuster moves the spring's end; it may be left out",
                example: "1 mm",
                takes: Takes::One(LengthOf),
                keys: &[key::ADJUSTERS_PRELOAD_PER_TURN],
            },
        ],
        example: &["--extended", "134 mm", "--below", "99 mm", "--above", "105 mm"],
        shows: "Sag                     32.0 mm (1.26 in)",
        run: sag_from_readings,
    },
    Subject {
        name: "wrench",
        about: "What to set a torque wrench to with a crowfoot or an extension on it",
        inputs: &[
            joint::JOINT,
            Input {
                name: "torque",
                help: "the torque the bolt is to get; that of the joint when left out",
                example: "28 N·m",
                takes: Takes::One(Torque),
                keys: &[],
            },
            length("wrench", "from the wrench's square to the mark on its grip", "380 mm"),
            length("extension", "from the square to the middle of the bolt", "45 mm"),
            Input {
                name: "angle",
                help: "between wrench and extension; 0° makes it longer, 90° stands across",
                example: "90 °",
                takes: Takes::One(Angle),
                keys: &[],
            },
        ],
        example: &["--torque", "28 N·m", "--wrench", "380 mm", "--extension", "45 mm"],
        shows: "Set the wrench to      25.0 N·m (18.5 lbf·ft)",
        run: wrench_setting,
    },
];
