//! A record with its values and how each stands.

use std::collections::BTreeMap;

use crate::record::{SpecLine, SpecRecord};
use crate::resolve::Shop;
use crate::review::RecordReview;

pub(super) type Line<'s> = (&'s SpecLine, &'s SpecRecord);

/// A record with its values, inherited ones too, and how they stand.
pub(super) struct Judged<'s> {
    pub(super) shop: &'s Shop,
    pub(super) record: &'s SpecRecord,
    pub(super) lines: BTreeMap<&'s str, Line<'s>>,
    pub(super) review: &'s RecordReview,
}

impl<'s> Judged<'s> {
    pub(super) fn of(
        shop: &'s Shop,
        record: &'s SpecRecord,
        lines: impl IntoIterator<Item = Line<'s>>,
        review: &'s RecordReview,
    ) -> Self {
        let key = |(line, from): Line<'s>| (shop.catalogue.field(line.field).key.as_str(), (line, from));
        Judged { shop, record, lines: lines.into_iter().map(key).collect(), review }
    }

    pub(super) fn line(&self, key: &str) -> Option<Line<'s>> {
        self.lines.get(key).copied()
    }
}
