//! What the record of a tool says of itself: the torques it reads well at lie inside its size, and it was calibrated on
//! days that there are.

use crate::date::{AsOf, Date};
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Dimension, Quantity};
use crate::record::Tool;
use crate::resolve::Shop;

/// wrench-beyond-size: a wrench does not read well outside of what it can be set to.
pub(crate) fn sizes(shop: &Shop, findings: &mut Vec<Finding>) {
    for tool in &shop.tools {
        let (Some(torques), Some(size)) = (&tool.torques, tool.reads(Dimension::Torque)) else { continue };
        let outside = torques.least_si() < size.least_si() * (1.0 - ROUNDED)
            || torques.greatest_si() > size.greatest_si() * (1.0 + ROUNDED);
        if outside {
            findings.push(beyond(tool, torques));
        }
    }
}

/// How far a rounded figure may lie outside.
const ROUNDED: f64 = 0.02;

fn beyond(tool: &Tool, torques: &Quantity) -> Finding {
    let (id, size) = (&tool.id.text, tool.size.as_deref().unwrap_or_default());
    rules::WRENCH_BEYOND_SIZE
        .at(tool.id.span, format!("`{id}` is said to read well at {}, and its size is {size}", torques.text))
        .bench("where a wrench does not reach it clicks too early, too late or never, and the joint is loose or torn")
        .instead("read the wrench's plate again: `torques:` lies inside `size:`, as a rule from a fifth of its greatest value")
}

/// Between these a torque wrench is from its square to its grip, and a crowfoot from the square to the bolt, m (common
/// practice, no source).
const REACH: (f64, f64) = (0.1, 1.6);
const EXTENDS: (f64, f64) = (0.01, 0.25);

/// tool-length: a wrench and a crowfoot are as long as such tools are, since what is set on the wrench is worked out
/// from both.
pub(crate) fn lengths(shop: &Shop, findings: &mut Vec<Finding>) {
    for tool in &shop.tools {
        for (key, length, (least, most)) in
            [("reach", &tool.reach, REACH), ("extends", &tool.extends, EXTENDS)]
        {
            let Some(length) = length.as_ref().filter(|one| !(least..=most).contains(&one.middle_si()))
            else {
                continue;
            };
            let (id, of) = (&tool.id.text, |end: f64| format!("{:.0} mm", end * 1000.0));
            findings.push(
                rules::TOOL_LENGTH
                    .at(
                        tool.id.span,
                        format!("`{id}` is said to have a `{key}:` of {}, and such tools have {} to {}", length.text, of(least), of(most)),
                    )
                    .bench("what is set on the wrench with a crowfoot is worked out from it, and the joint gets another torque")
                    .instead("measure it again, number and unit"),
            );
        }
    }
}

/// calibration-date: a calibration is of a day that there is, and not of one after the day of the commit. One day is
/// allowed for zones.
pub(crate) fn calibrated(shop: &Shop, day: Option<AsOf>, findings: &mut Vec<Finding>) {
    for tool in &shop.tools {
        for text in &tool.calibrated {
            let (id, on) = (&tool.id.text, &text.text);
            let what = match (Date::read(on), day) {
                (None, _) => format!("`{id}` is said to be calibrated on `{on}`, which is no day"),
                (Some(date), Some(day)) if date > day.date.next() => {
                    format!("`{id}` is said to be calibrated on {on}, and it is {}", day.date)
                }
                _ => continue,
            };
            findings.push(
                rules::CALIBRATION_DATE
                    .at(text.span, what)
                    .bench("a wrench that is out of its time passes for a sound one, and nobody knows what torque the joints have")
                    .instead("read the day on its certificate again: year, month and day in quotes, \"2025-11-04\""),
            );
        }
    }
}
