//! A procedure that brings about a hazard carries its caution.

use std::collections::BTreeSet;

use super::condition_words::quoted;
use crate::diagnostic::{Finding, rules};
use crate::plan::{Plan, Vocabulary, Walk};
use crate::syntax::Scheme;

/// caution-not-given: a procedure that brings about a hazard carries its caution.
pub(super) fn cautions(
    vocabulary: &Vocabulary<'_>,
    plan: &Plan<'_>,
    walk: &Walk,
    findings: &mut Vec<Finding>,
) {
    let mut reported: BTreeSet<(usize, &str)> = BTreeSet::new();
    for life in &walk.lives {
        let Some(at) = life.from else { continue };
        let condition = vocabulary.condition(life.slot);
        let procedure = plan.items[at].procedure;
        for caution in &condition.cautions {
            let given = procedure
                .body
                .references
                .iter()
                .any(|r| r.scheme == Scheme::Caution && r.target == caution.text);
            if given || !reported.insert((at, &caution.text)) {
                continue;
            }
            findings.push(
                rules::CAUTION_NOT_GIVEN
                    .at(
                        procedure.id.span,
                        format!(
                            "after `{}`, {} holds, and it gives no caution `{}`",
                            procedure.id.text,
                            quoted(condition),
                            caution.text
                        ),
                    )
                    .bench("the hazard meets somebody who has not been told")
                    .instead(format!(
                        "put `[…](caution:{})` into the step where the hazard begins",
                        caution.text
                    ))
                    .also(caution.span, "asked for here"),
            );
        }
    }
}
