//! What the cards and pages say that is no written value: checks that could not be made, what was worked out
//! for a caution, and the tables that turn a reading into what to do.

use super::keys;
use super::sign::{rests_on_family, signed, signed_sentence};
use super::view::CardTable;
use super::warmth;
use crate::bench::oil::{Correction, Row};
use crate::bench::spring::StoredForce;
use crate::bench::thread::{NutHeight, Way};
use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{Field, FieldId, key};
use crate::check::CheckedFork;
use crate::derive::{Answer, Derived, DerivedLeg, DrawnIn, Held, TOOL_STROKE_MM};
use crate::resolve::{Shop, Side};
use crate::words::{and, capital};

/// What is to be said about one fork.
#[derive(Debug, Clone, Default)]
pub struct Facts {
    /// Checks that could not be made and why, one sentence each.
    pub not_made: Vec<String>,
    /// Sentences for the box of a caution, by its id.
    pub cautions: Vec<(String, Vec<String>)>,
    /// The same numbers in short, for the head of a card.
    pub short: Vec<(String, Vec<String>)>,
}

/// The caution that names the force a spring holds, and the one that names too small an air space.
const STORED_FORCE: &str = "stored-spring-force";
const OIL_LOCK: &str = "hydraulic-lock";
/// The caution that names how far a leg on air draws itself in.
const DRAWS_IN: &str = "leg-draws-in";

impl Facts {
    /// What is to be said about a fork, from its arithmetic; with the sign where that rests on what nobody compared.
    pub fn of(shop: &Shop, fork: &CheckedFork) -> Facts {
        let derived = &fork.derived;
        let mut facts = Facts::default();
        for leg in &derived.legs {
            not_made(shop, leg, &mut facts.not_made);
        }
        not_judged(shop, "Sag", &derived.sag_rider, &mut facts.not_made);
        facts.cautions.push((STORED_FORCE.to_owned(), forces(shop, fork)));
        facts.cautions.push((OIL_LOCK.to_owned(), lock(shop, fork)));
        facts.cautions.push((DRAWS_IN.to_owned(), drawn_in(shop, fork)));
        facts
            .short
            .push((STORED_FORCE.to_owned(), both_said(derived, |leg| forces_in_short(shop, fork, leg))));
        facts.short.push((OIL_LOCK.to_owned(), both_said(derived, |leg| lock_in_short(shop, fork, leg))));
        facts.short.push((DRAWS_IN.to_owned(), drawn_in_short(shop, fork)));
        facts.cautions.retain(|(_, sentences)| !sentences.is_empty());
        facts.short.retain(|(_, sentences)| !sentences.is_empty());
        facts
    }
}

/// Tables from a reading or a temperature to what to do about it, in full.
pub fn tables(shop: &Shop, fork: &CheckedFork) -> Vec<CardTable> {
    let mut tables = made(shop, fork, &[CORRECTIONS, HEIGHTS, NUT]);
    tables.extend(pressures(shop, fork, warmth::pressures));
    tables
}

/// The tables that belong under the step that sets this value; none for a value that has none.
pub fn tables_for(shop: &Shop, fork: &CheckedFork, field: &Field) -> Vec<CardTable> {
    match field.key.as_str() {
        height if OilSetBy::is_height(height) => made(shop, fork, &[CORRECTIONS, HEIGHTS]),
        nut_height if nut_height == key::ROD_NUT_HEIGHT.name() => made(shop, fork, &[NUT]),
        // A pressure of a test is no pressure that a leg is set to.
        gauge if is_gauge(shop, fork, gauge) => pressures(shop, fork, warmth::pressures),
        _ => Vec::new(),
    }
}

/// Whether a leg of the fork is set to this pressure.
fn is_gauge(shop: &Shop, fork: &CheckedFork, key: &str) -> bool {
    let mut gauges = fork.derived.legs.iter().flat_map(|leg| &leg.gauges);
    gauges.any(|gauge| shop.catalogue.field(gauge.field).key == key)
}

/// The corrections of a value in short, as a card has them; none for a value that has none.
pub fn corrections_in_short(shop: &Shop, fork: &CheckedFork, field: &Field) -> Vec<CardTable> {
    match field.key.as_str() {
        height if OilSetBy::is_height(height) => made(shop, fork, &[GAP_IN_SHORT]),
        nut_height if nut_height == key::ROD_NUT_HEIGHT.name() => made(shop, fork, &[NUT_IN_SHORT]),
        _ => Vec::new(),
    }
}

/// The gap or level on oil of other temperatures in a few words, as a card has it; empty where it is not worked out.
pub fn warm_heights(shop: &Shop, fork: &CheckedFork, field: &Field) -> String {
    if !OilSetBy::is_height(&field.key) {
        return String::new();
    }
    let text = on_legs(fork.derived.legs.iter().map(|leg| {
        let (heights, unit) = warmth::heights_in_short(leg)?;
        Some((heights, signed(&unit, rests_on_family(shop, fork, leg.warm_gap.rests_on()))))
    }));
    if text.is_empty() { text } else { format!("Oil at {text}") }
}

/// What a pressure is set to on a leg ten degrees colder and warmer, in a few words; empty where it is not worked out.
pub fn near_pressures(shop: &Shop, fork: &CheckedFork, id: FieldId) -> String {
    let text = on_legs(fork.derived.legs.iter().map(|leg| {
        let gauge = leg.gauges.iter().find(|gauge| gauge.field == id)?;
        let (pressures, unit) = warmth::pressure_nearby(shop, fork, leg, gauge);
        Some((pressures, signed(&unit, fork.is_uncompared(id))))
    }));
    if text.is_empty() { text } else { format!("leg at {text}") }
}

/// What a pressure is set to on a leg of another temperature, as a card has it.
pub fn temperatures(shop: &Shop, fork: &CheckedFork, field: &Field) -> Vec<CardTable> {
    both_legs(&fork.derived, |leg| {
        let gauge = leg.gauges.iter().find(|gauge| shop.catalogue.field(gauge.field).key == field.key)?;
        let table = warmth::pressure_in_short(shop, fork, leg, gauge);
        Some(signed_table(table, fork.is_uncompared(gauge.field)))
    })
}

/// The tables that stand at the line of a value on a card.
pub fn tables_in_short(shop: &Shop, fork: &CheckedFork, field: &Field) -> Vec<CardTable> {
    let mut tables = corrections_in_short(shop, fork, field);
    tables.extend(temperatures(shop, fork, field));
    tables
}

/// All of them.
pub fn card_tables(shop: &Shop, fork: &CheckedFork) -> Vec<CardTable> {
    shop.catalogue.iter().flat_map(|(_, field)| tables_in_short(shop, fork, field)).collect()
}

/// A table of a leg, with the keys that its figures were worked out from.
type Maker = (fn(&Made<'_>) -> Option<CardTable>, fn(&DerivedLeg) -> &[String]);

const CORRECTIONS: Maker = (corrections, |leg| leg.corrections.rests_on());
const GAP_IN_SHORT: Maker = (|made| gap_in_short(made.leg), |leg| leg.corrections.rests_on());
const HEIGHTS: Maker = (|made| warmth::heights(made.leg), |leg| leg.warm_gap.rests_on());
const NUT: Maker = (|made| nut(made.leg), |leg| leg.nut.rests_on());
const NUT_IN_SHORT: Maker = (|made| nut_in_short(made.leg), |leg| leg.nut.rests_on());

/// What a table is made from.
struct Made<'a> {
    shop: &'a Shop,
    fork: &'a CheckedFork,
    leg: &'a DerivedLeg,
}

fn made(shop: &Shop, fork: &CheckedFork, tables: &[Maker]) -> Vec<CardTable> {
    let of = |(make, rests): &Maker| {
        both_legs(&fork.derived, |leg| {
            let table = make(&Made { shop, fork, leg })?;
            Some(signed_table(table, rests_on_family(shop, fork, rests(leg))))
        })
    };
    tables.iter().flat_map(of).collect()
}

fn pressures(
    shop: &Shop,
    fork: &CheckedFork,
    make: fn(&Shop, &CheckedFork, &DerivedLeg) -> Option<CardTable>,
) -> Vec<CardTable> {
    both_legs(&fork.derived, |leg| {
        let taken_over = leg.gauges.iter().any(|gauge| fork.is_uncompared(gauge.field));
        Some(signed_table(make(shop, fork, leg)?, taken_over))
    })
}

/// A table whose title carries the sign, where its figures rest on what nobody compared.
fn signed_table(table: CardTable, taken_over: bool) -> CardTable {
    CardTable { title: signed_sentence(table.title, taken_over), ..table }
}

/// One table where both legs go to the same figure, else one for each.
fn both_legs(derived: &Derived, make: impl Fn(&DerivedLeg) -> Option<CardTable>) -> Vec<CardTable> {
    let (left, right) = (make(derived.leg(Side::Left)), make(derived.leg(Side::Right)));
    if left == right {
        return left.into_iter().collect();
    }
    [(left, Side::Left), (right, Side::Right)]
        .into_iter()
        .filter_map(|(table, side)| {
            let mut table = table?;
            // A title that is a sentence stays one.
            table.title = match table.title.strip_suffix('.') {
                Some(title) => format!("{title}, {} leg.", side.word()),
                None => format!("{}, {} leg", table.title, side.word()),
            };
            Some(table)
        })
        .collect()
}

fn not_made(shop: &Shop, leg: &DerivedLeg, out: &mut Vec<String>) {
    not_judged(shop, "Oil lock and air force", &leg.air, out);
    not_judged(shop, "Oil lock and air force of the outer chamber", &leg.outer, out);
    not_judged(shop, "Force of the main air", &leg.main_chamber, out);
    not_judged(shop, "Force of the balance air", &leg.balance_chamber, out);
    not_judged(shop, &format!("Correction of the {}", leg.height_word()), &leg.corrections, out);
    not_judged(shop, "Coil bind", &leg.coil_bind, out);
    not_judged(shop, "Force held by the spring", &leg.tool_force, out);
    not_judged(shop, "Turns of the rod nut", &leg.nut, out);
    not_judged(shop, "Play of the outer bushing", &leg.outer_bushing, out);
    not_judged(shop, "Play of the inner bushing", &leg.inner_bushing, out);
}

fn not_judged<T>(shop: &Shop, what: &str, answer: &Answer<T>, out: &mut Vec<String>) {
    let Some(why) = reason(shop, answer) else { return };
    let sentence = format!("{what} {why}.");
    if !out.contains(&sentence) {
        out.push(sentence);
    }
}

/// `not judged: the stroke is missing`, in a person's words.
fn reason<T>(shop: &Shop, answer: &Answer<T>) -> Option<String> {
    match answer {
        Answer::Missing(keys) => Some(format!("not judged: {}", keys::missing(shop, keys))),
        other => other.not_judged(),
    }
}

fn newtons(force: &StoredForce) -> String {
    format!(
        "{:.0}\u{a0}N ({:.0}\u{a0}lbf, {:.0}\u{a0}kgf)",
        force.force.value, force.pounds_force, force.kilograms_force
    )
}

/// The largest force that can be met, what it counts and what not, and the one that is met in the order as written.
fn held(shop: &Shop, what: &str, force: &Held) -> String {
    let pushes = if force.counts.len() > 1 { "push" } else { "pushes" };
    format!("{what}, {} {pushes} {}.", and(&force.counts), figures(shop, force))
}

fn figures(shop: &Shop, force: &Held) -> String {
    let (worst, order) = match force.air.value > 0.0 {
        true => ("preload all the way in, air at its limit", "backed off and let out"),
        false => ("preload all the way in", "backed off"),
    };
    match (&force.most, &force.in_order) {
        (Ok(most), Some(in_order)) => {
            format!("up to {}, {worst}; {order}, {:.0}\u{a0}N", newtons(most), in_order.force.value)
        }
        (Ok(most), None) => newtons(most),
        (Err(lacks), in_order) => {
            let in_order = in_order.as_ref().map(newtons).unwrap_or_default();
            format!("{in_order}, {order}; else more: not worked out, {}", keys::missing(shop, lacks))
        }
    }
}

/// What is counted was said for the tool: of the cap only the figures.
fn behind_cap(shop: &Shop, force: &Held) -> String {
    match (&force.most, &force.in_order) {
        (Ok(most), Some(in_order)) => {
            format!("Behind the cap up to {}, {:.0}\u{a0}N.", newtons(most), in_order.force.value)
        }
        _ => format!("Behind the cap {}.", figures(shop, force)),
    }
}

fn forces(shop: &Shop, fork: &CheckedFork) -> Vec<String> {
    let mut out = Vec::new();
    for leg in &fork.derived.legs {
        let tool = format!("Held {TOOL_STROKE_MM:.0}\u{a0}mm down");
        let (by_tool, by_cap) = (leg.tool_force.value(), leg.cap_force.value());
        let same = by_tool.zip(by_cap).is_some_and(|(tool, cap)| tool.counts == cap.counts);
        let cap = by_cap.map(|force| match same {
            true => behind_cap(shop, force),
            false => held(shop, "Behind the cap", force),
        });
        let left_out = by_tool.or(by_cap).filter(|force| !force.leaves_out.is_empty());
        let left_out = left_out.map(|force| format!("Not counted: {}.", and(&force.leaves_out)));
        let sign = |text: String, keys: &[String]| signed_sentence(text, rests_on_family(shop, fork, keys));
        let tool = by_tool.map(|force| sign(held(shop, &tool, force), leg.tool_force.rests_on()));
        let cap = cap.map(|text| sign(text, leg.cap_force.rests_on()));
        for sentence in tool.into_iter().chain(cap).chain(left_out) {
            // Legs that are alike push alike.
            if !out.contains(&sentence) {
                out.push(sentence);
            }
        }
    }
    out
}

/// What is said of each leg: once where both are alike, else with the letter of each.
fn both_said(derived: &Derived, say: impl Fn(&DerivedLeg) -> Vec<String>) -> Vec<String> {
    let [left, right] = Side::BOTH.map(|side| say(derived.leg(side)));
    if left == right {
        return left;
    }
    if let ([left], [right]) = (left.as_slice(), right.as_slice())
        && let (Some((one, said)), Some((other, same))) =
            (left.split_once('\u{a0}'), right.split_once('\u{a0}'))
        && said == same
        && [one, other].iter().all(|number| number.chars().all(|letter| letter.is_ascii_digit()))
    {
        return vec![format!("L {one}, R {other}\u{a0}{said}")];
    }
    let named = |letter: &'static str, said: Vec<String>| {
        said.into_iter().map(move |text| format!("{letter}: {text}"))
    };
    named("L", left).chain(named("R", right)).collect()
}

/// The largest force, and the one in the order as written, as a card's head has it.
fn force_in_short(shop: &Shop, what: &str, force: &Held) -> String {
    let newtons = |force: &StoredForce| format!("{:.0}\u{a0}N", force.force.value);
    match (&force.most, &force.in_order) {
        (Ok(most), Some(in_order)) => {
            format!("{what} up to {}, backed off {}", newtons(most), newtons(in_order))
        }
        (Ok(most), None) => format!("{what} {}", newtons(most)),
        (Err(lacks), in_order) => {
            let in_order = in_order.as_ref().map(newtons).unwrap_or_default();
            let lacks = keys::missing(shop, lacks);
            format!("{what} {in_order} backed off, else more: not worked out, {lacks}")
        }
    }
}

fn forces_in_short(shop: &Shop, fork: &CheckedFork, leg: &DerivedLeg) -> Vec<String> {
    let held = format!("held {TOOL_STROKE_MM:.0}\u{a0}mm down");
    let said = [(held.as_str(), &leg.tool_force), ("behind the cap", &leg.cap_force)];
    let said = said.into_iter().filter_map(|(what, answer)| {
        let text = force_in_short(shop, what, answer.value()?);
        Some(signed(&text, rests_on_family(shop, fork, answer.rests_on())))
    });
    let all: Vec<String> = said.collect();
    let force = leg.tool_force.value().or(leg.cap_force.value());
    let Some(force) = force.filter(|_| !all.is_empty()) else { return Vec::new() };
    let mut out = vec![format!("{}: {}.", capital(&and(&force.counts)), all.join("; "))];
    if !force.leaves_out.is_empty() {
        out.push(format!("Not counted: {}.", and(&force.leaves_out)));
    }
    out
}

fn lock_in_short(shop: &Shop, fork: &CheckedFork, leg: &DerivedLeg) -> Vec<String> {
    let air = match &leg.air {
        Answer::Known(known) => Some(format!(
            "A {} of {:.0}\u{a0}mm or less: the warm leg locks on its oil.",
            known.value.word(),
            known.value.locks_at.value * 1000.0
        )),
        other => not_worked_out(shop, "Where this leg stops on its oil", other),
    };
    let outer = match &leg.outer {
        Answer::Known(known) if known.value.room.value > 0.0 => Some(format!(
            "{:.0}\u{a0}mL over in the outer chamber locks the leg.",
            known.value.room.value * 1e6
        )),
        Answer::Known(_) => Some("The oil on record in the outer chamber locks the leg.".to_owned()),
        other => not_worked_out(shop, "Where the outer oil stops this leg", other),
    };
    let sign = |text: String, keys| signed_sentence(text, rests_on_family(shop, fork, keys));
    let air = air.map(|text| sign(text, leg.air.rests_on()));
    air.into_iter().chain(outer.map(|text| sign(text, leg.outer.rests_on()))).collect()
}

/// Where each leg stops on its oil, or what is missing to say so.
fn lock(shop: &Shop, fork: &CheckedFork) -> Vec<String> {
    let [left, right] = Side::BOTH.map(|side| lock_of(shop, fork, fork.derived.leg(side)));
    if left == right {
        return left;
    }
    let named = |side: Side, sentences: Vec<String>| {
        sentences.into_iter().map(move |sentence| format!("{} leg: {sentence}", capital(side.word())))
    };
    named(Side::Left, left).chain(named(Side::Right, right)).collect()
}

fn lock_of(shop: &Shop, fork: &CheckedFork, leg: &DerivedLeg) -> Vec<String> {
    let air = match &leg.air {
        Answer::Known(known) => Some(format!(
            "Calculated for this fork: at a {} of {:.0}\u{a0}mm or less the warm leg stops on its oil before full travel.",
            known.value.word(),
            known.value.locks_at.value * 1000.0
        )),
        other => not_worked_out(shop, "Where this leg stops on its oil", other),
    };
    let outer = match &leg.outer {
        Answer::Known(known) if known.value.room.value > 0.0 => Some(format!(
            "Calculated: with {:.0}\u{a0}mL more oil than on record in its outer chamber this leg stops on it before full travel.",
            known.value.room.value * 1e6
        )),
        Answer::Known(_) => {
            Some("Calculated for this fork: the oil on record in its outer chamber stops the leg before full travel.".to_owned())
        }
        other => not_worked_out(shop, "Where the outer oil stops this leg", other),
    };
    let sign = |text: String, keys| signed_sentence(text, rests_on_family(shop, fork, keys));
    let air = air.map(|text| sign(text, leg.air.rests_on()));
    air.into_iter().chain(outer.map(|text| sign(text, leg.outer.rests_on()))).collect()
}

/// How far the leg goes in with its main chamber empty, or what is missing to say so.
fn drawn_in(shop: &Shop, fork: &CheckedFork) -> Vec<String> {
    let answer = &fork.derived.drawn_in;
    let text = match answer {
        Answer::Known(known) => {
            Some(signed_sentence(drawn_in_full(&known.value), rests_on_family(shop, fork, answer.rests_on())))
        }
        other => not_worked_out(shop, "How far this leg draws in", other),
    };
    text.into_iter().collect()
}

/// The same in short, for the head of a card.
fn drawn_in_short(shop: &Shop, fork: &CheckedFork) -> Vec<String> {
    let answer = &fork.derived.drawn_in;
    let text = match answer {
        Answer::Known(known) if known.value.travel.value > 0.0 => Some(signed_sentence(
            format!("Main chamber empty: it draws in by {}.", goes_in(&known.value)),
            rests_on_family(shop, fork, answer.rests_on()),
        )),
        Answer::Known(_) => None,
        other => not_worked_out(shop, "How far this leg draws in", other),
    };
    text.into_iter().collect()
}

/// `some 144 mm`, or that it is the whole stroke.
fn goes_in(drawn: &DrawnIn) -> String {
    let travel = format!("{:.0}\u{a0}mm", drawn.travel.value * 1000.0);
    if drawn.whole { format!("its whole stroke of {travel}") } else { format!("some {travel}") }
}

fn drawn_in_full(drawn: &DrawnIn) -> String {
    let pull = newtons(&StoredForce::of(drawn.pull));
    let weight = drawn.weight.value;
    if drawn.travel.value > 0.0 {
        let goes = goes_in(drawn);
        format!(
            "Calculated for this fork, main chamber empty, balance chamber full: it pulls with {pull} against {weight:.0}\u{a0}N of hanging wheel, and the leg draws in by {goes}."
        )
    } else {
        format!(
            "Calculated for this fork, main chamber empty, balance chamber full: it pulls with {pull}, and {weight:.0}\u{a0}N of hanging wheel hold the leg out."
        )
    }
}

/// That a figure is not worked out and what is missing; `None` where this leg has no such thing.
fn not_worked_out<T>(shop: &Shop, what: &str, answer: &Answer<T>) -> Option<String> {
    let why = reason(shop, answer)?;
    Some(format!("{what} is {why}."))
}

/// Millimetres with as many decimals as every other reading of its table.
fn fixed(metres: f64, decimals: usize) -> String {
    format!("{:.decimals$}", metres * 1000.0)
}

/// Millimetres with the digits a rule can show.
fn mm(metres: f64, decimals: usize) -> String {
    let value = metres * 1000.0;
    let whole = (value - value.round()).abs() < 1e-9;
    format!("{value:.0$}", if whole { 0 } else { decimals })
}

/// Readings across, what to do about each below: the shape that fits under the numbers of a card.
fn corrections(made: &Made<'_>) -> Option<CardTable> {
    let leg = made.leg;
    let corrections = leg.corrections.value()?;
    let (rows, inside) = (&corrections.rows, |row: &Row| corrections.inside(row.reading));
    let row = |name: &str, amount: fn(&Correction) -> Option<f64>| {
        let cells = rows.iter().map(|row| match amount(&row.correction) {
            _ if inside(row) => "leave".to_owned(),
            Some(volume) => format!("{:.0}", volume * 1e6),
            None => "\u{2013}".to_owned(),
        });
        [name.to_owned()].into_iter().chain(cells).collect()
    };
    let draw = |correction: &Correction| match correction {
        Correction::DrawOff(volume) => Some(volume.value),
        _ => None,
    };
    let add = |correction: &Correction| match correction {
        Correction::Add(volume) => Some(volume.value),
        _ => None,
    };
    let note = leg.warm_gap.value().map_or_else(String::new, |warm| {
        let shift = warm.ten_degrees.value * 1000.0;
        let way = if shift < 0.0 { "less" } else { "more" };
        let word = leg.height_word();
        let sentence = format!("10\u{a0}°C warmer, the {word} reads {:.1}\u{a0}mm {way}.", shift.abs());
        signed_sentence(sentence, rests_on_family(made.shop, made.fork, leg.warm_gap.rests_on()))
    });
    let heads = rows.iter().map(|row| mm(row.reading.value, 1));
    Some(CardTable {
        title: format!("Correct the {}{}, each leg.", leg.height_word(), on_oil_of(leg)),
        note: format!("{note}{}", weights(made)),
        heads: ["Reads, mm".to_owned()].into_iter().chain(heads).collect(),
        rows: vec![row("Draw off, mL", draw), row("Add, mL", add)],
    })
}

/// `, oil of 20 °C`: a reading on warmer oil is not corrected by the same table; empty where no temperature is said.
fn on_oil_of(leg: &DerivedLeg) -> String {
    let at = leg.warm_gap.value().map(|warm| warmth::degrees(warm.set_at));
    at.map_or_else(String::new, |at| format!(", oil of {at}\u{a0}°C"))
}

/// The first fill by weight.
fn weights(made: &Made<'_>) -> String {
    let weighed = made.leg.fills.iter().find_map(|fill| Some((fill, fill.weight.value()?.value)));
    weighed.map_or_else(String::new, |(fill, mass)| {
        let sentence = format!(
            " {:.0}\u{a0}mL of its oil weigh {:.0}\u{a0}g at bench temperature.",
            fill.volume.value * 1e6,
            mass * 1e3
        );
        signed_sentence(sentence, rests_on_family(made.shop, made.fork, fill.weight.rests_on()))
    })
}

fn nut(leg: &DerivedLeg) -> Option<CardTable> {
    let nut = leg.nut.value()?;
    let off: Vec<_> = nut.readings.iter().filter(|(_, turns)| turns.turns > 0.0).collect();
    let row = |name: &str, way: Way| {
        let cells = off.iter().map(|(reading, turns)| match way == turns.way {
            true if nut.inside(*reading) => LEAVE.to_owned(),
            true => eighths(turns.turns),
            false => "\u{2013}".to_owned(),
        });
        [name.to_owned()].into_iter().chain(cells).collect()
    };
    // The end is named, not "up": on many forks the rod's end points down.
    let rows = vec![
        row("Turns towards the rod’s end", Way::UpTheRod),
        row("Turns away from the rod’s end", Way::DownTheRod),
    ];
    let heads = off.iter().map(|(reading, _)| fixed(reading.value, 2));
    let is = match nut.faces {
        NutHeight::NutToRodEnd => "The height is the rod that stands out of the nut.",
        NutHeight::BelowToNut => "The height is that of the nut above a face below it.",
    };
    Some(CardTable {
        title: "Turn the rod nut.".to_owned(),
        note: format!(
            "{is} One turn is {}\u{a0}mm. Towards the end is anticlockwise, looking at the rod’s end.",
            mm(nut.pitch.value, 2)
        ),
        heads: ["Reads, mm".to_owned()].into_iter().chain(heads).collect(),
        rows,
    })
}

/// What a fill weighs on a scale; empty where it is not worked out.
pub fn weighs(shop: &Shop, fork: &CheckedFork, id: FieldId) -> String {
    let weights = fork.derived.legs.iter().map(|leg| {
        let fill = leg.fills.iter().find(|fill| fill.field == id)?;
        let grams = format!("{:.0}", fill.weight.value()?.value * 1000.0);
        Some((grams, signed("g", rests_on_family(shop, fork, fill.weight.rests_on()))))
    });
    let text = on_legs(weights);
    if text.is_empty() { text } else { format!("weighs {text}") }
}

/// What holds for each leg, left first: once where they agree, else with the letter of each before its figure.
fn on_legs(legs: impl Iterator<Item = Option<(String, String)>>) -> String {
    let figures: Vec<(&str, (String, String))> =
        ["L", "R"].into_iter().zip(legs).filter_map(|(side, leg)| Some((side, leg?))).collect();
    let with_unit = |(figure, unit): &(String, String)| format!("{figure}\u{a0}{unit}");
    match figures.as_slice() {
        [] => String::new(),
        [(_, left), (_, right)] if left == right => with_unit(left),
        // The unit is said once, unless one leg goes the other way.
        [(_, (left, unit)), (_, (right, same))] if unit == same => {
            format!("L\u{a0}{left}, R\u{a0}{right}\u{a0}{unit}")
        }
        several => {
            let figures = several.iter().map(|(side, leg)| format!("{side}\u{a0}{}", with_unit(leg)));
            figures.collect::<Vec<_>>().join(", ")
        }
    }
}

/// Turns to the nearest eighth, as a hand counts them.
fn eighths(turns: f64) -> String {
    let count = (turns * 8.0).round();
    let whole = (count / 8.0).floor();
    const PARTS: [&str; 8] = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];
    let part = PARTS.get((count - whole * 8.0) as usize).copied().unwrap_or("");
    match (whole > 0.0, part) {
        (true, part) => format!("{whole:.0}{part}"),
        (false, "") => "under ⅛".to_owned(),
        (false, part) => part.to_owned(),
    }
}

/// The most readings on either side of what is left as it is.
const MOST_OFF: usize = 3;

/// Readings on either side of what is left as it is, with what to draw off or add.
fn gap_in_short(leg: &DerivedLeg) -> Option<CardTable> {
    let corrections = leg.corrections.value()?;
    let rows = &corrections.rows;
    let inside = |row: &&Row| corrections.inside(row.reading);
    let first = rows.iter().position(|row| inside(&row))?;
    let last = rows.iter().rposition(|row| inside(&row))?;
    let cell = |row: &Row| {
        let amount = row.correction.drawn().value.abs() * 1e6;
        let word = if matches!(row.correction, Correction::DrawOff(_)) { "draw" } else { "add" };
        (mm(row.reading.value, 1), format!("{word} {amount:.0}"))
    };
    // Every other reading: the rest is on the page.
    let below = rows[..first].iter().rev().step_by(2).take(MOST_OFF).collect::<Vec<_>>();
    let above = rows[last + 1..].iter().step_by(2).take(MOST_OFF);
    let (from, to) = (mm(corrections.least.value, 1), mm(corrections.greatest.value, 1));
    let left = (if from == to { from } else { format!("{from} to {to}") }, LEAVE.to_owned());
    let cells = below.into_iter().rev().map(cell).chain([left]).chain(above.map(cell));
    let (reads, does): (Vec<String>, Vec<String>) = cells.unzip();
    let begin = |name: &str, cells: Vec<String>| [name.to_owned()].into_iter().chain(cells).collect();
    let title = format!("{} out{}", capital(leg.height_word()), on_oil_of(leg));
    Some(CardTable {
        title,
        note: String::new(),
        heads: begin("Reads, mm", reads),
        rows: vec![begin("mL", does)],
    })
}

/// What stands in a table for a reading that is right.
const LEAVE: &str = "leave";

/// Quarter turns on either side of the target.
fn nut_in_short(leg: &DerivedLeg) -> Option<CardTable> {
    let nut = leg.nut.value()?;
    let mut cells: Vec<(f64, String)> = Vec::new();
    for (reading, turns) in &nut.readings {
        let count = (turns.turns * 8.0).round();
        if !(1.0..=4.0).contains(&count) || count % 2.0 != 0.0 {
            continue;
        }
        let way = if turns.way == Way::UpTheRod { " to end" } else { " from end" };
        let turn = format!("{}{way}", eighths(turns.turns));
        cells.push((reading.value, if nut.inside(*reading) { LEAVE.to_owned() } else { turn }));
    }
    cells.push((nut.target.value, LEAVE.to_owned()));
    cells.sort_by(|a, b| a.0.total_cmp(&b.0));
    let heads =
        ["Reads, mm".to_owned()].into_iter().chain(cells.iter().map(|(at, _)| fixed(*at, 2))).collect();
    let turns = ["Turn".to_owned()].into_iter().chain(cells.iter().map(|(_, turn)| turn.clone())).collect();
    // Not "up" and "down": on many forks the rod's end points down.
    let note = "looking at the rod’s end".to_owned();
    Some(CardTable { title: "Nut height out".to_owned(), note, heads, rows: vec![turns] })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_of_a_rod_nut_have_the_same_decimals() {
        assert_eq!([0.013, 0.01288].map(|metres| fixed(metres, 2)), ["13.00", "12.88"]);
    }
}
