//! Unit slips: which mistake in the unit would explain a number that cannot be right.
//!
//! Three things betray a slip: a value outside its band, two sayings that disagree (the reader of values says
//! that), and a value that stands apart from its peers. Peers are the same field of other forks with the same
//! orientation, damping, springing and way of setting the oil, and the same stanchion diameter to the
//! millimetre; what a family says for several models counts once. The method, for at least five peers: on
//! natural logarithms, since a slip multiplies, the distance from the peers' median in robust standard
//! deviations (1.4826 times the median absolute deviation, and not below 3 %). A value stands apart beyond
//! 3.5·(1 + 4/n) of them, n the number of peers, and is told only where a slip brings it back within 2.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::Arc;

use rayon::prelude::*;

use crate::catalogue::choice::{Damping, OilSetBy, Orientation, Springing};
use crate::catalogue::{Band, Field, FieldId, MadeChoice, key};
use crate::check::CheckedFork;
use crate::check::look::each;
use crate::check::value::middle::{Others, Sorted};
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Dimension, Quantity, Saying, Shape, Unit, unit_of};
use crate::record::Entry;
use crate::resolve::{ResolvedFork, Shop};
use crate::words::lower_first;

/// The kinds of mistake, likeliest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// The number belongs to another unit.
    Unit,
    /// The decimal point is one place off.
    Point,
    /// Both legs for one, or a diameter for a radius; or the other way round.
    Half,
    /// Two neighbouring digits changed places.
    Digits,
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

/// Every slip that could have made this reading, in a fixed order. With `twin`, the number is said again in
/// another unit and agrees, so a wrong label is out of the question.
pub fn slips(field: &Field, saying: &Saying, twin: bool) -> Vec<Slip> {
    let dimension = saying.unit.dimension;
    let mut out = Vec::new();
    let middle = middle(saying);
    if !twin {
        for symbol in dimension.printed() {
            let Some(meant) = unit_of(dimension, symbol) else { continue };
            if meant.numerator * saying.unit.denominator == saying.unit.numerator * meant.denominator
                && meant.offset_numerator == saying.unit.offset_numerator
            {
                continue;
            }
            let si = meant.to_si(middle);
            out.push(Slip {
                kind: Kind::Unit,
                would_be: format!("{} {} ({})", number(saying), meant.symbol, rounded(saying.unit, si)),
                words: format!("the number was meant in {}", meant.symbol),
                si,
            });
        }
    }
    if dimension.printed().is_empty() || dimension == Dimension::Temperature {
        return out;
    }
    let mut scaled = |kind, factor: f64, words: &str| {
        let si = saying.unit.to_si(middle * factor);
        out.push(Slip { kind, would_be: rounded(saying.unit, si), words: words.to_owned(), si });
    };
    scaled(Kind::Point, 0.1, "the point stands one place too far right");
    scaled(Kind::Point, 10.0, "the point stands one place too far left");
    match dimension {
        Dimension::Volume | Dimension::SpringRate => {
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

/// Most slips that are told for one value. Where more would explain it, they explain nothing.
pub const MOST_TOLD: usize = 4;

/// How far outside a value must lie, as a ratio, before a unit is doubted that another one vouches for, or two
/// digits are thought to have changed places. Just outside, most values are rare and right.
const WELL_OUTSIDE: f64 = 1.5;

/// The room in which a figure is looked for: least and most, SI, and where it most likely lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Least, SI.
    pub from: f64,
    /// Most, SI.
    pub to: f64,
    /// The middle of its peers or of its band, SI.
    pub centre: f64,
}

impl Room {
    /// A band's room. By ratio; a band that begins at nothing has no such middle, and most of what lies in it
    /// lies low.
    pub fn of(band: &Band) -> Room {
        let centre = if band.from > 0.0 { (band.from * band.to).sqrt() } else { band.to / 4.0 };
        Room { from: band.from, to: band.to, centre }
    }

    /// The part of it that lies between two bounds.
    pub fn between(self, (from, to): (f64, f64)) -> Room {
        Room { from: self.from.max(from), to: self.to.min(to), ..self }
    }
}

/// Every slip that would explain a value which should lie in a room, the likeliest first. With `vouched`, a
/// second unit vouches for the first.
pub fn explaining(field: &Field, quantity: &Quantity, room: Room, vouched: bool) -> Vec<Slip> {
    // Positive figures only: a ratio says nothing of the others.
    if room.centre <= 0.0 {
        return Vec::new();
    }
    let far = |si: f64| if si > 0.0 { libm::log(si / room.centre).abs() } else { f64::INFINITY };
    let weight = |slip: &Slip| {
        far(slip.si)
            + match slip.kind {
                Kind::Unit => 0.0,
                Kind::Point => 0.1,
                Kind::Half => 0.2,
                // A rare slip, which can be had for nearly every number.
                Kind::Digits => 1000.0,
            }
    };
    let slack = 1e-9 * room.to.abs();
    let saying = quantity.main();
    let middle = quantity.middle_si();
    let well = middle > room.to * WELL_OUTSIDE || middle < room.from / WELL_OUTSIDE;
    // A second unit was worked out from a wrong number where the value cannot be, and not where it is rare.
    let mut all = slips(field, saying, quantity.has_twin() && (vouched || !well));
    // Two digits change places in nearly every number.
    if well {
        all.extend(digits(saying));
    }
    all.retain(|slip| slip.si >= room.from - slack && slip.si <= room.to + slack);
    // What explains a value must lie nearer to where it belongs than the value does.
    all.retain(|slip| far(slip.si) < far(quantity.middle_si()));
    all.sort_by(|a, b| weight(a).total_cmp(&weight(b)));
    all
}

/// The number with two neighbouring digits exchanged.
fn digits(saying: &Saying) -> Vec<Slip> {
    let text = number(saying);
    if matches!(saying.shape, Shape::Range { .. }) || text.chars().any(|c| !c.is_ascii_digit() && c != '.') {
        return Vec::new();
    }
    let places: Vec<usize> = text.char_indices().filter(|(_, c)| *c != '.').map(|(at, _)| at).collect();
    let exchanged = |pair: &[usize]| {
        let mut letters: Vec<char> = text.chars().collect();
        letters.swap(pair[0], pair[1]);
        let there: String = letters.into_iter().collect();
        let leads = there.starts_with('0') && !text.starts_with('0');
        (there != text && !leads).then_some(there)
    };
    let slip = |there: String| {
        let si = saying.unit.to_si(there.parse().ok()?);
        let words = "two digits changed places".to_owned();
        Some(Slip { kind: Kind::Digits, would_be: format!("{there} {}", saying.unit.symbol), words, si })
    };
    places.windows(2).filter_map(exchanged).filter_map(slip).collect()
}

/// What is said of the slips that would explain a value, as a part of a sentence: all of them, since only the
/// sheet can tell which it was; nothing where there is none, or where there are so many that none explains it.
pub fn in_words(slips: &[Slip], twin: bool) -> Option<String> {
    if slips.is_empty() || slips.len() > MOST_TOLD {
        return None;
    }
    if let [slip] = slips {
        let also = if twin { " and the second unit worked out from it" } else { "" };
        return Some(format!("`{}` would fit, if {}{also}", slip.would_be, slip.words));
    }
    let each: Vec<String> = slips
        .iter()
        .map(|slip| {
            let why = match slip.kind {
                Kind::Unit => "",
                Kind::Point => " (its point)",
                Kind::Half => " (its half or double)",
                Kind::Digits => " (its digits)",
            };
            format!("`{}`{why}", slip.would_be)
        })
        .collect();
    let (last, most) = each.split_last()?;
    Some(format!("{} or {last} would fit; only the sheet can tell which", most.join(", ")))
}

/// Which slip lies between an old and a new value: the old amount, with its number taken over into another
/// unit, or a point moved. Rounding of both sides is allowed for. A second unit vouches for nothing here: it may
/// have been worked out from the wrong number, and the old value speaks against both.
pub fn between(field: &Field, old: &Quantity, new: &Quantity) -> Option<Slip> {
    if old.dimension() != new.dimension() || old.middle_si() <= 0.0 {
        return None;
    }
    let saying = new.main();
    let half = |saying: &Saying| {
        saying.shape.number().half_step_float() / saying.shape.number().float().abs().max(1e-12)
    };
    let room = half(saying) + half(old.main()) + 1e-9;
    let near = |slip: &Slip| (slip.si / old.middle_si() - 1.0).abs() <= room;
    slips(field, saying, false).into_iter().filter(near).min_by(|a, b| {
        a.kind
            .cmp(&b.kind)
            .then_with(|| (a.si - old.middle_si()).abs().total_cmp(&(b.si - old.middle_si()).abs()))
    })
}

fn middle(saying: &Saying) -> f64 {
    match &saying.shape {
        Shape::Range { from, to } => f64::midpoint(from.float(), to.float()),
        other => other.number().float(),
    }
}

fn number(saying: &Saying) -> String {
    match &saying.shape {
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

/// What makes two forks peers: how they are made, and how thick their stanchions are, in whole millimetres.
type Group = ([String; 4], i64);

/// The fewest peers from which a middle is taken.
pub const FEWEST_PEERS: usize = 5;

fn group(fork: &ResolvedFork) -> Option<Group> {
    let chosen = [Orientation::CHOICE, Damping::CHOICE, Springing::CHOICE, OilSetBy::CHOICE]
        .map(|key| fork.choices.get(key).cloned().unwrap_or_default());
    let size = fork.any(key::TUBES_STANCHION_DIAMETER)?.quantity()?.middle_si();
    Some((chosen, libm::round(size * 1000.0) as i64))
}

/// Whether a quantity is one that a slip multiplies.
fn multiplies(quantity: &Quantity) -> bool {
    let dimension = quantity.dimension();
    quantity.middle_si() > 0.0 && dimension != Dimension::Temperature && !dimension.printed().is_empty()
}

/// A saying among its peers: the entry, its logarithm, a fork that has it.
type PeerValue<'f> = (&'f Arc<Entry>, f64, &'f ResolvedFork);

/// What like forks say for one field.
#[derive(Debug, Default)]
struct Sayings<'f> {
    entries: Vec<PeerValue<'f>>,
    logs: Sorted,
}

impl Sayings<'_> {
    /// The logarithms of all but this entry, which may be none of them.
    fn without(&self, entry: &Arc<Entry>) -> Others<'_> {
        let saying = self.entries.iter().find(|(other, ..)| Arc::ptr_eq(other, entry));
        self.logs.without(saying.map(|(_, log, _)| *log))
    }
}

/// Every value of a shop among its peers.
#[derive(Debug)]
pub struct Peers<'f> {
    shop: &'f Shop,
    groups: BTreeMap<Group, BTreeMap<FieldId, Sayings<'f>>>,
}

/// How a value stands apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// How many peers it was compared with.
    pub peers: usize,
    /// Their middle, SI.
    pub middle: f64,
    /// The slips that bring it back among them, the likeliest first; never empty.
    pub slips: Vec<Slip>,
}

impl<'f> Peers<'f> {
    /// Gathers the values of all forks.
    pub fn of(shop: &'f Shop, forks: impl Iterator<Item = &'f ResolvedFork>) -> Peers<'f> {
        let forks: Vec<&ResolvedFork> = forks.collect();
        let of_fork = |fork: &&'f ResolvedFork| {
            let fork = *fork;
            let numbers = each(fork).filter_map(|value| {
                let quantity = value.quantity().filter(|quantity| multiplies(quantity))?;
                Some((value.field, (&value.entry, libm::log(quantity.middle_si()), fork)))
            });
            Some((group(fork)?, numbers.collect::<Vec<_>>()))
        };
        let in_words: Vec<(Group, Vec<(FieldId, PeerValue<'f>)>)> =
            forks.par_iter().filter_map(of_fork).collect();
        let mut groups: BTreeMap<Group, BTreeMap<FieldId, Sayings<'f>>> = BTreeMap::new();
        let mut places: HashMap<Group, usize> = HashMap::new();
        // What a family says counts once among the forks that have it from there.
        let mut counted: HashSet<(usize, usize)> = HashSet::new();
        for (group, numbers) in in_words {
            let next = places.len();
            let place = *places.entry(group.clone()).or_insert(next);
            let fields = groups.entry(group).or_default();
            for (field, saying) in numbers {
                if counted.insert((place, Arc::as_ptr(saying.0).addr())) {
                    fields.entry(field).or_default().entries.push(saying);
                }
            }
        }
        for sayings in groups.values_mut().flat_map(BTreeMap::values_mut) {
            sayings.logs = Sorted::new(sayings.entries.iter().map(|(_, log, _)| *log).collect());
        }
        Peers { shop, groups }
    }

    /// The places of the forks of each group of like forks, and of those that are like none. A build is no model of its
    /// maker's: it is held against none.
    pub(crate) fn places(forks: &[CheckedFork]) -> Vec<Vec<usize>> {
        let mut groups: BTreeMap<Option<Group>, Vec<usize>> = BTreeMap::new();
        for (at, fork) in forks.iter().enumerate().filter(|(_, fork)| fork.record.build().is_none()) {
            groups.entry(group(fork)).or_default().push(at);
        }
        groups.into_values().collect()
    }

    fn sayings(&self, fork: &ResolvedFork, field: FieldId) -> Option<&Sayings<'f>> {
        self.groups.get(&group(fork)?)?.get(&field)
    }

    /// Where a value outside its band must lie in truth: inside the band, and in the room the record's other
    /// values leave it; most likely at the median of its peers, when there are enough of them and it is inside
    /// the band, else at the band's middle.
    pub fn room(&self, fork: &ResolvedFork, field: FieldId, entry: &Arc<Entry>, band: &Band) -> Room {
        let others = self.sayings(fork, field).map(|sayings| sayings.without(entry));
        let of_peers = others.filter(|others| others.len() >= FEWEST_PEERS);
        let of_peers = of_peers.map(|others| libm::exp(others.median()));
        let room = Room::of(band).between(crate::check::value::room::left_by(self.shop, fork, field, entry));
        match of_peers.filter(|middle| (band.from..=band.to).contains(middle)) {
            Some(centre) => Room { centre, ..room },
            None => room,
        }
    }

    /// Judges what a fork says (or would say) for a field, `entry` being its own, which does not count among
    /// its own peers. `None`: it stands among them, there are too few, or no slip explains it.
    pub fn judge(
        &self,
        fork: &ResolvedFork,
        field: FieldId,
        entry: &Arc<Entry>,
        quantity: &Quantity,
    ) -> Option<Apart> {
        self.judge_among(self.sayings(fork, field)?.without(entry), field, quantity)
    }

    fn judge_among(&self, others: Others<'_>, field: FieldId, quantity: &Quantity) -> Option<Apart> {
        if others.len() < FEWEST_PEERS || !multiplies(quantity) {
            return None;
        }
        let (median, spread) = robust(&others);
        let far = (libm::log(quantity.middle_si()) - median).abs() / spread;
        if far <= 3.5 * (1.0 + 4.0 / others.len() as f64) {
            return None;
        }
        let (from, to) = (libm::exp(median - 2.0 * spread), libm::exp(median + 2.0 * spread));
        let middle = libm::exp(median);
        let room = Room { from, to, centre: middle };
        let mut slips = explaining(self.shop.catalogue.field(field), quantity, room, true);
        // Digits that changed places are no reason to doubt a value among its peers.
        if slips.first()?.kind == Kind::Digits {
            return None;
        }
        slips.truncate(MOST_TOLD);
        Some(Apart { peers: others.len(), middle, slips })
    }
}

/// The median and the robust standard deviation of logarithms, of which there is one at least.
fn robust(values: &Others<'_>) -> (f64, f64) {
    let median = values.median();
    (median, (1.4826 * values.median_apart(median)).max(0.03))
}

/// unit-slip: a value that stands apart from its peers, and that a slip explains.
pub(crate) fn peers(shop: &Shop, _: &[CheckedFork], peers: &Peers<'_>, findings: &mut Vec<Finding>) {
    let classes: Vec<(FieldId, &Sayings<'_>)> =
        peers.groups.values().flatten().map(|(field, sayings)| (*field, sayings)).collect();
    findings.par_extend(classes.par_iter().flat_map_iter(|(field, sayings)| {
        sayings.entries.iter().filter_map(|saying| apart(shop, peers, *field, sayings, saying))
    }));
}

fn apart(
    shop: &Shop,
    peers: &Peers<'_>,
    id: FieldId,
    sayings: &Sayings<'_>,
    (entry, log, fork): &PeerValue<'_>,
) -> Option<Finding> {
    let field = shop.catalogue.field(id);
    let quantity = entry.value.as_ref().and_then(|value| value.quantity())?;
    let inside = |band: &Band| (band.from..=band.to).contains(&quantity.middle_si());
    // Outside its band it has been told of already.
    if entry
        .value
        .as_ref()
        .and_then(|value| field.band(&fork.choices, value))
        .is_some_and(|band| !inside(band))
    {
        return None;
    }
    let apart = peers.judge_among(sayings.logs.without(Some(*log)), id, quantity)?;
    Some(
        rules::UNIT_SLIP.at(entry.span,
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
            "look at the sheet again{}; if it is right, let the finding stand with `accept:`, a reason and a name",
            in_words(&apart.slips, quantity.has_twin()).map_or_else(String::new, |in_words| format!(": {in_words}"))
        )),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;
    use crate::quantity::{Value, read_value};

    fn quantity(key: &str, text: &str) -> (Field, Quantity) {
        let catalogue = builtin().unwrap();
        let field = catalogue.field(catalogue.find(key).unwrap()).clone();
        let value = read_value(text, &field.spec()).0;
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
        let slip = between(&field, &old, &twin).unwrap();
        assert_eq!(
            slip.would_be, "23 lbf·ft (31.2 N·m)",
            "a second unit may be worked out from the wrong number"
        );
        let (_, other) = quantity("torque.cap_to_tube", "26 N·m (19 lbf·ft)");
        assert_eq!(between(&field, &old, &other), None);
    }

    #[test]
    fn the_middle_of_peers_is_not_moved_by_one_of_them() {
        let (median, spread) = robust(&Sorted::new(vec![1.0, 1.1, 0.9, 1.05, 9.0]).without(None));
        assert!((median - 1.05).abs() < 1e-12 && (0.05..0.3).contains(&spread), "{median} {spread}");
        assert_eq!(robust(&Sorted::new(vec![2.0; 5]).without(None)).1, 0.03);
    }
}
