//! Oil: the gap, oil left behind, temperature.

use super::asked::{Asked, Input, Takes};
use super::sheet::{GRAM, ML, MM, Refusal, SLOPE, Sheet};
use super::subject::Subject;
use crate::bench::oil::{Surface, correction, overfill, residual_shift};
use crate::bench::units::{Length, MassDensity, ThermodynamicTemperature, Volume, celsius, kelvin, length};
use crate::bench::{OutOfRange, expansion};
use crate::catalogue::key;
use crate::quantity::Dimension::{Density, Length as LengthOf, Slope, Temperature, Volume as VolumeOf};
use crate::quantity::Value;
use crate::words::capital;

pub(super) const BORE: Input = Input {
    name: "bore",
    help: "the bore in which the oil stands, from the edge down",
    example: "38 mm",
    takes: Takes::Stretches(LengthOf),
    keys: &[key::TUBES_BORE],
};
pub(super) const ROD: Input = Input {
    name: "rod",
    help: "the outside diameter of what stands through the oil; nothing when left out",
    example: "11 mm",
    takes: Takes::Stretches(LengthOf),
    keys: &[key::TUBES_ROD_DIAMETER],
};
pub(super) const MEASURED_SLOPE: Input = Input {
    name: "slope",
    help: "how much oil moves the gap, measured in the shop; counts before bore and rod",
    example: "1.05 mL/mm",
    takes: Takes::One(Slope),
    keys: &[key::OIL_SURFACE_SLOPE],
};
pub(super) const GAP: Input = Input {
    name: "gap",
    help: "the air gap or the level that is due, with its tolerance",
    example: "106 mm",
    takes: Takes::One(LengthOf),
    keys: &[key::OIL_AIR_GAP, key::OIL_LEVEL],
};
pub(super) const DENSITY: Input = Input {
    name: "density",
    help: "the oil's density at 15 °C",
    example: "850 kg/m³",
    takes: Takes::One(Density),
    keys: &[],
};

/// The oil's surface: a measured slope, else the drawing.
pub(super) fn surface(asked: &Asked) -> Result<Surface, Refusal> {
    let given = ["bore", "rod", "slope"].map(|name| asked.was_given(name));
    // With nothing given, the record's own surface, with what stands in its oil.
    if let (Some(fork), false) = (asked.fork, given.contains(&true))
        && let Some(surface) = fork.told(&fork.leg().surface).value()
    {
        return Ok(surface.clone());
    }
    // A bore or a rod on the command line is meant, even where the record holds a slope.
    let drawn = (given[0] || given[1]) && !given[2];
    let slope = if drawn { None } else { asked.may("slope")? };
    if let Some(slope) = slope.and_then(|slope| slope.slope()) {
        return Ok(Surface::measured(slope)?);
    }
    let surface = Surface::in_sections(&asked.stretches("bore", true)?, &asked.stretches("rod", false)?)?;
    // What stands in the oil of this leg stands there in another bore as well.
    let parts = asked.fork.and_then(|fork| fork.told(&fork.leg().parts).value());
    match parts {
        Some(parts) if !parts.is_empty() => Ok(surface.with_parts(parts)?),
        _ => Ok(surface),
    }
}

/// What a person calls the height of the oil: as the fork's is, else a gap.
pub(super) fn height_word(asked: &Asked) -> &'static str {
    asked.fork.map_or("gap", |fork| fork.derived.leg(fork.side).height_word())
}

/// The oil's density: given, or that of the fork's oil.
pub(super) fn density(asked: &Asked) -> Result<MassDensity, Refusal> {
    if let Some(given) = asked.may_density("density")? {
        return Ok(given);
    }
    let recorded = asked.fork.and_then(|fork| {
        fork.uses(key::OIL_OIL.id());
        crate::derive::density_of(fork.shop, fork.fork, fork.side)
    });
    recorded.map_or_else(|| asked.density("density"), Ok)
}

/// No reading asks for more oil than the whole leg takes.
fn within_the_fill(asked: &Asked, amount: f64) -> Result<(), Refusal> {
    let Some(fork) = asked.fork else { return Ok(()) };
    let fill = asked.recorded(key::OIL_DRY_FILL)?;
    let fill = fill.as_ref().and_then(Value::quantity);
    match fill.filter(|fill| amount > fill.greatest_si()) {
        None => Ok(()),
        Some(fill) => Err(Refusal(format!(
            "that reading asks for {:.0} mL, more than the whole fill of {}, {}: read it again, with its unit",
            amount * 1e6,
            fork.fork.id,
            fill.shown()
        ))),
    }
}

fn gap(asked: &Asked) -> Result<Sheet, Refusal> {
    let surface = surface(asked)?;
    let (reading, due) = (asked.length("reading")?, asked.quantity("gap")?);
    let target = length(due.middle_si());
    let fix = correction(&surface, reading, target)?;
    let mut sheet = Sheet::default();
    let amount = fix.drawn().value.abs();
    within_the_fill(asked, amount)?;
    let inside = due.holds(reading.value);
    match fix {
        crate::bench::oil::Correction::Nothing => sheet.words("correction", "Correction", "leave it"),
        _ if inside => {
            sheet.words("correction", "Correction", format!("leave it: inside {}", due.shown()));
        }
        _ => sheet.number(
            if fix.words() == "add" { "add" } else { "draw_off" },
            if fix.words() == "add" { "Add" } else { "Draw off" },
            amount,
            ML,
        ),
    }
    sheet.number("slope", "One millimeter is", surface.slope_at(target)?.value, SLOPE);
    sheet.assume("the leg stands upright and at rest, in the state of the target, both read from one edge");
    Ok(sheet)
}

fn residual(asked: &Asked) -> Result<Sheet, Refusal> {
    let surface = surface(asked)?;
    let left = asked.volume("residual")?;
    let mut sheet = Sheet::default();
    let excess = match asked.may_volume("fill")? {
        Some(fill) => overfill(fill, left, fill)?,
        None => left,
    };
    sheet.number("overfill", "Too much oil", excess.value, ML);
    let gap = length(asked.quantity("gap")?.middle_si());
    let shift = residual_shift(&surface, gap, excess)?;
    let word = height_word(asked);
    sheet.number("gap", format!("{} then", capital(word)), (gap + shift).value, MM);
    sheet.number("shift", format!("Change of the {word}"), shift.value, MM);
    sheet.assume("the leg then gets its whole dry fill by volume");
    Ok(sheet)
}

fn temperature(asked: &Asked) -> Result<Sheet, Refusal> {
    let fill = asked.volume("fill")?;
    let density = density(asked)?;
    let (from, to) = (asked.may_temperature("from")?, asked.may_temperature("to")?);
    // Why the height at another temperature is not known is told beside the growth, or with what else is missing.
    let unknown = asked.fork.and_then(|fork| fork.derived.leg(fork.side).warm_gap.not_judged());
    let lacks = !asked.lacking.borrow().is_empty();
    if let (Some(why), true) = (&unknown, lacks) {
        return Err(asked.not_known(why.clone()));
    }
    let settings = asked.shop.map(|shop| &shop.settings);
    let recorded = asked.fork.and_then(|fork| Some(fork.told(&fork.leg().warm_gap).value()?.set_at));
    let bench = || celsius(settings.map_or(20.0, |s| s.bench_celsius()));
    let from = from.or(recorded).unwrap_or_else(bench);
    let to = to.unwrap_or_else(|| celsius(settings.map_or(50.0, |s| s.working_celsius())));
    let mut sheet = Sheet::default();
    sheet.number("growth", "The oil grows by", expansion::growth(fill, density, from, to)?.value, ML);
    sheet.number("volume", "Volume then", expansion::volume_at(fill, density, from, to)?.value, ML);
    sheet.number("weight", "Weight", expansion::weight(fill, density, from)?.value, GRAM);
    if let (Some(surface), Some(gap)) = (asked.attempt(surface), asked.may_length("gap")?) {
        gaps(&mut sheet, height_word(asked), &surface, gap, (fill, density, from, to))?;
        warm_gaps(&mut sheet, &surface, gap, (fill, density, from))?;
    } else if let Some(why) = unknown {
        sheet.words("gap", format!("{} then", capital(height_word(asked))), why);
    }
    sheet.words("range", "From, to", format!("{:.0} °C, {:.0} °C", from.value - 273.15, to.value - 273.15));
    sheet.assume(expansion::ASSUMPTION);
    Ok(sheet)
}

type Warming = (Volume, MassDensity, ThermodynamicTemperature, ThermodynamicTemperature);

fn gaps(
    sheet: &mut Sheet,
    word: &str,
    surface: &Surface,
    gap: Length,
    warming: Warming,
) -> Result<(), OutOfRange> {
    let (fill, density, from, to) = warming;
    let then = expansion::gap_at(surface, gap, fill, density, from, to)?;
    let ten = expansion::gap_at(surface, gap, fill, density, from, kelvin(from.value + 10.0))?;
    sheet.number("gap", format!("{} then", capital(word)), then.value, MM);
    sheet.number("ten_degrees", "Ten degrees change it by", (ten - gap).value, MM);
    Ok(())
}

/// The same gap on oil of other temperatures, as a table for the bench.
fn warm_gaps(
    sheet: &mut Sheet,
    surface: &Surface,
    gap: Length,
    (fill, density, from): (Volume, MassDensity, ThermodynamicTemperature),
) -> Result<(), OutOfRange> {
    const NAMES: [&str; 4] = ["gap_15", "gap_20", "gap_25", "gap_30"];
    for (name, at) in NAMES.into_iter().zip(expansion::AT_THE_BENCH) {
        let then = expansion::gap_at(surface, gap, fill, density, from, celsius(at))?;
        sheet.number(name, format!("Set at {at:.0} °C"), then.value, MM);
    }
    Ok(())
}

const READING: Input = Input {
    name: "reading",
    help: "what the gap reads",
    example: "99 mm",
    takes: Takes::One(LengthOf),
    keys: &[],
};
const FILL: Input = Input {
    name: "fill",
    help: "the leg's whole oil",
    example: "440 mL",
    takes: Takes::One(VolumeOf),
    keys: &[key::OIL_DRY_FILL],
};
const LEFT: Input = Input {
    name: "residual",
    help: "oil left in the leg",
    example: "35 mL",
    takes: Takes::One(VolumeOf),
    keys: &[],
};
const FROM: Input = Input {
    name: "from",
    help: "the temperature it is measured at; the record's or the bench's when left out",
    example: "18 °C",
    takes: Takes::One(Temperature),
    keys: &[],
};
const TO: Input = Input {
    name: "to",
    help: "the other temperature; the working one when left out",
    example: "55 °C",
    takes: Takes::One(Temperature),
    keys: &[],
};

pub(super) static SUBJECTS: &[Subject] = &[
    Subject {
        name: "gap",
        about: "What to draw off or add to bring an air gap or a level to its target",
        inputs: &[READING, GAP, BORE, ROD, MEASURED_SLOPE],
        example: &["--reading", "99 mm", "--gap", "106 mm", "--bore", "38 mm", "--rod", "11 mm"],
        shows: "Draw off           7.3 mL (0.25 US fl oz)",
        run: gap,
    },
    Subject {
        name: "residual",
        about: "What oil left in a leg does when it is then filled by volume",
        inputs: &[LEFT, FILL, GAP, BORE, ROD, MEASURED_SLOPE],
        example: &["--residual", "35 mL", "--gap", "106 mm", "--slope", "1.05 mL/mm"],
        shows: "Change of the gap  −33.3 mm (−1.31 in)",
        run: residual,
    },
    Subject {
        name: "temperature",
        about: "What temperature does to a fill and its gap, and what the fill weighs",
        inputs: &[FILL, DENSITY, FROM, TO, GAP, BORE, ROD, MEASURED_SLOPE],
        example: &["--fill", "440 mL", "--density", "850 kg/m³", "--from", "18 °C", "--to", "55 °C"],
        shows: "The oil grows by  12.5 mL (0.42 US fl oz)",
        run: temperature,
    },
];
