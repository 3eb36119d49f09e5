//! Rod nut, torques, fits, adjusters.

use super::asked::{Asked, Input, KnownFork, Takes, without};
use super::joint;
use super::sheet::{MM, MM_FINE, MM_FIT, NEWTON, NM, PLAIN, Refusal, Sheet, WHOLE};
use super::subject::Subject;
use crate::bench::adjusters::{Counting, from_the_other_end, preload_from_rings, recount, turns_for};
use crate::bench::fits::{Limits, bushing_clearance, clearance, limits};
use crate::bench::thread::{NutHeight, coarse_pitch, is_preferred, nut_turns};
use crate::bench::torque::{Strain, ThreadState, likeliest_slip, strain};
use crate::bench::units::{length, millimetres};
use crate::catalogue::{Key, key};
use crate::quantity::Dimension::{Length, Torque};
use crate::quantity::Value;
use crate::resolve::Resolved;

const fn long(name: &'static str, help: &'static str, example: &'static str, keys: &'static [Key]) -> Input {
    Input { name, help, example, takes: Takes::One(Length), keys }
}

fn nut(asked: &Asked) -> Result<Sheet, Refusal> {
    let Value::Choice(faces) = asked.need("faces")? else {
        return Err(Refusal("`--faces` takes one word".to_owned()));
    };
    let faces = NutHeight::named(&faces).unwrap_or(NutHeight::NutToRodEnd);
    let (reading, due, pitch) = (asked.length("reading")?, asked.quantity("height")?, asked.length("pitch")?);
    let turns = nut_turns(reading, length(due.middle_si()), pitch, faces)?;
    let mut sheet = Sheet::default();
    if due.holds(reading.value) {
        sheet.words("correction", "Correction", format!("leave it: inside {}", due.shown()));
        sheet.assume("a right-hand thread with one start");
        return Ok(sheet);
    }
    sheet.number("turns", "Turns", turns.turns, PLAIN);
    sheet.words("eighths", "Nearest eighth", eighths(turns.turns));
    sheet.words("way", "Way", turns.way.words());
    sheet.assume("a right-hand thread with one start");
    Ok(sheet)
}

/// Turns to the nearest eighth, as a hand can set them.
fn eighths(turns: f64) -> String {
    let eighths = libm::round(turns * 8.0) as u64;
    let (whole, part) = (eighths / 8, eighths % 8);
    let part = ["", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"][part as usize];
    match (whole, part) {
        (0, "") => "less than an eighth of a turn".to_owned(),
        (0, part) => format!("{part} turn"),
        (1, "") => "1 turn".to_owned(),
        (whole, "") => format!("{whole} turns"),
        (whole, part) => format!("{whole} {part} turns"),
    }
}

fn torque(asked: &Asked) -> Result<Sheet, Refusal> {
    let joint = joint::recorded(asked)?;
    let attribute = |name: &str| {
        let joint: &Resolved = joint?;
        joint.entry.attributes.get(name)?.value.clone()
    };
    let saying = joint::torque(asked, joint)?;
    let thread = match attribute("thread").filter(|_| !asked.was_given("thread")) {
        Some(Value::Thread(thread)) => thread,
        _ => asked.thread("thread")?,
    };
    let class = match asked.value("class")?.or_else(|| attribute("property_class")) {
        Some(Value::PropertyClass(class)) => Some(class.mark()),
        _ => None,
    };
    let recorded_state = match attribute("thread_state") {
        Some(Value::Choice(word)) => Some(word),
        _ => None,
    };
    let state = match asked.word("state")?.or(recorded_state).as_deref() {
        Some("oiled") => ThreadState::Oiled,
        Some("anti-seize") => ThreadState::AntiSeize,
        Some("locking-compound") => ThreadState::LockingCompound,
        Some(_) => ThreadState::Dry,
        None => return Err(asked.need("state").map_or_else(|why| why, |_| Refusal(String::new()))),
    };
    let diameter = millimetres(thread.diameter_mm.float());
    let pitch = match &thread.pitch_mm {
        Some(pitch) => millimetres(pitch.float()),
        None => coarse_pitch(diameter)?
            .ok_or_else(|| Refusal("the thread needs its pitch: it has no coarse one".to_owned()))?,
    };
    let applied = crate::bench::units::torque(saying.greatest_si());
    let mut sheet = Sheet::default();
    sheet.number("torque", "Torque", saying.middle_si(), NM);
    let bolt = Bolt { applied, unit: saying.unit().symbol, diameter, pitch, state };
    let Some(class) = class else {
        without_class(&mut sheet, &bolt)?;
        return Ok(sheet);
    };
    let result = strain(applied, class, diameter, pitch, state)?;
    pull_and_verdict(&mut sheet, &result);
    if result.certainly_over() || result.is_little() {
        looks_like(&mut sheet, &bolt, class)?;
    }
    if is_preferred(diameter, pitch) == Ok(false) {
        sheet.words("pitch", "Pitch", "none that ISO 261 has for this diameter");
    }
    sheet.assume("the short torque formula with a handbook range of friction, a steel bolt (ISO 898-1)");
    sheet.assume("what the bolt carries, not the thread in the casting or the tube it clamps");
    Ok(sheet)
}

/// How hard a bolt pulls, what its class carries, and what comes of it.
fn pull_and_verdict(sheet: &mut Sheet, result: &Strain) {
    sheet.number("preload_least", "Pulls with at least", result.preload.least.value, NEWTON);
    sheet.number("preload_greatest", "Pulls with at most", result.preload.greatest.value, NEWTON);
    sheet.number("proof", "The class carries", result.proof.value, NEWTON);
    let verdict = match (result.certainly_over(), result.possibly_over()) {
        (true, _) => "TOO MUCH whatever the friction",
        (false, true) => "may be too much if the thread runs easily",
        (false, false) if result.is_little() => {
            "VERY LITTLE for this bolt: read the number and its unit again"
        }
        (false, false) => "within what it carries",
    };
    sheet.words("verdict", "Verdict", verdict);
}

/// A torque on a thread.
struct Bolt {
    applied: crate::bench::units::Torque,
    unit: &'static str,
    diameter: crate::bench::units::Length,
    pitch: crate::bench::units::Length,
    state: ThreadState,
}

/// The unit the number was probably meant in.
fn looks_like(sheet: &mut Sheet, bolt: &Bolt, class: &str) -> Result<(), Refusal> {
    let slip = likeliest_slip(bolt.applied, bolt.unit, class, bolt.diameter, bolt.pitch, bolt.state)?;
    if let Some(slip) = slip {
        sheet.words("slip", "It looks like", format!("{} labeled {}", slip.meant, bolt.unit));
        sheet.number("would_be", "which would be", slip.would_be.value, NM);
    }
    Ok(())
}

/// The strongest steel bolt of ISO 898-1: what it does not carry, no bolt of that thread does.
const STRONGEST: &str = "12.9";

/// A cap or another thread without a property class: what it pulls with, and no verdict unless no steel carries it.
fn without_class(sheet: &mut Sheet, bolt: &Bolt) -> Result<(), Refusal> {
    let pull = crate::bench::torque::preload(bolt.applied, bolt.diameter, bolt.state)?;
    sheet.number("preload_least", "Pulls with at least", pull.least.value, NEWTON);
    sheet.number("preload_greatest", "Pulls with at most", pull.greatest.value, NEWTON);
    let strongest = strain(bolt.applied, STRONGEST, bolt.diameter, bolt.pitch, bolt.state);
    if strongest.is_ok_and(|strain| strain.certainly_over()) {
        sheet.words("verdict", "Verdict", "TOO MUCH for any steel bolt of this thread");
        looks_like(sheet, bolt, STRONGEST)?;
    } else {
        sheet.words(
            "verdict",
            "Verdict",
            "not worked out: no property class, so what it carries is not known",
        );
    }
    sheet.assume("the short torque formula with a handbook range of friction");
    sheet.assume("on a cap or another thread in soft metal the maker's torque is the limit");
    Ok(())
}

/// Limits of a code such as `47 H7`.
fn of_code(value: &Value) -> Result<(Limits, String), Refusal> {
    match value {
        Value::Fit(fit) => Ok((limits(millimetres(fit.nominal.float()), &fit.code)?, fit.code.clone())),
        _ => Err(Refusal("a fit is a size and a code, such as `46 H7`".to_owned())),
    }
}

fn fit(asked: &Asked) -> Result<Sheet, Refusal> {
    let (bore, code) = of_code(&asked.need("bore")?)?;
    let mut sheet = Sheet::default();
    sheet.number("bore_least", format!("{code}, least"), bore.lower.value, MM_FIT);
    sheet.number("bore_greatest", format!("{code}, greatest"), bore.upper.value, MM_FIT);
    if let Some(shaft) = asked.value("shaft")? {
        let (shaft, code) = of_code(&shaft)?;
        sheet.number("shaft_least", format!("{code}, least"), shaft.lower.value, MM_FIT);
        sheet.number("shaft_greatest", format!("{code}, greatest"), shaft.upper.value, MM_FIT);
        let play = clearance(&bore, &shaft);
        sheet.number("play_least", "Play, least", play.least.value, MM_FIT);
        sheet.number("play_greatest", "Play, greatest", play.greatest.value, MM_FIT);
    }
    Ok(sheet)
}

fn bushing(asked: &Asked) -> Result<Sheet, Refusal> {
    let keys = match asked.word("which")?.as_deref() {
        Some("inner") => [key::BUSHINGS_INNER_BORE, key::BUSHINGS_INNER_SHAFT, key::BUSHINGS_INNER_WALL],
        _ => [key::BUSHINGS_OUTER_BORE, key::BUSHINGS_OUTER_SHAFT, key::BUSHINGS_OUTER_WALL],
    };
    let part = |name: &str| -> Result<Limits, Refusal> {
        let at = ["bore", "shaft", "wall"].iter().position(|part| *part == name).unwrap_or_default();
        let recorded = if asked.was_given(name) { None } else { asked.recorded(keys[at])? };
        let quantity = match (recorded.as_ref().and_then(Value::quantity), asked.fork) {
            (Some(quantity), _) => quantity.clone(),
            (None, Some(fork)) if !asked.was_given(name) => {
                let (id, key) = (&fork.fork.id, keys[at]);
                let why = format!("`--{name}` is needed; the record of {id} has no `{key}`");
                let _ = asked.not_known(why);
                asked.quantity(name)?
            }
            (None, _) => asked.quantity(name)?,
        };
        Ok(Limits::new(length(quantity.least_si()), length(quantity.greatest_si()))?)
    };
    let play = bushing_clearance(&part("bore")?, &part("shaft")?, &part("wall")?)?;
    let limit = asked.recorded(key::BUSHINGS_CLEARANCE_LIMIT)?;
    let limit = limit.as_ref().and_then(Value::quantity);
    let mut sheet = Sheet::default();
    sheet.number("play_least", "Play, least", play.least.value, MM_FINE);
    sheet.number("play_greatest", "Play, greatest", play.greatest.value, MM_FINE);
    match limit {
        _ if play.least.value <= 0.0 => {
            sheet.words("verdict", "Verdict", "NO PLAY: the tubes bind, or the bushing is crushed");
        }
        Some(limit) if play.greatest.value > limit.middle_si() * (1.0 + 1e-9) => {
            sheet.words("verdict", "Verdict", format!("MORE THAN THE LIMIT of {}", limit.shown()));
        }
        Some(limit) => sheet.words("verdict", "Verdict", format!("inside the limit of {}", limit.shown())),
        None => {}
    }
    sheet.assume("a split bushing: its wall counts twice");
    Ok(sheet)
}

fn counting(asked: &Asked, name: &str, otherwise: Counting) -> Result<Counting, Refusal> {
    Ok(match asked.word(name)?.as_deref() {
        Some("one") => Counting::FirstIsOne,
        Some(_) => Counting::FirstIsZero,
        None => otherwise,
    })
}

/// A setting beyond every range of the fork's adjusters is none of it.
fn within_record(asked: &Asked, count: u32) -> Result<(), Refusal> {
    let Some(fork) = asked.fork else { return Ok(()) };
    let fields = fork.shop.catalogue.iter().filter(|(_, field)| field.related.whole_range_of.is_some());
    let ranges: Vec<(&str, String, f64)> = fields
        .filter_map(|(id, field)| {
            let saying = fork.fork.on(fork.side, id)?.quantity()?;
            (saying.unit().symbol == "clicks")
                .then(|| (field.title.as_str(), saying.shown(), saying.greatest_si()))
        })
        .collect();
    if ranges.is_empty() || ranges.iter().any(|(.., most)| f64::from(count) <= *most) {
        return Ok(());
    }
    let range_texts: Vec<String> = ranges.iter().map(|(title, text, _)| format!("{title} {text}")).collect();
    Err(Refusal(format!(
        "no adjuster of {} has {count} clicks; its record says: {}",
        fork.fork.id,
        range_texts.join(", ")
    )))
}

/// What a record calls the first click of a value.
fn first_click(asked: &Asked, key: Key) -> Option<Counting> {
    let fork = asked.fork?;
    match fork.fork.on(fork.side, key.id())?.entry.attributes.get("first_click")?.value.as_ref()? {
        Value::Choice(word) if word == "one" => Some(Counting::FirstIsOne),
        Value::Choice(_) => Some(Counting::FirstIsZero),
        _ => None,
    }
}

/// An adjuster's setting and its whole range; those of rebound where none is named.
fn of_adjuster(word: Option<&str>) -> (Key, Key) {
    match word {
        Some("compression") => (key::ADJUSTERS_COMPRESSION, key::ADJUSTERS_COMPRESSION_RANGE),
        Some("compression-high") => (key::ADJUSTERS_COMPRESSION_HIGH, key::ADJUSTERS_COMPRESSION_RANGE),
        _ => (key::ADJUSTERS_REBOUND, key::ADJUSTERS_REBOUND_RANGE),
    }
}

/// That no setting was given, and none is on record.
fn no_setting(asked: &Asked, key: Key) -> Refusal {
    let why = asked.fork.map(|fork| without(&fork, key)).unwrap_or_default();
    Refusal(format!("`--clicks` is needed: the setting, out from fully closed, such as `13`{why}"))
}

fn clicks(asked: &Asked) -> Result<Sheet, Refusal> {
    let (setting, whole) = of_adjuster(asked.word("adjuster")?.as_deref());
    let recorded = |key: Key| -> Result<Option<u32>, Refusal> {
        let value = asked.recorded(key)?;
        let clicks =
            value.as_ref().and_then(Value::quantity).filter(|saying| saying.unit().symbol == "clicks");
        Ok(clicks.map(|clicks| clicks.middle_si() as u32))
    };
    let count = match asked.count("clicks")?.map_or_else(|| recorded(setting), |count| Ok(Some(count)))? {
        Some(count) => count,
        None => return Err(no_setting(asked, setting)),
    };
    within_record(asked, count)?;
    let shops = match asked.shop {
        Some(shop) if !shop.settings.first_click_is_zero() => Counting::FirstIsOne,
        _ => Counting::FirstIsZero,
    };
    let recorded_as = |key: Key| first_click(asked, key).unwrap_or(shops);
    let of_record = !asked.was_given("clicks") && asked.fork.is_some();
    let saying = counting(asked, "first", if of_record { recorded_as(setting) } else { shops })?;
    let other = if saying == Counting::FirstIsZero { Counting::FirstIsOne } else { Counting::FirstIsZero };
    let mut sheet = Sheet::default();
    if saying != shops {
        let word = if saying == Counting::FirstIsOne { "one" } else { "zero" };
        sheet
            .assume(format!("the first click of the setting is called {word}; this shop calls it otherwise"));
    }
    if of_record {
        sheet.number("setting", "On record", f64::from(count), WHOLE);
    }
    let words = if other == Counting::FirstIsOne { "one" } else { "zero" };
    sheet.number(
        "recounted",
        format!("Where the first click is {words}"),
        f64::from(recount(count, saying, other)?),
        WHOLE,
    );
    // The whole range is counted as its own line says.
    let last = match asked.count("last")? {
        None => recorded(whole)?.map(|last| recount(last, recorded_as(whole), saying)).transpose()?,
        given => given,
    };
    if let Some(last) = last {
        // A sheet may count from the open end; the other end is then the closed one.
        let said = asked.fork.and_then(|fork| fork.fork.on(fork.side, setting.id()));
        let counted = said.and_then(|said| said.entry.attributes.get("counted")?.value.as_ref());
        let from_open =
            !asked.was_given("clicks") && matches!(counted, Some(Value::Choice(word)) if word == "from-open");
        let (key, label) = match from_open {
            true => ("from_closed", "Out from fully closed"),
            false => ("from_open", "In from fully open"),
        };
        sheet.number(key, label, f64::from(from_the_other_end(count, last, saying)?), WHOLE);
    }
    Ok(sheet)
}

/// The preload that a fork's record comes to.
fn recorded_preload(fork: KnownFork<'_>) -> Result<Sheet, Refusal> {
    let answer = fork.told(&fork.leg().preload);
    let Some(result) = answer.known() else {
        return Err(Refusal(answer.not_judged().unwrap_or_else(|| "this leg has no spring".to_owned())));
    };
    let set = match &result.value.set {
        Ok(set) => set,
        Err(lacks) => {
            let built_in = result.value.backed_off.value * 1e3;
            return Err(Refusal(format!(
                "not worked out: {} missing; {built_in:.1} mm are built in, and what the adjuster adds is not known",
                lacks.join(", ")
            )));
        }
    };
    let mut sheet = Sheet::default();
    sheet.number("preload", "Preload", set.baseline.value, MM);
    sheet.number("greatest", "With the adjuster all the way in", set.greatest.value, MM);
    for text in &result.assumptions {
        sheet.assume(text.clone());
    }
    Ok(sheet)
}

fn preload(asked: &Asked) -> Result<Sheet, Refusal> {
    let mut sheet = Sheet::default();
    if let Some(change) = asked.may_length("change")? {
        sheet.number(
            "turns",
            "Turns, in for more, out for less",
            turns_for(change, asked.length("per-turn")?)?,
            PLAIN,
        );
        return Ok(sheet);
    }
    if let (Some(fork), false) = (asked.fork, asked.was_given("rings")) {
        return recorded_preload(fork);
    }
    let rings = |name: &str| -> Result<f64, Refusal> {
        asked.count(name)?.map_or_else(|| asked.need(name).map(|_| 0.0), |count| Ok(f64::from(count)))
    };
    let result = preload_from_rings(
        asked.may_length("least")?.unwrap_or(length(0.0)),
        rings("rings")?,
        rings("showing")?,
        asked.length("spacing")?,
    )?;
    sheet.number("preload", "Preload", result.value, MM);
    Ok(sheet)
}

pub(super) static SUBJECTS: &[Subject] = &[
    Subject {
        name: "nut",
        about: "Turns that bring a rod nut to its height",
        inputs: &[
            long("reading", "what the height reads", "13.2 mm", &[]),
            long("height", "the height that is due", "12.5 mm", &[key::ROD_NUT_HEIGHT]),
            long("pitch", "one turn", "1.25 mm", &[key::ROD_NUT_PITCH]),
            Input {
                name: "faces",
                help: "between which faces it is measured",
                example: "nut-to-rod-end",
                takes: Takes::Word(&["nut-to-rod-end", "below-to-nut"]),
                keys: &[key::ROD_NUT_FACES],
            },
        ],
        example: &[
            "--reading",
            "13.2 mm",
            "--height",
            "12.5 mm",
            "--pitch",
            "1.25 mm",
            "--faces",
            "nut-to-rod-end",
        ],
        shows: "Turns           0.56",
        run: nut,
    },
    Subject {
        name: "torque",
        about: "What a torque does to a steel bolt, or how hard a cap pulls",
        inputs: &[
            joint::JOINT,
            Input {
                name: "torque",
                help: "the torque",
                example: "90 N·m",
                takes: Takes::One(Torque),
                keys: &[],
            },
            Input { name: "thread", help: "the thread", example: "M6 × 1", takes: Takes::Thread, keys: &[] },
            Input {
                name: "class",
                help: "the property class; no verdict when left out",
                example: "8.8",
                takes: Takes::Class,
                keys: &[],
            },
            Input {
                name: "state",
                help: "what is on the thread",
                example: "dry",
                takes: Takes::Word(&["dry", "oiled", "anti-seize", "locking-compound"]),
                keys: &[],
            },
        ],
        example: &["--torque", "90 N·m", "--thread", "M6 × 1", "--class", "8.8", "--state", "dry"],
        shows: "It looks like        lbf·in labeled N·m",
        run: torque,
    },
    Subject {
        name: "fit",
        about: "Limits of size of an ISO 286 code, and the play between two",
        inputs: &[
            Input {
                name: "bore",
                help: "the bore's size and code",
                example: "46 H7",
                takes: Takes::Fit,
                keys: &[],
            },
            Input {
                name: "shaft",
                help: "the shaft's size and code",
                example: "46 g6",
                takes: Takes::Fit,
                keys: &[],
            },
        ],
        example: &["--bore", "46 H7", "--shaft", "46 g6"],
        shows: "Play, greatest  0.0500 mm",
        run: fit,
    },
    Subject {
        name: "bushing",
        about: "The play of a split bushing",
        inputs: &[
            long("bore", "the bore", "45.15 mm +0.03/-0", &[]),
            long("shaft", "the tube", "42 mm +0/-0.03", &[]),
            long("wall", "the wall", "1.5 mm", &[]),
            Input {
                name: "which",
                help: "which bushing of the fork's record; the outer when left out",
                example: "inner",
                takes: Takes::Word(&["outer", "inner"]),
                keys: &[],
            },
        ],
        example: &["--bore", "45.15 mm +0.03/-0", "--shaft", "42 mm +0/-0.03", "--wall", "1.5 mm"],
        shows: "Play, greatest  0.21 mm (0.0083 in)",
        run: bushing,
    },
    Subject {
        name: "clicks",
        about: "A setting in the other way of counting, and from the other end",
        inputs: &[
            Input {
                name: "adjuster",
                help: "which adjuster of the fork's record; rebound when left out",
                example: "compression",
                takes: Takes::Word(&["rebound", "compression", "compression-high"]),
                keys: &[],
            },
            Input {
                name: "clicks",
                help: "the setting, out from fully closed",
                example: "13",
                takes: Takes::Count,
                keys: &[],
            },
            Input {
                name: "first",
                help: "what the first click is called; the shop's way when left out",
                example: "one",
                takes: Takes::Word(&["zero", "one"]),
                keys: &[],
            },
            Input {
                name: "last",
                help: "the count at fully open",
                example: "22",
                takes: Takes::Count,
                keys: &[],
            },
        ],
        example: &["--clicks", "13", "--first", "one", "--last", "22"],
        shows: "In from fully open             10",
        run: clicks,
    },
    Subject {
        name: "preload",
        about: "Preload by turns, or by the rings that show above the cap",
        inputs: &[
            long("change", "the change that is wanted, more or less, without a sign", "4 mm", &[]),
            long("per-turn", "what one turn moves", "1.5 mm", &[key::ADJUSTERS_PRELOAD_PER_TURN]),
            Input { name: "rings", help: "the rings in all", example: "6", takes: Takes::Count, keys: &[] },
            Input {
                name: "showing",
                help: "the rings that show",
                example: "4",
                takes: Takes::Count,
                keys: &[],
            },
            long("spacing", "from ring to ring", "2 mm", &[]),
            long("least", "the preload with every ring showing; none when left out", "10 mm", &[]),
        ],
        example: &["--rings", "6", "--showing", "4", "--spacing", "2 mm", "--least", "10 mm"],
        shows: "Preload  14.0 mm (0.55 in)",
        run: preload,
    },
];
