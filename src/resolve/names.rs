//! The shop's own names, for editors to offer.

use super::shop::Shop;
use crate::schema::Names;

impl Shop {
    /// What a record of this shop can point at.
    pub fn names(&self) -> Names {
        let records = || self.records();
        let sources = records().flat_map(|record| &record.sources);
        Names {
            ids: self.known.clone(),
            consumables: (self.tools.iter().filter(|tool| tool.consumable))
                .map(|tool| tool.id.text.clone())
                .collect(),
            sources: sources.map(|source| source.id.text.clone()).collect(),
            conditions: self.conditions.list.iter().map(|condition| condition.id.text.clone()).collect(),
            makers: self
                .forks
                .iter()
                .map(|fork| fork.maker.clone())
                .filter(|name| !name.is_empty())
                .collect(),
            approvers: self.settings.approvers.iter().map(|name| name.text.clone()).collect(),
        }
    }
}
