//! The rules' pages: what each finds, what that does at the bench, what to write instead.

use crate::diagnostic::{Rule, rules};
use crate::record::acceptance;

/// A rule's page, with how its finding is let stand, where it may be. The examples are left out: they are written
/// for the test.
pub fn page(rule: &Rule) -> String {
    let text = rule.page;
    // Of the rules on acceptances each wants the form; of the others, those whose finding may be let stand.
    let of_acceptances = rule.code.starts_with("accept-");
    if !rule.acceptable && !of_acceptances {
        return text.to_owned();
    }
    let shown = acceptance(if of_acceptances { rules::OUTSIDE_BAND.code } else { rule.code }, "A. Name");
    format!(
        "{text}\n\n## Letting it stand\nA value that is right all the same is written as a mapping, with an approver's \
         word for it:\n\n    value: (as it was)\n    {shown}\n\nThe card and the page print the reason with the value. A \
         last day may be added: `until: \"2026-09-30\"`."
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_page_on_disk_is_a_rule() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/check/rules");
        let mut there: Vec<String> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .filter_map(|name| name.strip_suffix(".md").map(str::to_owned))
            .filter(|name| name != "README")
            .collect();
        there.sort();
        let built: Vec<&str> = rules::ALL.iter().map(|rule| rule.code).collect();
        assert_eq!(built, there);
    }

    #[test]
    fn a_page_is_told_without_its_examples() {
        let text = page(&rules::BARE_NUMBER);
        assert!(text.contains("## At the bench") && !text.contains("Base: plain"), "{text}");
    }

    #[test]
    fn a_finding_that_may_be_let_stand_says_how_with_every_key() {
        for rule in
            [&rules::OUTSIDE_BAND, &rules::UNIT_SLIP, &rules::ACCEPT_NOT_BY_APPROVER, &rules::ACCEPT_REFUSED]
        {
            let text = page(rule);
            for key in ["accept: {finding: ", "reason: ", "by: ", "until: "] {
                assert!(text.contains(key), "{rule:?}: {text}");
            }
        }
        assert!(!page(&rules::BARE_NUMBER).contains("accept: {"), "it must be mended");
    }
}
