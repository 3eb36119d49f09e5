//! The inputs of a calculation: as given, or as a fork's record knows them.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use super::sheet::Refusal;
use crate::bench::oil::Stretch;
use crate::bench::units::{
    Angle, Force, KinematicViscosity, Length, Mass, MassDensity, Pressure, SpringRate,
    ThermodynamicTemperature, Volume,
};
use crate::catalogue::{FieldId, Key};
use crate::check::CheckedFork;
use crate::derive::{Answer, Derived, DerivedLeg};
use crate::diagnostic::Severity;
use crate::quantity::{Dimension, FieldSpec, Kind, Quantity, Thread, Value, read_value};
use crate::resolve::{Shop, Side};

/// What an input takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Takes {
    /// A quantity.
    One(Dimension),
    /// A quantity in stretches.
    Stretches(Dimension),
    /// A thread.
    Thread,
    /// A bolt's property class.
    Class,
    /// A fit code with its size.
    Fit,
    /// A whole number.
    Count,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A word of its own.
    Text,
    /// A list of spring rates with commas between.
    Rates,
    /// An oil: its id in the shop, or its two viscosities with a comma between.
    Oil,
}

/// One input of a calculation.
#[derive(Debug, Clone, Copy)]
pub struct Input {
    /// The option's name.
    pub name: &'static str,
    /// What it is.
    pub help: &'static str,
    /// How it may be written.
    pub example: &'static str,
    /// What it takes.
    pub takes: Takes,
    /// The keys it is known by in a fork's record; the first that the record gives counts.
    pub keys: &'static [Key],
}

/// A fork that fills in what is not given.
#[derive(Clone, Copy)]
pub struct KnownFork<'a> {
    /// Its shop.
    pub shop: &'a Shop,
    /// The fork.
    pub fork: &'a CheckedFork,
    /// Its arithmetic.
    pub derived: &'a Derived,
    /// The leg that is asked about.
    pub side: Side,
    /// The keys of the record that the result was worked out from so far.
    pub used: &'a RefCell<BTreeSet<String>>,
}

impl<'a> KnownFork<'a> {
    /// Remembers that a value of the record is used.
    pub(super) fn uses(&self, field: FieldId) {
        self.used.borrow_mut().insert(self.shop.catalogue.field(field).key.clone());
    }

    /// An answer of the fork's arithmetic, that is used: what it rests on is remembered.
    pub(super) fn told<'x, T>(&self, answer: &'x Answer<T>) -> &'x Answer<T> {
        self.used.borrow_mut().extend(answer.rests_on().iter().cloned());
        answer
    }

    /// The leg that is asked about, computed.
    pub(super) fn leg(&self) -> &'a DerivedLeg {
        self.derived.leg(self.side)
    }
}

/// The inputs of one calculation.
pub struct Asked<'a> {
    /// What a subject takes.
    pub inputs: &'static [Input],
    /// What was given, by option.
    pub given: BTreeMap<&'static str, String>,
    /// The fork that fills in the rest.
    pub fork: Option<KnownFork<'a>>,
    /// The shop whose oils may be named.
    pub shop: Option<&'a Shop>,
    /// What was needed and was not there. The work goes on with the example, so that everything that is missing is
    /// told at once; what it comes to is thrown away.
    pub lacking: RefCell<Vec<String>>,
}

/// That a record does not have a value for this leg, and which leg has it; or that no fork of its kind has one.
pub(super) fn without(fork: &KnownFork<'_>, key: Key) -> String {
    let field = fork.shop.catalogue.field(key.id());
    if !field.applies.holds(&fork.fork.choices) {
        return format!("; {} is of a kind that has no `{key}`", fork.fork.id);
    }
    let has = |side: Side| {
        let value = fork.fork.on(side, key.id()).and_then(|resolved| resolved.value());
        let is_given = !matches!(value, None | Some(Value::NotFitted | Value::Unknown));
        side != fork.side && is_given && fork.fork.takes(side, field)
    };
    let id = &fork.fork.id;
    match Side::BOTH.into_iter().find(|side| has(*side)) {
        Some(other) => {
            let (this, other) = (fork.side.word(), other.word());
            format!("; the {this} leg of {id} has no `{key}`, the {other} one has: ask with `--leg {other}`")
        }
        None => format!("; the record of {id} has no `{key}`"),
    }
}

impl Asked<'_> {
    fn input(&self, name: &str) -> Result<&'static Input, Refusal> {
        self.inputs
            .iter()
            .find(|input| input.name == name)
            .ok_or_else(|| Refusal(format!("there is no option `--{name}` here")))
    }

    /// Whether it was given on the command line, not only known from a record.
    pub(crate) fn was_given(&self, name: &str) -> bool {
        self.given.contains_key(name)
    }

    /// An input's value, given or known.
    pub(crate) fn value(&self, name: &str) -> Result<Option<Value>, Refusal> {
        let input = self.input(name)?;
        if let Some(text) = self.given.get(name) {
            return read(input, text).map(Some);
        }
        for key in input.keys {
            if let Some(value) = self.recorded(*key)? {
                return Ok(Some(value));
            }
        }
        Ok(None)
    }

    /// A value of the fork's record; `None` where there is no fork, or it does not give the value.
    pub(crate) fn recorded(&self, key: Key) -> Result<Option<Value>, Refusal> {
        let Some(fork) = &self.fork else { return Ok(None) };
        if !fork.fork.takes(fork.side, fork.shop.catalogue.field(key.id())) {
            return Ok(None);
        }
        match fork.fork.on(fork.side, key.id()).map(|resolved| resolved.value()) {
            Some(Some(Value::NotFitted | Value::Unknown)) | None => Ok(None),
            Some(Some(value)) => {
                fork.uses(key.id());
                Ok(Some(value.clone()))
            }
            Some(None) => {
                Err(Refusal(format!("`{key}` of {} cannot be read: run `benchleaf check`", fork.fork.id)))
            }
        }
    }

    /// What may be worked out if everything for it is there: without that it is left out, and nothing is needed.
    pub(crate) fn attempt<T>(&self, work: impl FnOnce(&Self) -> Result<T, Refusal>) -> Option<T> {
        let before = self.lacking.borrow().len();
        let done = work(self).ok();
        let mut lacking = self.lacking.borrow_mut();
        let whole = lacking.len() == before;
        lacking.truncate(before);
        done.filter(|_| whole)
    }

    /// An input that has to be there.
    pub(crate) fn need(&self, name: &str) -> Result<Value, Refusal> {
        let input = self.input(name)?;
        if let Some(value) = self.value(name)? {
            return Ok(value);
        }
        let taken =
            |fork: &KnownFork<'_>, key: &Key| fork.fork.takes(fork.side, fork.shop.catalogue.field(key.id()));
        let first = self.fork.as_ref().and_then(|fork| input.keys.iter().find(|key| taken(fork, key)));
        let first = first.or(input.keys.first());
        let why = match (&self.fork, first) {
            (Some(fork), Some(key)) => without(fork, *key),
            _ => String::new(),
        };
        let need = format!("`--{name}` is needed: {}, such as `{}`{why}", input.help, input.example);
        let mut lacking = self.lacking.borrow_mut();
        if !lacking.contains(&need) {
            lacking.push(need);
        }
        read(input, input.example)
    }

    /// Says that the fork's record does not come to what is needed, and why; the rest that is missing is told with it.
    pub(crate) fn not_known(&self, why: String) -> Refusal {
        let mut lacking = self.lacking.borrow_mut();
        if !lacking.contains(&why) {
            lacking.push(why.clone());
        }
        Refusal(why)
    }

    /// A quantity, if it is there.
    pub(crate) fn may(&self, name: &str) -> Result<Option<Quantity>, Refusal> {
        Ok(self.value(name)?.and_then(|value| value.quantity().cloned()))
    }

    /// A quantity that has to be there.
    pub(crate) fn quantity(&self, name: &str) -> Result<Quantity, Refusal> {
        let value = self.need(name)?;
        value.quantity().cloned().ok_or_else(|| Refusal(format!("`--{name}` takes one quantity")))
    }

    /// A length in stretches; empty when it is not there and not needed.
    pub(crate) fn stretches(&self, name: &str, needed: bool) -> Result<Vec<Stretch>, Refusal> {
        let value = if needed { Some(self.need(name)?) } else { self.value(name)? };
        Ok(match value {
            Some(Value::Sections(sections)) => sections
                .iter()
                .filter_map(|section| {
                    Some(Stretch {
                        diameter: section.value.length()?,
                        until: section.until.as_ref().and_then(Quantity::length),
                    })
                })
                .collect(),
            Some(Value::Quantity(quantity)) => {
                quantity.length().map(|diameter| Stretch { diameter, until: None }).into_iter().collect()
            }
            _ => Vec::new(),
        })
    }

    /// Spring rates in segments.
    pub(crate) fn rates(&self, name: &str) -> Result<Vec<(SpringRate, Option<Length>)>, Refusal> {
        Ok(match self.need(name)? {
            Value::Sections(sections) => sections
                .iter()
                .filter_map(|section| {
                    Some((section.value.spring_rate()?, section.until.as_ref().and_then(Quantity::length)))
                })
                .collect(),
            Value::Quantity(quantity) => {
                quantity.spring_rate().map(|rate| (rate, None)).into_iter().collect()
            }
            _ => Vec::new(),
        })
    }

    /// A thread that has to be there.
    pub(crate) fn thread(&self, name: &str) -> Result<Thread, Refusal> {
        match self.need(name)? {
            Value::Thread(thread) => Ok(thread),
            _ => Err(Refusal(format!("`--{name}` takes a thread such as `M8 × 1.25`"))),
        }
    }

    /// A whole number, if it is there.
    pub(crate) fn count(&self, name: &str) -> Result<Option<u32>, Refusal> {
        Ok(match self.value(name)? {
            Some(Value::Count(count)) => Some(count),
            _ => None,
        })
    }

    /// A word, if it is there.
    pub(crate) fn word(&self, name: &str) -> Result<Option<String>, Refusal> {
        Ok(match self.value(name)? {
            Some(Value::Choice(word)) => Some(word),
            _ => None,
        })
    }
}

/// An amount of one kind, by the kind's own method of [`Quantity`].
macro_rules! needed {
    ($($(#[$doc:meta])* $name:ident: $kind:ty;)*) => {
        impl Asked<'_> {
            $($(#[$doc])*
            pub(crate) fn $name(&self, name: &str) -> Result<$kind, Refusal> {
                let quantity = self.quantity(name)?;
                quantity.$name().ok_or_else(|| Refusal(format!("`--{name}` measures something else")))
            })*
        }
    };
}

/// The same for amounts that may be left out.
macro_rules! optional {
    ($($(#[$doc:meta])* $name:ident: $kind:ty, $of:ident;)*) => {
        impl Asked<'_> {
            $($(#[$doc])*
            pub(crate) fn $name(&self, name: &str) -> Result<Option<$kind>, Refusal> {
                Ok(self.may(name)?.and_then(|quantity| quantity.$of()))
            })*
        }
    };
}

needed! {
    /// A length that has to be there.
    length: Length;
    /// A volume that has to be there.
    volume: Volume;
    /// A mass that has to be there.
    mass: Mass;
    /// A pressure that has to be there.
    pressure: Pressure;
    /// A temperature that has to be there.
    temperature: ThermodynamicTemperature;
    /// A density that has to be there.
    density: MassDensity;
    /// A viscosity that has to be there.
    viscosity: KinematicViscosity;
    /// An angle that has to be there.
    angle: Angle;
}

optional! {
    /// A length, if it is there.
    may_length: Length, length;
    /// A volume, if it is there.
    may_volume: Volume, volume;
    /// A force, if it is there.
    may_force: Force, force;
    /// A pressure, if it is there.
    may_pressure: Pressure, pressure;
    /// A temperature, if it is there.
    may_temperature: ThermodynamicTemperature, temperature;
    /// A density, if it is there.
    may_density: MassDensity, density;
    /// An angle, if it is there.
    may_angle: Angle, angle;
}

fn read(input: &Input, text: &str) -> Result<Value, Refusal> {
    let kind = match input.takes {
        Takes::One(dimension) => Kind::Quantity(dimension),
        Takes::Stretches(dimension) => Kind::Sections(dimension),
        Takes::Thread => Kind::Thread,
        Takes::Class => Kind::PropertyClass,
        Takes::Fit => Kind::Fit,
        Takes::Count => Kind::Count,
        Takes::Word(words) => {
            Kind::Choice(words.iter().map(|word| ((*word).to_owned(), (*word).to_owned())).collect())
        }
        Takes::Oil | Takes::Text | Takes::Rates => return Ok(Value::Text(text.to_owned())),
    };
    read_as(&kind, input.help, input.example, text)
        .map_err(|Refusal(why)| Refusal(format!("`--{}`: {why}", input.name)))
}

/// Reads a text as a kind of value.
pub(super) fn read_as(kind: &Kind, title: &str, example: &str, text: &str) -> Result<Value, Refusal> {
    let (value, troubles) = read_value(text, &FieldSpec { kind, units: &[], title, example, bands: &[] });
    if let Some(trouble) = troubles.iter().find(|trouble| trouble.severity == Severity::Error) {
        return Err(Refusal::from_trouble(trouble));
    }
    value.ok_or_else(|| Refusal(format!("`{text}` cannot be read")))
}
