//! What the shop's texts say of the first click is what its settings say.

use crate::diagnostic::{Finding, rules};
use crate::resolve::Shop;

/// Words that stand for the count of the first click felt.
const COUNTS: [(&str, bool); 4] = [("zero", true), ("0", true), ("one", false), ("1", false)];

/// first-click-otherwise: a procedure that says which number the first click has says that of the settings.
pub(crate) fn clicks(shop: &Shop, findings: &mut Vec<Finding>) {
    let zero = shop.settings.first_click_is_zero();
    for procedure in &shop.procedures {
        let mut said = procedure.body.running.iter().filter_map(|block| Some((block, counted(&block.text)?)));
        let Some((block, (at, _))) = said.find(|(_, (_, says_zero))| *says_zero != zero) else { continue };
        let word = if zero { "zero" } else { "one" };
        findings.push(
            rules::FIRST_CLICK_OTHERWISE
                .at(
                    block.span(at),
                    format!(
                        "`{}` counts the first click otherwise than `first_click: {word}` of the settings",
                        procedure.id.text
                    ),
                )
                .bench("every count is one click out, and on one side of the page only")
                .instead("correct the procedure's words, or `first_click:` in specs/shop.yaml"),
        );
    }
}

/// Where a text says which number the first click has, and whether it is zero.
fn counted(text: &str) -> Option<(std::ops::Range<usize>, bool)> {
    let lower = text.to_lowercase();
    let from = lower.find("first click")?;
    let rest = &lower[from..];
    let sentence = &rest[..rest.find(['.', ':', ';']).unwrap_or(rest.len())];
    let last = sentence.split_whitespace().last()?;
    let (_, zero) = COUNTS.iter().find(|(word, _)| *word == last)?;
    Some((from..from + sentence.len(), *zero))
}
