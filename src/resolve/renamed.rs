//! Records that are called otherwise now, and what still names them as they were.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::shop::Shop;
use crate::record::RecordKind;

impl Shop {
    /// The ids that forks had, with those they have. An id that another record has is nobody's former one.
    pub fn renamed_forks(&self) -> BTreeMap<String, String> {
        let former = self.forks.iter().flat_map(|fork| fork.was.iter().map(move |was| (was, fork)));
        former
            .filter(|(was, _)| !self.knows(RecordKind::Fork, &was.text))
            .map(|(was, fork)| (was.text.clone(), fork.id.text.clone()))
            .collect()
    }

    /// The ids that procedures had, with those they have.
    pub fn renamed_procedures(&self) -> BTreeMap<String, String> {
        let former = self.procedures.iter().flat_map(|one| one.was.iter().map(move |was| (was, one)));
        former
            .filter(|(was, _)| !self.knows(RecordKind::Procedure, &was.text))
            .map(|(was, one)| (was.text.clone(), one.id.text.clone()))
            .collect()
    }

    /// How a record is called that had this id; nothing where one has it.
    pub fn called_now(&self, kind: RecordKind, id: &str) -> Option<String> {
        let records = match kind {
            RecordKind::Fork => &self.forks,
            RecordKind::Family => &self.families,
            RecordKind::Oil => &self.oils,
            RecordKind::Spring => &self.springs,
            RecordKind::Procedure => return self.renamed_procedures().remove(id),
            _ => return None,
        };
        let now = records.iter().find(|record| record.was.iter().any(|was| was.text == id));
        now.filter(|_| !self.knows(kind, id)).map(|record| record.id.text.clone())
    }

    /// Released cards and jobs that name a fork or a procedure as it was called name it as it is called.
    pub(crate) fn follow_renames(&mut self) {
        let (renamed, procedures) = (self.renamed_forks(), self.renamed_procedures());
        if renamed.is_empty() && procedures.is_empty() {
            return;
        }
        for card in &mut self.released.cards {
            if let Some(now) = renamed.get(&card.fork.text) {
                card.fork.text.clone_from(now);
            }
        }
        self.jobs = std::mem::take(&mut self.jobs)
            .into_records()
            .map(|mut job| {
                if let Some(now) = renamed.get(&job.fork.text) {
                    Arc::make_mut(&mut job).fork.text.clone_from(now);
                }
                if job.skipped.iter().any(|skip| procedures.contains_key(&skip.what.text)) {
                    for skip in &mut Arc::make_mut(&mut job).skipped {
                        if let Some(now) = procedures.get(&skip.what.text) {
                            skip.what.text.clone_from(now);
                        }
                    }
                }
                job
            })
            .collect();
    }
}
