//! The findings that came and went.

use super::change::FindingChange;
use crate::diagnostic::Finding;
use crate::pipeline::Checked;
use std::collections::BTreeMap;

/// The findings of one side that the other has not, however far they moved in their file.
pub(super) fn only(mine: &Checked, theirs: &Checked) -> Vec<FindingChange> {
    let change = |finding: &Finding, checked: &Checked| FindingChange {
        severity: finding.severity,
        code: finding.code().to_owned(),
        path: checked.files.get(finding.span.file).path.clone(),
        message: finding.message.clone(),
    };
    let mut counts: BTreeMap<FindingChange, usize> = BTreeMap::new();
    for finding in &theirs.findings {
        *counts.entry(change(finding, theirs)).or_default() += 1;
    }
    let mut out = Vec::new();
    for finding in &mine.findings {
        let finding = change(finding, mine);
        match counts.get_mut(&finding) {
            Some(left) if *left > 0 => *left -= 1,
            _ => out.push(finding),
        }
    }
    out.sort();
    out
}
