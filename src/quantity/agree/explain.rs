//! Which slip would make two sayings of one value agree.
//!
//! Every slip that would is told, and none is called the right one: only the sheet knows. Readings that lie
//! where such a value cannot lie are left out while others remain.

use super::interval::{Half, Interval};
use crate::quantity::field::Context;
use crate::quantity::round::rounded;
use crate::quantity::units::{Dimension, Unit};
use crate::quantity::value::Decimal;
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::ToPrimitive;

/// Most slips that are told for one value. Where more would explain it, they explain nothing.
const MOST_TOLD: usize = 4;

/// A slip that would make both agree: what either half would then say, SI, a part of a sentence
/// for where it is the only one, and a brief one for where it stands among several.
struct Reading {
    amounts: Vec<f64>,
    text: String,
    brief: String,
}

/// How near two amounts must come.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Near {
    /// As the rounding of both allows.
    Agree,
    /// Within a fortieth, for a figure that was rounded, converted and then taken for another.
    Nearly,
}

/// The two halves of a value, and what may vouch for a chain of rounding.
pub(super) struct Halves<'h> {
    pub ours: Half<'h>,
    pub theirs: Half<'h>,
    pub others: &'h [Interval],
}

impl Halves<'_> {
    fn agree(&self, near: Near, a: &Interval, b: &Interval) -> bool {
        match near {
            Near::Nearly => a.apart(b) * BigRational::from_integer(BigInt::from(40)) <= a.middle_size(),
            Near::Agree => a.agrees(b, self.others),
        }
    }
}

/// The slips that would make the two agree, each as a part of a sentence, the exchange of the two units first;
/// and whether all of them lie where no such value lies. Empty where none would.
pub(super) fn explained(halves: &Halves<'_>, context: Context<'_>) -> (Vec<String>, bool) {
    for near in [Near::Agree, Near::Nearly] {
        let mut all: Vec<Reading> = exchanged(halves, near).into_iter().collect();
        all.extend(other_units(halves, near));
        // A sheet's number written down for both units: either half may be the right one.
        if all.is_empty() {
            all.extend(same_number(halves, near));
        }
        all.extend(points(halves, near));
        if near == Near::Agree {
            all.extend(places(halves));
        }
        all.extend(half_figure(halves, near, context));
        if all.is_empty() {
            continue;
        }
        let dimension = halves.ours.2.dimension;
        let fits =
            |reading: &Reading| reading.amounts.iter().any(|si| context.field.plausible(dimension, *si));
        let none = !all.iter().any(fits);
        if !none {
            all.retain(fits);
        }
        if all.len() > MOST_TOLD {
            break;
        }
        let alone = all.len() == 1;
        let words = |reading: Reading| if alone { reading.text } else { reading.brief };
        return (all.into_iter().map(words).collect(), none);
    }
    (Vec::new(), false)
}

/// The slips in a unit, a point or a half that would make the two agree, each in brief. Digits that changed places
/// are none.
pub(super) fn slipped(halves: &Halves<'_>, context: Context<'_>) -> Vec<String> {
    let near = Near::Agree;
    let mut all: Vec<Reading> = exchanged(halves, near).into_iter().collect();
    all.extend(other_units(halves, near));
    all.extend(points(halves, near));
    all.extend(half_figure(halves, near, context));
    let dimension = halves.ours.2.dimension;
    let fits = |reading: &Reading| reading.amounts.iter().any(|si| context.field.plausible(dimension, *si));
    if all.iter().any(fits) {
        all.retain(fits);
    }
    all.truncate(MOST_TOLD);
    all.into_iter().map(|reading| reading.brief).collect()
}

fn would(near: Near) -> &'static str {
    if near == Near::Nearly { "would nearly agree" } else { "would agree" }
}

/// The middle in the base unit, which is that of SI for all that is said in two units.
fn base(interval: &Interval) -> f64 {
    interval.middle.to_f64().unwrap_or(0.0)
}

/// The amount of a number in a unit, SI.
fn amount(number: &BigRational, unit: &Unit) -> f64 {
    unit.to_si(number.to_f64().unwrap_or(0.0))
}

/// `62 lbf·ft (46 N·m)`, where the sheet has 62 N·m (46 lbf·ft).
fn exchanged(halves: &Halves<'_>, near: Near) -> Option<Reading> {
    let ((_, ours, unit), (_, theirs, twin)) = (halves.ours, halves.theirs);
    let (a, b) = (Interval::of(ours, twin), Interval::of(theirs, unit));
    let apart = !unit.same_size(twin) && ours.rational() != theirs.rational();
    (apart && halves.agree(near, &a, &b)).then(|| Reading {
        amounts: vec![base(&a), base(&b)],
        text: format!(
            "the two units look exchanged: `{ours} {} ({theirs} {})` {}",
            twin.symbol,
            unit.symbol,
            would(near)
        ),
        brief: format!(
            "`{ours} {} ({theirs} {})` {} (the units exchanged)",
            twin.symbol,
            unit.symbol,
            would(near)
        ),
    })
}

/// One half in another unit than it says, nearest first.
fn other_units(halves: &Halves<'_>, near: Near) -> Vec<Reading> {
    let ((value, ours, unit), (twin_value, theirs, twin)) = (halves.ours, halves.theirs);
    let mut readings: Vec<(BigRational, Reading)> = Vec::new();
    for other in twin.dimension.units() {
        // The same unit on both sides would be no second saying.
        if other.same_size(twin) || other.same_size(unit) {
            continue;
        }
        let there = Interval::of(theirs, other);
        if halves.agree(near, value, &there) {
            let into = rounded(&other.of_base(&value.middle), theirs.decimals() + 1);
            let text = format!(
                "`{theirs} {}` {} ({ours} {} is {into} {})",
                other.symbol,
                would(near),
                unit.symbol,
                other.symbol
            );
            let amounts = vec![base(value), base(&there)];
            let brief = format!("`{theirs} {}` {}", other.symbol, would(near));
            readings.push((value.share_apart(&there), Reading { amounts, text, brief }));
        }
        let back = Interval::of(ours, other);
        if halves.agree(near, &back, twin_value) {
            let into = rounded(&twin.of_base(&back.middle), theirs.decimals() + 1);
            let text = format!("`{ours} {}` {} (it is {into} {})", other.symbol, would(near), twin.symbol);
            let amounts = vec![base(&back), base(twin_value)];
            let brief = format!("`{ours} {}` {}", other.symbol, would(near));
            readings.push((back.share_apart(twin_value), Reading { amounts, text, brief }));
        }
    }
    readings.sort_by(|a, b| (&a.0, &a.1.text).cmp(&(&b.0, &b.1.text)));
    readings.dedup_by(|a, b| a.1.text == b.1.text);
    readings.into_iter().map(|(_, reading)| reading).collect()
}

fn same_number(halves: &Halves<'_>, near: Near) -> Option<Reading> {
    let ((value, ours, unit), (twin_value, theirs, twin)) = (halves.ours, halves.theirs);
    let same = match near {
        Near::Nearly => halves.agree(near, &Interval::of(ours, unit), &Interval::of(theirs, unit)),
        Near::Agree => ours.rational() == theirs.rational(),
    };
    if !same {
        return None;
    }
    let there = rounded(&twin.of_base(&value.middle), theirs.decimals().max(1));
    let back = rounded(&unit.of_base(&twin_value.middle), ours.decimals().max(1));
    let words = if near == Near::Nearly { "nearly the same number" } else { "the same number" };
    let text = format!(
        "{words} stands in both; `{ours} {}` is {there} {}, and `{theirs} {}` is {back} {}",
        unit.symbol, twin.symbol, twin.symbol, unit.symbol
    );
    Some(Reading { amounts: vec![base(value), base(twin_value)], brief: text.clone(), text })
}

/// The point of one half moved. Which half it was nobody can tell, so both are told.
fn points(halves: &Halves<'_>, near: Near) -> Vec<Reading> {
    let ((value, ours, unit), (twin_value, theirs, twin)) = (halves.ours, halves.theirs);
    if unit.offset_numerator != 0 || twin.offset_numerator != 0 {
        return Vec::new();
    }
    let mut out = Vec::new();
    for (places, word) in [(1, "one place"), (2, "two places"), (3, "three places")] {
        for (up, ours_way, theirs_way) in [(true, "left", "right"), (false, "right", "left")] {
            let ten = BigRational::from_integer(BigInt::from(10).pow(places));
            let ratio = if up { ten } else { ten.recip() };
            if !halves.agree(near, &value.times(&ratio), twin_value) {
                continue;
            }
            let moved = |number: &Decimal, up: bool| {
                let number_places = number.decimals();
                let step = u8::try_from(places).unwrap_or(0);
                let kept = if up { number_places.saturating_sub(step) } else { number_places + step };
                let ten = BigRational::from_integer(BigInt::from(10).pow(places));
                let there = if up { number.rational() * ten } else { number.rational() / ten };
                (rounded(&there, kept), there)
            };
            let ((first, ours_there), (second, theirs_there)) = (moved(ours, up), moved(theirs, !up));
            let mut offer = |(shown, there): (&str, &BigRational),
                             unit: &Unit,
                             way,
                             stays: String,
                             si: f64| {
                out.push(Reading {
                    amounts: vec![amount(there, unit), si],
                    brief: format!("`{shown} {}` {} with `{stays}` (its point)", unit.symbol, would(near)),
                    text: format!(
                        "`{shown} {}` {} with `{stays}`, if its point stands {word} too far {way}",
                        unit.symbol,
                        would(near)
                    ),
                });
            };
            offer(
                (&first, &ours_there),
                unit,
                ours_way,
                format!("{theirs} {}", twin.symbol),
                base(twin_value),
            );
            offer((&second, &theirs_there), twin, theirs_way, format!("{ours} {}", unit.symbol), base(value));
        }
    }
    out
}

/// Two digits of one half changed places: `3.87 in` for 3.78 in.
fn places(halves: &Halves<'_>) -> Vec<Reading> {
    let ((value, ours, unit), (twin_value, theirs, twin)) = (halves.ours, halves.theirs);
    let mut out = Vec::new();
    let stays = [format!("{theirs} {}", twin.symbol), format!("{ours} {}", unit.symbol)];
    for ((number, unit_there, other), stays) in
        [(ours, unit, twin_value), (theirs, twin, value)].into_iter().zip(stays)
    {
        for (there, text) in exchanged_digits(number) {
            let half = number.half_step() * unit_there.factor();
            if Interval::new(unit_there.to_base(&there), half).agrees(other, halves.others) {
                out.push(Reading {
                    brief: format!("`{text} {}` would agree with `{stays}` (its digits)", unit_there.symbol),
                    amounts: vec![amount(&there, unit_there), base(other)],
                    text: format!(
                        "`{text} {}` would agree with `{stays}`, if two digits changed places",
                        unit_there.symbol
                    ),
                });
            }
        }
    }
    out
}

/// A number with two neighbouring digits exchanged, each way that makes another number of the same length.
fn exchanged_digits(number: &Decimal) -> Vec<(BigRational, String)> {
    let text = number.text();
    let digits: Vec<usize> =
        text.char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(at, _)| at).collect();
    // `1-1/4` is no row of digits.
    if text.chars().any(|c| !c.is_ascii_digit() && c != '.') {
        return Vec::new();
    }
    let mut out = Vec::new();
    for pair in digits.windows(2) {
        let mut bytes = text.clone().into_bytes();
        bytes.swap(pair[0], pair[1]);
        let Ok(there) = String::from_utf8(bytes) else { continue };
        let leads = there.starts_with('0') && !text.starts_with('0');
        let plain: String = there.chars().filter(|c| *c != '.').collect();
        let Ok(value) = plain.parse::<BigInt>() else { continue };
        if there == text || leads {
            continue;
        }
        let scale = BigInt::from(10).pow(u32::from(number.decimals()));
        out.push((BigRational::new(value, scale), there));
    }
    out
}

/// A figure for both legs beside one for each, a diameter beside a radius, a run-out beside a bend: only for
/// what has a half.
fn half_figure(halves: &Halves<'_>, near: Near, context: Context<'_>) -> Option<Reading> {
    let ((value, _, unit), (twin_value, ..)) = (halves.ours, halves.theirs);
    let title = context.field.title.to_lowercase();
    let has = |words: &[&str]| words.iter().any(|word| title.contains(word));
    let (whole, half) = match unit.dimension {
        Dimension::Volume | Dimension::Mass | Dimension::SpringRate => ("both legs", "one leg"),
        Dimension::Length if has(&["diameter", "bore", "through the oil"]) => ("a diameter", "a radius"),
        Dimension::Length if has(&["run-out", "bend"]) => ("the run-out", "the bend"),
        _ => return None,
    };
    let two = BigRational::from_integer(BigInt::from(2));
    let double = halves.agree(near, &value.times(&two), twin_value);
    let halved = halves.agree(near, &value.times(&two.recip()), twin_value);
    let (full, part) = if double { ("second", "first") } else { ("first", "second") };
    let text = format!("it looks like a figure for {whole} in the {full}, and one for {half} in the {part}");
    (double || halved).then(|| Reading {
        amounts: vec![base(value), base(twin_value)],
        brief: format!("it looks like a figure for {whole} in the {full}"),
        text,
    })
}
