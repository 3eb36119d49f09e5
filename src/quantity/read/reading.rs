//! One reading of a value: a number, its tolerance or range, and its unit.

use super::cursor::{Cursor, starts_with_word};
use super::unit::resolve;
use crate::quantity::field::Context;
use crate::quantity::refuse;
use crate::quantity::trouble::Trouble;
use crate::quantity::units::{Dimension, Unit};
use crate::quantity::value::{Decimal, Saying, Shape};
use std::ops::Range;

#[derive(Clone, Copy, PartialEq, Eq)]
enum Limit {
    Most,
    Least,
}

/// What stands after the first number.
enum Tail {
    Nothing,
    To(Decimal),
    PlusMinus(Decimal),
    Limits(Decimal, Decimal),
}

/// Reads one reading; the cursor stands behind it afterwards.
pub(super) fn reading(cursor: &mut Cursor<'_>, context: Context<'_>) -> Result<Saying, Trouble> {
    let start = cursor.at;
    let mut limit = limit_before(cursor);
    cursor.blank();
    let first_at = cursor.at;
    let Some(first) = cursor.number()? else {
        return Err(refuse::no_number(cursor.text, start, context));
    };
    let first_end = cursor.at;
    let first_unit = unit_span(cursor);
    cursor.blank();
    let tail_at = cursor.at;
    let tail = tail(cursor, context)?;
    let tail_end = cursor.at;
    let mut unit_range = first_unit.clone();
    let mut tail_unit = None;
    if !matches!(tail, Tail::Nothing) {
        tail_unit = unit_span(cursor);
        unit_range = unit_range.or_else(|| tail_unit.clone());
    }
    limit = limit.or_else(|| limit_after(cursor));
    let end = start + cursor.text[start..cursor.at].trim_end().len();
    let text = &cursor.text[start..end];
    let Some(unit_range) = unit_range else {
        return Err(refuse::bare_number(cursor.text, start..end, &first, context));
    };
    let unit = resolve(cursor, unit_range.clone(), &first, context)?;
    if let (Some(_), Some(second)) = (&first_unit, tail_unit) {
        let written = &cursor.text[second.clone()];
        if written == "%" && unit.dimension != Dimension::Ratio {
            return Err(refuse::percent_tolerance(cursor.text, second, &first, &tail_number(&tail), unit));
        }
        let other = resolve(cursor, second.clone(), &first, context)?;
        if !std::ptr::eq(other, unit) {
            return Err(refuse::two_units(cursor.text, start..end, unit, other));
        }
    }
    let first_range = first_at..first_end;
    if unit.dimension == Dimension::Distance && thousands(&cursor.text[first_range.clone()]) {
        return Err(refuse::thousands_point(cursor.text, first_range, unit));
    }
    if first.is_negative() && !unit.dimension.may_be_negative() {
        return Err(refuse::negative(cursor.text, first_range, &first, unit, context));
    }
    let place = Place { reading: start..end, tail: tail_at..tail_end };
    let shape = shape(cursor.text, &place, first, tail, limit, unit)?;
    let saying = Saying { text: text.to_owned(), shape, unit };
    if saying.dimension() == Dimension::Temperature && saying.least_si() < 0.0 {
        return Err(refuse::below_absolute_zero(cursor.text, start..end));
    }
    if saying.dimension() == Dimension::Clicks && !whole(&saying.shape) {
        return Err(refuse::half_click(cursor.text, start..end));
    }
    Ok(saying)
}

/// Where a reading stands, and its tolerance or range in it.
struct Place {
    reading: Range<usize>,
    tail: Range<usize>,
}

/// The number with its limit, tolerance or range, where they make sense together.
fn shape(
    text: &str,
    place: &Place,
    first: Decimal,
    tail: Tail,
    limit: Option<Limit>,
    unit: &'static Unit,
) -> Result<Shape, Trouble> {
    let reading = place.reading.clone();
    match (tail, limit) {
        (Tail::Nothing, None) => Ok(Shape::Exact(first)),
        (Tail::Nothing, Some(Limit::Most)) => Ok(Shape::AtMost(first)),
        (Tail::Nothing, Some(Limit::Least)) => Ok(Shape::AtLeast(first)),
        (_, Some(_)) => Err(refuse::limit_and_tolerance(text, reading)),
        (Tail::To(to), None) => {
            if first.rational() >= to.rational() {
                return Err(refuse::range(text, reading, &first, &to, unit));
            }
            Ok(Shape::Range { from: first, to })
        }
        (Tail::PlusMinus(tolerance), None) => {
            let wide = tolerance.rational() >= first.rational()
                && !first.is_zero()
                && !unit.dimension.may_be_negative();
            if tolerance.is_negative() || tolerance.is_zero() || wide {
                return Err(refuse::tolerance(text, place.tail.clone(), &first, &tolerance, unit));
            }
            Ok(Shape::PlusMinus { middle: first, tolerance })
        }
        (Tail::Limits(upper, lower), None) => {
            let below = (first.rational() + lower.rational()) < num_traits::Zero::zero();
            if upper.rational() <= lower.rational() || (below && !unit.dimension.may_be_negative()) {
                return Err(refuse::limits(text, place.tail.clone(), &first, &upper, &lower, unit));
            }
            Ok(Shape::Limits { middle: first, upper, lower })
        }
    }
}

/// `20.000`: nobody says a distance ridden to the metre, and half the world parts thousands with a point.
fn thousands(number: &str) -> bool {
    number.split_once('.').is_some_and(|(before, after)| {
        let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        (1..=3).contains(&before.len())
            && after.len() == 3
            && digits(before)
            && digits(after)
            && before != "0"
    })
}

fn whole(shape: &Shape) -> bool {
    match shape {
        Shape::Exact(n) | Shape::AtMost(n) | Shape::AtLeast(n) => n.is_whole(),
        Shape::PlusMinus { middle, tolerance } => middle.is_whole() && tolerance.is_whole(),
        Shape::Limits { middle, upper, lower } => middle.is_whole() && upper.is_whole() && lower.is_whole(),
        Shape::Range { from, to } => from.is_whole() && to.is_whole(),
    }
}

fn tail_number(tail: &Tail) -> Decimal {
    match tail {
        Tail::PlusMinus(number) | Tail::To(number) | Tail::Limits(number, _) => number.clone(),
        // The caller has seen a number in the tail.
        Tail::Nothing => Decimal::ZERO,
    }
}

fn limit_before(cursor: &mut Cursor<'_>) -> Option<Limit> {
    let start = cursor.at;
    for (mark, limit, near) in [
        ("≤", Limit::Most, false),
        ("<=", Limit::Most, false),
        ("≥", Limit::Least, false),
        (">=", Limit::Least, false),
        ("=<", Limit::Most, true),
        ("=>", Limit::Least, true),
        ("⩽", Limit::Most, true),
        ("⩾", Limit::Least, true),
        ("<", Limit::Most, true),
        (">", Limit::Least, true),
    ] {
        if cursor.eat(mark) {
            if near {
                cursor.near_since(start);
            }
            return Some(limit);
        }
    }
    for (word, limit) in [
        ("max", Limit::Most),
        ("up to", Limit::Most),
        ("at most", Limit::Most),
        ("min", Limit::Least),
        ("at least", Limit::Least),
    ] {
        if cursor.eat_word(word) {
            cursor.eat(".");
            cursor.near_since(start);
            return Some(limit);
        }
    }
    None
}

fn limit_after(cursor: &mut Cursor<'_>) -> Option<Limit> {
    let start = cursor.at;
    cursor.blank();
    let from = cursor.at;
    for (word, limit) in [("max", Limit::Most), ("min", Limit::Least)] {
        if cursor.eat_word(word) {
            cursor.eat(".");
            cursor.near_since(from);
            return Some(limit);
        }
    }
    cursor.at = start;
    None
}

fn tail(cursor: &mut Cursor<'_>, context: Context<'_>) -> Result<Tail, Trouble> {
    let start = cursor.at;
    for (mark, near) in
        [("±", false), ("+/-", false), ("+/−", false), ("+-", true), ("+−", true), ("-/+", true)]
    {
        if cursor.eat(mark) {
            if near {
                cursor.near_since(start);
            }
            cursor.blank();
            let number = cursor.number()?;
            return number
                .map(Tail::PlusMinus)
                .ok_or_else(|| refuse::half_written(cursor.text, start..cursor.at));
        }
    }
    if let Some(limits) = limits(cursor)? {
        return Ok(limits);
    }
    if range_mark(cursor, context) {
        cursor.blank();
        let number = cursor.number()?;
        return number.map(Tail::To).ok_or_else(|| refuse::half_written(cursor.text, start..cursor.at));
    }
    Ok(Tail::Nothing)
}

fn range_mark(cursor: &mut Cursor<'_>, context: Context<'_>) -> bool {
    let start = cursor.at;
    if cursor.eat("..") {
        if cursor.eat(".") {
            cursor.near_since(start);
        }
        return true;
    }
    let near = ["–", "—", "…", "-", "−", "~"].iter().any(|mark| cursor.eat(mark))
        || (!context.sections && cursor.eat_word("to"));
    if near {
        cursor.near_since(start);
    }
    near
}

/// `+0.03/-0`, `-0/+0.03`, `-0.02/-0.05`, `+0.03 -0`.
fn limits(cursor: &mut Cursor<'_>) -> Result<Option<Tail>, Trouble> {
    let start = cursor.at;
    if !cursor.rest().starts_with(['+', '-', '−']) {
        return Ok(None);
    }
    let plus = cursor.rest().starts_with('+');
    let first = cursor.number()?;
    let Some(first) = first else { return Ok(None) };
    let after = cursor.at;
    let blank = cursor.blank();
    let slash = cursor.eat("/");
    cursor.blank();
    let signed = cursor.rest().starts_with(['+', '-', '−']);
    // `47 mm -0.1`: without a second sign it is a range, or half of a pair of limits.
    if !signed || !(slash || (blank && plus)) {
        if plus {
            return Err(refuse::half_limits(cursor.text, start..after));
        }
        cursor.at = start;
        return Ok(None);
    }
    let Some(second) = cursor.number()? else { return Ok(None) };
    if !slash {
        cursor.near_since(start);
    }
    // `-0/+0.03` says the least first.
    if plus || first.rational() > second.rational() {
        Ok(Some(Tail::Limits(first, second)))
    } else {
        Ok(Some(Tail::Limits(second, first)))
    }
}

/// The bytes of what stands here as a unit; the cursor stands behind it afterwards.
fn unit_span(cursor: &mut Cursor<'_>) -> Option<Range<usize>> {
    let before = cursor.at;
    cursor.blank();
    let start = cursor.at;
    let rest = cursor.rest();
    let mut end = rest.len();
    let mut last_blank = true;
    for (at, c) in rest.char_indices() {
        let after = &rest[at + c.len_utf8()..];
        let stop = match c {
            '(' | ')' | ',' | ';' | '±' | '=' | '…' | '–' | '—' | '~' | '<' | '>' | '≤' | '≥' | '+' => {
                true
            }
            '.' => after.starts_with('.'),
            '-' | '−' | '/' => number_follows(after),
            _ if last_blank && c.is_ascii_digit() => true,
            _ if last_blank => {
                let word = &rest[at..];
                starts_with_word(word, "to")
                    || starts_with_word(word, "max")
                    || (at > 0 && starts_with_word(word, "min"))
            }
            _ => false,
        };
        if stop {
            end = at;
            break;
        }
        last_blank = c.is_whitespace();
    }
    let unit = rest[..end].trim_end();
    if unit.is_empty() {
        cursor.at = before;
        return None;
    }
    cursor.at = start + unit.len();
    Some(start..cursor.at)
}

fn number_follows(text: &str) -> bool {
    let text = text.trim_start().trim_start_matches(['+', '-', '−']).trim_start();
    let text = text.strip_prefix('.').unwrap_or(text);
    text.starts_with(|c: char| c.is_ascii_digit())
}
