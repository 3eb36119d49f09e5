//! Air: a leg set by a gap, the outer chamber of a closed cartridge, a gauge at another temperature.

use super::asked::{Asked, Input, KnownFork, Takes};
use super::oil::{BORE, DENSITY, GAP, MEASURED_SLOPE, ROD, density, height_word, surface};
use super::sheet::{KPA, ML, MM, NEWTON, PLAIN, Refusal, Sheet};
use super::subject::Subject;
use crate::bench::air::{
    AT_THE_LEG, Chamber, FAST, GapSetLeg, LEFT_OUT, SLOW, Warming, absolute, gauge_at, outer_chamber,
};
use crate::bench::units::{ATMOSPHERE, Length, Volume as VolumeOf, celsius, force, length, pressure, volume};
use crate::bench::{OutOfRange, expansion};
use crate::catalogue::MadeChoice;
use crate::catalogue::choice::Springing;
use crate::catalogue::key;
use crate::derive::{Air, Answer, Known};
use crate::quantity::Dimension::{Force, Length as LengthOf, Pressure, Temperature, Volume};
use crate::quantity::{Quantity, Value};

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
    let leg = fork.leg();
    let Some(main) = fork.told(&leg.main_chamber).known() else {
        return Err(Refusal(leg.main_chamber.not_judged().unwrap_or_else(|| {
            let other = fork.side.other().word();
            let (side, id) = (fork.side.word(), &fork.fork.id);
            format!("the {side} leg of {id} has no air spring: ask with `--leg {other}`")
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
    drawn_in(fork, &mut sheet);
    match fork.told(&leg.forces) {
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

/// How far the fork draws itself in while its main chamber is empty and its balance chamber is not.
fn drawn_in(fork: KnownFork<'_>, sheet: &mut Sheet) {
    match fork.told(&fork.derived.drawn_in) {
        Answer::Known(drawn) => {
            sheet.number("draws_in", "Main chamber empty, it draws in", drawn.value.travel.value, MM);
            sheet.number("draws_in_pull", "pulled by the balance air with", drawn.value.pull.value, NEWTON);
            drawn.assumptions.iter().for_each(|text| sheet.assume(text.clone()));
        }
        Answer::NotHere => {}
        answer => {
            let why = answer.not_judged().unwrap_or_else(|| "not worked out".to_owned());
            sheet.words("draws_in", "Main chamber empty, it draws in", why);
        }
    }
}

/// What is put in after the height was read: given, or as the fork's record comes to.
fn inserted(asked: &Asked) -> Result<VolumeOf, Refusal> {
    if let Some(given) = asked.may_volume("inserted")? {
        return Ok(given);
    }
    let Some(fork) = asked.fork else { return asked.volume("inserted") };
    let recorded = fork.told(&fork.leg().inserted);
    recorded.known().map(|result| result.value).ok_or_else(|| {
        let (missing, id) = (recorded.missing().join(", "), &fork.fork.id);
        Refusal(match missing.is_empty() {
            true => format!("`--inserted` is needed: the record of {id} does not come to it"),
            false => format!("`--inserted` is needed: the record of {id} has no {missing}"),
        })
    })
}

/// The air that a fork's record comes to, where it comes to one.
fn recorded_air<'a>(asked: &Asked<'a>) -> Option<&'a Known<Air>> {
    asked.fork.and_then(|fork| fork.told(&fork.leg().air).known())
}

/// The leg as given, each part that is not given as the record has it.
fn gap_set_leg(asked: &Asked) -> Result<GapSetLeg, Refusal> {
    let Some(known) = recorded_air(asked) else {
        // With nothing given, what is missing is told as the page tells it.
        let why = asked.fork.and_then(|fork| fork.derived.leg(fork.side).air.not_judged());
        if let (Some(why), true) = (why, asked.given.is_empty()) {
            return Err(Refusal(format!("{why}; give what is missing by the options of `calc air`")));
        }
        let start = match asked.may_pressure("charge")? {
            Some(gauge) => absolute(gauge)?,
            None => pressure(ATMOSPHERE),
        };
        return Ok(GapSetLeg {
            inserted: inserted(asked)?,
            start,
            surface: surface(asked)?,
            gap: length(asked.quantity("gap")?.middle_si()),
            tube: asked.length("tube")?,
            stroke: asked.length("stroke")?,
        });
    };
    let mut leg = known.value.leg.clone();
    if ["bore", "rod", "slope"].iter().any(|name| asked.was_given(name)) {
        leg.surface = surface(asked)?;
    }
    if asked.was_given("gap") {
        leg.gap = length(asked.quantity("gap")?.middle_si());
    }
    if asked.was_given("inserted") {
        leg.inserted = inserted(asked)?;
    }
    if asked.was_given("tube") {
        leg.tube = asked.length("tube")?;
    }
    if asked.was_given("stroke") {
        leg.stroke = asked.length("stroke")?;
    }
    if asked.was_given("charge") {
        leg.start = absolute(asked.pressure("charge")?)?;
    }
    Ok(leg)
}

/// What the leg goes through on the road: as the record has it, unless fill, density or temperature are given.
fn warming(asked: &Asked, sheet: &mut Sheet) -> Result<Warming, Refusal> {
    if let Some(known) = recorded_air(asked) {
        known.assumptions.iter().for_each(|text| sheet.assume(text.clone()));
        if !["fill", "density", "working"].iter().any(|name| asked.was_given(name)) {
            return Ok(known.value.warming);
        }
    }
    let settings = asked.shop.map(|shop| &shop.settings);
    let bench = celsius(settings.map_or(20.0, |s| s.bench_celsius()));
    let from = recorded_air(asked).map_or(bench, |known| known.value.warming.from);
    let to = match asked.may_temperature("working")? {
        Some(given) => given,
        None if asked.fork.is_some() => celsius(settings.map_or(50.0, |s| s.working_celsius())),
        None => from,
    };
    let growth = match asked.may_volume("fill")? {
        Some(fill) if to != from => {
            sheet.assume(expansion::ASSUMPTION);
            expansion::growth(fill, density(asked)?, from, to)?
        }
        _ => volume(0.0),
    };
    Ok(Warming { from, to, growth })
}

/// A leg that is filled by an amount: nothing here is worked out from it.
fn no_height(fork: KnownFork<'_>) -> Refusal {
    let id = &fork.fork.id;
    let elsewhere = match fork.leg().outer {
        Answer::NotHere => "",
        _ => "; the air round its cartridge is told by `benchleaf calc outer`",
    };
    Refusal(format!(
        "the oil of {id} is set by an amount, so it has neither air gap nor level to work from{elsewhere}"
    ))
}

fn air(asked: &Asked) -> Result<Sheet, Refusal> {
    let air_springs = asked.fork.filter(|fork| Springing::of(&fork.fork.choices) == Some(Springing::Air));
    if let Some(fork) = air_springs
        && matches!(fork.derived.leg(fork.side).air, Answer::NotHere)
    {
        return air_spring(fork);
    }
    if let Some(fork) = asked.fork.filter(|fork| matches!(fork.derived.leg(fork.side).air, Answer::NotHere)) {
        return Err(no_height(fork));
    }
    let mut sheet = Sheet::default();
    let leg = match (gap_set_leg(asked), air_springs) {
        (Ok(leg), _) => leg,
        // What is known of an air spring is told, beside what is missing of the air above the oil.
        (Err(why), Some(fork)) if asked.given.is_empty() => {
            let Ok(mut sheet) = air_spring(fork) else { return Err(why) };
            sheet.words("closed", "Air above the oil", why.0);
            return Ok(sheet);
        }
        (Err(why), _) => return Err(why),
    };
    let settings = asked.shop.map(|shop| &shop.settings);
    let limit = asked.may_force("limit")?.unwrap_or(force(settings.map_or(3000.0, |s| s.air_force_limit())));
    let warming = warming(asked, &mut sheet)?;
    sheet.number("inserted", "Parts put in take up", leg.inserted.value, ML);
    sheet.number("closed", "Air at full travel", (leg.closed_volume()? - warming.growth).value, ML);
    match leg.warm_chamber(&warming) {
        Ok(chamber) => chamber_lines(&mut sheet, &chamber, leg.stroke)?,
        Err(OutOfRange::Locked { .. }) => {
            sheet.number("locks_short_by", "LOCKS ON OIL short by", leg.stroke.value, MM);
        }
        Err(other) => return Err(other.into()),
    }
    let word = height_word(asked);
    sheet.number("locks_at", format!("Locks at a {word} of"), leg.gap_that_locks_warm(&warming)?.value, MM);
    if let Ok(gap) = leg.gap_for_force_warm(limit, &warming) {
        sheet.number(
            "limit_at",
            format!("Reaches {:.1} kN at a {word} of", limit.value / 1000.0),
            gap.value,
            MM,
        );
    }
    sheet.words("temperature", "At", format!("{:.0} °C", warming.to.value - 273.15));
    sheet.assume(LEFT_OUT);
    // An air spring whose leg is set by a height all the same has both.
    if let Some(spring) = air_springs.and_then(|fork| air_spring(fork).ok()) {
        sheet.lines.extend(spring.lines);
        spring.assumptions.into_iter().for_each(|text| sheet.assume(text));
    }
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

/// The rod that stands in the outer chamber: given, or the one that does on this leg of the fork.
fn rod_of_outer_chamber(asked: &Asked) -> Result<Length, Refusal> {
    let on_record = asked.fork.filter(|_| !asked.was_given("rod"));
    let key = on_record.and_then(|fork| crate::derive::outer_rod(fork.shop, fork.fork, fork.side));
    let recorded = key.map(|key| asked.recorded(key)).transpose()?.flatten();
    match (recorded.as_ref().and_then(Value::quantity).and_then(Quantity::length), key, on_record) {
        (Some(rod), ..) => Ok(rod),
        (None, Some(key), Some(fork)) => {
            let _ =
                asked.not_known(format!("`--rod` is needed; the record of {} has no `{key}`", fork.fork.id));
            asked.length("rod")
        }
        _ => asked.length("rod"),
    }
}

fn outer(asked: &Asked) -> Result<Sheet, Refusal> {
    let start = match asked.may_pressure("charge")? {
        Some(gauge) => absolute(gauge)?,
        None => pressure(ATMOSPHERE),
    };
    let rod = rod_of_outer_chamber(asked)?;
    let chamber = outer_chamber(asked.volume("air")?, asked.length("tube")?, rod, start)?;
    let mut sheet = Sheet::default();
    chamber_lines(&mut sheet, &chamber, asked.length("stroke")?)?;
    sheet.assume("the outer air is measured with everything in, leg extended, and kept at bench temperature");
    sheet.assume(LEFT_OUT);
    Ok(sheet)
}

/// The names of the lines for [`AT_THE_LEG`].
const GAUGE_AT: [&str; 5] = ["gauge_0", "gauge_10", "gauge_20", "gauge_30", "gauge_40"];

const GAUGE_ASSUMES: &str = "the volume stays, nothing leaks, and the atmosphere is standard (101.325 kPa)";

/// Every pressure of a leg, for a leg that is colder or warmer than its record says; set at another temperature, and
/// read at one alone, where these are given.
fn recorded_gauges(asked: &Asked, fork: KnownFork<'_>) -> Result<Sheet, Refusal> {
    let (from, to) = (asked.may_temperature("from")?, asked.may_temperature("to")?);
    let mut sheet = Sheet::default();
    for gauge in &fork.leg().gauges {
        fork.uses(gauge.field);
        let title = &fork.shop.catalogue.field(gauge.field).short;
        let set_at = from.unwrap_or(gauge.set_at);
        let table = GAUGE_AT.into_iter().zip(AT_THE_LEG.map(celsius));
        let asked_for = to.map_or_else(|| table.collect(), |to| vec![("gauge", to)]);
        for (name, at) in asked_for {
            let reads = gauge_at(gauge.set, set_at, at)?;
            sheet.number(name, format!("{title} at {:.0} °C", at.value - 273.15), reads.value, KPA);
        }
    }
    if sheet.lines.is_empty() {
        let (side, other, id) = (fork.side, fork.side.other(), &fork.fork.id);
        return Err(Refusal(match fork.derived.leg(other).gauges.is_empty() {
            true => format!("{id} has no pressure on record; give one with `--pressure`"),
            false => {
                let (side, other) = (side.word(), other.word());
                format!("the {side} leg of {id} has no pressure on record: ask with `--leg {other}`")
            }
        }));
    }
    sheet.assume(GAUGE_ASSUMES);
    Ok(sheet)
}

fn gauge(asked: &Asked) -> Result<Sheet, Refusal> {
    let mut sheet = Sheet::default();
    let to = asked.may_temperature("to")?;
    if let (Some(fork), false) = (asked.fork, asked.was_given("pressure")) {
        return recorded_gauges(asked, fork);
    }
    let recorded = asked.fork.and_then(|fork| fork.derived.leg(fork.side).gauges.first());
    let set = asked.pressure("pressure")?;
    let from = match (asked.may_temperature("from")?, recorded) {
        (None, Some(gauge)) => gauge.set_at,
        _ => asked.temperature("from")?,
    };
    match to {
        Some(to) => sheet.number("gauge", "The gauge reads", gauge_at(set, from, to)?.value, KPA),
        None => {
            for (name, at) in GAUGE_AT.into_iter().zip(AT_THE_LEG) {
                let reads = gauge_at(set, from, celsius(at))?;
                sheet.number(name, format!("At {at:.0} °C the gauge reads"), reads.value, KPA);
            }
        }
    }
    sheet.assume(GAUGE_ASSUMES);
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
                help: "the rod that stands in it: the cartridge's, or the air unit's",
                example: "13 mm",
                takes: Takes::One(LengthOf),
                keys: &[key::TUBES_CARTRIDGE_ROD_DIAMETER, key::AIR_ROD_DIAMETER],
            },
            STROKE,
            Input {
                name: "charge",
                help: "gauge pressure of the outer air, leg extended; none when left out",
                example: "40 kPa",
                takes: Takes::One(Pressure),
                keys: &[key::AIR_OUTER_PRESSURE],
            },
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
