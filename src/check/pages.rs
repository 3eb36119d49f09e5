//! The rules' pages: what each finds, what that does at the bench, what to write instead.

/// Every rule's page by its code, sorted: the same files that are its test. `build.rs` lists them.
pub const PAGES: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/rule_pages.rs"));

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
        assert_eq!(built, there);
    }

    #[test]
    fn a_page_is_told_without_its_examples() {
        let text = page("bare-number").unwrap();
        assert!(text.contains("## At the bench") && !text.contains("Base: plain"), "{text}");
        assert_eq!(page("no-such-rule"), None);
    }
}
