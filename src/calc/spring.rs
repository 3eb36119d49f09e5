//! Springs and legs: stored force, coil bind, load and sag.

use super::asked::{Asked, Input, Takes, read_as};
use super::sheet::{MM, NEWTON, RATE, Refusal, Sheet};
use super::subject::Subject;
use crate::bench::OutOfRange;
use crate::bench::choose::{carries, load_at, preload_under};
use crate::bench::leg::{Leg, drop_of_front, load_per_leg, sag, vertical_rate};
use crate::bench::spring::{
    STEEL_SHEAR_MODULUS, Spring, StoredForce, Winding, coil_bind, held_by_tool, rate_from_wire,
};
use crate::bench::units::{
    Force, GRAVITY, Length, Mass as MassOf, SpringRate as Rate, force, length, pressure, spring_rate,
};
use crate::book::springs::{advice, fitting, rates};
use crate::catalogue::{Key, key};
use crate::derive::{Answer, Preload, SetPreload, TOOL_STROKE_MM};
use crate::quantity::Dimension::{Angle, Length as LengthOf, Mass, SpringRate, Turns};
use crate::quantity::{Kind, Quantity, Value};
use crate::resolve::Side;

const fn spring_length(
    name: &'static str,
    help: &'static str,
    example: &'static str,
    keys: &'static [Key],
) -> Input {
    Input { name, help, example, takes: Takes::One(LengthOf), keys }
}

const RATES: Input = Input {
    name: "rate",
    help: "the spring's rate, in segments where it is progressive",
    example: "9.1 N/mm",
    takes: Takes::Stretches(SpringRate),
    keys: &[key::SPRING_RATE],
};
const PRELOAD: Input = spring_length("preload", "the fitted preload", "14 mm", &[key::SPRING_PRELOAD]);
const STROKE: Input = spring_length("stroke", "the stroke", "126 mm", &[key::TUBES_STROKE]);

const UNSPRUNG: Input = Input {
    name: "unsprung",
    help: "wheel, brakes and lower legs",
    example: "16 kg",
    takes: Takes::One(Mass),
    keys: &[key::SETUP_UNSPRUNG_MASS],
};
const RAKE: Input = Input {
    name: "rake",
    help: "the rake",
    example: "25°",
    takes: Takes::One(Angle),
    keys: &[key::SETUP_RAKE],
};

fn held(sheet: &mut Sheet, name: &'static str, label: &str, held: &StoredForce) {
    sheet.number(name, label, held.force.value, NEWTON);
    sheet.words("kilograms_force", "The same", format!("{:.0} kgf", held.kilograms_force));
}

/// The preload that was given, else the one that the fork's record comes to. What it lacks is asked for: what is built
/// in does not stand for what the adjuster adds.
fn preload_of(asked: &Asked, sheet: &mut Sheet) -> Result<Preload, Refusal> {
    let given = |preload: Length| Preload {
        backed_off: preload,
        set: Ok(SetPreload { baseline: preload, greatest: preload, range_unknown: false }),
    };
    let Some(fork) = asked.fork.filter(|_| !asked.was_given("preload")) else {
        return asked.length("preload").map(given);
    };
    match fork.told(&fork.leg().preload) {
        Answer::Known(known) => {
            known.assumptions.iter().for_each(|text| sheet.assume(text.clone()));
            Ok(known.value.clone())
        }
        _ => asked.length("preload").map(given),
    }
}

/// The preload as it is set.
fn set_of(asked: &Asked, preload: Preload) -> Result<SetPreload, Refusal> {
    preload.set.map_err(|lacks| {
        asked.not_known(format!(
            "the preload is not worked out: {} missing; or give `--preload`",
            lacks.join(", ")
        ))
    })
}

/// What pushes beside the spring by the record: the cartridge's gas, and the assist air behind the cap.
fn beside(asked: &Asked, sheet: &mut Sheet) -> (Force, Force) {
    let Some(fork) = asked.fork else { return (force(0.0), force(0.0)) };
    let leg = fork.leg();
    if let Some(why) = leg.gas.not_judged() {
        asked.not_known(why);
    }
    let [gas, air] =
        [&leg.gas, &leg.assist].map(|answer| fork.told(answer).value().copied().unwrap_or(force(0.0)));
    if gas.value > 0.0 {
        sheet.assume("the cartridge's gas is counted, at its charge on record");
    }
    if air.value > 0.0 {
        sheet.assume("the assist air is counted behind the cap where nothing is backed off: at its limit, else at its pressure on record");
    }
    if let Some(held) = leg.tool_force.value().or(leg.cap_force.value()) {
        held.leaves_out.iter().for_each(|what| sheet.assume(format!("not counted: {what}")));
    }
    (gas, air)
}

fn stored(asked: &Asked) -> Result<Sheet, Refusal> {
    let spring = Spring::in_segments(&asked.rates("rate")?)?;
    let mut sheet = Sheet::default();
    let Preload { backed_off, set } = preload_of(asked, &mut sheet)?;
    let (gas, air) = beside(asked, &mut sheet);
    let behind = spring.force_at(backed_off)? + gas;
    sheet.number("preloaded", "Behind the cap", behind.value, NEWTON);
    let tool = match asked.may_length("tool")? {
        None if asked.fork.is_some() => Some(length(TOOL_STROKE_MM / 1000.0)),
        given => given,
    };
    let by_tool = |preload: Length, tool: Length| {
        held_by_tool(&spring, preload, tool).map(|held| StoredForce::of(held.force + gas))
    };
    if let Some(tool) = tool {
        held(&mut sheet, "held", "Held by the tool", &by_tool(backed_off, tool)?);
    }
    let set = match set {
        Ok(set) => set,
        Err(lacks) => {
            sheet.assume("for cap and tool the preload is backed off");
            let why = format!("more; not worked out: {} missing", lacks.join(", "));
            sheet.words("most_not_worked_out", "Not backed off", why);
            return Ok(sheet);
        }
    };
    let without = asked.fork.and_then(|fork| fork.leg().assist.not_judged());
    let worst = spring.force_at(set.greatest)? + gas + air;
    if worst > behind || without.is_some() {
        sheet.assume("for cap and tool the preload is backed off; all the way in they hold what follows");
        match without {
            Some(why) => sheet.words("preloaded_most", "Behind the cap, not backed off", why),
            None => sheet.number("preloaded_most", "Behind the cap, not backed off", worst.value, NEWTON),
        }
        if let Some(tool) = tool {
            let force = by_tool(set.greatest, tool)?.force;
            sheet.number("held_most", "Held by the tool, not backed off", force.value, NEWTON);
        }
    }
    if let Some(stroke) = asked.may_length("stroke")? {
        let force = spring.force_at(length(set.baseline.value + stroke.value))? + gas;
        sheet.number("full_travel", "At full travel", force.value, NEWTON);
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
    let mut sheet = Sheet::default();
    let preload = preload_of(asked, &mut Sheet::default());
    let built_in = preload.as_ref().map(|preload| preload.backed_off.value).unwrap_or_default();
    let preload = preload.and_then(|preload| set_of(asked, preload));
    let (free, stroke, solid) = (asked.length("free")?, asked.length("stroke")?, asked.length("solid")?);
    let set = preload?;
    let bind = coil_bind(free, set.greatest, stroke, solid)?;
    if asked.fork.is_some() && !asked.was_given("preload") {
        sheet.assume(everything_in(set, built_in));
    }
    sheet.number("least", "Length at full travel", bind.least.value, MM);
    if bind.binds() {
        sheet.number("short", "COILS TOUCH short by", -bind.margin.value, MM);
    } else {
        sheet.number("margin", "Left before the coils touch", bind.margin.value, MM);
    }
    Ok(sheet)
}

/// The preload that coil bind starts from, in words.
fn everything_in(set: SetPreload, built_in: f64) -> String {
    let [all, built_in] = [set.greatest.value, built_in].map(|metres| metres * 1e3);
    let by_adjuster = all - built_in;
    match set.range_unknown {
        true => format!(
            "a preload of {all:.1} mm: the adjuster stays where it is set, since its whole range is not recorded"
        ),
        false if by_adjuster < 0.05 => format!("a preload of {all:.1} mm, all of it built in"),
        false => format!(
            "a preload of {all:.1} mm, everything in: {built_in:.1} mm built in and {by_adjuster:.1} mm by the adjuster all the way in"
        ),
    }
}

/// Both legs as the record knows them, with what was given in place of what is on record; without a record two legs
/// alike with nothing but their springs.
fn legs(asked: &Asked, sheet: &mut Sheet) -> Result<[Leg; 2], Refusal> {
    if asked.fork.is_some() {
        legs_with(asked, sheet, &[])
    } else {
        legs_with(asked, sheet, &asked.rates("rate")?)
    }
}

/// The same; `rates` are the spring's where there is no record.
fn legs_with(
    asked: &Asked,
    sheet: &mut Sheet,
    rates: &[(Rate, Option<Length>)],
) -> Result<[Leg; 2], Refusal> {
    let Some(fork) = asked.fork else {
        sheet.assume("both legs alike, the springs alone: air and top-out springs are left out");
        let any = [(spring_rate(9000.0), None)];
        let spring = Spring::in_segments(if rates.is_empty() { &any } else { rates })?;
        let spring = Some((spring, asked.length("preload")?));
        let stroke = asked.length("stroke")?;
        let leg = Leg { spring, top_out: None, bottoming: None, air: None, gas: None, stroke };
        return Ok([leg.clone(), leg]);
    };
    let mut legs = Vec::new();
    for side in Side::BOTH {
        let forces = fork.told(&fork.derived.leg(side).forces);
        let Some(result) = forces.known() else {
            let why = forces.not_judged().unwrap_or_else(|| "not judged".to_owned());
            return Err(asked.not_known(format!("the {} leg of {}: {why}", side.word(), fork.fork.id)));
        };
        for text in &result.assumptions {
            sheet.assume(text.clone());
        }
        legs.push(with_given(asked, sheet, result.value.clone())?);
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
    let weight = |mass: MassOf| force(mass.value * GRAVITY);
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
    let result = sag(&left, &right, 2.0 * load)?;
    sheet.number("sag", "Sag along the legs", result.value, MM);
    sheet.number("drop", "The front drops by", drop_of_front(result, rake)?.value, MM);
    sheet.assume("on level ground, standing still, without friction");
    Ok(sheet)
}

/// Which of the springs at hand carries a rider: for each, the sag at the preload on record, and the preload that
/// would bring the sag that is wanted.
fn for_rider(asked: &Asked) -> Result<Sheet, Refusal> {
    let weight = |mass: MassOf| force(mass.value * GRAVITY);
    let rake = asked.angle("rake")?;
    let load = load_per_leg(weight(asked.mass("load")?), weight(asked.mass("unsprung")?), rake)?;
    let due = asked.quantity("sag")?;
    let mut sheet = Sheet::default();
    let pair = legs_with(asked, &mut sheet, &[])?;
    if let (Some(fork), true) = (asked.fork, pair.iter().all(|leg| leg.spring.is_none())) {
        return Err(
            asked.not_known(format!("no leg of {} has a spring that could be another one", fork.fork.id))
        );
    }
    let mut nearest: Option<(f64, String)> = None;
    for (label, spring) in at_hand(asked)? {
        let [left, right] = pair.clone().map(|leg| with_spring(leg, &spring));
        match sag(&left, &right, 2.0 * load) {
            Ok(result) => {
                sheet.number("sag", label.clone(), result.value, MM);
                let preload = preload_for(&left, &right, 2.0 * load, length(due.middle_si()));
                if let (Some(line), Some(preload)) = (sheet.lines.last_mut(), preload) {
                    line.text = format!("{}; {preload}", line.text);
                }
                let off = (result.value - due.middle_si()).abs();
                if nearest.as_ref().is_none_or(|(least, _)| off < *least) {
                    nearest = Some((off, label));
                }
            }
            Err(why) => sheet.words("sag", label, why.to_string()),
        }
    }
    if let Some((_, label)) = nearest {
        sheet.words("nearest", "Nearest to the sag", label);
    }
    sheet.assume(
        "on level ground, standing still, without friction; the same spring in each leg that has one",
    );
    Ok(sheet)
}

/// The springs to choose from, each with what it is called: the rates that were given; else the fork's own and those of
/// the stock that it can take.
fn at_hand(asked: &Asked) -> Result<Vec<(String, Spring)>, Refusal> {
    if let (Some(fork), false) = (asked.fork, asked.was_given("springs")) {
        let own = fork.derived.legs.iter().find_map(|leg| leg.spring.value());
        let own = own.map(|spring| ("as recorded".to_owned(), spring.clone()));
        let stock = fitting(fork.shop, fork.fork).into_iter();
        return Ok(own.into_iter().chain(stock.filter_map(|one| Some((one.title(), rates(one)?)))).collect());
    }
    let Value::Text(list) = asked.need("springs")? else {
        return Err(Refusal("`--springs` takes rates with commas between".to_owned()));
    };
    let one = |text: &str| {
        let rate = read_as(&Kind::Quantity(SpringRate), "a spring's rate", "9.1 N/mm", text.trim());
        let rate = rate.map_err(|Refusal(why)| Refusal(format!("`--springs`: {why}")))?;
        let rate = rate.quantity().and_then(Quantity::spring_rate);
        let rate = rate.ok_or_else(|| Refusal(format!("`{}` is no spring rate", text.trim())))?;
        Ok((format!("{:.2} N/mm", rate.value / 1000.0), Spring::linear(rate)?))
    };
    list.split(',').map(one).collect()
}

/// A leg with another spring in place of its own.
fn with_spring(mut leg: Leg, other: &Spring) -> Leg {
    if let Some((spring, _)) = &mut leg.spring {
        *spring = other.clone();
    }
    leg
}

/// The preload that brings a sag, in words; `None` where no leg has a spring.
fn preload_for(left: &Leg, right: &Leg, load: Force, due: Length) -> Option<String> {
    if left.spring.is_none() && right.spring.is_none() {
        return None;
    }
    Some(match preload_under([left, right], load, due) {
        Ok(preload) => {
            format!("{:.1} mm of preload for {:.1} mm", preload.value * 1000.0, due.value * 1000.0)
        }
        Err(why) => why.to_string(),
    })
}

/// What the pair of static sag and sag with rider says of the spring.
fn sags(asked: &Asked) -> Result<Sheet, Refusal> {
    let (alone, rider) = (asked.length("alone")?, asked.length("rider")?);
    if rider < alone && asked.lacking.borrow().is_empty() {
        return Err(
            OutOfRange::Contradiction { more: "sag with rider", less: "sag of the machine alone" }.into()
        );
    }
    let mut sheet = Sheet::default();
    let Some(fork) = asked.fork else { return without_record(asked, alone, rider) };
    let found = advice(fork.shop, fork.fork, alone, rider).map_err(|why| asked.not_known(why))?;
    for spring in &found.springs {
        match &spring.preload {
            Ok(preload) => {
                sheet.number("preload", spring.title.clone(), *preload, MM);
                if let Some(line) = sheet.lines.last_mut() {
                    let spacer = if spring.spacer { ", with another spacer" } else { "" };
                    line.text =
                        format!("{} of preload{spacer}; alone {:.1} mm", line.text, spring.alone * 1e3);
                }
            }
            Err(why) => sheet.words("preload", spring.title.clone(), why.clone()),
        }
    }
    sheet.words("verdict", "The spring on record", found.verdict().replace('\u{a0}', " "));
    if let Some((best, word)) = found.nearest() {
        sheet.words("nearest", "Nearest to both sags", format!("{}: {word}", best.title));
    }
    for side in Side::BOTH {
        fork.told(&fork.derived.leg(side).forces);
    }
    sheet.assume(
        "the sags were read with the preload on record, friction left out; the same spring in each leg",
    );
    Ok(sheet)
}

/// The same of two legs alike of which nothing is known but their springs.
fn without_record(asked: &Asked, alone: Length, rider: Length) -> Result<Sheet, Refusal> {
    let mut sheet = Sheet::default();
    let [left, right] = legs(asked, &mut sheet)?;
    let (wanted, still) = (asked.length("wanted")?, asked.length("wanted-alone")?);
    let loads = [load_at([&left, &right], alone)?, load_at([&left, &right], rider)?];
    let Some((own, _)) = &left.spring else { return Err(Refusal("no leg has a spring".to_owned())) };
    let found = carries([&left, &right], own, loads, wanted)?;
    sheet.number("preload", "Preload for the sag with rider", found.preload.value, MM);
    sheet.number("alone", "The machine alone then sags", found.alone.value, MM);
    let softer = found.alone.value < still.value;
    let word = match (found.alone.value - still.value).abs() < 0.0005 {
        true => "right",
        false if softer => "too soft: a stiffer one sags more alone",
        false => "too stiff: a softer one sags less alone",
    };
    sheet.words("verdict", "The spring is", word.to_owned());
    Ok(sheet)
}

pub(super) static SUBJECTS: &[Subject] = &[
    Subject {
        name: "spring",
        about: "The force stored in a spring: behind its cap, held by a tool, at full travel",
        inputs: &[
            RATES,
            PRELOAD,
            spring_length("tool", "how far the tool pushes it down beyond the preload", "45 mm", &[]),
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
            spring_length("wire", "the wire's diameter", "4.9 mm", &[key::SPRING_WIRE_DIAMETER]),
            spring_length(
                "mean",
                "the mean coil diameter: outside less wire",
                "29 mm",
                &[key::SPRING_MEAN_DIAMETER],
            ),
            Input {
                name: "coils",
                help: "the active coils",
                example: "26 turns",
                takes: Takes::One(Turns),
                keys: &[key::SPRING_ACTIVE_COILS],
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
            spring_length("free", "the free length", "305 mm", &[key::SPRING_FREE_LENGTH]),
            spring_length(
                "solid",
                "the length with all coils touching",
                "151 mm",
                &[key::SPRING_SOLID_LENGTH],
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
                keys: &[key::SETUP_FRONT_LOAD],
            },
            UNSPRUNG,
            RAKE,
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
    Subject {
        name: "rider",
        about: "Which of the springs at hand carries a rider, and with how much preload",
        inputs: &[
            Input {
                name: "springs",
                help: "the rates at hand, with commas between; with a fork, its own and the stock's when left out",
                example: "8.6 N/mm, 9.1 N/mm, 9.6 N/mm",
                takes: Takes::Rates,
                keys: &[],
            },
            spring_length("sag", "the sag with rider that is wanted", "37 mm", &[key::SETUP_SAG_RIDER]),
            Input {
                name: "load",
                help: "what stands under the front wheel with this rider in the saddle",
                example: "141 kg",
                takes: Takes::One(Mass),
                keys: &[],
            },
            UNSPRUNG,
            RAKE,
            PRELOAD,
            STROKE,
        ],
        example: &[
            "--springs",
            "8.6 N/mm, 9.1 N/mm, 9.6 N/mm",
            "--sag",
            "37 mm",
            "--load",
            "141 kg",
            "--unsprung",
            "16 kg",
            "--rake",
            "25°",
            "--preload",
            "14 mm",
            "--stroke",
            "126 mm",
        ],
        shows: "Nearest to the sag  9.60 N/mm",
        run: for_rider,
    },
    Subject {
        name: "sags",
        about: "What static sag and sag with rider say of the spring; with a fork, which of the stock",
        inputs: &[
            spring_length("alone", "the sag that was read, machine alone", "14 mm", &[]),
            spring_length("rider", "the sag that was read with the rider", "43 mm", &[]),
            spring_length("wanted", "the sag with rider that is wanted", "37 mm", &[key::SETUP_SAG_RIDER]),
            spring_length(
                "wanted-alone",
                "the sag of the machine alone that is wanted",
                "26 mm",
                &[key::SETUP_SAG_STATIC],
            ),
            RATES,
            PRELOAD,
            STROKE,
        ],
        example: &[
            "--alone",
            "14 mm",
            "--rider",
            "43 mm",
            "--wanted",
            "37 mm",
            "--wanted-alone",
            "26 mm",
            "--rate",
            "9.1 N/mm",
            "--preload",
            "14 mm",
            "--stroke",
            "126 mm",
        ],
        shows: "Preload for the sag with rider  20.0 mm (0.79 in)",
        run: sags,
    },
];
