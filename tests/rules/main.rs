//! The rules' pages are their tests: each holds wrong shops, and the findings that must be found in them.
//!
//! Every example is a test of its own, named by its rule and its title, so that some can be run alone:
//! `cargo test --test rules outside-band`.

mod bases;
mod change;
mod harness;
mod judge;
mod page;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::process::ExitCode;
use std::sync::Arc;

use bases::{BASES, Bases, bases, root, try_case};
use benchleaf::diagnostic::rules;
use change::Shop;
use libtest_mimic::{Arguments, Failed, Trial};
use page::Page;

/// The pages' texts by file name.
fn texts() -> BTreeMap<String, String> {
    let mut texts = BTreeMap::new();
    for entry in fs::read_dir(root().join("src/check/rules")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        if path.extension().is_some_and(|ending| ending == "md") && name != "README" {
            texts.insert(name, fs::read_to_string(&path).unwrap());
        }
    }
    texts
}

/// A test of its own.
fn trial(name: impl Into<String>, test: impl FnOnce() -> Result<(), String> + Send + 'static) -> Trial {
    Trial::test(name, move || test().map_err(Failed::from))
}

/// Every example of a page, or the one reason why the page cannot be read.
fn trials_of_page(name: String, text: &str, bases: &Arc<Bases>) -> Vec<Trial> {
    let page = match Page::parse(text) {
        Ok(page) if page.code == name => Arc::new(page),
        Ok(page) => {
            let why = format!("src/check/rules/{name}.md begins with `# {}`", page.code);
            return vec![trial(name, || Err(why))];
        }
        Err(why) => return vec![trial(name, || Err(why))],
    };
    let case = |at: usize| {
        let (page, bases) = (Arc::clone(&page), Arc::clone(bases));
        let name = format!("{}: {}", page.code, page.cases[at].title);
        trial(name, move || try_case(&page, &page.cases[at], &bases))
    };
    (0..page.cases.len()).map(case).collect()
}

/// A wrong shop shows its one mistake only where the shop it begins with has none.
fn clean(name: &str, shop: &Shop) -> Result<(), String> {
    let mut checked = judge::check(shop, None);
    checked.findings.retain(|finding| finding.code() != judge::EVERYWHERE);
    let text = benchleaf::diagnostic::text(&checked.findings, &checked.files, 100, false);
    if checked.findings.is_empty() { Ok(()) } else { Err(format!("tests/shops/{name}:\n{text}")) }
}

/// A rule is declared by its page, so every finding has one; the pages that are tried here must be all there are.
fn every_rule_is_tried() -> Result<(), String> {
    let declared: BTreeSet<&str> = rules::ALL.iter().map(|rule| rule.code).collect();
    let tried: BTreeSet<String> = texts().into_keys().collect();
    if declared.iter().eq(tried.iter()) { Ok(()) } else { Err(format!("{declared:?}\n{tried:?}")) }
}

fn main() -> ExitCode {
    let arguments = Arguments::from_args();
    let bases = Arc::new(bases());
    let mut trials = vec![trial("every rule is tried", every_rule_is_tried)];
    for name in BASES {
        let bases = Arc::clone(&bases);
        trials.push(trial(format!("base shop {name} is clean"), move || clean(name, &bases[name])));
    }
    for (name, text) in texts() {
        trials.extend(trials_of_page(name, &text, &bases));
    }
    trials.extend(harness::trials(&bases));
    libtest_mimic::run(&arguments, trials).exit_code()
}
