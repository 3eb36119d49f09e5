//! Slips every number of a shop and counts what is noticed.

use std::collections::BTreeMap;
use std::sync::Arc;

use benchleaf::catalogue::Field;
use benchleaf::check::value::slips::{Kind, MOST_TOLD, Peers, Room, Slip, explaining, slips};
use benchleaf::quantity::{Quantity, Saying, Shape, Unit, Value, read_value, unit_of};
use benchleaf::record::Entry;
use benchleaf::resolve::{Resolved, ResolvedFork, Shop};

/// What noticed a slip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum By {
    /// Two sayings disagree.
    Twin,
    /// Refused for another reason.
    Reader,
    Band,
    Peers,
}

/// How the true value stands among what is offered.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Named {
    /// First.
    First,
    /// Among what is told.
    Told,
    /// Not told.
    No,
}

impl Named {
    fn by(slips: &[Slip], right: impl Fn(f64) -> bool) -> Named {
        match slips.iter().position(|slip| right(slip.si)) {
            Some(0) => Named::First,
            Some(_) if slips.len() <= MOST_TOLD => Named::Told,
            _ => Named::No,
        }
    }
}

#[derive(Default, Clone)]
struct Count {
    tried: usize,
    by: BTreeMap<By, usize>,
    named: usize,
    told: usize,
}

impl Count {
    fn caught(&self) -> usize {
        self.by.values().sum()
    }

    fn add(&mut self, noticed: Option<(By, Named)>) {
        self.tried += 1;
        if let Some((by, named)) = noticed {
            *self.by.entry(by).or_default() += 1;
            self.named += usize::from(named == Named::First);
            self.told += usize::from(named != Named::No);
        }
    }
}

/// The number of a saying in a unit, with three digits that count, or as many as were written.
pub fn written(said: &Saying, value: f64) -> String {
    let places = usize::from(said.shape.number().decimals());
    let needed = if value.abs() >= 100.0 {
        0
    } else if value.abs() >= 10.0 {
        1
    } else if value.abs() >= 1.0 {
        2
    } else {
        3
    };
    format!("{value:.*}", places.max(needed))
}

/// One number in its context.
struct Number<'s> {
    peers: &'s Peers<'s>,
    fork: &'s ResolvedFork,
    value: &'s Resolved,
    field: &'s Field,
    truth: f64,
}

impl Number<'_> {
    /// Whether what the reader offers holds the true value: a reading within 2 % of it, both readings of a number
    /// that stands in both units, or the kind of mistake in words.
    fn offers_truth(&self, instead: &str, kind: &str) -> bool {
        let truth = |text: &str| {
            let value = read_value(text, &self.field.spec()).0;
            let si = value.as_ref().and_then(Value::quantity).map(Quantity::middle_si);
            si.is_some_and(|si| (si / self.truth - 1.0).abs() < 0.02)
        };
        let quoted: Vec<&str> = instead.split('`').collect();
        // A reading, and the half that it says stands.
        let offered = (1..quoted.len()).filter_map(|at| match quoted[at] {
            " would agree with " | " would nearly agree with " => {
                Some([quoted[at - 1], quoted.get(at + 1).copied().unwrap_or_default()])
            }
            words
                if [" would agree", " would nearly agree", " is "]
                    .iter()
                    .any(|said| words.starts_with(said)) =>
            {
                Some([quoted[at - 1], quoted[at - 1]])
            }
            _ => None,
        });
        let offered: Vec<&str> = offered.flatten().collect();
        offered.into_iter().any(truth) || (!kind.is_empty() && instead.contains(kind))
    }

    /// What notices this text, and whether what is offered instead is the truth.
    fn noticed(&self, text: &str, kind: &str) -> Option<(By, Named)> {
        let (value, troubles) = read_value(text, &self.field.spec());
        if let Some(trouble) =
            troubles.iter().find(|trouble| trouble.severity == benchleaf::diagnostic::Severity::Error)
        {
            let by = if trouble.rule.code == "units-disagree" { By::Twin } else { By::Reader };
            let offered = self.offers_truth(&trouble.instead, kind);
            return Some((by, if offered { Named::First } else { Named::No }));
        }
        let value = value?;
        let quantity = value.quantity()?;
        let right = |si: f64| (si / self.truth - 1.0).abs() < 0.02;
        if let Some(band) = self.field.band(&self.fork.choices, &value) {
            let middle = quantity.middle_si();
            if middle < band.from || middle > band.to {
                let room = self.peers.room(self.fork, self.value.field, &self.value.entry, band);
                // Where the record's other values leave no room for the true one, they contradict each other.
                let consistent = (room.from..=room.to).contains(&self.truth);
                let room = if consistent { room } else { Room { from: band.from, to: band.to, ..room } };
                let slips = explaining(self.field, quantity, room, false);
                return Some((By::Band, Named::by(&slips, right)));
            }
        }
        let apart = self.peers.judge(self.fork, self.value.field, &self.value.entry, quantity)?;
        Some((By::Peers, Named::by(&apart.slips, right)))
    }
}

/// A number slipped: what stands there instead, and the words for a mistake that is not one of units.
struct Slipped {
    way: &'static str,
    number: String,
    unit: &'static Unit,
    kind: &'static str,
}

/// Every way in which a number in a unit slips.
fn slipped(field: &Field, said: &Saying) -> Vec<Slipped> {
    let unit = said.unit;
    let value = unit.from_si(said.middle_si());
    let number = written(said, value);
    let mut out = Vec::new();
    for slip in slips(field, said, false) {
        match slip.kind {
            Kind::Unit => {
                let symbol = slip.words.rsplit("in ").next().unwrap_or_default();
                let Some(other) = unit_of(unit.dimension, symbol) else { continue };
                let there = written(said, other.from_si(said.middle_si()));
                out.push(Slipped { way: "the number", number: there, unit, kind: "" });
                out.push(Slipped { way: "the label", number: number.clone(), unit: other, kind: "" });
            }
            // Not among the ways in which a unit slips.
            Kind::Digits => {}
            Kind::Point | Kind::Half => {
                // The slip's factor takes a wrong value to a right one.
                let factor = said.middle_si() / slip.si;
                let kind = if slip.kind == Kind::Point { "" } else { "looks like a figure" };
                // A point that moves takes its digits along.
                let places = number.split_once('.').map_or(0, |(_, fraction)| fraction.len());
                let number = match slip.kind {
                    Kind::Point if factor > 1.0 => format!("{:.*}", places.saturating_sub(1), value * factor),
                    Kind::Point => format!("{:.*}", places + 1, value * factor),
                    _ => written(said, value * factor),
                };
                out.push(Slipped { way: "the number", number, unit, kind });
            }
        }
    }
    out
}

fn plain(said: &Saying) -> bool {
    matches!(
        said.shape,
        Shape::Exact(_)
            | Shape::PlusMinus { .. }
            | Shape::Limits { .. }
            | Shape::AtMost(_)
            | Shape::AtLeast(_)
    )
}

/// What stands before a limit.
pub fn sign(said: &Saying) -> &'static str {
    match said.shape {
        Shape::AtMost(_) => "≤ ",
        Shape::AtLeast(_) => "≥ ",
        _ => "",
    }
}

/// Slips one number in every way and counts.
fn one(
    number: &Number<'_>,
    said: &Saying,
    twin: &'static Unit,
    out: &mut BTreeMap<(bool, &'static str), Count>,
    by_field: &mut Count,
) {
    let true_twin = written(said, twin.from_si(said.middle_si()));
    let true_number = written(said, said.unit.from_si(said.middle_si()));
    let sign = sign(said);
    let near = |a: &str, b: &str| matches!((a.parse::<f64>(), b.parse::<f64>()), (Ok(a), Ok(b)) if (a / b - 1.0).abs() < 0.01);
    for slip in slipped(number.field, said) {
        let (text, symbol) = (&slip.number, slip.unit.symbol);
        let alone = number.noticed(&format!("{sign}{text} {symbol}"), "");
        out.entry((false, slip.way)).or_default().add(alone);
        by_field.add(alone);
        // Whoever takes over the twin's number takes over its digits; whoever takes its label says nothing twice.
        let same = symbol == said.unit.symbol && near(text, &true_twin);
        let text = if same { &true_twin } else { text };
        let twinned = format!("{sign}{text} {symbol} ({true_twin} {})", twin.symbol);
        out.entry((true, slip.way)).or_default().add(number.noticed(&twinned, slip.kind));
    }
    // The second half of the twin slips alone.
    let half =
        benchleaf::quantity::read_value(&format!("{true_twin} {}", twin.symbol), &number.field.spec()).0;
    let Some(half) = half.as_ref().and_then(Value::quantity) else { return };
    for slip in slipped(number.field, half.main()) {
        let same = slip.unit.symbol == twin.symbol && near(&slip.number, &true_number);
        let there = if same { &true_number } else { &slip.number };
        let text = format!("{sign}{true_number} {} ({there} {})", said.unit.symbol, slip.unit.symbol);
        out.entry((true, "the twin")).or_default().add(number.noticed(&text, slip.kind));
    }
}

fn percent(part: usize, whole: usize) -> String {
    if whole == 0 { "-".to_owned() } else { format!("{:.1} %", 100.0 * part as f64 / whole as f64) }
}

/// The other unit a sheet would print.
fn other_unit(field: &Field, quantity: &Quantity) -> Option<&'static Unit> {
    let unit = quantity.unit();
    let said = quantity.sayings.iter().map(|said| said.unit).chain(field.units.iter().copied());
    let mut fits = said.filter(|other| other.dimension == unit.dimension && other.factor() != unit.factor());
    fits.next()
}

/// Tries one shop and prints what came of it. Slips are tried on one fork in `every`, alarms counted on all.
pub fn report(name: &str, shop: &Shop, forks: &[ResolvedFork], every: usize) {
    let peers = Peers::of(shop, forks.iter());
    let mut counts: BTreeMap<(bool, &'static str), Count> = BTreeMap::new();
    let mut fields: BTreeMap<&str, Count> = BTreeMap::new();
    let mut away_by: BTreeMap<&str, usize> = BTreeMap::new();
    let mut seen: Vec<&Arc<Entry>> = Vec::new();
    let (mut values, mut outside, mut band_named, mut apart) = (0, 0, 0, 0);
    for (at, fork) in forks.iter().enumerate() {
        for value in fork.whole.values().chain(fork.legs.iter().flat_map(|leg| leg.values.values())) {
            let field = shop.catalogue.field(value.field);
            let Some(quantity) = value.quantity().filter(|quantity| quantity.middle_si() > 0.0) else {
                continue;
            };
            if seen.iter().rev().take(400).any(|known| Arc::ptr_eq(known, &value.entry)) {
                continue;
            }
            seen.push(&value.entry);
            let said = quantity.main();
            let Some(twin) = other_unit(field, quantity).filter(|_| plain(said)) else { continue };
            if slips(field, said, false).is_empty() {
                continue;
            }
            values += 1;
            let number = Number { peers: &peers, fork, value, field, truth: quantity.middle_si() };
            let band = value.value().and_then(|value| field.band(&fork.choices, value));
            let away = band.filter(|band| !(band.from..=band.to).contains(&number.truth));
            if let Some(band) = away {
                // What somebody has looked at and let stand raises no alarm.
                if !value.entry.accept.is_empty() {
                    continue;
                }
                outside += 1;
                *away_by.entry(field.key.as_str()).or_default() += 1;
                let room = peers.room(fork, value.field, &value.entry, band);
                band_named += usize::from(!explaining(field, quantity, room, false).is_empty());
            } else {
                apart += usize::from(peers.judge(fork, value.field, &value.entry, quantity).is_some());
            }
            if at % every != 0 {
                continue;
            }
            one(&number, said, twin, &mut counts, fields.entry(&field.key).or_default());
        }
    }
    println!("== {name}: {} records, {values} numbers", forks.len());
    let per = |count: usize| format!("{:.2}", 100.0 * count as f64 / forks.len() as f64);
    println!(
        "false alarms in 100 untouched records: apart from peers {}, outside band {} (a slip named in {})",
        per(apart),
        per(outside),
        per(band_named)
    );
    for (key, count) in &away_by {
        println!("  outside band: {key} {}", per(*count));
    }
    println!(
        "{:<8} {:<11} {:>8} {:>8} {:>8} {:>8}  by twin, reader, band, peers",
        "", "slipped", "tried", "caught", "named", "told"
    );
    for ((twin, way), count) in &counts {
        let by: Vec<String> = [By::Twin, By::Reader, By::Band, By::Peers]
            .iter()
            .map(|by| count.by.get(by).copied().unwrap_or(0).to_string())
            .collect();
        println!(
            "{:<8} {way:<11} {:>8} {:>8} {:>8} {:>8}  {}",
            if *twin { "twin" } else { "alone" },
            count.tried,
            percent(count.caught(), count.tried),
            percent(count.named, count.tried),
            percent(count.told, count.tried),
            by.join(", ")
        );
    }
    println!("without a twin, by field: tried, caught, named");
    for (key, count) in &fields {
        println!(
            "  {key:<32} {:>7} {:>8} {:>8}",
            count.tried,
            percent(count.caught(), count.tried),
            percent(count.named, count.tried)
        );
    }
    println!();
}
