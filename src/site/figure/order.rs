//! The order of a service as a chart: a row for each condition, a column for each procedure, a bar for as
//! long as the condition holds.
//!
//! It is a table, so that every state is read and found as text, with SVG in it: the procedures' names
//! above, and the bars. The state's own column stays in view where a narrow screen has to be scrolled.

use std::fmt::Write;

use crate::book::gaps::GAP;
use crate::drawing::c;
use crate::plan::{Effect, Life, Plan, Slot, Vocabulary, Walk, legs_word};
use crate::words::escape;

/// The width of a procedure's column in the drawing's units; letters are 9 high.
const COLUMN: f64 = 12.0;
/// The mean width of a letter of the names above, over its height.
const LETTER: f64 = 0.54;
/// The height of those letters.
const SIZE: f64 = 9.0;

/// A row: what holds, on which leg, its lives in order.
struct Row<'v> {
    says: &'v str,
    leg: &'static str,
    lives: Vec<Life>,
    slots: Vec<Slot>,
}

/// The chart as a finished HTML table; empty where no condition ever holds. Its ids have a gap, so that several charts
/// can stand on a page.
pub fn order(vocabulary: &Vocabulary<'_>, plan: &Plan<'_>, effects: &[Effect], walk: &Walk) -> String {
    let rows = rows(vocabulary, walk);
    let n = plan.items.len();
    if rows.is_empty() || n == 0 {
        return String::new();
    }
    let mut out = String::with_capacity(rows.len() * 220 + n * 90 + 600);
    out.push_str(
        "<table class=\"life\"><thead><tr><th scope=\"col\">State</th><th scope=\"col\">From–to</th><td>",
    );
    head(plan, &mut out);
    out.push_str("</td></tr></thead><tbody>");
    for row in &rows {
        out.push_str("<tr><th scope=\"row\">");
        out.push_str(&escape(row.says));
        if !row.leg.is_empty() {
            let _ = write!(out, " <b>{}</b>", row.leg);
        }
        let spans: Vec<String> = row.lives.iter().map(from_to).collect();
        let _ = write!(
            out,
            "</th><td>{}</td><td><svg viewBox=\"0 0 {n} 1\" preserveAspectRatio=\"none\" aria-hidden=\"true\"><use href=\"#ord{GAP}-g\"/><path d=\"",
            spans.join(", ")
        );
        for life in &row.lives {
            let middle = |at: usize| at as f64 + 0.5;
            let (from, to) = (life.from.map_or(0.0, middle), life.to.map_or(n as f64, middle));
            let _ = write!(out, "M{} .5H{}", c(from), c(to));
        }
        out.push_str("\"/>");
        let needed = effects
            .iter()
            .enumerate()
            .filter(|(_, effect)| row.slots.iter().any(|slot| effect.needs.has(*slot)))
            .fold(String::new(), |path, (at, _)| format!("{path}M{at}.5 .3v.4"));
        if !needed.is_empty() {
            let _ = write!(out, "<path d=\"{needed}\"/>");
        }
        out.push_str("</svg></td></tr>");
    }
    out.push_str("</tbody></table>");
    out
}

/// The numbers and names of the procedures, read from below, and the lines between the parts of the job,
/// which every row repeats.
fn head(plan: &Plan<'_>, out: &mut String) {
    let n = plan.items.len();
    let longest = plan.items.iter().map(|item| item.procedure.title.chars().count()).max().unwrap_or(0);
    let height = (longest as f64 * SIZE * LETTER + 22.0).ceil();
    let _ = write!(
        out,
        "<svg class=\"names\" viewBox=\"0 0 {} {}\" role=\"img\" aria-labelledby=\"ord{GAP}-t ord{GAP}-d\"><title id=\"ord{GAP}-t\">The procedures in order</title><desc id=\"ord{GAP}-d\">Procedures 1 to {n} from left to right, numbered as on the page to work from.</desc><defs><path class=\"bounds\" id=\"ord{GAP}-g\" d=\"",
        c(n as f64 * COLUMN),
        c(height)
    );
    let mut parts: Vec<usize> = Vec::new();
    for (at, pair) in plan.items.windows(2).enumerate() {
        if pair[0].procedure.phase != pair[1].procedure.phase {
            parts.push(at + 1);
            // Filled, not stroked: a stroke that keeps its width when the row is stretched is lost where it is used.
            let _ = write!(out, "M{} 0h.05v1h-.05z", at + 1);
        }
    }
    out.push_str("\"/></defs><path class=\"parts\" d=\"");
    for at in parts {
        let _ = write!(out, "M{} 0v{}", c(at as f64 * COLUMN), c(height));
    }
    out.push_str("\"/>");
    for (at, item) in plan.items.iter().enumerate() {
        let x = at as f64 * COLUMN + COLUMN / 2.0;
        let _ = write!(
            out,
            "<text x=\"{0}\" y=\"{1}\">{2}</text><text transform=\"translate({3} {4}) rotate(-90)\">{5}</text>",
            c(x),
            c(height - 4.0),
            at + 1,
            c(x + SIZE * 0.35),
            c(height - 17.0),
            escape(&item.procedure.title)
        );
    }
    out.push_str("</svg>");
}

/// `12–29`, counted in procedures from 1; what holds at the start or at hand-back says so.
fn from_to(life: &Life) -> String {
    let from = life.from.map_or_else(|| "start".to_owned(), |at| (at + 1).to_string());
    let to = life.to.map_or_else(|| "end".to_owned(), |at| (at + 1).to_string());
    // Word joiners keep it on one line.
    format!("{from}\u{2060}–\u{2060}{to}")
}

/// The rows in the order in which they begin: one for both legs where these agree, else one for each.
fn rows<'v>(vocabulary: &Vocabulary<'v>, walk: &Walk) -> Vec<Row<'v>> {
    let mut by_slot: Vec<Vec<Life>> = vec![Vec::new(); vocabulary.size()];
    walk.lives.iter().for_each(|life| by_slot[life.slot].push(*life));
    let spans = |lives: &[Life]| -> Vec<_> { lives.iter().map(|life| (life.from, life.to)).collect() };
    let mut out: Vec<Row<'v>> = Vec::new();
    for at in 0..vocabulary.conditions.len() {
        let [left, right] = [at * 2, at * 2 + 1];
        let condition = vocabulary.condition(left);
        let mut add = |slots: Vec<Slot>, lives: &[Life], leg: &'static str| {
            if !lives.is_empty() {
                out.push(Row { says: &condition.says, leg, lives: lives.to_vec(), slots });
            }
        };
        if vocabulary.side(left).is_none() || spans(&by_slot[left]) == spans(&by_slot[right]) {
            add(vec![left, right], &by_slot[left], "");
        } else {
            add(vec![left], &by_slot[left], legs_word([true, false]));
            add(vec![right], &by_slot[right], legs_word([false, true]));
        }
    }
    out.sort_by_key(|row| row.lives.first().map(|life| life.from));
    out
}
