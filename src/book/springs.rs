//! Which spring of the stock carries which rider, and what a fork's springs are beside its own.

use super::links::spring_href;
use super::view::{CardTable, Link};
use crate::bench::choose::{carries, load_at};
use crate::bench::leg::{Leg, load_per_leg};
use crate::bench::spring::Spring;
use crate::bench::units::{Angle, Force, GRAVITY, Length, Mass, SpringRate, force, mass};
use crate::catalogue::{Key, key};
use crate::check::CheckedFork;
use crate::quantity::{Quantity, Value};
use crate::record::{Sides, SpecRecord};
use crate::resolve::{Resolved, Shop, Side};

/// How far a spring's free length may be from that of the fork's own, as a part of it. Common practice, no source.
const LENGTH_APART: f64 = 0.05;

/// How much wider a spring may be than the fork's own, m. Common practice, no source.
const WIDER: f64 = 0.001;

/// Steps of the load on the front axle, kg.
const STEP: f64 = 10.0;

/// How many steps a table goes beyond the rider on record.
const BEYOND: usize = 3;

/// Half of the last digit of a preload that is shown, m.
const ROUNDING: f64 = 0.000_05;

/// A value of a spring's own record.
fn quantity(spring: &SpecRecord, key: Key) -> Option<&Quantity> {
    let line = spring.values.iter().find(|line| line.field == key.id())?;
    let (Sides::Each(entry) | Sides::Legs(entry, _)) = &line.sides;
    entry.value.as_ref().and_then(Value::quantity)
}

/// A spring's rates: one, or one for each stretch.
pub fn rates(spring: &SpecRecord) -> Option<Spring> {
    let line = spring.values.iter().find(|line| line.field == key::COIL_RATE.id())?;
    let (Sides::Each(entry) | Sides::Legs(entry, _)) = &line.sides;
    let Some(Value::Sections(sections)) = &entry.value else { return None };
    let segments: Option<Vec<(SpringRate, Option<Length>)>> = sections
        .iter()
        .map(|section| {
            Some((section.value.spring_rate()?, section.until.as_ref().and_then(Quantity::length)))
        })
        .collect();
    Spring::in_segments(&segments?).ok()
}

/// The springs of the stock that a fork can take: about as long as its own, and no wider. None where its own is not on
/// record, or a spring was not measured.
pub fn fitting<'s>(shop: &'s Shop, fork: &CheckedFork) -> Vec<&'s SpecRecord> {
    let of = |key: Key| fork.any(key.id()).and_then(Resolved::quantity).map(Quantity::middle_si);
    let Some(long) = of(key::SPRING_FREE_LENGTH) else { return Vec::new() };
    let wide =
        of(key::SPRING_MEAN_DIAMETER).zip(of(key::SPRING_WIRE_DIAMETER)).map(|(mean, wire)| mean + wire);
    let fits = |spring: &&SpecRecord| {
        let of = |key: Key| quantity(spring, key).map(Quantity::middle_si);
        let length = of(key::COIL_FREE_LENGTH).is_some_and(|own| (own / long - 1.0).abs() <= LENGTH_APART);
        let own =
            of(key::COIL_MEAN_DIAMETER).zip(of(key::COIL_WIRE_DIAMETER)).map(|(mean, wire)| mean + wire);
        length && own.zip(wide).is_some_and(|(own, wide)| own <= wide + WIDER)
    };
    shop.springs.iter().map(AsRef::as_ref).filter(fits).collect()
}

/// Links to the springs that a fork can take.
pub fn links(shop: &Shop, fork: &CheckedFork) -> Vec<Link> {
    fitting(shop, fork).iter().map(|spring| Link::new(spring_href(&spring.id.text), spring.title())).collect()
}

/// What a table is worked out from.
struct Known<'f> {
    legs: [&'f Leg; 2],
    alone: f64,
    rider: f64,
    unsprung: Mass,
    rake: Angle,
    wanted: Length,
    least: f64,
    most: f64,
}

impl<'f> Known<'f> {
    fn of(fork: &'f CheckedFork) -> Option<Known<'f>> {
        let on = |key: Key| fork.any(key.id()).and_then(Resolved::quantity);
        let kilograms = |key: Key| on(key).and_then(Quantity::mass);
        let legs = Side::BOTH.map(|side| fork.derived.leg(side).forces.value());
        let [Some(left), Some(right)] = legs else { return None };
        let preload = fork.derived.legs.iter().find_map(|leg| leg.preload.value())?;
        let most = preload.set.as_ref().map_or(preload.backed_off.value, |set| set.greatest.value);
        Some(Known {
            legs: [left, right],
            alone: kilograms(key::SETUP_FRONT_LOAD)?.value,
            rider: kilograms(key::SETUP_FRONT_LOAD_RIDER)?.value,
            unsprung: kilograms(key::SETUP_UNSPRUNG_MASS)?,
            rake: on(key::SETUP_RAKE)?.angle()?,
            wanted: on(key::SETUP_SAG_RIDER)?.length()?,
            least: preload.backed_off.value,
            most,
        })
    }

    /// The load on both legs, along them, with so much under the front wheel.
    fn load(&self, kilograms: f64) -> Option<Force> {
        let weight = |mass: Mass| force(mass.value * GRAVITY);
        Some(2.0 * load_per_leg(weight(mass(kilograms)), weight(self.unsprung), self.rake).ok()?)
    }
}

/// A spring that was weighed against the sags that were read.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighed {
    /// What it is called.
    pub title: String,
    /// The preload for the sag with rider that is wanted, m; else why there is none.
    pub preload: Result<f64, String>,
    /// The sag of the machine alone with that preload, m.
    pub alone: f64,
    /// Whether the preload lies outside of what the adjuster gives.
    pub spacer: bool,
}

/// What a pair of sags says of the spring.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// What is wanted: alone, then with rider, m.
    pub wanted: [f64; 2],
    /// Each spring, the fork's own first.
    pub springs: Vec<Weighed>,
    /// The place of the one whose sag alone comes nearest, with a preload that the adjuster gives where one does.
    pub best: Option<usize>,
}

/// What static sag and sag with rider, as read with the preload on record, say of the spring: the loads follow from
/// them, and each spring is weighed against what the record wants. Readings in m.
///
/// # Errors
/// What is missing, a sentence.
pub fn advice(shop: &Shop, fork: &CheckedFork, alone: Length, rider: Length) -> Result<Advice, String> {
    let on = |key: Key| fork.any(key.id()).and_then(Resolved::quantity).and_then(Quantity::length);
    let [Some(still), Some(ridden)] = [key::SETUP_SAG_STATIC, key::SETUP_SAG_RIDER].map(on) else {
        return Err("the record wants no static sag, or no sag with rider".to_owned());
    };
    let legs = Side::BOTH.map(|side| fork.derived.leg(side).forces.value());
    let [Some(left), Some(right)] = legs else {
        return Err("the forces of a leg are not worked out: its page says what is missing".to_owned());
    };
    let own = [left, right].into_iter().find_map(|leg| leg.spring.as_ref()).map(|(spring, _)| spring.clone());
    let Some(own) = own else { return Err("no leg has a spring that could be another one".to_owned()) };
    let load = |sag: Length| load_at([left, right], sag).map_err(|why| why.to_string());
    let loads = [load(alone)?, load(rider)?];
    let range = fork.derived.legs.iter().find_map(|leg| leg.preload.value()).map(|preload| {
        let most = preload.set.as_ref().map_or(preload.backed_off.value, |set| set.greatest.value);
        (preload.backed_off.value, most)
    });
    let stock = fitting(shop, fork).into_iter().filter_map(|record| Some((record.title(), rates(record)?)));
    let weigh = |(title, spring): (String, Spring)| match carries([left, right], &spring, loads, ridden) {
        Ok(found) => {
            let preload = found.preload.value;
            let inside = |(least, most)| preload >= least - ROUNDING && preload <= most + ROUNDING;
            let spacer = !range.is_some_and(inside);
            Weighed { title, preload: Ok(preload), alone: found.alone.value, spacer }
        }
        Err(why) => Weighed { title, preload: Err(why.to_string()), alone: 0.0, spacer: true },
    };
    let fitted = std::iter::once(("as recorded".to_owned(), own));
    let springs: Vec<Weighed> = fitted.chain(stock).map(weigh).collect();
    let off = |one: &Weighed| (one.spacer, (one.alone - still.value).abs());
    let can = springs.iter().enumerate().filter(|(_, one)| one.preload.is_ok());
    let best = can.min_by(|(_, a), (_, b)| {
        let (a, b) = (off(a), off(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let best = best.map(|(at, _)| at);
    Ok(Advice { wanted: [still.value, ridden.value], springs, best })
}

/// How far the sag alone may be from what is wanted before a spring is called too soft or too stiff, m. Common practice,
/// no source.
const CLOSE: f64 = 0.004;

/// What a sag alone says of a spring that is set for the sag with rider.
fn word(alone: f64, wanted: f64) -> &'static str {
    match alone - wanted {
        off if off < -CLOSE => "too soft",
        off if off > CLOSE => "too stiff",
        _ => "right",
    }
}

impl Advice {
    /// The spring that comes nearest, and what it still is: `right`, `too soft` or `too stiff`; `None` where none of
    /// them can be set for the rider.
    pub fn nearest(&self) -> Option<(&Weighed, &'static str)> {
        let spring = self.springs.get(self.best?)?;
        Some((spring, word(spring.alone, self.wanted[0])))
    }

    /// What is to be said of the fork's own spring, a sentence.
    pub fn verdict(&self) -> String {
        let [still, ridden] = self.wanted.map(|metres| format!("{:.0}\u{a0}mm", metres * 1e3));
        let Some(own) = self.springs.first() else { return String::new() };
        let preload = match &own.preload {
            Err(why) => return format!("The spring cannot be set for {ridden} with rider: {why}."),
            Ok(preload) => format!("{:.1}\u{a0}mm of preload", preload * 1e3),
        };
        let alone = format!("{:.0}\u{a0}mm", own.alone * 1e3);
        let word = word(own.alone, self.wanted[0]);
        format!(
            "Set for {ridden} with rider ({preload}), the machine alone sags {alone}; {still} is wanted: the spring is {word}."
        )
    }
}

/// From what stands under the front wheel with the rider to a spring and its preload, with air and gap counted; `None`
/// where the record does not cover it, or no spring of the stock fits.
pub fn for_riders(shop: &Shop, fork: &CheckedFork) -> Option<CardTable> {
    let known = Known::of(fork)?;
    let own = known.legs.iter().find_map(|leg| leg.spring.as_ref()).map(|(spring, _)| spring.clone())?;
    let springs = fitting(shop, fork).into_iter().filter_map(|record| Some((record.title(), rates(record)?)));
    let mut springs: Vec<(String, Spring)> = springs.collect();
    if springs.is_empty() {
        return None;
    }
    springs.insert(0, ("as recorded".to_owned(), own));
    let alone = known.load(known.alone)?;
    let first = (known.alone + STEP) / STEP;
    let last = known.rider / STEP;
    let (first, last) = (libm::ceil(first) as usize, libm::ceil(last) as usize + BEYOND);
    let rows: Vec<Vec<String>> =
        (first..=last).filter_map(|step| row(&known, &springs, alone, step as f64 * STEP)).collect();
    (!rows.is_empty()).then(|| CardTable {
        title: "Which spring for which load.".to_owned(),
        note: format!(
            "For {:.0}\u{a0}mm of sag with rider. The adjuster gives {:.0} to {:.0}\u{a0}mm of preload with the spring on record; what lies outside asks for another spacer. Worked out without friction: set the sag by reading it.",
            known.wanted.value * 1000.0,
            known.least * 1000.0,
            known.most * 1000.0
        ),
        heads: ["Front axle with rider, kg", "Spring", "Preload, mm", "Sag alone, mm"].map(str::to_owned).to_vec(),
        rows,
    })
}

/// The spring whose preload lies best inside what the adjuster gives.
fn row(known: &Known<'_>, springs: &[(String, Spring)], alone: Force, kilograms: f64) -> Option<Vec<String>> {
    let load = known.load(kilograms)?;
    let middle = 0.5 * (known.least + known.most);
    let carried = springs.iter().filter_map(|(title, spring)| {
        Some((title, carries(known.legs, spring, [alone, load], known.wanted).ok()?))
    });
    let off = |preload: f64| (preload - middle).abs();
    let best = carried.min_by(|a, b| off(a.1.preload.value).total_cmp(&off(b.1.preload.value)));
    let cells = match best {
        Some((title, found)) => {
            let preload = found.preload.value;
            let out = preload < known.least - ROUNDING || preload > known.most + ROUNDING;
            let spacer = if out { " (another spacer)" } else { "" };
            [
                title.clone(),
                format!("{:.1}{spacer}", preload * 1e3),
                format!("{:.0}", found.alone.value * 1e3),
            ]
        }
        None => ["none of these".to_owned(), "–".to_owned(), "–".to_owned()],
    };
    Some(std::iter::once(format!("{kilograms:.0}")).chain(cells).collect())
}
