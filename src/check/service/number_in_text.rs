//! A number of a fork stands in its record, and a text brings it by a link: written out, it would stand on the card
//! of every fork that the text is for.

use std::collections::BTreeSet;

use crate::catalogue::{Catalogue, Field, Form, Owner, Role};
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Amount, Dimension, Kind, Quantity, amounts, every_reading};
use crate::record::{Constant, Text};
use crate::resolve::Shop;
use crate::syntax::Running;
use crate::text::Span;
use crate::words::lower_first;

/// What a fork has figures of, so that a text has none. Times, counts, grits and temperatures of tools are free.
const OF_A_FORK: [Dimension; 7] = [
    Dimension::Torque,
    Dimension::Pressure,
    Dimension::Volume,
    Dimension::Force,
    Dimension::SpringRate,
    Dimension::Viscosity,
    Dimension::Slope,
];

/// What is called by a length: a tool, a bolt, a hole. Such a length is no value of a fork.
const OF_A_TOOL: [&str; 14] = [
    "socket", "key", "wrench", "hex", "bolt", "thread", "hole", "drill", "driver", "bit", "hose", "tape",
    "brush", "spanner",
];

/// What is tightened goes to a torque, though no unit be written.
const TIGHTENING: [&str; 3] = ["tighten", "tightened", "torque"];

/// A text of the shop, with what its head says of its numbers.
struct Told<'s> {
    id: &'s Text,
    title: &'s str,
    running: &'s [Running],
    constants: &'s [Constant],
}

/// number-in-text, unused-constant: a number of a fork is linked, or marked as the same on every fork.
pub(crate) fn numbers(shop: &Shop, findings: &mut Vec<Finding>) {
    let names = Names::of(&shop.catalogue);
    let procedures = shop.procedures.iter().map(|procedure| Told {
        id: &procedure.id,
        title: &procedure.title,
        running: &procedure.body.running,
        constants: &procedure.constants,
    });
    let cautions = shop.cautions.iter().map(|caution| Told {
        id: &caution.id,
        title: &caution.title,
        running: &caution.body.running,
        constants: &caution.constants,
    });
    for told in procedures.chain(cautions) {
        of_text(&told, &names, findings);
    }
}

fn of_text(told: &Told<'_>, names: &Names, findings: &mut Vec<Finding>) {
    let marked: Vec<Option<Quantity>> = told.constants.iter().map(|mark| meant(mark, findings)).collect();
    let mut said = vec![false; marked.len()];
    let mut found = |text: &str, amount: &Amount, beside: &str, place: &dyn Fn() -> Span| {
        let is_marked = |n: &usize| marked[*n].as_ref().is_some_and(|constant| is(amount, constant));
        if let Some(n) = (0..marked.len()).find(is_marked) {
            said[n] = true;
        } else if let Some(field) = is_of_a_fork(text, amount, beside, names) {
            findings.push(finding(&text[amount.range.clone()], amount, field, place()));
        } else if let Some(constant) = turned_otherwise(told, &marked, amount) {
            findings.push(another(&text[amount.range.clone()], constant, place()));
        }
    };
    for amount in amounts(told.title) {
        found(told.title, &amount, told.title, &|| told.id.span);
    }
    for block in told.running {
        for amount in amounts(&block.text) {
            let (whole, amount) = with_column(block, amount);
            let beside = format!("{} {} {}", sentence(&whole, amount.range.start), block.column, block.row);
            let place = amount.range.start..amount.range.end.min(block.text.len());
            found(&whole, &amount, &beside, &|| block.span(place.clone()));
        }
    }
    for (mark, quantity) in
        told.constants.iter().zip(marked).zip(said).filter(|(_, said)| !said).map(|(m, _)| m)
    {
        if quantity.is_some() {
            findings.push(
                rules::UNUSED_CONSTANT
                    .at(
                        mark.value.span,
                        format!("the text of `{}` nowhere says {}", told.id.text, mark.value.text),
                    )
                    .bench("whoever reads the head believes that the text is checked for this number")
                    .instead("write the number that the text says, or take the mark away"),
            );
        }
    }
}

/// The marked number that something is turned by, where a text says another one.
fn turned_otherwise<'s>(
    told: &Told<'s>,
    marked: &[Option<Quantity>],
    amount: &Amount,
) -> Option<&'s Constant> {
    let turned = amount.units.iter().any(|unit| unit.dimension == Dimension::Turns);
    let is_turns =
        |mark: &Option<Quantity>| mark.as_ref().is_some_and(|mark| mark.dimension() == Dimension::Turns);
    let at = marked.iter().position(is_turns).filter(|_| turned)?;
    told.constants.get(at)
}

/// The finding of a number that is not the one its head marks.
fn another(written: &str, constant: &Constant, span: Span) -> Finding {
    rules::NUMBER_IN_TEXT
        .at(
            span,
            format!(
                "`{written}` stands in the text, and its head marks {} as what is right on every fork",
                constant.value.text
            ),
        )
        .bench("whoever reads this line turns it further, or less far, than is meant")
        .instead(
            "write the marked number; where both are right, mark this one too: `constants: [{value: … turns, reason: \"…\"}]`",
        )
}

/// What a mark means; nothing where it cannot be read, which is told.
fn meant(mark: &Constant, findings: &mut Vec<Finding>) -> Option<Quantity> {
    let (span, written) = (mark.value.span, mark.value.text.as_str());
    if mark.reason.trim().is_empty() {
        findings.push(
            rules::NUMBER_IN_TEXT
                .at(span, format!("{written} is marked as the same on every fork, and nothing says why"))
                .bench("nobody can tell a number that holds everywhere from one that was copied from a fork")
                .instead("write the reason behind it: `reason: \"…\"`"),
        );
    }
    match every_reading(written) {
        Ok(readings) if readings.len() == 1 => readings.into_iter().next(),
        Ok(readings) => {
            findings.push(ambiguous(
                written,
                &symbols(readings.iter().map(|reading| reading.unit().symbol)),
                span,
            ));
            None
        }
        Err(trouble) => {
            findings.push(
                trouble
                    .rule
                    .graded(trouble.severity, span, trouble.message)
                    .bench(trouble.bench)
                    .instead(trouble.instead),
            );
            None
        }
    }
}

/// Whether a number of a text is a marked one: the same figure, or an end of the same range.
fn is(amount: &Amount, constant: &Quantity) -> bool {
    let [unit] = amount.units.as_slice() else { return false };
    let same = |number: &f64| {
        let said = unit.to_si(*number);
        let ends = [constant.middle_si(), constant.least_si(), constant.greatest_si()];
        ends.iter().any(|end| (end - said).abs() <= 1e-9 * said.abs().max(1e-9))
    };
    unit.dimension == constant.dimension() && amount.numbers.iter().all(same)
}

/// A number in a cell whose unit stands at the head of its column: the cell with the unit behind it.
fn with_column(block: &Running, amount: Amount) -> (String, Amount) {
    let lone = amount.units.is_empty() && block.text.trim() == &block.text[amount.range.clone()];
    for (at, _) in block.column.char_indices().filter(|_| lone) {
        let unit = block.column[at..].trim_matches(|c: char| c.is_whitespace() || "()[],".contains(c));
        let before = block.column[..at].chars().next_back();
        if before.is_some_and(char::is_alphanumeric) {
            continue;
        }
        let whole = format!("{} {unit}", block.text.trim_end());
        let found = amounts(&whole).into_iter().find(|found| !found.units.is_empty());
        if let Some(found) = found.filter(|found| found.range.end == whole.len()) {
            return (whole, found);
        }
    }
    (block.text.clone(), amount)
}

/// The sentence in which a byte stands.
fn sentence(text: &str, at: usize) -> &str {
    let ends =
        || [". ", "! ", "? ", ": "].into_iter().flat_map(|end| text.match_indices(end)).map(|(n, _)| n + 1);
    let from = ends().filter(|end| *end <= at).max().unwrap_or(0);
    let to = ends().filter(|end| *end > at).min().unwrap_or(text.len());
    &text[from..to]
}

/// Whether a number is one of a fork, with the field whose name stands beside it where there is one.
fn is_of_a_fork<'n>(text: &str, amount: &Amount, beside: &str, names: &'n Names) -> Option<Option<&'n str>> {
    let speaks = words(beside);
    let named = |dimension| names.in_words(&speaks, dimension);
    let Some(first) = amount.units.first() else {
        // `Tighten to 22.`
        let ends = text[amount.range.end..].trim_start().chars().next().is_none_or(|c| ".,;)".contains(c));
        let tightens = ends && speaks.iter().any(|word| TIGHTENING.contains(&word.as_str()));
        let before = words(&text[..amount.range.start]);
        return (tightens && before.last().is_some_and(|word| word == "to" || word == "at"))
            .then(|| named(Dimension::Torque));
    };
    let dimension = first.dimension;
    if first.symbol == "St" {
        return None;
    }
    if dimension == Dimension::Length && amount.units.len() == 1 {
        let behind = words(&text[amount.range.end..]);
        let of_a_tool = behind.iter().take(2).any(|word| OF_A_TOOL.contains(&word.as_str()));
        // `10 in the box`: a word, not an inch.
        let whole = amount.numbers.iter().all(|number| number.fract() == 0.0);
        let goes_on =
            behind.first().is_some_and(|word| !["or", "from", "below", "above"].contains(&word.as_str()));
        let a_word = whole && goes_on && text[amount.range.clone()].ends_with(" in");
        return named(dimension).filter(|_| !of_a_tool && !a_word).map(Some);
    }
    // A weight is no value of a leg; what is tightened or pumped to one is meant as something else.
    let weighs = dimension == Dimension::Mass || amount.units.iter().any(|unit| unit.symbol == "kg");
    let works = speaks.iter().any(|word| TIGHTENING.contains(&word.as_str()) || word.starts_with("pressur"));
    let of_a_fork = amount.units.iter().any(|unit| OF_A_FORK.contains(&unit.dimension));
    (of_a_fork && (!weighs || works)).then(|| named(dimension))
}

/// The words of a text in small letters, without the sign of a plural.
fn words(text: &str) -> Vec<String> {
    let parts = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    parts.map(|word| singular(&word.to_lowercase())).collect()
}

fn singular(word: &str) -> String {
    let stem = word.strip_suffix('s').filter(|stem| stem.len() > 2 && !stem.ends_with('s'));
    stem.unwrap_or(word).to_owned()
}

/// What the catalogue calls its fields, as words.
struct Names(Vec<(Vec<String>, Vec<Dimension>, String)>);

impl Names {
    fn of(catalogue: &Catalogue) -> Names {
        let mut names = BTreeSet::new();
        for (_, field) in catalogue.of(Owner::Fork) {
            let dimensions = dimensions(field);
            for name in called(field).into_iter().filter(|name| !name.is_empty() && !dimensions.is_empty()) {
                names.insert((name, dimensions.clone(), field.key.clone()));
            }
        }
        // Of two names that both stand there, the longer says more.
        let mut names: Vec<_> = names.into_iter().collect();
        names.sort_by_key(|(name, _, _)| std::cmp::Reverse(name.len()));
        Names(names)
    }

    /// The key of the field of this dimension whose name stands in the words.
    fn in_words(&self, speaks: &[String], dimension: Dimension) -> Option<&str> {
        let fits = |name: &[String]| speaks.windows(name.len()).any(|window| window == name);
        let found = self.0.iter().find(|(name, of, _)| of.contains(&dimension) && fits(name));
        found.map(|(_, _, key)| key.as_str())
    }
}

/// What a field's figures are of: a size is of lengths.
fn dimensions(field: &Field) -> Vec<Dimension> {
    match field.kind {
        Kind::Size(_) => vec![Dimension::Length],
        _ => field.kind.dimensions().to_vec(),
    }
}

/// What a field is called: its title, its short name, and the last word of what is set, as in `gap` and `level`; not where
/// that word only says what is measured, as in `pressure`.
fn called(field: &Field) -> Vec<Vec<String>> {
    let title = words(field.title.split(',').next().unwrap_or(""));
    let short = words(&field.short);
    let set = field.form == Form::Target && field.role == Role::Set;
    let last = short.last().filter(|word| set && **word != field.kind_name).map(|word| vec![word.clone()]);
    [title, short].into_iter().chain(last).collect()
}

fn symbols<'a>(units: impl Iterator<Item = &'a str>) -> String {
    units.map(|symbol| format!("`{symbol}`")).collect::<Vec<_>>().join(", ")
}

fn ambiguous(written: &str, units: &str, span: Span) -> Finding {
    rules::AMBIGUOUS_UNIT
        .at(span, format!("`{written}` can mean several units: {units}"))
        .bench("a number that may mean two things is set wrong by one of two readers")
        .instead("link to the value of the fork, or write the one unit that is meant")
}

fn finding(written: &str, amount: &Amount, field: Option<&str>, span: Span) -> Finding {
    if amount.units.len() > 1 {
        return ambiguous(written, &symbols(amount.units.iter().map(|unit| unit.symbol)), span);
    }
    let group = match amount.units.first().map(|unit| unit.dimension) {
        None | Some(Dimension::Torque) => "torque",
        Some(Dimension::Pressure | Dimension::Force) => "air",
        Some(Dimension::SpringRate) => "spring",
        _ => "oil",
    };
    let target = field.map_or_else(|| format!("{group}.…"), str::to_owned);
    let mark = match amount.units.is_empty() {
        true => String::new(),
        false => format!(
            "; if it is the same on every fork, say so in the head: `constants: [{{value: {}, reason: \"…\"}}]`",
            lower_first(written)
        ),
    };
    rules::NUMBER_IN_TEXT
        .at(span, format!("`{written}` is written into the text, and links to no value"))
        .bench("every fork that this is for gets this number, whatever its own sheet says")
        .instead(format!("link to the value, `[…](spec:{target})`{mark}"))
}
