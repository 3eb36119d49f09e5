//! A thread that galls where it is tightened dry, and is said to be dry.

use crate::check::look::{each, weight};
use crate::diagnostic::{Finding, rules};
use crate::resolve::{Resolved, ResolvedFork, Shop};
use crate::words::lower_first;

/// thread-galls: what the catalogue keeps from being tightened dry in such a metal is not said to be dry.
pub(crate) fn threads(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for value in each(fork) {
        let field = shop.catalogue.field(value.field);
        let Some(state) = value.entry.attributes.get("thread_state") else { continue };
        if state.text.text != "dry" || !galls(&field.galls_dry_in, value) {
            continue;
        }
        let into = into(value).map_or_else(String::new, |metal| format!(" into {metal}"));
        findings.push(
            rules::THREAD_GALLS
                .graded(
                    weight(fork),
                    state.text.span,
                    format!("{} is said to be tightened dry{into}", lower_first(&field.title)),
                )
                .bench("a dry thread galls there: the wrench clicks before the joint is drawn together, and the thread comes out with the part")
                .instead("read the sheet again: `thread_state: oiled` or `anti-seize`, with the torque that belongs to it"),
        );
    }
}

fn into(value: &Resolved) -> Option<&str> {
    Some(value.entry.attributes.get("into")?.text.text.as_str())
}

fn galls(metals: &[String], value: &Resolved) -> bool {
    let metal = into(value).map(str::to_lowercase).unwrap_or_default();
    metals.iter().any(|one| one == "any" || metal.contains(one.as_str()))
}
