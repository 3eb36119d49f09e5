//! A whole quantity: its readings, which must agree, and quantities in stretches.

use super::cursor::Cursor;
use super::plain;
use super::reading::reading;
use crate::diagnostic::rules;
use crate::quantity::agree;
use crate::quantity::field::{Context, FieldSpec, Kind, free};
use crate::quantity::refuse;
use crate::quantity::trouble::{Outcome, Trouble};
use crate::quantity::units::Dimension;
use crate::quantity::value::{Quantity, Saying, Section, Value};
use crate::quantity::write::write_value;

/// Longest text of a value, in bytes; free text may be longer.
pub const LONGEST: usize = 400;
/// Most readings of one value, and most sections.
const MOST: usize = 12;

/// A quantity that is the whole of a text.
pub(super) fn whole(text: &str, context: Context<'_>) -> Outcome {
    let mut cursor = Cursor::new(text);
    let (quantity, mut troubles) = quantity(&mut cursor, context)?;
    end(&cursor, context)?;
    let value = Value::Quantity(quantity);
    troubles.extend(spelling(&cursor, &value));
    Ok((value, troubles))
}

/// How a pair of intervals may say which counts.
const WHICHEVER: [&str; 4] =
    [", whichever is first", " whichever is first", ", whichever comes first", " whichever comes first"];

/// `20000 km`, `24 months`, or both with `or` between: the first that is over counts.
pub(super) fn interval(text: &str, field: &FieldSpec<'_>) -> Outcome {
    let context = Context { dimensions: field.kind.dimensions(), field, sections: false };
    let Some((first, rest)) = text.split_once(" or ") else { return whole(text, context) };
    let second = WHICHEVER.iter().find_map(|words| rest.trim_end().strip_suffix(words)).unwrap_or(rest);
    let from = text.len() - rest.len();
    let moved = |mut trouble: Trouble| {
        trouble.range = trouble.range.start + from..trouble.range.end + from;
        trouble
    };
    let (a, mut troubles) = whole(first, context)?;
    let (b, more) = whole(second, context).map_err(moved)?;
    troubles.extend(more.into_iter().map(moved));
    match (a, b) {
        (Value::Quantity(a), Value::Quantity(b)) if a.dimension() != b.dimension() => {
            Ok((Value::FirstOf(Box::new([a, b])), troubles))
        }
        (_, b) => Err(refuse::error(
            &rules::UNREADABLE_VALUE,
            from..from + second.trim_end().len(),
            format!("both sides of `or` are of one kind, and `{}` says it again", write_value(&b)),
            "which of the two is meant cannot be told",
            "write one interval, or one by distance or hours and one by months",
        )),
    }
}

/// A quantity of any of these dimensions, where no field says what it is.
pub(super) fn any(text: &str, dimensions: &[Dimension]) -> Result<Quantity, Trouble> {
    let kind = Kind::Quantity(dimensions.first().copied().unwrap_or(Dimension::Length));
    let field = free(&kind);
    if text.len() > LONGEST {
        return Err(plain::too_long(text, LONGEST, &field));
    }
    if text.trim().is_empty() {
        return Err(plain::empty(text, &field));
    }
    let context = Context { dimensions, field: &field, sections: false };
    let mut cursor = Cursor::new(text);
    let (quantity, _) = quantity(&mut cursor, context)?;
    end(&cursor, context)?;
    Ok(quantity)
}

/// A value and its twins: `23 N·m (2.3 kgf·m, 17 lbf·ft)`. `23 N·m / 17 lbf·ft` is a near miss.
fn quantity(cursor: &mut Cursor<'_>, context: Context<'_>) -> Result<(Quantity, Vec<Trouble>), Trouble> {
    let start = cursor.at;
    let first = reading(cursor, context)?;
    // A twin says the same thing again, so it is of the same dimension: of a setting, what came first.
    let dimension = [first.dimension()];
    let twin = Context { dimensions: &dimension, ..context };
    let mut sayings = vec![(first, start..cursor.at)];
    cursor.blank();
    let bracket_at = cursor.at;
    let bracket = cursor.eat("(");
    let mut near = false;
    while sayings.len() < MOST {
        let separator = cursor.at;
        if sayings.len() > 1 || !bracket {
            let there = [",", "/", "="].iter().any(|mark| cursor.eat(mark)) || (bracket && cursor.eat(";"));
            if !there {
                break;
            }
            near = near || !bracket || !cursor.text[separator..].starts_with(',');
        }
        cursor.blank();
        let at = cursor.at;
        let next = reading(cursor, twin)?;
        sayings.push((next, at..cursor.at));
        cursor.blank();
    }
    if bracket && !cursor.eat(")") {
        let range = bracket_at..bracket_at + 1;
        return Err(refuse::error(
            &rules::UNREADABLE_VALUE,
            range,
            "the bracket is not closed",
            "a second saying that is cut off cannot be checked",
            "close it with `)` after the last unit",
        ));
    }
    if near {
        cursor.near_since(start);
    }
    let trimmed = start + cursor.text[start..cursor.at].trim_end().len();
    let troubles = agree::check(cursor.text, &sayings, context)?;
    let sayings: Vec<Saying> = sayings.into_iter().map(|(sayings, _)| sayings).collect();
    Ok((Quantity { text: cursor.text[start..trimmed].to_owned(), sayings }, troubles))
}

fn end(cursor: &Cursor<'_>, context: Context<'_>) -> Result<(), Trouble> {
    let rest = cursor.rest();
    if rest.trim().is_empty() {
        return Ok(());
    }
    let from = cursor.at + rest.len() - rest.trim_start().len();
    Err(refuse::left_over(cursor.text, from..cursor.at + rest.trim_end().len(), context))
}

/// `39 mm to 180 mm; 37.5 mm`.
pub(super) fn sections(text: &str, field: &FieldSpec<'_>) -> Outcome {
    let context = Context { dimensions: field.kind.dimensions(), field, sections: true };
    let until_what = Context { dimensions: &[Dimension::Length], ..context };
    let mut cursor = Cursor::new(text);
    let mut sections: Vec<Section> = Vec::new();
    let mut troubles = Vec::new();
    let wrong = |range, message: &str| {
        Err(refuse::error(
            &rules::NONSENSE_RANGE,
            range,
            message,
            "the stretches would overlap or leave a gap, and the amount of oil would be worked out wrong",
            "write each stretch with how far down it goes and the last without: `39 mm to 180 mm; 37.5 mm`",
        ))
    };
    loop {
        let start = cursor.at;
        let (value, more) = quantity(&mut cursor, context)?;
        troubles.extend(more);
        cursor.blank();
        let mut until = None;
        if cursor.eat_word("to") {
            cursor.blank();
            let at = cursor.at;
            let (end, more) = quantity(&mut cursor, until_what)?;
            troubles.extend(more);
            let before = sections.last().and_then(|section| section.until.as_ref());
            if before.is_some_and(|before| before.middle_si() >= end.middle_si()) || end.middle_si() <= 0.0 {
                return wrong(at..cursor.at, "a stretch ends before it begins");
            }
            until = Some(end);
        }
        cursor.blank();
        let more = cursor.eat(";");
        cursor.blank();
        if more && until.is_none() {
            return wrong(start..cursor.at, "a stretch does not say how far down it goes");
        }
        if !more && until.is_some() {
            return wrong(
                start..cursor.at,
                "the last stretch says where it ends, and nothing says what comes below",
            );
        }
        sections.push(Section { value, until });
        if !more {
            break;
        }
        if sections.len() == MOST {
            return wrong(start..cursor.at, "there are more stretches than a fork has");
        }
    }
    end(&cursor, context)?;
    let value = Value::Sections(sections);
    troubles.extend(spelling(&cursor, &value));
    Ok((value, troubles))
}

/// The note that offers the canonical spelling, where a near miss was understood.
fn spelling(cursor: &Cursor<'_>, value: &Value) -> Option<Trouble> {
    let range = cursor.near.clone()?;
    Some(refuse::spelling_note(cursor.text, range, value))
}
