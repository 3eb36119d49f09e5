//! A made-up shop: forks whose values lie about the middle of their class. No value is drawn again because
//! it left its band: that would make false alarms impossible instead of rare.

use std::collections::BTreeMap;
use std::sync::Arc;

use benchleaf::catalogue::FieldId;
use benchleaf::quantity::{Dimension, Quantity, Value, read_value};
use benchleaf::resolve::{Resolved, ResolvedFork, Shop};

use crate::trial::{sign, written};

/// How values lie about their middle.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Law {
    /// Anywhere within the spread alike.
    Even,
    /// Normal, the spread being the standard deviation, cut at two and a half of them.
    Normal,
}

impl Law {
    pub fn words(self) -> &'static str {
        match self {
            Law::Even => "even within the spread",
            Law::Normal => "normal, the spread as standard deviation, cut at 2.5 of them",
        }
    }
}

/// Where the middle of a class lies.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Centre {
    /// In the middle of the catalogue's band for such a fork, by ratio; where there is no band, as `Demo`.
    Band,
    /// In the middle of the demo forks of the class, however near that is to the end of a band.
    Demo,
}

impl Centre {
    pub fn words(self) -> &'static str {
        match self {
            Centre::Band => "classes about the middle of their band",
            Centre::Demo => "classes about the demo forks",
        }
    }
}

/// The spread about the middle of a class.
fn spread(dimension: Dimension) -> f64 {
    match dimension {
        Dimension::Length | Dimension::Volume => 0.08,
        _ => 0.15,
    }
}

type Class = (FieldId, Vec<String>, i64);

fn class(fork: &ResolvedFork, field: FieldId) -> Class {
    let chosen = ["orientation", "damping", "springing", "oil_set_by"];
    let chosen = chosen.map(|key| fork.choices.get(key).cloned().unwrap_or_default()).to_vec();
    let size = fork.any(benchleaf::catalogue::key::TUBES_STANCHION_DIAMETER).and_then(Resolved::quantity);
    (field, chosen, size.map_or(0, |size| (size.middle_si() * 1000.0).round() as i64))
}

fn each(fork: &ResolvedFork) -> impl Iterator<Item = &Resolved> {
    fork.whole.values().chain(fork.legs.iter().flat_map(|leg| leg.values.values()))
}

/// So many forks; the same for the same arguments.
pub fn forks(
    shop: &Shop,
    seeds: &[ResolvedFork],
    models: usize,
    law: Law,
    centre: Centre,
) -> Vec<ResolvedFork> {
    let mut middles: BTreeMap<Class, Vec<f64>> = BTreeMap::new();
    for fork in seeds {
        for value in each(fork) {
            if let Some(quantity) = value.quantity().filter(|quantity| quantity.middle_si() > 0.0) {
                middles.entry(class(fork, value.field)).or_default().push(quantity.middle_si().ln());
            }
        }
    }
    let mut random = Random(0x5eed);
    let mut out = Vec::new();
    for number in 0..models {
        let seed = &seeds[number % seeds.len()];
        let mut fork = seed.clone();
        fork.id = format!("{}-{number}", seed.id);
        // A value that both legs share stays shared.
        let mut made: BTreeMap<*const benchleaf::record::Entry, Arc<benchleaf::record::Entry>> =
            BTreeMap::new();
        let size = shop.catalogue.find("tubes.stanchion_diameter");
        let values =
            fork.whole.values_mut().chain(fork.legs.iter_mut().flat_map(|leg| leg.values.values_mut()));
        for value in values {
            let Some(quantity) = value.quantity().cloned() else { continue };
            let Some(logs) = middles.get(&class(seed, value.field)) else { continue };
            // A slip does not multiply a temperature, and sizes make the class.
            if Some(value.field) == size || quantity.dimension() == Dimension::Temperature {
                continue;
            }
            let entry = made.entry(Arc::as_ptr(&value.entry)).or_insert_with(|| {
                let of_demo = (logs.iter().sum::<f64>() / logs.len() as f64).exp();
                let known = value.value();
                let band =
                    known.and_then(|known| shop.catalogue.field(value.field).band(&seed.choices, known));
                // By ratio; a band from nothing has no such middle.
                let of_band = band.map(|band| match band.from > 0.0 {
                    true => (band.from * band.to).sqrt(),
                    false => f64::midpoint(band.from, band.to),
                });
                let middle = match centre {
                    Centre::Band => of_band.unwrap_or(of_demo),
                    Centre::Demo => of_demo,
                };
                let about = 1.0 + spread(quantity.dimension()) * random.by(law);
                let mut entry = (*value.entry).clone();
                if let Some(new) = varied(shop, value.field, &quantity, middle * about) {
                    (entry.text, entry.value) = new;
                }
                Arc::new(entry)
            });
            value.entry = Arc::clone(entry);
        }
        out.push(fork);
    }
    out
}

/// The value said as the seed says it, its twins worked out from the number that is written.
fn varied(shop: &Shop, field: FieldId, seed: &Quantity, si: f64) -> Option<(String, Option<Value>)> {
    let (first, twins) = seed.sayings.split_first()?;
    let number = written(first, first.unit.from_si(si));
    let si = first.unit.to_si(number.parse().ok()?);
    let mut text = format!("{}{number} {}", sign(first), first.unit.symbol);
    if !twins.is_empty() {
        let said: Vec<String> = twins
            .iter()
            .map(|twin| format!("{} {}", written(twin, twin.unit.from_si(si)), twin.unit.symbol))
            .collect();
        text.push_str(&format!(" ({})", said.join(", ")));
    }
    let (value, _) = read_value(&text, &shop.catalogue.field(field).spec());
    value.map(|value| (text, Some(value)))
}

/// Numbers that look random and are the same on every run (xorshift64*, S. Vigna, ACM TOMS 42(4), 2016).
struct Random(u64);

impl Random {
    /// From 0 up to 1.
    fn unit(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn by(&mut self, law: Law) -> f64 {
        match law {
            Law::Even => 2.0 * self.unit() - 1.0,
            Law::Normal => loop {
                // Box and Muller.
                let far =
                    (-2.0 * (1.0 - self.unit()).ln()).sqrt() * (std::f64::consts::TAU * self.unit()).cos();
                if far.abs() <= 2.5 {
                    return far;
                }
            },
        }
    }
}
