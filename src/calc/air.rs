//! Air: a leg set by a gap, the outer chamber of a closed cartridge, a gauge at another temperature.

use super::asked::{Asked, Input, KnownFork, Takes};
use super::oil::{BORE, DENSITY, GAP, MEASURED_SLOPE, ROD, density, surface};
use super::sheet::{KPA, ML, MM, NEWTON, PLAIN, Refusal, Sheet};
use super::subject::Subject;
use crate::bench::air::{
    Chamber, FAST, GapSetLeg, LEFT_OUT, SLOW, Warming, absolute, gauge_at, outer_chamber,
};
use crate::bench::units::{ATMOSPHERE, Length, Volume as VolumeOf, celsius, force, length, pressure, volume};
use crate::bench::{OutOfRange, expansion};
use crate::catalogue::MadeChoice;
use crate::catalogue::choice::Springing;
use crate::catalogue::key;
use crate::derive::Answer;
use crate::quantity::Dimension::{Force, Length as LengthOf, Pressure, Temperature, Volume};

const TUBE: Input = Input {
    name: "tube",
    help: "the stanchion's diameter",
    example: "42 mm",
    takes: Takes::One(LengthOf),
    keys: &[key::TUBES_STANCHION_DIAMETER],
};
const STROKE: Input = Input {
    name: "stroke",
    help: "the stroke",
    example: "126 mm",
    takes: Takes::One(LengthOf),
    keys: &[key::TUBES_STROKE],
};
const INSERTED: Input = Input {
    name: "inserted",
    help: "what is put in after the gap was set takes up: spring steel, spacer, cap",
    example: "57 mL",
    takes: Takes::One(Volume),
    keys: &[],
};
const CHARGE: Input = Input {
    name: "charge",
    help: "gauge pressure in the extended leg; none when left out",
    example: "40 kPa",
    takes: Takes::One(Pressure),
    keys: &[key::AIR_ASSIST_PRESSURE],
};
const LIMIT: Input = Input {
    name: "limit",
    help: "the air force at full travel that is too much; the shop's, or 3 kN, when left out",
    example: "3 kN",
    takes: Takes::One(Force),
    keys: &[],
};
const WARM_FILL: Input = Input {
    name: "fill",
    help: "the leg's whole oil, to count its swelling up to working temperature",
    example: "440 mL",
    takes: Takes::One(Volume),
    keys: &[key::OIL_DRY_FILL],
};
const WORKING: Input = Input {
    name: "working",
    help: "working temperature; when left out, the bench's stays unless a fork is named",
    example: "55 °C",
    takes: Takes::One(Temperature),
    keys: &[],
};

/// The chambers of a fork that stands on air: no gap, but pressures.
fn air_spring(fork: KnownFork<'_>) -> Result<Sheet, Refusal> {
    let leg = fork.derived.leg(fork.side);
    let Some(main) = leg.main_chamber.known() else {
        return Err(Refusal(leg.main_chamber.not_judged().unwrap_or_else(|| {
            format!("the {} leg of {} has no air spring: ask with --leg", fork.side.word(), fork.fork.id)
        })));
    };
    let mut sheet = Sheet::default();
    sheet.number("extended", "Main air, extended", main.value.chamber.volume_at(length(0.0))?.value, ML);
    if let Some(push) = main.value.push {
        sheet.number("force_slow", "Main air at full travel, slow", push.slow.value, NEWTON);
        sheet.number("force_fast", "Main air at full travel, fast", push.fast.value, NEWTON);
    }
    if let Some(ratio) = main.value.ratio {
        sheet.number("ratio", "Extended over full travel", ratio, PLAIN);
    }
    match &leg.forces {
        Answer::Known(forces) => {
            let force = forces.value.force_band(length(0.0))?;
            sheet.number("whole_extended", "Whole leg, extended", force.slow.value, NEWTON);
            let force = forces.value.force_band(forces.value.stroke)?;
            sheet.number("whole_slow", "Whole leg at full travel, slow", force.slow.value, NEWTON);
            sheet.number("whole_fast", "Whole leg at full travel, fast", force.fast.value, NEWTON);
            forces.assumptions.iter().for_each(|text| sheet.assume(text.clone()));
        }
        answer => {
            let why = answer.not_judged().unwrap_or_else(|| "not worked out".to_owned());
            sheet.words("whole", "Whole leg", why);
            main.assumptions.iter().for_each(|text| sheet.assume(text.clone()));
        }
    }
    Ok(sheet)
}

/// What is put in after the height was read: given, or as the fork's record comes to.
fn inserted(asked: &Asked) -> Result<VolumeOf, Refusal> {
    if let Some(given) = asked.may_volume("inserted")? {
        return Ok(given);
    }
    let Some(fork) = asked.fork else { return asked.volume("inserted") };
    let recorded = &fork.derived.leg(fork.side).inserted;
    recorded.known().map(|result| result.value).ok_or_else(|| {
        let missing = recorded.missing().join(", ");
        Refusal(format!("`--inserted` is needed: the record of {} has no {missing}", fork.fork.id))
    })
}

fn air(asked: &Asked) -> Result<Sheet, Refusal> {
    if let Some(fork) = asked.fork.filter(|fork| Springing::of(&fork.fork.choices) == Some(Springing::Air)) {
        return air_spring(fork);
    }
    let inserted = inserted(asked)?;
    let start = match asked.may_pressure("charge")? {
        Some(gauge) => absolute(gauge)?,
        None => pressure(ATMOSPHERE),
    };
    let leg = GapSetLeg {
        surface: surface(asked)?,
        gap: length(asked.quantity("gap")?.middle_si()),
        inserted,
        tube: asked.length("tube")?,
        stroke: asked.length("stroke")?,
        start,
    };
    let settings = asked.shop.map(|shop| &shop.settings);
    let limit = asked.may_force("limit")?.unwrap_or(force(settings.map_or(3000.0, |s| s.air_force_limit())));
    let bench = celsius(settings.map_or(20.0, |s| s.bench_celsius()));
    let working = match asked.may_temperature("working")? {
        Some(given) => given,
        None if asked.fork.is_some() => celsius(settings.map_or(50.0, |s| s.working_celsius())),
        None => bench,
    };
    let mut sheet = Sheet::default();
    let fill = asked.may_volume("fill")?;
    let growth = match fill {
        Some(fill) if working != bench => {
            sheet.assume(expansion::ASSUMPTION);
            expansion::growth(fill, density(asked)?, bench, working)?
        }
        _ => volume(0.0),
    };
    let warming = Warming { from: bench, to: working, growth };
    sheet.number("inserted", "Parts put in take up", inserted.value, ML);
    sheet.number("closed", "Air at full travel", (leg.closed_volume()? - growth).value, ML);
    match leg.warm_chamber(&warming) {
        Ok(chamber) => chamber_lines(&mut sheet, &chamber, leg.stroke)?,
        Err(OutOfRange::Locked { .. }) => {
            sheet.number("locks_short_by", "LOCKS ON OIL short by", leg.stroke.value, MM);
        }
        Err(other) => return Err(other.into()),
    }
    sheet.number("locks_at", "Locks at a gap of", leg.gap_that_locks_warm(&warming)?.value, MM);
    if let Ok(gap) = leg.gap_for_force_warm(limit, &warming) {
        sheet.number(
            "limit_at",
            format!("Reaches {:.1} kN at a gap of", limit.value / 1000.0),
            gap.value,
            MM,
        );
    }
    sheet.words("temperature", "At", format!("{:.0} °C", working.value - 273.15));
    sheet.assume(LEFT_OUT);
    Ok(sheet)
}

fn chamber_lines(sheet: &mut Sheet, chamber: &Chamber, stroke: Length) -> Result<(), OutOfRange> {
    if let Some(short) = chamber.locks_short_by(stroke)? {
        sheet.number("locks_short_by", "LOCKS ON OIL short by", short.value, MM);
        return Ok(());
    }
    match chamber.force_at(stroke, SLOW) {
        Ok(slow) => {
            sheet.number("ratio", "Extended over full travel", chamber.volume_ratio(stroke)?, PLAIN);
            sheet.number("force_slow", "Air force, slow", slow.value, NEWTON);
            sheet.number("force_fast", "Air force, fast", chamber.force_at(stroke, FAST)?.value, NEWTON);
        }
        Err(OutOfRange::Locked { .. }) => sheet.number("locks_short_by", "LOCKS ON OIL short by", 0.0, MM),
        Err(other) => return Err(other),
    }
    Ok(())
}

fn outer(asked: &Asked) -> Result<Sheet, Refusal> {
    let chamber = outer_chamber(
        asked.volume("air")?,
        asked.length("tube")?,
        asked.length("rod")?,
        pressure(ATMOSPHERE),
    )?;
    let mut sheet = Sheet::default();
    chamber_lines(&mut sheet, &chamber, asked.length("stroke")?)?;
    sheet.assume("the outer air is measured extended, with everything in, at the atmosphere");
    sheet.assume(LEFT_OUT);
    Ok(sheet)
}

fn gauge(asked: &Asked) -> Result<Sheet, Refusal> {
    const AT: [(&str, f64); 5] =
        [("gauge_0", 0.0), ("gauge_10", 10.0), ("gauge_20", 20.0), ("gauge_30", 30.0), ("gauge_40", 40.0)];
    let (set, from) = (asked.pressure("pressure")?, asked.temperature("from")?);
    let mut sheet = Sheet::default();
    match asked.may_temperature("to")? {
        Some(to) => sheet.number("gauge", "The gauge reads", gauge_at(set, from, to)?.value, KPA),
        None => {
            for (name, at) in AT {
                let reads = gauge_at(set, from, celsius(at))?;
                sheet.number(name, format!("At {at:.0} °C the gauge reads"), reads.value, KPA);
            }
        }
    }
    sheet.assume("the volume stays, nothing leaks, and the atmosphere is standard (101.325 kPa)");
    Ok(sheet)
}

pub(super) static SUBJECTS: &[Subject] = &[
    Subject {
        name: "air",
        about: "Whether a leg locks on its oil, and how hard its air pushes at full travel",
        inputs: &[
            GAP,
            BORE,
            ROD,
            MEASURED_SLOPE,
            INSERTED,
            TUBE,
            STROKE,
            CHARGE,
            LIMIT,
            WARM_FILL,
            DENSITY,
            WORKING,
        ],
        example: &[
            "--gap",
            "106 mm",
            "--bore",
            "38 mm",
            "--rod",
            "11 mm",
            "--inserted",
            "57 mL",
            "--tube",
            "42 mm",
            "--stroke",
            "126 mm",
        ],
        shows: "Air force, slow             461 N (104 lbf)",
        run: air,
    },
    Subject {
        name: "outer",
        about: "How hard the outer air of a closed cartridge's leg pushes at full travel",
        inputs: &[
            Input {
                name: "air",
                help: "the outer air of the extended leg",
                example: "310 mL",
                takes: Takes::One(Volume),
                keys: &[key::OIL_OUTER_AIR_VOLUME],
            },
            TUBE,
            Input {
                name: "rod",
                help: "the cartridge rod's diameter",
                example: "13 mm",
                takes: Takes::One(LengthOf),
                keys: &[key::TUBES_CARTRIDGE_ROD_DIAMETER],
            },
            STROKE,
        ],
        example: &["--air", "310 mL", "--tube", "42 mm", "--rod", "13 mm", "--stroke", "126 mm"],
        shows: "Air force, slow            132 N (30 lbf)",
        run: outer,
    },
    Subject {
        name: "gauge",
        about: "What a pressure gauge reads at another temperature",
        inputs: &[
            Input {
                name: "pressure",
                help: "the gauge pressure as set",
                example: "850 kPa",
                takes: Takes::One(Pressure),
                keys: &[key::AIR_MAIN_PRESSURE],
            },
            Input {
                name: "from",
                help: "the temperature it was set at",
                example: "22 °C",
                takes: Takes::One(Temperature),
                keys: &[],
            },
            Input {
                name: "to",
                help: "the temperature it is read at; a table when left out",
                example: "5 °C",
                takes: Takes::One(Temperature),
                keys: &[],
            },
        ],
        example: &["--pressure", "850 kPa", "--from", "22 °C", "--to", "5 °C"],
        shows: "The gauge reads  795 kPa (115.3 psi)",
        run: gauge,
    },
];
