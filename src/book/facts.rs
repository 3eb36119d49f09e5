//! What the cards and pages say that is no written value: checks that could not be made, what was worked out
//! for a caution, and the tables that turn a reading into what to do.

use super::keys;
use super::view::CardTable;
use crate::bench::oil::Correction;
use crate::bench::spring::StoredForce;
use crate::bench::thread::Way;
use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{Field, FieldId};
use crate::check::CheckedFork;
use crate::derive::{Answer, Derived, DerivedLeg, TOOL_STROKE_MM};
use crate::resolve::{Shop, Side};

/// What is to be said about one fork.
#[derive(Debug, Clone, Default)]
pub struct Facts {
    /// Checks that could not be made and why, one sentence each.
    pub not_made: Vec<String>,
    /// Sentences for the box of a caution, by its id.
    pub cautions: Vec<(String, Vec<String>)>,
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
        facts.cautions.push((OIL_LOCK.to_owned(), lock(derived)));
        facts.cautions.retain(|(_, sentences)| !sentences.is_empty());
        facts
    }
}

/// Tables from a reading to what to do about it, in full.
pub fn tables(fork: &CheckedFork) -> Vec<CardTable> {
    made(&fork.derived, [corrections, nut])
}

/// The same in short, two abreast on a card.
pub fn card_tables(fork: &CheckedFork) -> Vec<CardTable> {
    made(&fork.derived, [gap_in_short, nut_in_short])
}

fn made(derived: &Derived, tables: [fn(&DerivedLeg) -> Option<CardTable>; 2]) -> Vec<CardTable> {
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
            table.title = format!("{}, {} leg", table.title, side.word());
            Some(table)
        })
        .collect()
}

fn not_made(shop: &Shop, leg: &DerivedLeg, out: &mut Vec<String>) {
    not_judged(shop, "Oil lock and air force", &leg.air, out);
    not_judged(shop, "Correction of the gap", &leg.corrections, out);
    not_judged(shop, "Coil bind", &leg.coil_bind, out);
    not_judged(shop, "Force held by the spring", &leg.tool_force, out);
    not_judged(shop, "Turns of the rod nut", &leg.nut, out);
    not_judged(shop, "Play of the outer bushing", &leg.outer_bushing, out);
    not_judged(shop, "Play of the inner bushing", &leg.inner_bushing, out);
}

fn not_judged<T>(shop: &Shop, what: &str, answer: &Answer<T>, out: &mut Vec<String>) {
    let Some(why) = (match answer {
        Answer::Missing(keys) => Some(format!("not judged: {}", keys::missing(shop, keys))),
        other => other.not_judged(),
    }) else {
        return;
    };
    let sentence = format!("{what} {why}.");
    if !out.contains(&sentence) {
        out.push(sentence);
    }
}

fn newtons(force: &StoredForce) -> String {
    format!(
        "{:.0}\u{a0}N ({:.0}\u{a0}lbf, {:.0}\u{a0}kgf)",
        force.force.value, force.pounds_force, force.kilograms_force
    )
}

fn forces(derived: &Derived) -> Vec<String> {
    let mut out = Vec::new();
    for leg in &derived.legs {
        let tool = leg.tool_force.value().map(|force| {
            format!("Held {TOOL_STROKE_MM:.0}\u{a0}mm down, the spring pushes {}.", newtons(force))
        });
        let cap = leg
            .cap_force
            .value()
            .map(|force| format!("Behind the cap the spring pushes {}.", newtons(force)));
        for sentence in tool.into_iter().chain(cap) {
            // Legs that are alike push alike.
            if !out.contains(&sentence) {
                out.push(sentence);
            }
        }
    }
    out
}

fn lock(derived: &Derived) -> Vec<String> {
    let air = derived.legs.iter().filter_map(|leg| leg.air.value());
    let mut out: Vec<String> = air
        .map(|air| {
            format!(
                "Worked out for this fork: at a {} of {:.0}\u{a0}mm or less the warm leg stops on its oil before full travel.",
                air.word(),
                air.locks_at.value * 1000.0
            )
        })
        .collect();
    out.dedup();
    out
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
    let rows = leg.corrections.value()?;
    let row = |name: &str, amount: fn(&Correction) -> Option<f64>| {
        let cells = rows.iter().map(|row| match (row.correction, amount(&row.correction)) {
            (Correction::Nothing, _) => "right".to_owned(),
            (_, Some(volume)) => format!("{:.0}", volume * 1e6),
            (_, None) => "\u{2013}".to_owned(),
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
        format!("10\u{a0}°C warmer, the gap reads {:.1}\u{a0}mm {way}.", shift.abs())
    });
    let heads = rows.iter().map(|row| mm(row.reading.value, 1));
    Some(CardTable {
        title: "Correct the gap, each leg.".to_owned(),
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
    let row = |name: &str, only: Option<Way>| {
        let cells = off.iter().map(|(_, turns)| match only {
            Some(way) if way != turns.way => "\u{2013}".to_owned(),
            _ => eighths(turns.turns),
        });
        [name.to_owned()].into_iter().chain(cells).collect()
    };
    // The end is named, not "up": on many forks the rod's end points down.
    let rows = match nut.faces {
        Some(_) => vec![
            row("Turns towards the rod’s end", Some(Way::UpTheRod)),
            row("Turns away from the rod’s end", Some(Way::DownTheRod)),
        ],
        None => vec![row("Turns", None)],
    };
    let heads = off.iter().map(|(reading, _)| fixed(reading.value, 2));
    let way = if nut.faces.is_some() {
        " Towards the end is anticlockwise, looking at the rod’s end."
    } else {
        ""
    };
    Some(CardTable {
        title: "Turn the rod nut.".to_owned(),
        note: format!("One turn is {}\u{a0}mm.{way}", mm(nut.pitch.value, 2)),
        heads: ["Reads, mm".to_owned()].into_iter().chain(heads).collect(),
        rows,
    })
}

/// What is worked out for one number of a card: what warmth does to a gap, what a fill weighs. Where the legs
/// differ each is said; empty when nothing is worked out.
pub fn beside(fork: &CheckedFork, id: FieldId, field: &Field) -> String {
    let legs = &fork.derived.legs;
    let warm = legs.iter().map(|leg| {
        let warm = leg.warm_gap.value().filter(|_| OilSetBy::is_height(&field.key))?;
        let shift = warm.ten_degrees.value * 1000.0;
        let way = if shift < 0.0 { "less" } else { "more" };
        Some((format!("{:.1}", shift.abs()), format!("mm {way}")))
    });
    let weighs = legs.iter().map(|leg| {
        let fill = leg.fills.iter().find(|fill| fill.field == id)?;
        Some((format!("{:.0}", fill.weight.value()?.value * 1000.0), "g".to_owned()))
    });
    let figures = [("10\u{a0}°C warmer reads", on_legs(warm)), ("weighs", on_legs(weighs))];
    let figures = figures.into_iter().filter(|(_, text)| !text.is_empty());
    figures.map(|(what, text)| format!("{what} {text}")).collect::<Vec<_>>().join(", ")
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

/// Three readings on either side of the target; between them goes what a millimetre is worth.
fn gap_in_short(leg: &DerivedLeg) -> Option<CardTable> {
    let rows = leg.corrections.value()?;
    let middle = rows.iter().position(|row| matches!(row.correction, Correction::Nothing))?;
    let target = rows.get(middle)?.reading;
    let mut heads = vec!["Reads, mm".to_owned()];
    let mut cells = vec!["mL".to_owned()];
    let mut each = 0.0;
    let kept = |at: usize| at != middle && at.abs_diff(middle) % 2 == 0;
    for (_, row) in rows.iter().enumerate().filter(|(at, _)| kept(*at)) {
        let amount = row.correction.drawn().value.abs();
        each = amount / (row.reading - target).value.abs() * 1e3;
        heads.push(mm(row.reading.value, 1));
        cells.push(match row.correction {
            Correction::DrawOff(_) => format!("draw {:.0}", amount * 1e6),
            _ => format!("add {:.0}", amount * 1e6),
        });
    }
    let note = format!("{each:.1}\u{a0}mL for each mm");
    Some(CardTable { title: "Gap or level off".to_owned(), note, heads, rows: vec![cells] })
}

/// Quarter turns on either side of the target.
fn nut_in_short(leg: &DerivedLeg) -> Option<CardTable> {
    let nut = leg.nut.value()?;
    let mut heads = vec!["Reads".to_owned()];
    let mut cells = vec!["Turns".to_owned()];
    for (reading, turns) in &nut.readings {
        let count = (turns.turns * 8.0).round();
        if !(1.0..=6.0).contains(&count) || count % 2.0 != 0.0 {
            continue;
        }
        let way = match (nut.faces, turns.way) {
            (Some(_), Way::UpTheRod) => " to end",
            (Some(_), Way::DownTheRod) => " away",
            _ => "",
        };
        heads.push(fixed(reading.value, 2));
        cells.push(format!("{}{way}", eighths(turns.turns)));
    }
    // Not "up" and "down": on many forks the rod's end points down.
    let note = if nut.faces.is_some() {
        "to the rod’s end, or away from it"
    } else {
        "see which way brings it nearer"
    };
    Some(CardTable { title: "Rod nut off, mm".to_owned(), note: note.to_owned(), heads, rows: vec![cells] })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leg(figure: &str, unit: &str) -> Option<(String, String)> {
        Some((figure.to_owned(), unit.to_owned()))
    }

    #[test]
    fn what_differs_between_the_legs_says_which_is_which() {
        let text = on_legs([leg("3.8", "mm less"), leg("3.7", "mm less")].into_iter());
        assert_eq!(text, "L\u{a0}3.8, R\u{a0}3.7\u{a0}mm less");
        assert_eq!(on_legs([leg("371", "g"), leg("371", "g")].into_iter()), "371\u{a0}g");
        // One leg alone may hold the spring: the figure is that leg's.
        assert_eq!(on_legs([None, leg("371", "g")].into_iter()), "R\u{a0}371\u{a0}g");
        let text = on_legs([leg("0.1", "mm more"), leg("0.1", "mm less")].into_iter());
        assert_eq!(text, "L\u{a0}0.1\u{a0}mm more, R\u{a0}0.1\u{a0}mm less");
    }

    #[test]
    fn readings_of_a_rod_nut_have_the_same_decimals() {
        assert_eq!([0.013, 0.01288].map(|metres| fixed(metres, 2)), ["13.00", "12.88"]);
    }
}
