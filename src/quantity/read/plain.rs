//! Values that are no quantities: threads, sizes, counts, fits, classes, choices, text, references.

use super::cursor::Cursor;
use crate::diagnostic::{Rule, nearest, rules};
use crate::quantity::field::{Context, FieldSpec, Kind};
use crate::quantity::refuse::{bare_number, blank, either, error, pattern, quote, spelling_note, title};
use crate::quantity::trouble::{Outcome, Trouble};
use crate::quantity::units::{Dimension, Spelling, Unit, spelled, unit_of};
use crate::quantity::value::{Decimal, Fit, PropertyClass, Size, Thread, Value};
use crate::quantity::write::UNKNOWN;
use std::ops::Range;

/// The bytes of a text without the blanks around it.
fn inside(text: &str) -> Range<usize> {
    let start = text.len() - text.trim_start().len();
    start..start + text.trim().len()
}

pub(super) fn too_long(text: &str, longest: usize, field: &FieldSpec<'_>) -> Trouble {
    error(
        &rules::UNREADABLE_VALUE,
        0..text.len(),
        format!("{} has a text of {} bytes, and no value is longer than {longest}", title(field), text.len()),
        "a value that fills a page is no value for a card",
        format!("write the value alone and put the rest in its note{}", pattern(field)),
    )
}

pub(super) fn empty(text: &str, field: &FieldSpec<'_>) -> Trouble {
    error(
        &rules::UNREADABLE_VALUE,
        0..text.len(),
        format!("{} is empty", title(field)),
        "an empty value says neither what to set nor that there is nothing to set",
        format!(
            "write the value{}, `not fitted` where there is no such part, or leave the line out",
            pattern(field)
        ),
    )
}

/// A figure and the word that nobody knows it, in one text.
pub(super) fn known_and_unknown(text: &str, field: &FieldSpec<'_>) -> Option<Trouble> {
    if matches!(field.kind, Kind::Text | Kind::Choice(_) | Kind::Reference(_)) {
        return None;
    }
    let both = text.to_lowercase().contains(UNKNOWN) && text.bytes().any(|byte| byte.is_ascii_digit());
    both.then(|| {
        let range = inside(text);
        error(
            &rules::KNOWN_AND_UNKNOWN,
            range.clone(),
            format!("{} says a figure and that it is unknown", quote(&text[range])),
            "one reader sets the figure, and another looks for it in vain",
            "write the figure alone where the source says it, else `unknown` alone",
        )
    })
}

fn unreadable(
    rule: &'static Rule,
    text: &str,
    field: &FieldSpec<'_>,
    why: &str,
    bench: &str,
    instead: String,
) -> Trouble {
    let range = inside(text);
    error(
        rule,
        range.clone(),
        format!("{} cannot be {}: {why}", quote(&text[range]), a_title(field)),
        bench,
        instead,
    )
}

fn a_title(field: &FieldSpec<'_>) -> String {
    if field.title.is_empty() { "read".to_owned() } else { format!("read as \"{}\"", field.title) }
}

/// `M6 × 1`, `M6 x 1`, `M6x1`, `M6*1`, `M6`.
pub(super) fn thread(text: &str, field: &FieldSpec<'_>) -> Outcome {
    let no = |why: &str| {
        let instead = format!(
            "write diameter and pitch in mm, as in `{}`",
            blank(first_of(field.example, "M8 × 1.25"))
        );
        let bench = "a wrong thread or pitch strips the part";
        Err(unreadable(&rules::THREAD_UNREADABLE, text, field, why, bench, instead))
    };
    let mut cursor = Cursor::new(text);
    if !cursor.eat("M") && !cursor.eat("m") {
        return no("a metric thread begins with M");
    }
    cursor.blank();
    let Some(diameter) = positive(&mut cursor)? else { return no("the diameter is missing") };
    cursor.blank();
    let mut pitch = None;
    if times(&mut cursor) {
        cursor.blank();
        let Some(number) = positive(&mut cursor)? else { return no("the pitch is missing") };
        if number.float() >= diameter.float() {
            return no("the pitch is as large as the diameter");
        }
        cursor.blank();
        cursor.eat("mm");
        cursor.blank();
        pitch = Some(number);
    }
    if !cursor.done() {
        return no("something stands after it that is not understood");
    }
    Ok((Value::Thread(Thread { diameter_mm: diameter, pitch_mm: pitch }), Vec::new()))
}

fn first_of<'a>(example: &'a str, other: &'a str) -> &'a str {
    if example.is_empty() { other } else { example }
}

fn times(cursor: &mut Cursor<'_>) -> bool {
    ["×", "x", "X", "*"].iter().any(|mark| cursor.eat(mark))
}

/// A number above zero that is no fraction.
fn positive(cursor: &mut Cursor<'_>) -> Result<Option<Decimal>, Trouble> {
    if cursor.rest().starts_with(['-', '−', '+']) {
        return Ok(None);
    }
    Ok(cursor.number()?.filter(|number| !number.is_zero()))
}

/// `43 × 55 × 11 mm`, with `x`, `*`, `/` or `-` between as well.
pub(super) fn size(text: &str, count: usize, field: &FieldSpec<'_>) -> Outcome {
    let sample = if count == 2 { "38 × 2.4 mm" } else { "43 × 55 × 11 mm" };
    let no = |why: &str| {
        let instead =
            format!("write {count} numbers and one unit, as in `{}`", blank(first_of(field.example, sample)));
        Err(unreadable(
            &rules::SIZE_UNREADABLE,
            text,
            field,
            why,
            "a part ordered by a wrong size does not fit",
            instead,
        ))
    };
    let mut cursor = Cursor::new(text);
    let mut parts = Vec::new();
    let mut near = None;
    let mut unit = None;
    loop {
        let from = cursor.at;
        let Some(part) = positive(&mut cursor)? else { return no("a number above zero is missing") };
        parts.push(part);
        cursor.blank();
        match size_unit(&mut cursor) {
            Err(why) => return no(&why),
            Ok(None) => {}
            Ok(Some((length_unit, _))) if unit.is_some_and(|before| before != length_unit) => {
                return no("it mixes units");
            }
            Ok(Some((length_unit, spelling))) => {
                unit = Some(length_unit);
                if spelling == Spelling::Misspelling {
                    near = Some(from..cursor.at);
                }
                cursor.blank();
            }
        }
        if cursor.done() {
            break;
        }
        let mark = cursor.at;
        if !times(&mut cursor) {
            if !["/", "-", "–"].iter().any(|mark| cursor.eat(mark)) {
                return no("something stands in it that is not understood");
            }
            near = Some(mark..cursor.at);
        }
        cursor.blank();
        if parts.len() == count {
            return no(&format!("it has more than {count} numbers"));
        }
    }
    if parts.len() != count {
        return no(&format!("it has {} of {count} numbers", parts.len()));
    }
    let Some(unit) = unit else { return Err(size_without_unit(text, &parts[0], field)) };
    let value = Value::Size(Size { parts, unit });
    let notes = near.map(|range| spelling_note(text, range, &value)).into_iter().collect();
    Ok((value, notes))
}

/// A size of which nobody can tell in which unit it was measured.
fn size_without_unit(text: &str, first: &Decimal, field: &FieldSpec<'_>) -> Trouble {
    let millimetres: Vec<_> = unit_of(Dimension::Length, "mm").into_iter().collect();
    let units = if field.units.is_empty() { &millimetres } else { field.units };
    let field = FieldSpec { units, ..*field };
    let context = Context { dimensions: &[Dimension::Length], field: &field, sections: false };
    bare_number(text, inside(text), first, context)
}

/// The unit behind a number of a size, and whether its spelling was a near miss; none where another part follows.
fn size_unit(cursor: &mut Cursor<'_>) -> Result<Option<(&'static Unit, Spelling)>, String> {
    let rest = cursor.rest();
    let length = rest.find(|c: char| c.is_whitespace() || "×xX*/-–".contains(c)).unwrap_or(rest.len());
    if length == 0 {
        return Ok(None);
    }
    let written = &rest[..length];
    let Some(spelled) = spelled(written).find(|(unit, _)| unit.dimension == Dimension::Length) else {
        return Err(format!("{} is not a unit of length", quote(written)));
    };
    cursor.at += length;
    Ok(Some(spelled))
}

/// A whole number.
pub(super) fn count(text: &str, field: &FieldSpec<'_>) -> Outcome {
    let written = text.trim();
    let digits = written.bytes().all(|byte| byte.is_ascii_digit());
    match written.parse() {
        Ok(count) if digits => Ok((Value::Count(count), Vec::new())),
        _ => Err(error(
            &rules::NOT_A_NUMBER,
            inside(text),
            format!("{} takes a whole number, not {}", title(field), quote(written)),
            "what is counted cannot be counted from this",
            format!("write digits alone, without a unit{}", pattern(field)),
        )),
    }
}

/// `47 H7`, `47H7`, `47 mm H7`.
pub(super) fn fit(text: &str, field: &FieldSpec<'_>) -> Outcome {
    let no = |why: &str| {
        let instead = format!(
            "write the nominal size in mm and the code, as in `{}`",
            blank(first_of(field.example, "47 H7"))
        );
        let bench = "the fit decides whether a part presses in, slides or falls out";
        Err(unreadable(&rules::FIT_UNREADABLE, text, field, why, bench, instead))
    };
    let mut cursor = Cursor::new(text);
    let Some(nominal) = positive(&mut cursor)? else { return no("the nominal size is missing") };
    cursor.blank();
    if cursor.eat("mm") {
        cursor.blank();
    }
    let code = cursor.rest().trim_end();
    let letters = code.bytes().take_while(u8::is_ascii_alphabetic).count();
    let (letter, grade) = code.split_at(letters);
    let one_case =
        letter.bytes().all(|b| b.is_ascii_uppercase()) || letter.bytes().all(|b| b.is_ascii_lowercase());
    let doubled =
        matches!(letter.to_ascii_lowercase().as_str(), "cd" | "ef" | "fg" | "js" | "za" | "zb" | "zc");
    let single = letters == 1 && !matches!(letter, "i" | "l" | "o" | "q" | "w" | "I" | "L" | "O" | "Q" | "W");
    let good_letter = single || (letters == 2 && doubled);
    let js = matches!(letter, "JS" | "js" | "Js");
    if !good_letter || !(one_case || js) {
        return no(
            "a fit code begins with a letter of ISO 286, a capital for a hole and a small one for a shaft",
        );
    }
    let good_grade = grade == "01"
        || (!grade.starts_with('0') && grade.parse::<u8>().is_ok_and(|g| g <= 18))
        || grade == "0";
    if !good_grade || !grade.bytes().all(|b| b.is_ascii_digit()) {
        return no("after the letter stands a grade from 01 to 18");
    }
    let letter = if letter == "Js" { "JS" } else { letter };
    Ok((Value::Fit(Fit { nominal, code: format!("{letter}{grade}") }), Vec::new()))
}

/// `8.8`, `A2-70`.
pub(super) fn class(text: &str, field: &FieldSpec<'_>) -> Outcome {
    let written = text.trim();
    let bare = written.strip_prefix("class ").unwrap_or(written);
    match PropertyClass::from_mark(bare) {
        Some(class) => Ok((Value::PropertyClass(class), Vec::new())),
        None => Err(unreadable(
            &rules::PROPERTY_CLASS_UNREADABLE,
            text,
            field,
            "it is not a property class of ISO 898-1 or ISO 3506-1",
            "a bolt taken for a stronger one is torn off by its torque",
            "write what is marked on the bolt's head, for example `8.8`, `10.9` or `A2-70`".to_owned(),
        )),
    }
}

/// One of the options, by id.
pub(super) fn choice(text: &str, options: &[(String, String)], field: &FieldSpec<'_>) -> Outcome {
    let written = text.trim();
    if options.iter().any(|(id, _)| id == written) {
        return Ok((Value::Choice(written.to_owned()), Vec::new()));
    }
    let lower = written.to_lowercase();
    let same = options.iter().find(|(id, title)| id.to_lowercase() == lower || title.to_lowercase() == lower);
    let near = same.map(|(id, _)| id.as_str());
    let near = near.or_else(|| {
        (written.len() <= 60).then(|| nearest(written, options.iter().map(|(id, _)| id.as_str())))?
    });
    let ids: Vec<String> = options.iter().map(|(id, _)| format!("`{id}`")).collect();
    Err(error(
        &rules::UNKNOWN_CHOICE,
        inside(text),
        format!("{} is not one of the choices for {}", quote(written), title(field)),
        "what depends on this choice, such as steps and cautions, would be left out",
        match near {
            Some(id) => format!("did you mean `{id}`?"),
            None => format!("write {}", either(&ids)),
        },
    ))
}

/// Free text.
pub(super) fn text(text: &str, field: &FieldSpec<'_>) -> Outcome {
    let written = text.trim();
    if let Some((at, c)) =
        text.char_indices().find(|(_, c)| c.is_control() && !matches!(c, '\n' | '\t' | '\r'))
    {
        return Err(error(
            &rules::UNREADABLE_VALUE,
            at..at + c.len_utf8(),
            format!("{} holds a character that cannot be printed", title(field)),
            "it would be missing or a blot on the card",
            "delete the character and type the text again",
        ));
    }
    Ok((Value::Text(written.to_owned()), Vec::new()))
}

/// The id of another record.
pub(super) fn reference(text: &str, field: &FieldSpec<'_>) -> Outcome {
    let written = text.trim();
    let good = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if written.chars().all(good) {
        return Ok((Value::Reference(written.to_owned()), Vec::new()));
    }
    let oil = matches!(field.kind, Kind::Reference(to) if to == "oil");
    let (wrong, instead) = match oil {
        true => (
            "is not the id of an oil's record",
            "name the one oil by its record in specs/oils, the file name without its ending, in small letters, digits and hyphens; a grade is no oil, and where the record is not there yet, `benchleaf new oil` begins it",
        ),
        false => (
            "is not the id of a record",
            "write the record's file name without its ending, in small letters, digits and hyphens",
        ),
    };
    Err(error(
        &rules::UNREADABLE_VALUE,
        inside(text),
        format!("{} {wrong}", quote(written)),
        "the part or the oil it should lead to cannot be found",
        format!("{instead}{}", pattern(field)),
    ))
}
