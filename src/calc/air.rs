//! Air: a leg set by a gap, the outer chamber of a closed cartridge, a gauge at another temperature.

use super::asked::{Asked, Input, Takes};
use super::oil::{BORE, DENSITY, GAP, MEASURED_SLOPE, ROD, density, surface};
use super::sheet::{KPA, ML, MM, NEWTON, PLAIN, Refusal, Sheet};
use super::subject::Subject;
use crate::bench::air::{
    Chamber, FAST, GapSetLeg, LEFT_OUT, SLOW, Warming, absolute, gauge_at, outer_chamber,
};
use crate::bench::units::{ATMOSPHERE, Length, celsius, force, pressure, volume};
use crate::bench::{OutOfRange, expansion};
use crate::catalogue::key;
use crate::quantity::Dimension::{Force, Length as LengthOf, Pressure, Temperature, Volume};

const TUBE: Input = Input {
    name: "tube",
    help: "the stanchion's diameter",
    example: "42 mm",
    takes: Takes::One(LengthOf),
    key: Some(key::TUBES_STANCHION_DIAMETER),
};
const STROKE: Input = Input {
    name: "stroke",
    help: "the stroke",
    example: "126 mm",
    takes: Takes::One(LengthOf),
    key: Some(key::TUBES_STROKE),
};
const INSERTED: Input = Input {
    name: "inserted",
    help: "what is put in after the gap was set takes up: spring steel, spacer, cap",
    example: "57 mL",
    takes: Takes::One(Volume),
    key: None,
};
const CHARGE: Input = Input {
    name: "charge",
    help: "gauge pressure in the extended leg; none when left out",
    example: "40 kPa",
    takes: Takes::One(Pressure),
    key: Some(key::AIR_ASSIST_PRESSURE),
};
const LIMIT: Input = Input {
    name: "limit",
    help: "the air force at full travel that is too much; the shop's, or 3 kN, when left out",
    example: "3 kN",
    takes: Takes::One(Force),
    key: None,
};
const WARM_FILL: Input = Input {
    name: "fill",
    help: "the leg's whole oil, to count its swelling up to working temperature",
    example: "440 mL",
    takes: Takes::One(Volume),
    key: Some(key::OIL_DRY_FILL),
};
const WORKING: Input = Input {
    name: "working",
    help: "working temperature; when left out, the bench's stays unless a fork is named",
    example: "55 °C",
    takes: Takes::One(Temperature),
    key: None,
};

fn air(asked: &Asked) -> Result<Sheet, Refusal> {
    let inserted = match asked.may_volume("inserted")? {
        Some(given) => given,
        None => match asked.fork {
            Some(known) => match known.derived.leg(known.side).inserted.known() {
                Some(found) => found.value,
                None => {
                    let missing = known.derived.leg(known.side).inserted.missing().join(", ");
                    return Err(Refusal(format!(
                        "`--inserted` is needed: the record of {} has no {missing}",
                        known.fork.id
                    )));
                }
            },
            None => asked.volume("inserted")?,
        },
    };
    let start = match asked.may_pressure("charge")? {
        Some(gauge) => absolute(gauge)?,
        None => pressure(ATMOSPHERE),
    };
    let leg = GapSetLeg {
        surface: surface(asked)?,
        gap: asked.length("gap")?,
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
    let (set, from, to) = (asked.pressure("pressure")?, asked.temperature("from")?, asked.temperature("to")?);
    let mut sheet = Sheet::default();
    sheet.number("gauge", "The gauge reads", gauge_at(set, from, to)?.value, KPA);
    sheet.assume("the volume stays, nothing leaks, and the atmosphere is standard (101.325 kPa)");
    Ok(sheet)
}

pub(super) static SUBJECTS: &[Subject] = &[
    Subject {
        name: "air",
        about: "Whether a leg set by a gap locks on its oil, and how hard its air pushes at full travel",
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
                key: Some(key::OIL_OUTER_AIR_VOLUME),
            },
            TUBE,
            Input {
                name: "rod",
                help: "the cartridge rod's diameter",
                example: "13 mm",
                takes: Takes::One(LengthOf),
                key: Some(key::TUBES_CARTRIDGE_ROD_DIAMETER),
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
                key: Some(key::AIR_MAIN_PRESSURE),
            },
            Input {
                name: "from",
                help: "the temperature it was set at",
                example: "22 °C",
                takes: Takes::One(Temperature),
                key: None,
            },
            Input {
                name: "to",
                help: "the temperature it is read at",
                example: "5 °C",
                takes: Takes::One(Temperature),
                key: None,
            },
        ],
        example: &["--pressure", "850 kPa", "--from", "22 °C", "--to", "5 °C"],
        shows: "The gauge reads  795 kPa (115.3 psi)",
        run: gauge,
    },
];
