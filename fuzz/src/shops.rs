//! Small shops to spoil, and what must hold of whatever comes out of them.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use benchleaf::book::Book;
use benchleaf::diagnostic::{Finding, Severity, github, json, sarif, text};
use benchleaf::site::{Press, Templates};
use benchleaf::text::{Files, Memory, is_unseen};
use benchleaf::{Checked, check_shop};

/// The root of the repository.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The sources below a folder, by path.
pub fn sources(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    use benchleaf::text::{Folder, Source};
    let folder = Folder { root: folder.to_path_buf() };
    let (paths, _) = folder.list();
    paths.into_iter().filter_map(|path| folder.read(&path).ok().map(|bytes| (path, bytes))).collect()
}

/// A shop of `tests/shops`.
pub fn small(name: &str) -> BTreeMap<String, Vec<u8>> {
    sources(&root().join("tests/shops").join(name))
}

/// The shop with one file changed, checked, every output of it looked at. Pages are made where nothing is wrong.
pub fn check_with(shop: &BTreeMap<String, Vec<u8>>, path: &str, text: &str, pages: bool) -> Checked {
    let mut files = shop.clone();
    files.insert(path.to_owned(), text.as_bytes().to_vec());
    let checked = check_shop(&Memory { files });
    outputs(&checked.findings, &checked.files);
    if pages && !checked.has_errors() {
        all_pages(&checked);
    }
    checked
}

fn all_pages(checked: &Checked) {
    let book = Book::new(checked);
    static TEMPLATES: LazyLock<Templates> =
        LazyLock::new(|| Templates::new(&BTreeMap::new()).expect("the built-in templates"));
    let press = Press::new(&book, TEMPLATES.clone());
    for page in press.list() {
        let bytes = press.render(page).unwrap_or_else(|problem| panic!("{}: {problem:?}", page.path));
        if page.path.ends_with(".html") {
            let html = String::from_utf8(bytes).expect("UTF-8");
            let seen = html.chars().filter(|c| is_unseen(*c) && *c != '\u{200b}' && *c != '\u{ad}');
            assert_eq!(seen.collect::<String>(), "", "{} holds what nobody sees", page.path);
        }
    }
}

/// Findings lie inside their files, and no format lets out what nobody sees; JSON can be read.
fn outputs(findings: &[Finding], files: &Files) {
    for finding in findings {
        for span in finding.also.iter().map(|label| label.span).chain([finding.span]) {
            let text = &files.get(span.file).text;
            assert!(text.get(span.range()).is_some(), "{} lies outside of its file", finding.code());
        }
        assert!(!finding.message.is_empty(), "{} says nothing", finding.code());
    }
    let forms = [
        json(findings, files),
        sarif(findings, files, "", |_| String::new()),
        github(findings, files, ""),
        text(findings, files, 80, false),
    ];
    for form in &forms {
        assert!(!form.contains(is_unseen), "what nobody sees comes out: {form}");
    }
    for form in &forms[..2] {
        serde_json::from_str::<serde_json::Value>(form).expect("JSON");
    }
    assert_eq!(forms[2].lines().count(), findings.len(), "a line for each finding");
}

/// Whether there is an error that was not there in a clean shop.
pub fn errors(checked: &Checked) -> usize {
    checked.findings.iter().filter(|finding| finding.severity == Severity::Error).count()
}
