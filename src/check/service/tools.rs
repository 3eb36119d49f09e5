//! What a step picks up is laid out before the job, and nothing else is.

use std::collections::BTreeSet;

use crate::diagnostic::{Finding, Severity, rules};
use crate::record::Tool;
use crate::resolve::Shop;
use crate::syntax::Scheme;
use crate::syntax::markdown::Piece;
use crate::words::lower_first;

/// tool-not-listed, tool-not-used: what a step picks up is laid out before the job, and nothing else is.
pub(crate) fn tools(shop: &Shop, findings: &mut Vec<Finding>) {
    for procedure in &shop.procedures {
        let listed: BTreeSet<&str> =
            procedure.tools.iter().chain(&procedure.consumables).map(|id| id.text.as_str()).collect();
        let used = procedure.body.references.iter().filter(|reference| reference.scheme == Scheme::Tool);
        for reference in
            used.filter(|r| !listed.contains(r.target.as_str()) && shop.tool(&r.target).is_some())
        {
            let is = |what: fn(&Tool) -> bool| shop.tool(&reference.target).is_some_and(what);
            let list = if is(|tool| tool.consumable) { "consumables" } else { "tools" };
            let (severity, bench) = match is(|tool| tool.torques.is_some()) {
                true => {
                    (Severity::Error, "another wrench is laid out, and the joint is tightened with that one")
                }
                false => (Severity::Warning, "it is missing from what is laid out before the job"),
            };
            findings.push(
                rules::TOOL_NOT_LISTED
                    .graded(
                        severity,
                        reference.span,
                        format!("`{}` is used in a step and not listed", reference.target),
                    )
                    .bench(bench)
                    .instead(format!("add it to `{list}:` in the head")),
            );
        }
        let steps = procedure.body.steps().map(|step| step.action.plain(|r| r.text.clone()).to_lowercase());
        let steps: Vec<String> = steps.collect();
        // Without steps, or in the wrong list: that has been told.
        let right = procedure.tools.iter().map(|id| (id, false));
        let right = right.chain(procedure.consumables.iter().map(|id| (id, true)));
        for (id, consumable) in right.filter(|_| !steps.is_empty()) {
            let fits = |tool: &&Tool| !tool.worn && tool.consumable == consumable;
            let Some(tool) = shop.tool(&id.text).filter(fits) else { continue };
            let linked = procedure.body.steps().flat_map(|step| &step.action.pieces).any(
                |piece| matches!(piece, Piece::Reference(r) if r.scheme == Scheme::Tool && r.target == id.text),
            );
            let words =
                || std::iter::once(tool.title.as_str()).chain(tool.called.iter().map(|w| w.text.as_str()));
            if linked || words().any(|word| steps.iter().any(|step| speaks_of(step, &word.to_lowercase()))) {
                continue;
            }
            findings.push(
                rules::TOOL_NOT_USED
                    .at(id.span, format!("`{}` is listed, and no step uses it", id.text))
                    .bench(
                        "it is fetched and laid out for nothing, or the step that needs it does not say so",
                    )
                    .instead(format!(
                        "say where it is used, `[{}](tool:{})`, or take it off the list",
                        lower_first(&tool.title),
                        id.text
                    )),
            );
        }
    }
}

/// Whether a text says a word or phrase, as it stands or with an s behind it. Both in small letters.
fn speaks_of(text: &str, word: &str) -> bool {
    let letter = |next: Option<char>| next.is_some_and(char::is_alphanumeric);
    text.match_indices(word).any(|(at, _)| {
        let rest = &text[at + word.len()..];
        let rest = rest.strip_prefix('s').unwrap_or(rest);
        !word.is_empty() && !letter(text[..at].chars().next_back()) && !letter(rest.chars().next())
    })
}
