//! The rules' pages: what each finds, what that does at the bench, what to write instead.

use super::accept::may_stand;
use super::doubt::acceptance;

/// Every rule's page by its code, sorted: the same files that are its test. `build.rs` lists them.
pub const PAGES: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/rule_pages.rs"));

/// A rule's page without its examples, which are written for the test; with how its finding is let stand, where it
/// may be.
pub fn page(code: &str) -> Option<String> {
    let (_, text) = PAGES.iter().find(|(known, _)| *known == code)?;
    let text = text.split("\n## Examples").next().unwrap_or(text).trim_end();
    // Of the rules on acceptances each wants the form; of the others, those whose finding may be let stand.
    let of_acceptances = code.starts_with("accept-");
    if !may_stand(code) && !of_acceptances {
        return Some(text.to_owned());
    }
    let shown = acceptance(if of_acceptances { "outside-band" } else { code }, "A. Name");
    Some(format!(
        "{text}\n\n## Letting it stand\nA value that is right all the same is written as a mapping, with an approver's \
         word for it:\n\n    value: (as it was)\n    {shown}\n\nThe card and the page print the reason with the value. A \
         last day may be added: `until: \"2026-09-30\"`."
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_page_on_disk_is_built_in() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/check/rules");
        let mut there: Vec<String> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .filter_map(|name| name.strip_suffix(".md").map(str::to_owned))
            .filter(|name| name != "README")
            .collect();
        there.sort();
        let built: Vec<&str> = PAGES.iter().map(|(code, _)| *code).collect();
        assert_eq!(built, there);
    }

    #[test]
    fn a_page_is_told_without_its_examples() {
        let text = page("bare-number").unwrap();
        assert!(text.contains("## At the bench") && !text.contains("Base: plain"), "{text}");
        assert_eq!(page("no-such-rule"), None);
    }

    #[test]
    fn a_finding_that_may_be_let_stand_says_how_with_every_key() {
        for code in ["outside-band", "unit-slip", "accept-by", "accept-refused"] {
            let text = page(code).unwrap();
            for key in ["accept: {finding: ", "reason: ", "by: ", "until: "] {
                assert!(text.contains(key), "{code}: {text}");
            }
        }
        assert!(!page("bare-number").unwrap().contains("accept: {"), "it must be mended");
    }
}
