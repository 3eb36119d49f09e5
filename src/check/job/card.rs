//! The card that was worked from, and the targets as they were printed on it.

use super::desk::Desk;
use crate::catalogue::Field;
use crate::date::Date;
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Quantity, Value, read_value, write_value};
use crate::record::{Job, ReleasedCard};
use crate::resolve::Resolved;
use crate::review::code::typed;

/// job-card: the card is one that was released, for this fork and service, and was the newest on the job's day.
pub(super) fn card(desk: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    const OLD: &str = "hold every target of the job against the card of that day; throw old cards away";
    const OTHER: &str = "card and fork are not of one job: correct the one that is wrong, and hold every target against the right card";
    const LATER: &str =
        "read code and day again; where both are right, hold every target of the job against the card";
    let Some(code) = &job.card else { return };
    let card = desk.card(&typed(&code.text).unwrap_or_default());
    let told = match card {
        None => Some(("no card with this code was released here".to_owned(), OLD)),
        Some(card) if (&card.fork.text, &card.service.text) != (&job.fork.text, &job.service.text) => {
            Some((format!("this is the card of {}, {}", card.fork.text, card.service.text), OTHER))
        }
        Some(card) => job.day().and_then(|day| match newest_on(desk, job, day) {
            None => Some((format!("this card was released on {}, after the job", card.date.text), LATER)),
            Some(newest) if newest.card.text == card.card.text => None,
            Some(_) if Date::read(&card.date.text).is_some_and(|released| released > day) => {
                Some((format!("this card was released on {}, after the job", card.date.text), LATER))
            }
            Some(newest) => Some((
                format!(
                    "this card was out of date on {}: since {} it is {}",
                    job.date.text, newest.date.text, newest.card.text
                ),
                OLD,
            )),
        }),
    };
    let Some((what, instead)) = told else { return };
    findings.push(
        rules::JOB_CARD
            .at(code.span, what)
            .bench("the numbers that were set may not be those of the record")
            .instead(instead),
    );
}

/// The newest card of a job's fork and service on a day.
fn newest_on<'s>(desk: &Desk<'s>, job: &Job, day: Date) -> Option<&'s ReleasedCard> {
    let released =
        |card: &&&ReleasedCard| Date::read(&card.date.text).is_some_and(|released| released <= day);
    desk.cards(&job.fork.text, &job.service.text).iter().rfind(released).copied()
}

/// The newest card of a job's fork and service.
fn newest<'s>(desk: &Desk<'s>, job: &Job) -> Option<&'s ReleasedCard> {
    desk.cards(&job.fork.text, &job.service.text).last().copied()
}

/// Whether a job was done from a card that is out of date now: the service may have asked for other readings then. The
/// cards are those of its fork and service, oldest first.
pub(super) fn is_from_earlier(cards: &[&ReleasedCard], job: &Job) -> bool {
    let Some(newest) = cards.last() else { return false };
    match &job.card {
        Some(code) => typed(&code.text).is_some_and(|code| code != newest.card.text),
        None => job.day().zip(Date::read(&newest.date.text)).is_some_and(|(day, released)| day < released),
    }
}

/// Whether a target is what the card prints of a value: its big figure, or another reading that the record gives.
fn is_printed(desk: &Desk<'_>, field: &Field, value: &Value, target: Option<&Quantity>) -> bool {
    let (Some(target), Some(quantity)) = (target, value.quantity()) else { return target.is_none() };
    let said = target.middle_si();
    let same = |printed: f64| (said - printed).abs() <= 1e-9 * printed.abs().max(1e-9);
    same(desk.shop.main_said(Some(field), quantity).middle_si())
        || quantity.sayings.iter().any(|reading| same(reading.middle_si()))
}

/// job-target: a target as it was printed on the card that still holds is the record's.
pub(super) fn targets(desk: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    let newest = newest(desk, job);
    let holds = |code: &str| newest.is_some_and(|card| card.card.text == typed(code).unwrap_or_default());
    if !job.card.as_ref().is_some_and(|card| holds(&card.text)) {
        return;
    }
    let Some(fork) = desk.fork(job) else { return };
    for line in &job.left {
        let field = desk.shop.catalogue.field(line.field);
        for (at, side) in crate::resolve::Side::BOTH.into_iter().enumerate() {
            // A target that is said once is that of the legs that were read.
            let is_read = line.readings.iter().any(|reading| reading.leg.is_none_or(|leg| leg == at));
            let value = fork.resolved.on(side, line.field).filter(|_| is_read).and_then(Resolved::value);
            let (Some(printed), Some(value)) = (&line.targets[at], value) else { continue };
            let (read, _) = read_value(&printed.text, &field.spec());
            if is_printed(desk, field, value, read.as_ref().and_then(Value::quantity)) {
                continue;
            }
            findings.push(
                rules::JOB_TARGET
                    .at(
                        printed.span,
                        format!(
                            "{}: the target is said to be {}, and the card says {}",
                            field.title,
                            printed.text,
                            write_value(value)
                        ),
                    )
                    .bench("the leg may have been set to a number that no record gives")
                    .instead("read the card again; where the card is right, correct the target here"),
            );
            break;
        }
    }
}
