//! What a calculation says: lines with their numbers, and what they assume; or why there is none.

use std::fmt;

use crate::bench::OutOfRange;
use crate::book::sign::{SIGN, signed};
use crate::quantity::Trouble;
use serde_json::{Value as Json, json};

/// Why there is no result, in a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal(pub String);

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<OutOfRange> for Refusal {
    fn from(why: OutOfRange) -> Self {
        Refusal(why.to_string())
    }
}

/// How wide what is printed may be.
const WIDTH: usize = 80;

/// Text in lines of no more than this; no word is broken, so that an id can be copied.
fn wrapped(text: &str, wide: usize, first: &str, rest: &str) -> String {
    let options = textwrap::Options::new(wide)
        .initial_indent(first)
        .subsequent_indent(rest)
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    textwrap::fill(text, options)
}

impl Refusal {
    /// The sentences, each begun on a line of its own, wrapped; `before` is how much of each line is taken.
    pub fn lines(&self, before: usize) -> String {
        let width = WIDTH.saturating_sub(before);
        let indent = format!("\n{}", " ".repeat(before));
        let sentences = self.0.lines().map(|line| wrapped(line.trim(), width, "", ""));
        sentences.collect::<Vec<_>>().join("\n").replace('\n', &indent)
    }

    /// From what is wrong with a written value.
    pub(crate) fn from_trouble(trouble: &Trouble) -> Refusal {
        Refusal(if trouble.instead.is_empty() {
            trouble.message.clone()
        } else {
            format!("{}; {}", trouble.message, trouble.instead)
        })
    }
}

/// A unit to say a result in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Show {
    /// Its symbol; empty for a bare number.
    pub unit: &'static str,
    /// How many SI units it holds.
    pub factor: f64,
    /// Digits after the point.
    pub decimals: usize,
    /// The second unit, if the trade has one: symbol, SI units, digits.
    pub second: Option<(&'static str, f64, usize)>,
}

const fn show(unit: &'static str, factor: f64, decimals: usize) -> Show {
    Show { unit, factor, decimals, second: None }
}

const fn twice(unit: &'static str, factor: f64, decimals: usize, second: (&'static str, f64, usize)) -> Show {
    Show { unit, factor, decimals, second: Some(second) }
}

/// Lengths, to a tenth.
pub const MM: Show = twice("mm", 1e-3, 1, ("in", 0.0254, 2));
/// Lengths, to a hundredth.
pub const MM_FINE: Show = twice("mm", 1e-3, 2, ("in", 0.0254, 4));
/// Limits of size.
pub const MM_FIT: Show = show("mm", 1e-3, 4);
/// Volumes.
pub const ML: Show = twice("mL", 1e-6, 1, ("US fl oz", 29.573_529_562_5e-6, 2));
/// Weights of a fill.
pub const GRAM: Show = show("g", 1e-3, 1);
/// Forces.
pub const NEWTON: Show = twice("N", 1.0, 0, ("lbf", 4.448_221_615_260_5, 0));
/// Torques.
pub const NM: Show = twice("N·m", 1.0, 1, ("lbf·ft", 1.355_817_948_331_400_4, 1));
/// Pressures.
pub const KPA: Show = twice("kPa", 1e3, 0, ("psi", 6_894.757_293_168_361, 1));
/// Spring rates.
pub const RATE: Show = twice("N/mm", 1e3, 2, ("lbf/in", 175.126_835_246_476_2, 1));
/// Viscosities.
pub const VISCOSITY: Show = show("mm²/s", 1e-6, 2);
/// Ring areas.
pub const SLOPE: Show = show("mL/mm", 1e-3, 3);
/// A bare number to two digits after the point.
pub const PLAIN: Show = show("", 1.0, 2);
/// A whole number.
pub const WHOLE: Show = show("", 1.0, 0);
/// Shares.
pub const PERCENT: Show = show("%", 0.01, 1);

/// One line of a result.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Its name for scripts: lower case with underscores.
    pub name: &'static str,
    /// What it is, in words.
    pub label: String,
    /// What a person reads.
    pub text: String,
    /// The number in its unit, for a numeric line.
    pub number: Option<(f64, &'static str)>,
}

/// A result.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sheet {
    /// The lines in order.
    pub lines: Vec<Line>,
    /// What they assume, a sentence each.
    pub assumptions: Vec<String>,
    /// The keys of a fork's record they rest on, which are its family's, and which nobody compared with a sheet of
    /// this very fork: each number carries the sign.
    pub taken_over: Vec<String>,
    /// The keys of a fork's record they rest on that are nothing better than an estimate.
    pub estimates: Vec<String>,
}

impl Sheet {
    /// A line with a number.
    pub(crate) fn number(&mut self, name: &'static str, label: impl Into<String>, si: f64, unit: Show) {
        let value = si / unit.factor;
        let mut text = with_unit(value, unit.decimals, unit.unit);
        if let Some((symbol, factor, decimals)) = unit.second {
            text.push_str(&format!(" ({})", with_unit(si / factor, decimals, symbol)));
        }
        self.lines.push(Line { name, label: label.into(), text, number: Some((value, unit.unit)) });
    }

    /// A line in words.
    pub(crate) fn words(&mut self, name: &'static str, label: impl Into<String>, text: impl Into<String>) {
        self.lines.push(Line { name, label: label.into(), text: text.into(), number: None });
    }

    /// What the result assumes.
    pub(crate) fn assume(&mut self, text: impl Into<String>) {
        let text = text.into();
        if !self.assumptions.contains(&text) {
            self.assumptions.push(text);
        }
    }

    /// The sheet for a person: labels, then values in one column.
    pub(crate) fn text(&self) -> String {
        let wide = self.lines.iter().map(|line| line.label.chars().count()).max().unwrap_or(0);
        let mut out = String::new();
        let under = " ".repeat(wide + 2);
        for line in &self.lines {
            let text = signed(&line.text, line.number.is_some() && !self.taken_over.is_empty());
            let first = format!("{:<wide$}  ", line.label);
            out.push_str(&wrapped(&text, WIDTH, &first, &under));
            out.push('\n');
        }
        for sentence in self.rests_on() {
            out.push_str(&wrapped(&sentence, WIDTH, "", "  "));
            out.push('\n');
        }
        for text in &self.assumptions {
            // What was left out is no assumption.
            let sentence = match text.strip_prefix("left out: ") {
                Some(rest) => format!("Left out: {rest}."),
                None => format!("Assumed: {text}."),
            };
            out.push_str(&wrapped(&sentence, WIDTH, "", "  "));
            out.push('\n');
        }
        out
    }

    /// What the numbers rest on that is not this fork's own, or not known well: a sentence each.
    fn rests_on(&self) -> Vec<String> {
        let named = |keys: &[String]| keys.join(", ");
        let mut out = Vec::new();
        if !self.taken_over.is_empty() {
            out.push(format!(
                "{SIGN} Rests on the family's {}: compared with no sheet of this fork.",
                named(&self.taken_over)
            ));
        }
        if !self.estimates.is_empty() {
            out.push(format!("ESTIMATE: rests on {}.", named(&self.estimates)));
        }
        out
    }

    /// The sheet for a script.
    pub(crate) fn json(&self) -> Json {
        let lines: Vec<Json> = self
            .lines
            .iter()
            .map(|line| match line.number {
                Some((value, unit)) => json!({
                    "name": line.name, "label": line.label, "text": line.text, "value": value, "unit": unit,
                }),
                None => json!({"name": line.name, "label": line.label, "text": line.text}),
            })
            .collect();
        json!({
            "results": lines, "assumptions": self.assumptions,
            "not_compared": self.taken_over, "estimates": self.estimates,
        })
    }
}

fn with_unit(value: f64, decimals: usize, unit: &str) -> String {
    let mut number = format!("{value:.decimals$}");
    // A rounded nothing has no sign.
    if number.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        number = number.trim_start_matches('-').to_owned();
    }
    let number = number.replace('-', "−");
    if unit.is_empty() { number } else { format!("{number} {unit}") }
}
