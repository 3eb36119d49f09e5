//! What the cards and pages say that is no written value: checks that could not be made, what was worked out
//! for a caution, and the tables that turn a reading into what to do.

use super::keys;
use super::view::CardTable;
use super::warmth;
use crate::bench::oil::{Correction, Row};
use crate::bench::spring::StoredForce;
use crate::bench::thread::{NutHeight, Way};
use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{Field, key};
use crate::check::CheckedFork;
use crate::derive::{Answer, Derived, DerivedLeg, Held, TOOL_STROKE_MM};
use crate::quantity::Dimension;
use crate::resolve::{Shop, Side};
use crate::words::capital;

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

impl Facts {
    /// What is to be said about a fork, from its arithmetic.
    pub fn of(shop: &Shop, derived: &Derived) -> Facts {
        let mut facts = Facts::default();
        for leg in &derived.legs {
            not_made(shop, leg, &mut facts.not_made);
        }
        not_judged(shop, "Sag", &derived.sag_rider, &mut facts.not_made);
        facts.cautions.push((STORED_FORCE.to_owned(), forces(derived)));
        facts.cautions.push((OIL_LOCK.to_owned(), lock(shop, derived)));
        facts.short.push((STORED_FORCE.to_owned(), both_said(derived, forces_in_short)));
        facts.short.push((OIL_LOCK.to_owned(), both_said(derived, |leg| lock_in_short(shop, leg))));
        facts.cautions.retain(|(_, sentences)| !sentences.is_empty());
        facts.short.retain(|(_, sentences)| !sentences.is_empty());
        facts
    }
}

/// Tables from a reading or a temperature to what to do about it, in full.
pub fn tables(shop: &Shop, fork: &CheckedFork) -> Vec<CardTable> {
    let mut tables = made(&fork.derived, [corrections, warmth::heights, nut]);
    tables.extend(both_legs(&fork.derived, |leg| warmth::pressures(shop, fork, leg)));
    tables
}

/// The tables that belong under the step that sets this value; none for a value that has none.
pub fn tables_for(shop: &Shop, fork: &CheckedFork, field: &Field) -> Vec<CardTable> {
    match field.key.as_str() {
        height if OilSetBy::is_height(height) => made(&fork.derived, [corrections, warmth::heights]),
        nut_height if nut_height == key::ROD_NUT_HEIGHT.name() => made(&fork.derived, [nut]),
        _ if field.kind.dimensions().contains(&Dimension::Pressure) => {
            both_legs(&fork.derived, |leg| warmth::pressures(shop, fork, leg))
        }
        _ => Vec::new(),
    }
}

/// The corrections of a value in short, as a card has them; none for a value that has none.
pub fn corrections_in_short(fork: &CheckedFork, field: &Field) -> Vec<CardTable> {
    match field.key.as_str() {
        height if OilSetBy::is_height(height) => both_legs(&fork.derived, gap_in_short),
        nut_height if nut_height == key::ROD_NUT_HEIGHT.name() => both_legs(&fork.derived, nut_in_short),
        _ => Vec::new(),
    }
}

/// The gap or level on oil of other temperatures in a few words, as a card has it; empty where it is not worked out.
pub fn warm_heights(fork: &CheckedFork, field: &Field) -> String {
    if !OilSetBy::is_height(&field.key) {
        return String::new();
    }
    let said = |leg: &DerivedLeg| warmth::heights_said(leg).into_iter().collect();
    both_said(&fork.derived, said).join(" ")
}

/// What a pressure is set to on a leg of another temperature, as a card has it.
pub fn temperatures(shop: &Shop, fork: &CheckedFork, field: &Field) -> Vec<CardTable> {
    both_legs(&fork.derived, |leg| {
        let gauge = leg.gauges.iter().find(|gauge| shop.catalogue.field(gauge.field).key == field.key)?;
        Some(warmth::pressure_in_short(shop, fork, leg, gauge))
    })
}

/// All of them.
pub fn card_tables(shop: &Shop, fork: &CheckedFork) -> Vec<CardTable> {
    let fields = shop.catalogue.iter().map(|(_, field)| field);
    let mut tables = Vec::new();
    for field in fields {
        tables.extend(corrections_in_short(fork, field));
        tables.extend(temperatures(shop, fork, field));
    }
    tables
}

fn made<const N: usize>(
    derived: &Derived,
    tables: [fn(&DerivedLeg) -> Option<CardTable>; N],
) -> Vec<CardTable> {
    tables.into_iter().flat_map(|make| both_legs(derived, make)).collect()
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

/// What the spring pushes, with the preload backed off as the step has it, and what if that was forgotten.
fn held(what: &str, force: &Held) -> String {
    let backed_off = newtons(&force.backed_off);
    match &force.set {
        Some(set) => {
            let set = newtons(set);
            format!("With the preload backed off, {what} {backed_off}; not backed off, {set}.")
        }
        None => format!("{} {backed_off}.", capital(what)),
    }
}

fn forces(derived: &Derived) -> Vec<String> {
    let mut out = Vec::new();
    for leg in &derived.legs {
        let tool = format!("held {TOOL_STROKE_MM:.0}\u{a0}mm down, the spring pushes");
        let tool = leg.tool_force.value().map(|force| held(&tool, force));
        let cap = leg.cap_force.value().map(|force| held("behind the cap the spring pushes", force));
        for sentence in tool.into_iter().chain(cap) {
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
    let named = |letter: &'static str, said: Vec<String>| said.into_iter().map(move |text| format!("{letter}: {text}"));
    named("L", left).chain(named("R", right)).collect()
}

fn forces_in_short(leg: &DerivedLeg) -> Vec<String> {
    let newtons = |force: &StoredForce| format!("{:.0}\u{a0}N", force.force.value);
    let said = |what: String, force: &Held| {
        let set = force.set.as_ref().map_or_else(String::new, |set| format!(" ({} preload on)", newtons(set)));
        format!("{} {what}{set}", newtons(&force.backed_off))
    };
    let tool = leg.tool_force.value().map(|force| said(format!("held {TOOL_STROKE_MM:.0}\u{a0}mm down"), force));
    let cap = leg.cap_force.value().map(|force| said("behind the cap".to_owned(), force));
    let all: Vec<String> = tool.into_iter().chain(cap).collect();
    if all.is_empty() { all } else { vec![format!("{}.", all.join(", "))] }
}

fn lock_in_short(shop: &Shop, leg: &DerivedLeg) -> Vec<String> {
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
            "{:.0}\u{a0}mL more in the outer chamber: the leg locks on its oil.",
            known.value.room.value * 1e6
        )),
        Answer::Known(_) => Some("The oil on record in the outer chamber locks the leg.".to_owned()),
        other => not_worked_out(shop, "Where the outer oil stops this leg", other),
    };
    air.into_iter().chain(outer).collect()
}

/// Where each leg stops on its oil, or what is missing to say so.
fn lock(shop: &Shop, derived: &Derived) -> Vec<String> {
    let [left, right] = Side::BOTH.map(|side| lock_of(shop, derived.leg(side)));
    if left == right {
        return left;
    }
    let named = |side: Side, sentences: Vec<String>| {
        sentences.into_iter().map(move |sentence| format!("{} leg: {sentence}", capital(side.word())))
    };
    named(Side::Left, left).chain(named(Side::Right, right)).collect()
}

fn lock_of(shop: &Shop, leg: &DerivedLeg) -> Vec<String> {
    let air = match &leg.air {
        Answer::Known(known) => Some(format!(
            "Worked out for this fork: at a {} of {:.0}\u{a0}mm or less the warm leg stops on its oil before full travel.",
            known.value.word(),
            known.value.locks_at.value * 1000.0
        )),
        other => not_worked_out(shop, "Where this leg stops on its oil", other),
    };
    let outer = match &leg.outer {
        Answer::Known(known) if known.value.room.value > 0.0 => Some(format!(
            "Worked out for this fork: with {:.0}\u{a0}mL more oil than on record in its outer chamber the leg stops on it before full travel.",
            known.value.room.value * 1e6
        )),
        Answer::Known(_) => {
            Some("Worked out for this fork: the oil on record in its outer chamber stops the leg before full travel.".to_owned())
        }
        other => not_worked_out(shop, "Where the outer oil stops this leg", other),
    };
    air.into_iter().chain(outer).collect()
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
fn corrections(leg: &DerivedLeg) -> Option<CardTable> {
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
        format!("10\u{a0}°C warmer, the {word} reads {:.1}\u{a0}mm {way}.", shift.abs())
    });
    let heads = rows.iter().map(|row| mm(row.reading.value, 1));
    Some(CardTable {
        title: format!("Correct the {}, each leg.", leg.height_word()),
        note: format!("{note}{}", weights(leg)),
        heads: ["Reads, mm".to_owned()].into_iter().chain(heads).collect(),
        rows: vec![row("Draw off, mL", draw), row("Add, mL", add)],
    })
}

/// The first fill by weight.
fn weights(leg: &DerivedLeg) -> String {
    let weighed = leg.fills.iter().find_map(|fill| Some((fill.volume.value, fill.weight.value()?.value)));
    weighed.map_or_else(String::new, |(volume, mass)| {
        format!(
            " {:.0}\u{a0}mL of its oil weigh {:.0}\u{a0}g at bench temperature.",
            volume * 1e6,
            mass * 1e3
        )
    })
}

fn nut(leg: &DerivedLeg) -> Option<CardTable> {
    let nut = leg.nut.value()?;
    let off: Vec<_> = nut.readings.iter().filter(|(_, turns)| turns.turns > 0.0).collect();
    let row = |name: &str, way: Way| {
        let cells = off
            .iter()
            .map(|(_, turns)| if way == turns.way { eighths(turns.turns) } else { "\u{2013}".to_owned() });
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
    let title = format!("{} off", capital(leg.height_word()));
    Some(CardTable { title, note: String::new(), heads: begin("Reads, mm", reads), rows: vec![begin("mL", does)] })
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
        let way = if turns.way == Way::UpTheRod { " to end" } else { " away" };
        cells.push((reading.value, format!("{}{way}", eighths(turns.turns))));
    }
    cells.push((nut.target.value, LEAVE.to_owned()));
    cells.sort_by(|a, b| a.0.total_cmp(&b.0));
    let heads = ["Reads, mm".to_owned()].into_iter().chain(cells.iter().map(|(at, _)| fixed(*at, 2))).collect();
    let turns = ["Turn".to_owned()].into_iter().chain(cells.iter().map(|(_, turn)| turn.clone())).collect();
    // Not "up" and "down": on many forks the rod's end points down.
    let note = "to the rod’s end, or away from it".to_owned();
    Some(CardTable { title: "Rod nut off".to_owned(), note, heads, rows: vec![turns] })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_of_a_rod_nut_have_the_same_decimals() {
        assert_eq!([0.013, 0.01288].map(|metres| fixed(metres, 2)), ["13.00", "12.88"]);
    }
}
