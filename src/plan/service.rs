//! A service as it runs for one fork.

use std::collections::{BTreeSet, HashMap};

use super::bits::Bits;
use super::vocabulary::{Effect, Vocabulary};
use super::walk::{Walk, walk};
use crate::catalogue::Works;
use crate::record::{OnLegs, Pick, Procedure, Service, ServiceEntry, Text};
use crate::resolve::{ResolvedFork, Shop};
use crate::syntax::Scheme;
use crate::syntax::markdown::{Reference, Step};

/// A service as it runs for one fork.
#[derive(Debug, Clone)]
pub struct Plan<'s> {
    /// The service.
    pub service: &'s Service,
    /// Its procedures in order; those that could not be read are left out.
    pub procedures: Vec<&'s Procedure>,
    /// The same procedures, with where the service names them and the legs they are done on.
    pub items: Vec<Planned<'s>>,
    /// Entries of the service's list in which nothing is for this fork, though one must be.
    pub unfilled: Vec<&'s ServiceEntry>,
    /// The legs on which a step links to something, by scheme and target.
    linked: HashMap<(Scheme, &'s str), [bool; 2]>,
}

/// A procedure of a plan.
#[derive(Debug, Clone, Copy)]
pub struct Planned<'s> {
    /// The procedure.
    pub procedure: &'s Procedure,
    /// Where the service names it.
    pub named: &'s Text,
    /// How the service chose it.
    pub pick: Pick,
    /// Whether it is done on the left and on the right leg.
    pub legs: [bool; 2],
}

/// What a proof of a service rests on: its procedures with their legs, and the conditions that mean
/// anything. Forks that agree in it share the proof, and whatever is made from it.
pub type Variant<'s> = (Vec<(&'s str, [bool; 2])>, Bits);

/// A step of a plan with its number, counted through the whole service.
#[derive(Debug, Clone, Copy)]
pub struct PlannedStep<'s> {
    /// From 1.
    pub number: usize,
    /// The procedure it belongs to.
    pub procedure: &'s Procedure,
    /// The step.
    pub step: &'s Step,
}

/// Which legs some work is done on, for a page or a card; empty for both.
pub(crate) fn legs_word(legs: [bool; 2]) -> &'static str {
    match legs {
        [true, false] => "left leg",
        [false, true] => "right leg",
        _ => "",
    }
}

impl<'s> Plan<'s> {
    /// Every step in order.
    pub(crate) fn steps(&self) -> impl Iterator<Item = PlannedStep<'s>> + '_ {
        self.procedures
            .iter()
            .flat_map(|procedure| procedure.body.steps().map(move |step| (*procedure, step)))
            .zip(1..)
            .map(|((procedure, step), number)| PlannedStep { number, procedure, step })
    }

    /// Every reference in its procedures, in order.
    pub(crate) fn references(&self) -> impl Iterator<Item = &'s Reference> + '_ {
        self.procedures.iter().flat_map(|procedure| procedure.body.references.iter())
    }

    /// Every reference with the legs it is done on, in order.
    pub(crate) fn references_on(&self) -> impl Iterator<Item = (&'s Reference, [bool; 2])> + '_ {
        self.items.iter().flat_map(|item| {
            item.procedure.body.references.iter().map(move |reference| (reference, item.legs))
        })
    }

    /// The legs on which a step links to this, such as a value that is set (`spec`) or written (`reading`).
    pub(crate) fn legs_of(&self, scheme: Scheme, target: &str) -> [bool; 2] {
        self.linked.get(&(scheme, target)).copied().unwrap_or_default()
    }

    /// Whether a step links to this, on whatever leg.
    pub(crate) fn links_to(&self, scheme: Scheme, target: &str) -> bool {
        self.linked.contains_key(&(scheme, target))
    }

    /// What its proof rests on, with the conditions that mean anything for its fork.
    pub fn variant(&self, meant: &Bits) -> Variant<'s> {
        let of_item = |item: &Planned<'s>| (item.procedure.id.text.as_str(), item.legs);
        (self.items.iter().map(of_item).collect(), meant.clone())
    }

    /// The intervals that begin anew with this service, as keys of values, sorted.
    pub(crate) fn renewed(&self) -> BTreeSet<&'s str> {
        let all = self.items.iter().flat_map(|item| &item.procedure.renews);
        all.map(|key| key.text.as_str()).collect()
    }

    /// What each procedure does to the state of the job.
    pub fn effects(&self, vocabulary: &Vocabulary<'_>, meant: &Bits) -> Vec<Effect> {
        let of_item = |item: &Planned<'_>| effect(vocabulary, item.procedure, item.legs, meant);
        self.items.iter().map(of_item).collect()
    }

    /// Walks it for a fork: the timeline of its conditions and what is missing where.
    pub fn walk(&self, shop: &Shop, vocabulary: &Vocabulary<'_>, fork: &ResolvedFork) -> Walk {
        let meant = vocabulary.meant(fork);
        let (start, hand_back) = ends(shop, vocabulary, self.service, &meant);
        walk(vocabulary, &start, &self.effects(vocabulary, &meant), &hand_back)
    }
}

/// What a procedure does on these legs.
pub(crate) fn effect(
    vocabulary: &Vocabulary<'_>,
    procedure: &Procedure,
    legs: [bool; 2],
    meant: &Bits,
) -> Effect {
    vocabulary.effect([&procedure.needs, &procedure.brings, &procedure.ends], legs, meant)
}

/// What holds when a service begins, and what must hold when it is handed back.
pub fn ends(shop: &Shop, vocabulary: &Vocabulary<'_>, service: &Service, meant: &Bits) -> (Bits, Bits) {
    let all = |common: &[Text], of_service: &[Text]| {
        let mut out = vocabulary.slots(common, [true; 2], meant);
        out.join(&vocabulary.slots(of_service, [true; 2], meant));
        out
    };
    let mut start = vocabulary.with_implied(&all(&shop.conditions.start, &service.start));
    start.keep(meant);
    (start, all(&shop.conditions.hand_back, &service.hand_back))
}

/// The services of a fork, each walked.
pub(crate) fn plans<'s>(shop: &'s Shop, fork: &ResolvedFork) -> Vec<Plan<'s>> {
    let fits = |service: &&'s Service| service.applies.holds(&fork.choices);
    shop.services.iter().filter(fits).map(|service| plan(shop, service, fork)).collect()
}

/// A service as it runs for a fork.
pub fn plan<'s>(shop: &'s Shop, service: &'s Service, fork: &ResolvedFork) -> Plan<'s> {
    let mut out = Plan {
        service,
        procedures: Vec::new(),
        items: Vec::new(),
        unfilled: Vec::new(),
        linked: HashMap::new(),
    };
    for entry in &service.entries {
        let named_procedures =
            entry.options.iter().filter_map(|named| Some((named, shop.procedure(&named.text)?)));
        let fitting = named_procedures.clone().filter(|(_, procedure)| is_for(shop, procedure, fork));
        let before = out.items.len();
        let mut add = |(named, procedure): (&'s Text, &'s Procedure)| {
            let legs = on_legs(shop, procedure, entry.legs, fork);
            out.items.push(Planned { procedure, named, pick: entry.pick, legs });
        };
        match entry.pick {
            // One that is not for this fork is walked all the same and found by its own rule.
            Pick::This => named_procedures.take(1).for_each(&mut add),
            Pick::OneOf => fitting.take(1).for_each(&mut add),
            Pick::WhereFitted => fitting.for_each(&mut add),
        }
        let unread = entry.options.len()
            > entry.options.iter().filter(|id| shop.procedure(&id.text).is_some()).count();
        if entry.pick == Pick::OneOf && out.items.len() == before && !unread {
            out.unfilled.push(entry);
        }
    }
    out.procedures = out.items.iter().map(|item| item.procedure).collect();
    for item in &out.items {
        for reference in &item.procedure.body.references {
            let on = out.linked.entry((reference.scheme, &reference.target)).or_default();
            (0..2).for_each(|n| on[n] |= item.legs[n]);
        }
    }
    out
}

/// The legs that have the part a procedure is about.
fn fitted(shop: &Shop, procedure: &Procedure, fork: &ResolvedFork) -> [bool; 2] {
    fork.fitted(procedure.fitted.iter().filter_map(|key| shop.catalogue.find(&key.text)))
}

/// Whether a procedure is for a fork: by what it has chosen, and by what its record says is not fitted.
pub(crate) fn is_for(shop: &Shop, procedure: &Procedure, fork: &ResolvedFork) -> bool {
    procedure.applies.holds(&fork.choices) && fitted(shop, procedure, fork) != [false; 2]
}

/// The legs of a fork that a procedure is done on: those it is for, of those the service asks for.
pub(crate) fn on_legs(
    shop: &Shop,
    procedure: &Procedure,
    asked: Option<OnLegs>,
    fork: &ResolvedFork,
) -> [bool; 2] {
    let has = fitted(shop, procedure, fork);
    let works_on = |legs: OnLegs, n: usize| match legs {
        OnLegs::Both => true,
        OnLegs::Left => n == 0,
        OnLegs::Right => n == 1,
        OnLegs::Spring => fork.legs[n].work.holds(Works::Spring),
        OnLegs::Damper => fork.legs[n].work.holds(Works::Damper),
    };
    [0, 1].map(|n| has[n] && works_on(procedure.legs, n) && asked.is_none_or(|legs| works_on(legs, n)))
}
