//! What a fork's pages and cards rest on: a mistake there is a mistake of this fork's.

use std::collections::BTreeSet;

use super::CheckedFork;
use crate::diagnostic::Finding;
use crate::plan::plan;
use crate::quantity::Value;
use crate::record::{RecordKind, stem};
use crate::resolve::{Resolved, Shop, Side};
use crate::syntax::Scheme;
use crate::text::{FileId, Files};

/// The sources that a fork's pages and cards rest on.
#[derive(Debug, Clone)]
pub struct Reach {
    id: Option<String>,
    own: String,
    paths: BTreeSet<String>,
}

impl Reach {
    /// Of a record that is not, or not yet, a fork: nothing but its file. A record that cannot be read has no more to
    /// it either.
    pub fn of_file(path: &str) -> Reach {
        let id = matches!(RecordKind::of(path), Some(RecordKind::Fork | RecordKind::Build))
            .then(|| stem(path).to_owned());
        Reach { id, own: path.to_owned(), paths: BTreeSet::from([path.to_owned()]) }
    }

    /// Of a fork: its record, family and oils; its services with their procedures, the cautions and conditions these
    /// name, and their tools; the complaints; the shop's settings, templates and list of released cards.
    pub fn of(shop: &Shop, fork: &CheckedFork, files: &Files) -> Reach {
        let own = &files.get(fork.record.file).path;
        let mut reach = Reach::of_file(own);
        reach.id = Some(fork.id.clone());
        let mut add = |kind: RecordKind, id: &str| {
            reach.paths.insert(kind.path(id));
        };
        if let Some(family) = &fork.record.family {
            add(RecordKind::Family, &family.text);
        }
        if let Some(build) = fork.record.build() {
            add(RecordKind::Fork, &build.fork.text);
            build.spring.iter().for_each(|spring| add(RecordKind::Spring, &spring.text));
            build.valving.iter().for_each(|valving| add(RecordKind::Valving, &valving.text));
        }
        let oils = shop.catalogue.iter().flat_map(|(id, _)| Side::BOTH.map(|side| fork.on(side, id)));
        for value in oils.flatten().filter_map(Resolved::value) {
            if let Value::Reference(oil) = value {
                add(RecordKind::Oil, oil);
            }
        }
        for service in shop.services_for(&fork.choices) {
            add(RecordKind::Service, &service.id.text);
            let plan = plan(shop, service, fork);
            for item in &plan.items {
                let procedure = item.procedure;
                add(RecordKind::Procedure, &procedure.id.text);
                for tool in procedure.tools.iter().chain(&procedure.consumables) {
                    add(RecordKind::Tool, &tool.text);
                }
            }
            for reference in plan.references() {
                match reference.scheme {
                    Scheme::Caution => add(RecordKind::Caution, &reference.target),
                    Scheme::Tool => add(RecordKind::Tool, &reference.target),
                    Scheme::Oil => add(RecordKind::Oil, &reference.target),
                    Scheme::Spec | Scheme::Reading | Scheme::Procedure | Scheme::Picture => {}
                }
            }
            // Whom a procedure that cannot be read is for, nobody knows.
            for named in service.procedures.iter().filter(|named| shop.procedure(&named.text).is_none()) {
                add(RecordKind::Procedure, &named.text);
            }
        }
        for complaint in shop.complaints.iter().filter(|complaint| complaint.applies.holds(&fork.choices)) {
            add(RecordKind::Complaint, &complaint.id.text);
        }
        for caution in shop.conditions.list.iter().flat_map(|condition| &condition.cautions) {
            add(RecordKind::Caution, &caution.text);
        }
        reach.add_common(shop, files);
        reach
    }

    /// What all forks rest on, and services that cannot be read.
    fn add_common(&mut self, shop: &Shop, files: &Files) {
        let common = |path: &str| match RecordKind::of(path) {
            Some(RecordKind::Shop | RecordKind::Conditions | RecordKind::Reviews | RecordKind::Released) => {
                true
            }
            Some(RecordKind::Service) => shop.service(stem(path)).is_none(),
            Some(_) => false,
            None => path.starts_with("templates/"),
        };
        let all = files.iter().map(|(_, file)| file.path.as_str());
        self.paths.extend(all.filter(|path| common(path)).map(str::to_owned));
    }

    /// Whether a finding concerns the fork: it says so, or it stands in one of these sources and says of nobody else
    /// that it reaches him.
    pub fn takes(&self, finding: &Finding, files: &Files) -> bool {
        let path = |file: FileId| files.get(file).path.as_str();
        let here = path(finding.span.file);
        let beside = finding.also.iter().any(|label| path(label.span.file) == self.own);
        let named = self.id.as_ref().is_some_and(|id| finding.reaches.contains(id));
        here == self.own || beside || named || finding.reaches.is_empty() && self.paths.contains(here)
    }
}
