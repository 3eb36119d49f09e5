//! Which numbers of a fork are in doubt: `check` has a finding open on them.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::FieldId;
use crate::check::{CheckedFork, doubt::is_at};
use crate::diagnostic::Finding;
use crate::record::SpecLine;
use crate::resolve::Shop;
use crate::review::lines;
use crate::text::FileId;

/// The findings that put a number in doubt, by file.
pub type Doubts<'s> = BTreeMap<FileId, Vec<&'s Finding>>;

/// What stands beside a number on which `check` has a finding open.
pub const IN_DOUBT: &str = "IN DOUBT";

/// The values of a fork on which `check` has a finding open, reviewed or not; and, in a shop that names no approver,
/// those on which somebody let one stand: nobody says who may.
pub fn doubted(shop: &Shop, doubts: &Doubts<'_>, fork: &CheckedFork) -> BTreeSet<FieldId> {
    let mut out = open_on(doubts, fork);
    if shop.settings.approvers.is_empty() {
        let values = fork.whole.values().chain(fork.legs.iter().flat_map(|leg| leg.values.values()));
        out.extend(values.filter(|value| !value.entry.accept.is_empty()).map(|value| value.field));
    }
    out
}

fn open_on(doubts: &Doubts<'_>, fork: &CheckedFork) -> BTreeSet<FieldId> {
    let record = &fork.record;
    let family = fork.family.as_ref().map(|family| family.file);
    // Most forks have nothing open; their lines are not gone through.
    if ![Some(record.file), family].iter().flatten().any(|file| doubts.contains_key(file)) {
        return BTreeSet::new();
    }
    let open = |line: &SpecLine| {
        let here = doubts.get(&line.span.file).map_or(&[][..], Vec::as_slice);
        here.iter().any(|finding| is_at(finding, line, Some(&fork.id)))
    };
    lines(fork).into_iter().filter(|(_, (line, _))| open(line)).map(|(id, _)| id).collect()
}
