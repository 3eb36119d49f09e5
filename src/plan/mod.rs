//! A service walked for a fork, step by step: what pages and cards print, in order.

use crate::record::{Procedure, Service};
use crate::resolve::{ResolvedFork, Shop};
use crate::source::markdown::{Reference, Step};

/// A service as it runs for one fork.
#[derive(Debug, Clone)]
pub struct Plan<'s> {
    /// The service.
    pub service: &'s Service,
    /// Its procedures in order; those that could not be read are left out.
    pub procedures: Vec<&'s Procedure>,
}

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

impl<'s> Plan<'s> {
    /// Every step in order.
    pub fn steps(&self) -> impl Iterator<Item = PlannedStep<'s>> + '_ {
        self.procedures
            .iter()
            .flat_map(|procedure| procedure.body.steps().map(move |step| (*procedure, step)))
            .zip(1..)
            .map(|((procedure, step), number)| PlannedStep { number, procedure, step })
    }

    /// Every reference in its procedures, in order.
    pub fn references(&self) -> impl Iterator<Item = &'s Reference> + '_ {
        self.procedures.iter().flat_map(|procedure| procedure.body.references.iter())
    }
}

/// The services of a fork, each walked.
pub fn plans<'s>(shop: &'s Shop, fork: &ResolvedFork) -> Vec<Plan<'s>> {
    let fits = |service: &&'s Service| service.applies.holds(&fork.choices);
    shop.services.iter().filter(fits).map(|service| plan(shop, service)).collect()
}

fn plan<'s>(shop: &'s Shop, service: &'s Service) -> Plan<'s> {
    let procedures = service.procedures.iter().filter_map(|id| shop.procedure(&id.text)).collect();
    Plan { service, procedures }
}
