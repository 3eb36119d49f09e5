//! A condition that says how grave its hazard is: its cautions are no less grave.

use super::condition_words::quoted;
use crate::diagnostic::{Finding, rules};
use crate::resolve::Shop;

/// signal-word-too-low: the cautions of a condition have the signal word that it asks for, and there is one.
pub(crate) fn signal_words(shop: &Shop, findings: &mut Vec<Finding>) {
    for condition in &shop.conditions.list {
        let Some(least) = condition.least_signal else { continue };
        if condition.cautions.is_empty() {
            findings.push(
                rules::SIGNAL_WORD_TOO_LOW
                    .at(
                        condition.id.span,
                        format!("{} asks for a {} and names no caution", quoted(condition), least.word()),
                    )
                    .bench("the hazard meets somebody who has not been told")
                    .instead("name the caution that warns of it under `cautions:`"),
            );
        }
        for id in &condition.cautions {
            // The worst word is the first.
            let Some(caution) = shop.caution(&id.text).filter(|caution| caution.signal > least) else {
                continue;
            };
            findings.push(
                rules::SIGNAL_WORD_TOO_LOW
                    .at(
                        caution.id.span,
                        format!(
                            "`{}` says {}, and {} asks for {} at least",
                            id.text,
                            caution.signal.word(),
                            quoted(condition),
                            least.word()
                        ),
                    )
                    .bench("a hazard that can kill or maim is read as one that bruises, and passed over")
                    .instead(format!("write `signal: {}`", least.word().to_lowercase()))
                    .also(id.span, "asked for here"),
            );
        }
    }
}
