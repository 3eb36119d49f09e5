//! Air force and whole-leg force against travel.

use super::chart::{Chart, Mark, Series, Stroke, svg};
use crate::bench::air::{Band, SLOW};
use crate::bench::leg::Leg;
use crate::bench::range::OutOfRange;
use crate::bench::units::{Force, Length, length};
use crate::derive::{AtGap, Derived, DerivedLeg};
use crate::drawing::Drawing;

/// Points along the travel.
const POINTS: usize = 48;

const ABOUT: &str = "Each band runs from slow travel (isothermal) to fast (adiabatic).";

/// Force bands along the travel until the leg locks or its stroke ends, in mm and N.
fn points(stroke: Length, force: impl Fn(Length) -> Result<Band<Force>, OutOfRange>) -> Vec<(f64, f64, f64)> {
    (0..=POINTS)
        .map_while(|n| {
            let travel = stroke.value * n as f64 / POINTS as f64;
            let band = force(length(travel)).ok()?;
            Some((travel * 1000.0, band.slow.value, band.fast.value))
        })
        .collect()
}

fn greatest(series: &[Series]) -> f64 {
    series.iter().flat_map(|series| &series.points).map(|point| point.2).fold(0.0, f64::max)
}

/// Air force against travel at the least, the nominal and the greatest gap, at working temperature.
/// `limit` is the shop's greatest air force at full travel, N. `None` where the air is not known.
pub fn air_force(id: &str, leg: &DerivedLeg, limit: f64) -> Option<Drawing> {
    let answer = leg.air.known()?;
    let air = &answer.value;
    let stroke = air.leg.stroke;
    let series_at = |gap: &AtGap, word: &str, stroke_style| {
        let chamber = gap.chamber.as_ref()?;
        let points = points(stroke, |travel| chamber.force_band(travel));
        let locked = if gap.locks_short_by.is_some() { ", locks" } else { "" };
        let label = format!("{word} {:.0} mm{locked}", gap.gap.value * 1000.0);
        (points.len() > 1).then_some(Series { label, stroke: stroke_style, points })
    };
    let differ = air.least.gap != air.greatest.gap;
    let mut series: Vec<Series> = series_at(&air.nominal, air.word(), Stroke::Band).into_iter().collect();
    if differ {
        series.extend(series_at(&air.least, "least", Stroke::Dashed));
        series.extend(series_at(&air.greatest, "greatest", Stroke::Dotted));
    }
    if series.is_empty() {
        return None;
    }
    // A wall is steeper than any paper: above one and a half times the limit it is cut. A limit far above
    // everything would only flatten the curves.
    let most = greatest(&series);
    let near = most > limit / 2.0;
    let y_greatest = if near { most.max(limit).min(limit * 1.5) } else { most };
    let title = "Air force against travel, one leg, at working temperature".to_owned();
    let at_full = air.nominal.push.as_ref().map(|push| {
        format!(
            " At full travel and nominal {} it is {:.0} to {:.0} N.",
            air.word(),
            push.slow.value,
            push.fast.value
        )
    });
    let chart = Chart {
        id: id.to_owned(),
        title: title.clone(),
        description: format!(
            "{ABOUT} The shop's limit at full travel is {limit:.0} N.{}",
            at_full.unwrap_or_default()
        ),
        x_label: "travel, mm".to_owned(),
        y_label: "air force, N".to_owned(),
        x_greatest: stroke.value * 1000.0,
        y_greatest,
        series,
        marks: near.then(|| Mark { label: "limit".to_owned(), y: limit, x: None }).into_iter().collect(),
    };
    let mut notes = vec![ABOUT.to_owned(), format!("The shop's limit at full travel is {limit:.0} N.")];
    notes.extend(answer.assumptions.iter().map(|text| sentence(text)));
    Some(Drawing { id: id.to_owned(), title, svg: svg(&chart), notes })
}

/// A phrase as a sentence of its own.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str().trim_end_matches('.'))
}

/// The parts of a leg that push it out, in words.
fn what_pushes(leg: &Leg) -> Vec<&'static str> {
    let parts = [(leg.spring.is_some(), "spring"), (leg.air.is_some(), "air"), (leg.gas.is_some(), "gas")];
    parts.into_iter().filter(|(there, _)| *there).map(|(_, word)| word).collect()
}

/// The whole leg's force against travel, with load and sag where the record gives a load. `None` where
/// the leg's springs are not known.
pub fn leg_force(id: &str, derived: &Derived, leg: &DerivedLeg) -> Option<Drawing> {
    let answer = leg.forces.known()?;
    let forces = &answer.value;
    let points = points(forces.stroke, |travel| forces.force_band(travel));
    if points.len() < 2 {
        return None;
    }
    let parts = what_pushes(forces);
    if parts.is_empty() {
        return None;
    }
    let series = vec![Series { label: parts.join(" and "), stroke: Stroke::Band, points }];
    let mut marks = Vec::new();
    for (word, load, sag) in [
        ("machine alone", &derived.load, &derived.sag),
        ("with rider", &derived.load_rider, &derived.sag_rider),
    ] {
        let Some(load) = load.value() else { continue };
        let met = sag.value().map(|sag| (sag.value * 1000.0, format!("{:.0} mm", sag.value * 1000.0)));
        // Legs that do different work do not share the load alike: each carries what it pushes at the sag.
        let carried = sag.value().and_then(|sag| forces.force_at(*sag, SLOW).ok());
        marks.push(Mark { label: word.to_owned(), y: carried.unwrap_or(*load).value, x: met });
    }
    let title = "Force of the whole leg against travel".to_owned();
    let sentences: Vec<String> = marks
        .iter()
        .map(|mark| {
            let sag = mark.x.as_ref().map_or_else(String::new, |(_, text)| format!(", sag {text}"));
            format!(" {}: {:.0} N on a leg{sag}.", mark.label, mark.y)
        })
        .collect();
    let chart = Chart {
        id: id.to_owned(),
        title: title.clone(),
        description: format!(
            "What pushes this leg out at bench temperature: {}.{}",
            parts.join(" and "),
            sentences.concat()
        ),
        x_label: "travel, mm".to_owned(),
        y_label: "force, N".to_owned(),
        x_greatest: forces.stroke.value * 1000.0,
        y_greatest: greatest(&series),
        series,
        marks,
    };
    let mut notes = vec![ABOUT.to_owned()];
    notes.extend(answer.assumptions.iter().map(|text| sentence(text)));
    Some(Drawing { id: id.to_owned(), title, svg: svg(&chart), notes })
}
