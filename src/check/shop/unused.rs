//! Records that nothing refers to.

use std::collections::BTreeSet;

use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::record::RecordKind;
use crate::resolve::Shop;
use crate::syntax::Scheme;

/// unused-caution, unused-tool, unused-procedure: what is kept is used.
pub(crate) fn unused(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    // Whatever could not be read may be what uses them.
    if [RecordKind::Procedure, RecordKind::Service, RecordKind::Caution]
        .into_iter()
        .any(|kind| shop.unread(kind))
    {
        return;
    }
    let bodies = shop.procedures.iter().map(|p| &p.body).chain(shop.cautions.iter().map(|c| &c.body));
    let mut linked: BTreeSet<(Scheme, &str)> =
        bodies.flat_map(|body| &body.references).map(|r| (r.scheme, r.target.as_str())).collect();
    for procedure in &shop.procedures {
        linked.extend(
            procedure.tools.iter().chain(&procedure.consumables).map(|id| (Scheme::Tool, id.text.as_str())),
        );
    }
    linked.extend(
        shop.services.iter().flat_map(|s| &s.procedures).map(|id| (Scheme::Procedure, id.text.as_str())),
    );
    let cautions = shop.cautions.iter().map(|c| (Scheme::Caution, &rules::UNUSED_CAUTION, "caution", &c.id));
    // What measures is used wherever its value is read.
    let tools = shop.tools.iter().filter(|t| t.measures.is_empty()).map(|t| {
        (Scheme::Tool, &rules::UNUSED_TOOL, if t.consumable { "consumable" } else { "tool" }, &t.id)
    });
    let procedures =
        shop.procedures.iter().map(|p| (Scheme::Procedure, &rules::UNUSED_PROCEDURE, "procedure", &p.id));
    for (scheme, rule, word, id) in cautions.chain(tools).chain(procedures) {
        if linked.contains(&(scheme, id.text.as_str())) {
            continue;
        }
        let bench = match scheme {
            Scheme::Caution => "the hazard is described and never shown where it stands",
            Scheme::Tool => "it is never asked for when the job is laid out",
            _ => "no card ever leads to it",
        };
        findings.push(
            rule.at(id.span, format!("nothing uses the {word} `{}`", id.text)).bench(bench).instead(
                match scheme {
                    // A caution that nothing links to is a guard that somebody has taken away.
                    Scheme::Caution => "link to it in the step where the hazard is",
                    _ => "use it where it belongs, or remove it",
                },
            ),
        );
    }
}
