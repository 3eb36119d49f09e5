//! What is read and set with tools in hand: sag from three readings, a torque wrench with an extension.

use super::asked::{Asked, Input, Takes};
use super::joint;
use super::sheet::{MM, NM, Refusal, Sheet};
use super::subject::Subject;
use crate::bench::settled::settled;
use crate::bench::units::angle;
use crate::bench::wrench::setting;
use crate::quantity::Dimension::{Angle, Length, Torque};

const fn length(name: &'static str, help: &'static str, example: &'static str) -> Input {
    Input { name, help, example, takes: Takes::One(Length), keys: &[] }
}

fn sag_from_readings(asked: &Asked) -> Result<Sheet, Refusal> {
    let reading = settled(asked.length("extended")?, asked.length("below")?, asked.length("above")?)?;
    let mut sheet = Sheet::default();
    sheet.number("sag", "Sag", reading.sag.value, MM);
    sheet.number("friction", "Friction holds it over", reading.friction.value, MM);
    sheet.assume("each reading is the same distance, let settle slowly, the machine upright");
    Ok(sheet)
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
