//! Unit slips: which mistake in the unit would explain a number that cannot be right.
//!
//! Three things betray a slip: a value outside its band, two sayings that disagree (the reader of values says
//! that), and a value that stands apart from its peers. Peers are the same field of other forks with the same
//! orientation, damping, springing and way of setting the oil, and the same stanchion diameter to the
//! millimetre; what a family says for several models counts once. The method, for at least five peers: on
//! natural logarithms, since a slip multiplies, the distance from the peers' median in robust standard
//! deviations (1.4826 times the median absolute deviation, and not below 3 %). A value stands apart beyond
//! 3.5·(1 + 4/n) of them, n the number of peers, and is told only where a slip brings it back within 2.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::fork::{each, lower_first};
use crate::catalogue::{Band, Field, FieldId};
use crate::diagnostic::Finding;
use crate::quantity::{Dimension, Quantity, Said, Shape, Unit, unit_of};
use crate::record::Entry;
use crate::resolve::{ResolvedFork, Shop};

/// The kinds of mistake, likeliest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// The number belongs to another unit.
    Unit,
    /// The decimal point is one place off.
    Point,
    /// Both legs for one, or a diameter for a radius; or the other way round.
    Half,
}

/// A mistake, and what the value would be without it.
#[derive(Debug, Clone, PartialEq)]
pub struct Slip {
    /// Which kind.
    pub kind: Kind,
    /// What would be right, in the unit the number was meant in and in the written one.
    pub would_be: String,
    /// What happened, in words.
    pub words: String,
    /// The value that would be right, SI.
    pub si: f64,
}

/// The units a sheet prints for a dimension, so that one may be taken for another. Each ratio of bench
/// arithmetic's list of slips is a quotient of two of them.
fn printed(dimension: Dimension) -> &'static [&'static str] {
    match dimension {
        Dimension::Length => &["mm", "in", "cm"],
        Dimension::Volume => &["mL", "US fl oz", "imp fl oz"],
        Dimension::Mass => &["g", "kg", "oz av", "lb"],
        Dimension::Torque => &["N·m", "lbf·ft", "lbf·in", "kgf·m", "kgf·cm"],
        Dimension::Force => &["N", "lbf", "kgf"],
        Dimension::Pressure => &["kPa", "bar", "psi", "kgf/cm²", "MPa"],
        Dimension::SpringRate => &["N/mm", "kgf/mm", "lbf/in"],
        Dimension::Temperature => &["°C", "°F"],
        Dimension::Distance => &["km", "mi"],
        Dimension::Density => &["kg/m³", "g/mL"],
        _ => &[],
    }
}

/// Every slip that could have made this reading, in a fixed order. With `twin`, the number is said again in
/// another unit and agrees, so a wrong label is out of the question.
pub fn slips(field: &Field, said: &Said, twin: bool) -> Vec<Slip> {
    let dimension = said.unit.dimension;
    let mut out = Vec::new();
    let middle = middle(said);
    if !twin {
        for symbol in printed(dimension) {
            let Some(meant) = unit_of(dimension, symbol) else { continue };
            if meant.numerator * said.unit.denominator == said.unit.numerator * meant.denominator
                && meant.offset_numerator == said.unit.offset_numerator
            {
                continue;
            }
            let si = meant.to_si(middle);
            out.push(Slip {
                kind: Kind::Unit,
                would_be: format!("{} {} ({})", number(said), meant.symbol, rounded(said.unit, si)),
                words: format!("the number was meant in {}", meant.symbol),
                si,
            });
        }
    }
    if printed(dimension).is_empty() || dimension == Dimension::Temperature {
        return out;
    }
    let mut scaled = |kind, factor: f64, words: &str| {
        let si = said.unit.to_si(middle * factor);
        out.push(Slip { kind, would_be: rounded(said.unit, si), words: words.to_owned(), si });
    };
    scaled(Kind::Point, 0.1, "the point stands one place too far right");
    scaled(Kind::Point, 10.0, "the point stands one place too far left");
    match dimension {
        Dimension::Volume | Dimension::SpringRate | Dimension::Mass => {
            scaled(Kind::Half, 0.5, "it is the figure for both legs");
            scaled(Kind::Half, 2.0, "it is half of the figure");
        }
        Dimension::Length if field.key.contains("diameter") || field.key.contains("bore") => {
            scaled(Kind::Half, 0.5, "a diameter was written twice over");
            scaled(Kind::Half, 2.0, "a radius was written for the diameter");
        }
        _ => {}
    }
    out
}

/// The slip that best explains a value which should lie in `from..to` (SI), nearest to `centre` by ratio.
pub fn likeliest(field: &Field, quantity: &Quantity, from: f64, to: f64, centre: f64) -> Option<Slip> {
    // Positive figures only: a ratio says nothing of the others.
    if centre <= 0.0 {
        return None;
    }
    let weight = |slip: &Slip| {
        let far = if slip.si > 0.0 { libm::log(slip.si / centre).abs() } else { f64::INFINITY };
        far + match slip.kind {
            Kind::Unit => 0.0,
            Kind::Point => 0.1,
            Kind::Half => 0.2,
        }
    };
    let slack = 1e-9 * to.abs();
    slips(field, quantity.main(), quantity.has_twin())
        .into_iter()
        .filter(|slip| slip.si >= from - slack && slip.si <= to + slack)
        .min_by(|a, b| weight(a).total_cmp(&weight(b)))
}

/// Which slip lies between an old and a new value: the old amount, with its number taken over into another
/// unit, or a point moved. Rounding of both sides is allowed for.
pub fn between(field: &Field, old: &Quantity, new: &Quantity) -> Option<Slip> {
    if old.dimension() != new.dimension() || old.middle_si() <= 0.0 {
        return None;
    }
    let said = new.main();
    let half =
        |said: &Said| said.shape.number().half_step_float() / said.shape.number().float().abs().max(1e-12);
    let room = half(said) + half(old.main()) + 1e-9;
    let near = |slip: &Slip| (slip.si / old.middle_si() - 1.0).abs() <= room;
    slips(field, said, new.has_twin()).into_iter().filter(near).min_by(|a, b| {
        a.kind
            .cmp(&b.kind)
            .then_with(|| (a.si - old.middle_si()).abs().total_cmp(&(b.si - old.middle_si()).abs()))
    })
}

fn middle(said: &Said) -> f64 {
    match &said.shape {
        Shape::Range { from, to } => f64::midpoint(from.float(), to.float()),
        other => other.number().float(),
    }
}

fn number(said: &Said) -> String {
    match &said.shape {
        Shape::Range { from, to } => format!("{from}..{to}"),
        other => other.number().text(),
    }
}

/// A figure with three digits that count.
fn rounded(unit: &Unit, si: f64) -> String {
    let value = unit.from_si(si);
    let size = value.abs();
    let places = if size >= 100.0 {
        0
    } else if size >= 10.0 {
        1
    } else if size >= 1.0 {
        2
    } else {
        3
    };
    format!("{value:.places$} {}", unit.symbol)
}

/// The median and the robust standard deviation of logarithms. `values` is sorted here; never empty.
fn robust(values: &mut [f64]) -> (f64, f64) {
    let median = median(values);
    let mut apart: Vec<f64> = values.iter().map(|value| (value - median).abs()).collect();
    (median, (1.4826 * self::median(&mut apart)).max(0.03))
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    match values {
        [] => 0.0,
        _ if values.len() % 2 == 1 => values[half],
        _ => f64::midpoint(values[half - 1], values[half]),
    }
}

/// What makes two forks peers for a field.
type Class = (FieldId, Vec<String>, i64);

/// The fewest peers from which a middle is taken.
pub const FEWEST_PEERS: usize = 5;

fn class(shop: &Shop, fork: &ResolvedFork, field: FieldId) -> Option<Class> {
    let chosen = ["orientation", "damping", "springing", "oil_set_by"]
        .map(|key| fork.choices.get(key).cloned().unwrap_or_default());
    let size = fork.any(shop, "tubes.stanchion_diameter")?.quantity()?.middle_si();
    Some((field, chosen.to_vec(), libm::round(size * 1000.0) as i64))
}

/// Whether a quantity is one that a slip multiplies.
fn multiplies(quantity: &Quantity) -> bool {
    let dimension = quantity.dimension();
    quantity.middle_si() > 0.0 && dimension != Dimension::Temperature && !printed(dimension).is_empty()
}

/// A saying among its peers: the entry, its logarithm, a fork that has it.
type Saying<'f> = (&'f Arc<Entry>, f64, &'f ResolvedFork);

/// Every value of a shop among its peers.
#[derive(Debug)]
pub struct Peers<'f> {
    shop: &'f Shop,
    classes: BTreeMap<Class, Vec<Saying<'f>>>,
}

/// How a value stands apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// How many peers it was compared with.
    pub peers: usize,
    /// Their middle, SI.
    pub middle: f64,
    /// The slip that brings it back among them.
    pub slip: Slip,
}

impl<'f> Peers<'f> {
    /// Gathers the values of all forks.
    pub fn of(shop: &'f Shop, forks: &'f [ResolvedFork]) -> Peers<'f> {
        let mut classes: BTreeMap<Class, Vec<Saying<'f>>> = BTreeMap::new();
        for fork in forks {
            for value in each(fork) {
                let Some(quantity) = value.quantity().filter(|quantity| multiplies(quantity)) else {
                    continue;
                };
                let Some(class) = class(shop, fork, value.field) else { continue };
                let said = classes.entry(class).or_default();
                if !said.iter().any(|(known, ..)| Arc::ptr_eq(known, &value.entry)) {
                    said.push((&value.entry, libm::log(quantity.middle_si()), fork));
                }
            }
        }
        Peers { shop, classes }
    }

    /// Where a value outside its band most likely lies in truth, SI: the median of its peers, when there are
    /// enough of them and it is inside the band; else the band's middle by ratio.
    pub fn centre(&self, fork: &ResolvedFork, field: FieldId, own: &Arc<Entry>, band: &Band) -> f64 {
        let said = class(self.shop, fork, field).and_then(|class| self.classes.get(&class));
        let others = said.into_iter().flatten().filter(|(entry, ..)| !Arc::ptr_eq(entry, own));
        let mut others: Vec<f64> = others.map(|(_, log, _)| *log).collect();
        let of_peers = (others.len() >= FEWEST_PEERS).then(|| libm::exp(median(&mut others)));
        of_peers
            .filter(|middle| (band.from..=band.to).contains(middle))
            .unwrap_or_else(|| (band.from * band.to).max(0.0).sqrt())
    }

    /// Judges what a fork says (or would say) for a field, `own` being its entry, which does not count among
    /// its own peers. `None`: it stands among them, there are too few, or no slip explains it.
    pub fn judge(
        &self,
        fork: &ResolvedFork,
        field: FieldId,
        own: &Arc<Entry>,
        said: &Quantity,
    ) -> Option<Apart> {
        self.judge_in(&class(self.shop, fork, field)?, own, said)
    }

    fn judge_in(&self, class: &Class, own: &Arc<Entry>, said: &Quantity) -> Option<Apart> {
        let all = self.classes.get(class)?;
        let others = all.iter().filter(|(entry, ..)| !Arc::ptr_eq(entry, own));
        let mut others: Vec<f64> = others.map(|(_, log, _)| *log).collect();
        if others.len() < FEWEST_PEERS || !multiplies(said) {
            return None;
        }
        let (median, spread) = robust(&mut others);
        let far = (libm::log(said.middle_si()) - median).abs() / spread;
        if far <= 3.5 * (1.0 + 4.0 / others.len() as f64) {
            return None;
        }
        let (from, to) = (libm::exp(median - 2.0 * spread), libm::exp(median + 2.0 * spread));
        let middle = libm::exp(median);
        let slip = likeliest(self.shop.catalogue.field(class.0), said, from, to, middle)?;
        Some(Apart { peers: others.len(), middle, slip })
    }
}

/// unit-slip: a value that stands apart from its peers, and that a slip explains.
pub(super) fn peers(shop: &Shop, forks: &[ResolvedFork], found: &mut Vec<Finding>) {
    let peers = Peers::of(shop, forks);
    for (class, said) in &peers.classes {
        let field = shop.catalogue.field(class.0);
        for (entry, _, fork) in said {
            let Some(quantity) = entry.value.as_ref().and_then(|value| value.quantity()) else { continue };
            let inside = |band: &Band| (band.from..=band.to).contains(&quantity.middle_si());
            // Outside its band it has been told of already.
            if field.band(&fork.choices).is_some_and(|band| !inside(band)) {
                continue;
            }
            let Some(apart) = peers.judge_in(class, entry, quantity) else { continue };
            found.push(
                Finding::warning(
                    "unit-slip",
                    entry.span,
                    format!(
                        "{} of {} stands apart from {} like forks, whose middle is {}",
                        lower_first(&field.title),
                        entry.text,
                        apart.peers,
                        rounded(quantity.unit(), apart.middle)
                    ),
                )
                .bench(lower_first(&field.wrong))
                .instead(format!(
                    "look at the sheet again: `{}` would fit, if {}; if it is right, let the finding stand with \
                     `accept:`, a reason and a name",
                    apart.slip.would_be, apart.slip.words
                )),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;
    use crate::quantity::{Value, read_value};

    fn quantity(key: &str, text: &str) -> (Field, Quantity) {
        let catalogue = builtin().unwrap();
        let field = catalogue.field(catalogue.find(key).unwrap()).clone();
        let value = read_value(text, &field.wanted()).0;
        let quantity = value.as_ref().and_then(Value::quantity).cloned();
        (field, quantity.unwrap_or_else(|| panic!("{text}")))
    }

    /// Every ratio of the list in the arithmetic's notes is a quotient of two printed units or a plain factor.
    /// The figures are those of NIST SP 811 (2008), appendix B, rounded.
    #[test]
    fn the_known_ratios_are_tried() {
        for (key, written, meant, ratio) in [
            ("oil.air_gap", "100 mm", "in", 25.4),
            ("torque.cap_to_tube", "20 N·m", "lbf·ft", 1.355_818),
            ("torque.cap_to_tube", "20 N·m", "lbf·in", 0.112_984_8),
            ("torque.cap_to_tube", "20 lbf·ft", "lbf·in", 1.0 / 12.0),
            ("torque.cap_to_tube", "20 N·m", "kgf·m", 9.806_65),
            ("torque.cap_to_tube", "20 lbf·ft", "kgf·cm", 1.0 / 13.825_5),
            ("oil.dry_fill", "400 mL", "US fl oz", 29.573_53),
            ("oil.dry_fill", "400 mL", "imp fl oz", 28.413_06),
            ("oil.dry_fill", "14 US fl oz", "imp fl oz", 1.0 / 1.040_84),
            ("spring.rate", "9 N/mm", "lbf/in", 0.175_126_8),
            ("spring.rate", "0.9 kgf/mm", "lbf/in", 1.0 / 55.997),
            ("air.main_pressure", "900 kPa", "psi", 6.894_757),
            ("air.main_pressure", "9 bar", "psi", 1.0 / 14.503_8),
            ("air.main_pressure", "900 kPa", "kgf/cm²", 98.066_5),
        ] {
            let (field, quantity) = self::quantity(key, written);
            let tried = slips(&field, quantity.main(), false);
            let slip = tried.iter().find(|slip| slip.words.ends_with(&format!("in {meant}")));
            let slip = slip.unwrap_or_else(|| panic!("{key}: {meant} is not tried"));
            let got = slip.si / quantity.middle_si();
            assert!((got / ratio - 1.0).abs() < 1e-4, "{key} {written} as {meant}: {got}, not {ratio}");
        }
    }

    #[test]
    fn a_torque_pasted_without_its_unit_is_seen_between_old_and_new() {
        let (field, old) = quantity("torque.cap_to_tube", "31 N·m");
        let (_, new) = quantity("torque.cap_to_tube", "23 N·m");
        let slip = between(&field, &old, &new).unwrap();
        assert_eq!((slip.kind, slip.would_be.as_str()), (Kind::Unit, "23 lbf·ft (31.2 N·m)"));
        let (_, tuned) = quantity("torque.cap_to_tube", "28 N·m");
        assert_eq!(between(&field, &old, &tuned), None);
        let (_, twin) = quantity("torque.cap_to_tube", "23 N·m (17 lbf·ft)");
        assert_eq!(between(&field, &old, &twin), None, "two sayings that agree vouch for the unit");
    }

    #[test]
    fn the_middle_of_peers_is_not_moved_by_one_of_them() {
        let (median, spread) = robust(&mut [1.0, 1.1, 0.9, 1.05, 9.0]);
        assert!((median - 1.05).abs() < 1e-12 && (0.05..0.3).contains(&spread), "{median} {spread}");
        assert_eq!(robust(&mut [2.0; 5]).1, 0.03);
    }
}
