//! The rules' pages are their tests: each holds wrong shops, and the findings that must be found in them.

mod change;
mod judge;
mod page;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use benchleaf::diagnostic::rules;
use change::Shop;
use judge::judge;
use page::Page;

/// The base shops below `tests/shops`.
const BASES: [&str; 5] = ["plain", "rod", "closed", "split", "order"];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every file of a base shop, in memory.
fn base(name: &str) -> Shop {
    fn add(folder: &Path, inner: &str, shop: &mut Shop) {
        for entry in fs::read_dir(folder).unwrap() {
            let entry = entry.unwrap();
            let path = format!("{inner}{}", entry.file_name().to_str().unwrap());
            if entry.file_type().unwrap().is_dir() {
                add(&entry.path(), &format!("{path}/"), shop);
            } else {
                shop.insert(path, fs::read(entry.path()).unwrap());
            }
        }
    }
    let mut shop = Shop::new();
    add(&root().join("tests/shops").join(name), "", &mut shop);
    shop
}

fn bases() -> BTreeMap<String, Shop> {
    BASES.iter().map(|name| ((*name).to_owned(), base(name))).collect()
}

/// Runs every case of a page and returns the reports of those that fail.
fn failures(page: &Page, bases: &BTreeMap<String, Shop>) -> Vec<String> {
    let run = |case: &page::Case| match bases.get(&case.base) {
        Some(base) => judge(page, case, base),
        None => Err(format!("{}, line {}: there is no base shop `{}`", page.code, case.line, case.base)),
    };
    page.cases.iter().filter_map(|case| run(case).err()).collect()
}

/// The pages by file name.
fn pages() -> BTreeMap<String, Page> {
    let mut pages = BTreeMap::new();
    for entry in fs::read_dir(root().join("src/check/rules")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        if path.extension().is_some_and(|ending| ending == "md") && name != "README" {
            let page = Page::parse(&fs::read_to_string(&path).unwrap());
            pages.insert(name.clone(), page.unwrap_or_else(|text| panic!("{name}.md: {text}")));
        }
    }
    pages
}

#[test]
fn every_base_shop_is_clean() {
    for (name, shop) in bases() {
        let checked = judge::check(&shop, None);
        let told = benchleaf::diagnostic::text(&checked.findings, &checked.files, 100, false);
        assert!(checked.findings.is_empty(), "tests/shops/{name}:\n{told}");
    }
}

#[test]
fn every_wrong_shop_is_told_of_its_one_mistake() {
    use rayon::prelude::*;
    let (bases, pages) = (bases(), pages());
    let failed: Vec<String> = pages.par_iter().flat_map(|(_, page)| failures(page, &bases)).collect();
    let cases: usize = pages.values().map(|page| page.cases.len()).sum();
    let line = "-".repeat(100);
    assert!(
        failed.is_empty(),
        "{line}\n{}\n{line}\n{} of {cases} cases failed",
        failed.join(&line),
        failed.len()
    );
}

#[test]
fn a_page_is_called_by_its_code() {
    for (name, page) in pages() {
        assert_eq!(name, page.code, "src/check/rules/{name}.md");
    }
}

/// A rule is declared by its page, so every finding has one; the pages that are tried here must be all there are.
#[test]
fn every_rule_is_tried() {
    let declared: BTreeSet<&str> = rules::ALL.iter().map(|rule| rule.code).collect();
    let tried: BTreeSet<String> = pages().into_keys().collect();
    assert!(declared.iter().eq(tried.iter()), "{declared:?}\n{tried:?}");
}

/// The harness itself: a case that must pass, and what is done to it that must make it fail.
mod harness {
    use super::*;

    const GOOD: &str = r#"# bare-number
Severity: error

## What it finds
A number without a unit.

## At the bench
Nobody knows what to set.

## Write instead
The unit.

## Examples

### The gap has no unit
Base: plain

```change specs/forks/tarn-41.yaml
-     value: 96 mm ± 2 mm (3.78 in)
+     value: 96
             ^^ error bare-number "96"
```
"#;

    fn outcome(page: &str) -> Result<(), String> {
        let page = Page::parse(page)?;
        let failed = failures(&page, &bases());
        if failed.is_empty() { Ok(()) } else { Err(failed.join("\n")) }
    }

    fn fails(from: &str, to: &str, why: &str) {
        assert!(GOOD.contains(from), "{from:?} is not in the page");
        let told = outcome(&GOOD.replacen(from, to, 1)).expect_err("this page must fail");
        assert!(told.contains(why), "the report does not say {why:?}:\n{told}");
    }

    #[test]
    fn the_good_page_passes() {
        assert_eq!(outcome(GOOD), Ok(()));
    }

    #[test]
    fn a_wrong_marker_fails() {
        fails(" ^^ error", "^^ error", "missing: ");
        fails(" ^^ error", " ^ error", "missing: ");
        fails("\"96\"\n```", "\"97\"\n```", "missing: ");
        fails(
            "error bare-number \"96\"",
            "error bare-number \"96\"\n       ^^ note bare-number \"x\"",
            "missing: ",
        );
        let told = outcome(&GOOD.replace(" ^^ error", "^^ error")).unwrap_err();
        for part in
            ["not expected: specs/forks/tarn-41.yaml", "+     value: 96", "error[bare-number]", "```expect"]
        {
            assert!(told.contains(part), "the report lacks {part:?}:\n{told}");
        }
    }

    #[test]
    fn the_markers_of_a_report_can_be_pasted() {
        let told = outcome(&GOOD.replace(" ^^ error", "^^ error")).unwrap_err();
        let pasted = told.lines().skip_while(|line| !line.starts_with("```expect")).nth(2).unwrap();
        let original = GOOD.lines().find(|line| line.trim().starts_with('^')).unwrap();
        let caret = |line: &str| line.find('^');
        assert_eq!(caret(pasted), caret(original), "{told}");
    }

    #[test]
    fn a_finding_that_no_marker_names_fails() {
        fails("             ^^ error bare-number \"96\"\n```", "```\nNo finding.", "not expected: ");
    }

    #[test]
    fn a_near_miss_that_is_silent_passes() {
        let page = GOOD.replace(
            "+     value: 96\n             ^^ error bare-number \"96\"\n```",
            "+     value: 95 mm ± 2 mm (3.74 in)\n```\nNo finding.",
        );
        assert_eq!(outcome(&page), Ok(()));
    }

    #[test]
    fn malformed_pages_fail_loudly() {
        fails("# bare-number", "bare-number", "line 1");
        fails("Severity: error", "Severity: fatal", "no severity");
        fails("Severity: error", "Grave", "Severity: error");
        fails("Severity: error", "Severity: note", "no mark expects");
        fails("## At the bench", "## Bench", "the sections are");
        fails("Nobody knows what to set.", "", "says nothing");
        fails("### The gap has no unit\n", "", "### ");
        fails("Base: plain\n", "", "Base: ");
        fails("Base: plain", "Base: plainer", "no base shop");
        fails("```change specs", "```alter specs", "no kind of block");
        fails("```change specs/forks/tarn-41.yaml", "```change", "names its file");
        fails("tarn-41.yaml", "tarn-41.yaml rot13", "not known");
        fails("tarn-41.yaml", "tarn-42.yaml", "not in the base shop");
        fails("-     value: 96 mm ± 2 mm", "-     value: 97 mm ± 2 mm", "are not there");
        fails("-     value: 96 mm ± 2 mm (3.78 in)\n", "", "names no line");
        fails("-     value:", "=     value:", "begins with neither");
        fails("^^ error bare-number \"96\"", "^^ error bare-number", "a marker is");
        fails("^^ error bare-number \"96\"", "^^ fatal bare-number \"96\"", "no mark expects");
        fails("\"96\"\n```\n", "\"96\"\n", "never closed");
        fails("             ^^ error bare-number \"96\"\n", "", "marks its findings");
        fails("```change", "No finding.\n```change", "marks its findings");
    }
}
