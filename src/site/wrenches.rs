//! What a step says of the wrenches for its torque.

use super::view::WrenchView;
use crate::date::Date;
use crate::judge::{out_of_calibration, ran_out, with_crowfoot, wrenches_for};
use crate::quantity::Quantity;
use crate::record::Tool;
use crate::resolve::Shop;

/// The shop's torque wrenches, those that read these torques well first, and what is to be said of them. Nothing in a shop whose tools say
/// no torques.
///
/// `crowfoots`: what the step puts between wrench and joint. `on`: the day by which calibrations are judged.
pub(super) fn wrenches(
    shop: &Shop,
    on: Option<Date>,
    crowfoots: &[&Tool],
    torques: &[&Quantity],
) -> (Vec<WrenchView>, Vec<String>) {
    let (Some(first), true) = (torques.first(), shop.tools.iter().any(|tool| tool.torques.is_some())) else {
        return (Vec::new(), Vec::new());
    };
    let fit = wrenches_for(&shop.tools, torques, on);
    // Whatever was taken can be said.
    let others = shop.tools.iter().filter(|tool| tool.torques.is_some());
    let others = others.filter(|tool| !fit.iter().any(|one| one.id.text == tool.id.text));
    let all = fit.iter().copied().chain(others).map(view).collect();
    if fit.is_empty() {
        let said = format!("No wrench of the shop reads {} well.", first.main().shown());
        return (all, vec![said]);
    }
    let mut notes: Vec<String> = fit.iter().map(|tool| reads(tool, on)).collect();
    if fit.iter().all(|tool| ran_out(tool, on).is_some()) {
        notes.push("No wrench of the shop that is in calibration reads it well.".to_owned());
    }
    for crowfoot in crowfoots {
        notes.extend(fit.iter().filter_map(|wrench| set(wrench, crowfoot, first)));
    }
    (all, notes)
}

fn view(tool: &Tool) -> WrenchView {
    let (until, after) = out_of_calibration(tool, None)
        .map_or_else(Default::default, |(until, words)| (until.to_string(), words));
    let range = tool.torques.as_ref();
    WrenchView {
        id: tool.id.text.clone(),
        title: tool.title.clone(),
        until,
        after,
        reads: range.map(|range| range.main().shown()).unwrap_or_default(),
        least: range.map(|range| range.least_si().to_string()).unwrap_or_default(),
        greatest: range.map(|range| range.greatest_si().to_string()).unwrap_or_default(),
    }
}

/// `Medium torque wrench: reads well at 10..50 N·m. Its calibration ends on 2026-11-04: after that day, take another.` A
/// page does not know the day on which it is read, but that of the last release: what had run out by then, has.
fn reads(tool: &Tool, on: Option<Date>) -> String {
    let range = tool.torques.as_ref().map(|range| range.main().shown()).unwrap_or_default();
    let ends = out_of_calibration(tool, None)
        .map(|(until, _)| format!(" Its calibration ends on {until}: after that day, take another."));
    let over = ran_out(tool, on).map(|since| format!(" OUT OF CALIBRATION since {since}: take another."));
    format!("{}: reads well at {range}.{}", tool.title, over.or(ends).unwrap_or_default())
}

/// `With the crowfoot wrench on it: at a right angle set it as asked; in line with the handle set 20 N·m.`
fn set(wrench: &Tool, crowfoot: &Tool, torque: &Quantity) -> Option<String> {
    let [_, in_line] = with_crowfoot(wrench, crowfoot, torque)?;
    let (name, on) = (crowfoot.title.to_lowercase(), wrench.title.to_lowercase());
    Some(format!(
        "With the {name} on the {on}: at a right angle set it as asked; in line with the handle, set {in_line:.1}\u{a0}N·m."
    ))
}
