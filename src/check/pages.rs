//! The rules' pages: what each finds, what that does at the bench, what to write instead.

macro_rules! pages {
    ($($code:literal),* $(,)?) => {
        /// Every rule's page by its code, sorted: the same files that are its test.
        pub const PAGES: &[(&str, &str)] = &[$(($code, include_str!(concat!("rules/", $code, ".md")))),*];
    };
}

pages!(
    "accept-idle",
    "accept-refused",
    "air-force-limit",
    "ambiguous-unit",
    "bare-number",
    "bushing-clearance",
    "card-overflow",
    "caution-empty",
    "caution-not-given",
    "changes-nothing",
    "choice-missing",
    "choice-not-applicable",
    "class-unreadable",
    "coil-bind",
    "condition-contradiction",
    "condition-loop",
    "dangling-reference",
    "decimal-comma",
    "duplicate-id",
    "duplicate-key",
    "estimate",
    "field-declaration",
    "figures-contradict",
    "file-out-of-place",
    "file-unreadable",
    "fit-and-bore",
    "fork-without-service",
    "free-length-under-limit",
    "front-matter",
    "gap-moves",
    "hand-back-not-met",
    "html-as-text",
    "id-form",
    "id-not-file-name",
    "image-left-out",
    "leg-difference",
    "leg-difference-missing",
    "link-lost",
    "link-scheme",
    "locks-on-oil",
    "machine-claimed-twice",
    "missing-key",
    "missing-value",
    "need-not-met",
    "negative-value",
    "no-forks",
    "no-variant-fits",
    "nonsense-range",
    "nonsense-tolerance",
    "not-a-number",
    "not-for-this-fork",
    "not-judged",
    "oil-class",
    "oil-index",
    "one-leg-only",
    "outside-band",
    "outside-tuning-range",
    "pitch-not-preferred",
    "pressure-limit",
    "pressure-range",
    "pressure-temperature",
    "procedure-needs-value",
    "procedure-never-reached",
    "procedure-not-for-fork",
    "procedure-twice",
    "rate-and-wire",
    "record-empty",
    "reference-without-text",
    "seal-inside",
    "seal-outside",
    "second-saying",
    "size-unreadable",
    "slope-and-bore",
    "source-missing",
    "state-differs",
    "state-edge",
    "state-missing",
    "step-empty",
    "template",
    "thread-unreadable",
    "tool-kind",
    "torque-near-proof",
    "torque-over-proof",
    "twins-disagree",
    "unit-slip",
    "unit-spelling",
    "unknown-choice",
    "unknown-condition",
    "unknown-key",
    "unknown-source",
    "unknown-unit",
    "unreadable-value",
    "unseen-character",
    "unused-caution",
    "unused-condition",
    "unused-family",
    "unused-procedure",
    "unused-tool",
    "variant-never-chosen",
    "viscosities-contradict",
    "volume-ratio",
    "weight-no-viscosity",
    "wrong-dimension",
    "wrong-form",
    "wrong-leg",
    "wrong-shape",
    "yaml-other-readers",
    "yaml-plain",
    "yaml-swallowed",
    "yaml-unreadable",
    "years-unreadable",
);

/// A rule's page without its examples, which are written for the test.
pub fn page(code: &str) -> Option<&'static str> {
    let (_, text) = PAGES.iter().find(|(known, _)| *known == code)?;
    Some(text.split("\n## Examples").next().unwrap_or(text).trim_end())
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
        assert_eq!(built, there, "list the page in src/check/pages.rs");
    }

    #[test]
    fn a_page_is_told_without_its_examples() {
        let text = page("bare-number").unwrap();
        assert!(text.contains("## At the bench") && !text.contains("Base: plain"), "{text}");
        assert_eq!(page("no-such-rule"), None);
    }
}
