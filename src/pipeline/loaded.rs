//! What came of one file that was read.

use std::sync::Arc;

use crate::diagnostic::Finding;
use crate::record::{
    Caution, Complaint, Conditions, Job, Procedure, RecordKind, Released, Reviews, Service, Singled,
    SpecRecord, Tool, Valving,
};
use crate::resolve::Shop;

/// A record that was read.
#[derive(Debug, Clone)]
pub(super) enum Record {
    Caution(Box<Caution>),
    Complaint(Box<Complaint>),
    Procedure(Box<Procedure>),
    Tool(Box<Tool>),
    Valving(Box<Valving>),
    Service(Box<Service>),
    Job(Arc<Job>),
    Conditions(Box<Conditions>),
    Released(Box<Released>),
    Reviews(Box<Reviews>),
    Spec(Arc<SpecRecord>),
}

impl Record {
    /// Adds it to a shop.
    pub(super) fn add(self, shop: &mut Shop) {
        match self {
            Record::Caution(caution) => shop.cautions.insert(*caution),
            Record::Complaint(complaint) => shop.complaints.insert(*complaint),
            Record::Procedure(procedure) => shop.procedures.insert(*procedure),
            Record::Tool(tool) => shop.tools.insert(*tool),
            Record::Valving(valving) => shop.valvings.insert(*valving),
            Record::Service(service) => shop.services.insert(*service),
            Record::Job(job) => shop.jobs.insert(job),
            Record::Conditions(conditions) => shop.conditions = *conditions,
            Record::Released(released) => shop.released = *released,
            Record::Reviews(reviews) => shop.reviews = *reviews,
            Record::Spec(record) => match record.kind {
                RecordKind::Family => shop.families.insert(record),
                RecordKind::Oil => shop.oils.insert(record),
                RecordKind::Spring => shop.springs.insert(record),
                _ => shop.forks.insert(record),
            },
        }
    }
}

/// What came of one file: the record, where it could be read, what it says it is only for, and what is wrong with its
/// shape.
#[derive(Debug, Clone)]
pub(super) struct Loaded {
    pub(super) record: Option<Record>,
    pub(super) singled: Vec<Singled>,
    pub(super) findings: Vec<Finding>,
}
