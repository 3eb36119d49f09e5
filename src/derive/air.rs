//! The air above the oil of one leg, and what temperature does to its gap or level.

use super::answer::{Answer, Ask};
use super::surface::{set_by, whole_surface};
use crate::bench::air::{Band, Chamber, GapSetLeg, Warming, absolute};
use crate::bench::oil::{Row, Surface, correction_table, table_step};
use crate::bench::range::OutOfRange;
use crate::bench::units::{
    ATMOSPHERE, Force, Length, ThermodynamicTemperature, Volume, celsius, force, kelvin, length, pressure,
    volume,
};
use crate::bench::{air, expansion};
use crate::catalogue::choice::{OilSetBy, Springing};
use crate::catalogue::{FieldId, Key, key};
use crate::quantity::Quantity;

/// A leg's air for one gap.
#[derive(Debug, Clone, PartialEq)]
pub struct AtGap {
    /// The gap, as read at the bench.
    pub gap: Length,
    /// The air; `None` when there is none even with the leg extended.
    pub chamber: Option<Chamber>,
    /// How far short of full travel the leg locks on its oil; `None` when it does not.
    pub locks_short_by: Option<Length>,
    /// The air force at full travel, slow to fast; `None` when the leg locks first.
    pub push: Option<Band<Force>>,
    /// Extended air volume over air volume at full travel; `None` when the leg locks first.
    pub ratio: Option<f64>,
}

/// The air of a leg set by a gap or a level.
#[derive(Debug, Clone, PartialEq)]
pub struct Air {
    /// What the oil is set by: the gap or the level.
    pub height: Key,
    /// The leg at the bench, at its nominal gap.
    pub leg: GapSetLeg,
    /// What it goes through on the road; no growth when the oil's amount or density is not known.
    pub warming: Warming,
    /// Whether the oil's growth is in it.
    pub growth_known: bool,
    /// At the nominal gap, at the bench.
    pub bench: AtGap,
    /// At the nominal gap, at working temperature.
    pub nominal: AtGap,
    /// At the least gap that is allowed, at working temperature.
    pub least: AtGap,
    /// At the greatest gap that is allowed, at working temperature.
    pub greatest: AtGap,
    /// The bench gap at and under which the warm leg locks before full travel.
    pub locks_at: Length,
    /// The bench gap at and under which the warm leg pushes harder at full travel than the shop's limit.
    pub limit_at: Option<Length>,
}

impl Air {
    /// What a person calls the height of the oil.
    pub fn word(&self) -> &'static str {
        OilSetBy::word_of(self.height)
    }
}

/// Readings of a gap or level with what each asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct Corrections {
    /// What it is set to.
    pub target: Length,
    /// The least that is left as it is.
    pub least: Length,
    /// The greatest that is left as it is.
    pub greatest: Length,
    /// The readings in order, the target among them.
    pub rows: Vec<Row>,
}

impl Corrections {
    /// Whether a reading is left as it is.
    pub fn inside(&self, reading: Length) -> bool {
        // A limit from decimal text may land one rounding beside it.
        reading.value >= self.least.value - 1e-9 && reading.value <= self.greatest.value + 1e-9
    }
}

/// What temperature does to a gap.
#[derive(Debug, Clone, PartialEq)]
pub struct WarmGap {
    /// The gap at the bench.
    pub bench: Length,
    /// The temperature it is set at.
    pub set_at: ThermodynamicTemperature,
    /// The same gap at working temperature.
    pub working: Length,
    /// What ten degrees more do to it, from the bench temperature; negative: smaller.
    pub ten_degrees: Length,
    /// What to set it to on oil of the temperatures that a bench has.
    pub targets: Vec<(ThermodynamicTemperature, Length)>,
}

/// The correction table of the card.
pub(super) fn corrections(ask: &Ask, surface: &Answer<Surface>) -> Answer<Corrections> {
    let Some(key) = set_by(ask) else { return Answer::NotHere };
    let mut ask = ask.clone();
    let gap = ask.quantity(key);
    let (Some(gap), Some(surface)) = (gap, ask.take(surface)) else { return ask.lacking() };
    let tolerance = length((gap.greatest_si() - gap.least_si()) / 2.0);
    let step = table_step((tolerance.value > 0.0).then_some(tolerance));
    let target = length(gap.middle_si());
    let (least, greatest) = (length(gap.least_si()), length(gap.greatest_si()));
    let rows = correction_table(surface, target, step, 6);
    ask.answer(rows.map(|rows| Corrections { target, least, greatest, rows }))
}

/// The parts of a height's state without which nothing follows from it.
const HEIGHT_HANGS_ON: [&str; 5] = ["edge", "leg", "spring", "rod", "temperature"];

/// The temperature a gap is set at: its own state's, else the bench's.
pub(super) fn set_temperature(ask: &Ask, key: impl Into<FieldId>) -> ThermodynamicTemperature {
    ask.state_temperature(key).unwrap_or_else(|| celsius(ask.shop.settings.bench_celsius()))
}

/// How much the leg's whole oil grows from the bench to the road.
fn growth(
    ask: &mut Ask,
    from: ThermodynamicTemperature,
    to: ThermodynamicTemperature,
) -> Option<Result<Volume, OutOfRange>> {
    let fill = ask.volume(key::OIL_DRY_FILL);
    let density = ask.oil(key::OIL_OIL).and_then(|oil| ask.of_oil(oil, key::GRADE_DENSITY_15))?.density()?;
    ask.assume(expansion::ASSUMPTION);
    Some(expansion::growth(fill?, density, from, to))
}

/// What temperature does to the gap.
pub(super) fn warm_gap(ask: &Ask, surface: &Answer<Surface>) -> Answer<WarmGap> {
    let Some(key) = set_by(ask) else { return Answer::NotHere };
    let mut ask = ask.clone();
    ask.needs_state(key, &HEIGHT_HANGS_ON);
    let from = set_temperature(&ask, key);
    let to = celsius(ask.shop.settings.working_celsius());
    let gap = ask.length(key);
    let surface = ask.take(surface);
    let warm = growth(&mut ask, from, to);
    let ten = growth(&mut ask, from, kelvin(from.value + 10.0));
    let others: Option<Vec<_>> = expansion::AT_THE_BENCH
        .into_iter()
        .map(|at| Some((celsius(at), growth(&mut ask, from, celsius(at))?)))
        .collect();
    let (Some(gap), Some(surface), Some(warm), Some(ten), Some(others)) = (gap, surface, warm, ten, others)
    else {
        return ask.lacking();
    };
    let shifted = |grown: Result<Volume, OutOfRange>| surface.after_drawing(gap, -grown?);
    ask.answer(shifted(warm).and_then(|working| {
        let targets: Result<Vec<_>, OutOfRange> =
            others.into_iter().map(|(at, grown)| Ok((at, shifted(grown)?))).collect();
        let (ten_degrees, targets) = (shifted(ten)? - gap, targets?);
        Ok(WarmGap { bench: gap, set_at: from, working, ten_degrees, targets })
    }))
}

fn at_gap(leg: &GapSetLeg, gap: Length, warming: Option<&Warming>) -> Result<AtGap, OutOfRange> {
    let leg = GapSetLeg { gap, ..leg.clone() };
    let chamber = match warming {
        Some(warming) => leg.warm_chamber(warming),
        None => leg.chamber(),
    };
    let chamber = match chamber {
        Ok(chamber) => chamber,
        Err(OutOfRange::Locked { .. }) => {
            return Ok(AtGap {
                gap,
                chamber: None,
                locks_short_by: Some(leg.stroke),
                push: None,
                ratio: None,
            });
        }
        Err(other) => return Err(other),
    };
    let (locks_short_by, push, ratio) = at_full_travel(&chamber, leg.stroke)?;
    Ok(AtGap { gap, chamber: Some(chamber), locks_short_by, push, ratio })
}

pub(super) type FullTravel = (Option<Length>, Option<Band<Force>>, Option<f64>);

pub(super) fn at_full_travel(chamber: &Chamber, stroke: Length) -> Result<FullTravel, OutOfRange> {
    let short = chamber.locks_short_by(stroke)?;
    match chamber.force_band(stroke) {
        Ok(push) => Ok((short, Some(push), Some(chamber.volume_ratio(stroke)?))),
        // A film of air left at the very end is as good as none.
        Err(OutOfRange::Locked { .. }) => Ok((Some(short.unwrap_or(length(0.0))), None, None)),
        Err(other) => Err(other),
    }
}

/// The air of a leg set by a gap or a level, at the bench and on the road.
pub(super) fn air_above_oil(ask: &Ask, inserted: &Answer<Volume>) -> Answer<Air> {
    let Some(height) = set_by(ask) else { return Answer::NotHere };
    let mut ask = ask.clone();
    let gap = ask.quantity(height);
    let surface = whole_surface(&ask);
    let surface = ask.take(&surface).cloned();
    let inserted = ask.take(inserted).copied();
    let tube = ask.length(key::TUBES_STANCHION_DIAMETER);
    let stroke = ask.length(key::TUBES_STROKE);
    // Of legs that do different work the one without a spring has no assist air.
    let assisted = ask.chosen() == Some(Springing::AirAssistedCoil) && ask.takes(key::AIR_ASSIST_PRESSURE);
    let start = if assisted {
        ask.pressure(key::AIR_ASSIST_PRESSURE).map(absolute)
    } else {
        Some(Ok(pressure(ATMOSPHERE)))
    };
    let other = other_state(&ask, height);
    if let Some(state) = &other {
        ask.lack_text(state.as_str());
    }
    let (Some(gap), Some(surface), Some(inserted), Some(tube), Some(stroke), Some(start), None) =
        (gap, surface, inserted, tube, stroke, start, other)
    else {
        return ask.lacking();
    };
    ask.needs_state(height, &HEIGHT_HANGS_ON);
    let from = set_temperature(&ask, height);
    let to = celsius(ask.shop.settings.working_celsius());
    let mut with_oil = ask.clone();
    let grown = match growth(&mut with_oil, from, to) {
        Some(grown) => {
            ask = with_oil;
            Some(grown)
        }
        None => {
            ask.assume("the oil's growth is left out: its amount or its density is not known");
            None
        }
    };
    ask.assume(air::LEFT_OUT);
    let limit = ask.shop.settings.air_force_limit();
    ask.answer(start.and_then(|start| {
        let leg = GapSetLeg { surface, gap: length(gap.middle_si()), inserted, tube, stroke, start };
        whole_air(
            height,
            leg,
            gap,
            Warming { from, to, growth: grown.clone().unwrap_or(Ok(volume(0.0)))? },
            grown.is_some(),
            limit,
        )
    }))
}

fn whole_air(
    height: Key,
    leg: GapSetLeg,
    gap: &Quantity,
    warming: Warming,
    growth_known: bool,
    limit: f64,
) -> Result<Air, OutOfRange> {
    Ok(Air {
        height,
        bench: at_gap(&leg, leg.gap, None)?,
        nominal: at_gap(&leg, leg.gap, Some(&warming))?,
        least: at_gap(&leg, length(gap.least_si()), Some(&warming))?,
        greatest: at_gap(&leg, length(gap.greatest_si()), Some(&warming))?,
        locks_at: leg.gap_that_locks_warm(&warming)?,
        limit_at: leg.gap_for_force_warm(force(limit), &warming).ok(),
        leg,
        warming,
        growth_known,
    })
}

/// The state a height would have to be read in, where it is read in one from which the air does not follow.
fn other_state(ask: &Ask, height: Key) -> Option<String> {
    match (ask.state(height, "leg"), ask.state(height, "edge")) {
        (Some("extended"), _) => Some(format!("{height} with the leg collapsed")),
        (_, Some("damper-top")) => Some(format!("{height} from the tube's top edge")),
        _ => None,
    }
}
