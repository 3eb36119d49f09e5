//! A shop in which every text that can be anything is hostile. The texts are found by walking the records of the demo
//! shop, so that a new field is in it by itself; the hostile words are the files beside this one.

use std::collections::BTreeMap;
use std::path::Path;

use benchleaf::diagnostic::Severity;
use benchleaf::record::is_id;
use benchleaf::syntax::markdown;
use benchleaf::syntax::yaml::{self, Node, Tree};
use benchleaf::text::{Files, Folder, Memory, Source, Span};
use benchleaf::{Checked, check_shop};

/// What is added to the texts, by the name of its file.
pub const WORDS: [(&str, &str); 3] = [
    ("markup", include_str!("markup.txt")),
    ("marks", include_str!("marks.txt")),
    ("lines", include_str!("lines.txt")),
];

/// A hostile shop: its files, and where its hostile texts stand, as kind of file and key.
pub struct Attack {
    pub files: BTreeMap<String, Vec<u8>>,
    pub places: Vec<String>,
}

/// One text made hostile.
#[derive(Clone)]
struct Edit {
    path: String,
    place: String,
    start: usize,
    end: usize,
    text: String,
}

/// The demo shop.
pub fn demo() -> BTreeMap<String, Vec<u8>> {
    let folder = Folder { root: Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf() };
    let (paths, problems) = folder.list();
    assert!(problems.is_empty(), "{problems:?}");
    paths.into_iter().map(|path| (path.clone(), folder.read(&path).expect("a source"))).collect()
}

/// The demo shop with hostile words behind every text that takes them without an error.
pub fn attack(words: &str) -> Attack {
    let clean = demo();
    let mut edits: Vec<Edit> = clean
        .iter()
        // A picture holds no text that a page shows.
        .filter(|(path, _)| !path.ends_with(".png"))
        .flat_map(|(path, bytes)| edits_of(path, std::str::from_utf8(bytes).expect("text"), words.trim_end()))
        .collect();
    // Whatever brings an error is taken back, until the shop has none.
    for _ in 0..20 {
        let (files, ranges) = apply(&clean, &edits);
        let checked = check_shop(&Memory { files: files.clone() });
        let wrong = wrong_edits(&checked, &edits, &ranges);
        if wrong.is_empty() {
            assert!(!checked.has_errors(), "{:#?}", checked.findings);
            let places = edits.into_iter().map(|edit| edit.place).collect();
            return Attack { files, places };
        }
        let mut at = 0;
        edits.retain(|_| {
            at += 1;
            !wrong[at - 1]
        });
    }
    panic!("the shop is never without an error");
}

/// The texts of one file.
fn edits_of(path: &str, text: &str, words: &str) -> Vec<Edit> {
    let mut files = Files::default();
    let file = files.add(path, text);
    let yaml_ends = markdown::split(text).map_or(text.len(), |(range, _)| range.end);
    let root = yaml::read(file, text.get(..yaml_ends).unwrap_or(text), &mut Vec::new());
    let kind = path.rsplit_once('/').map_or(path, |(folder, _)| folder);
    let mut edits = Vec::new();
    if let Some(root) = root {
        leaves(&root, kind, &mut |place, span, value| {
            let raw = &text[span.range()];
            let plain = raw == value || raw.starts_with(['"', '\'']);
            // An id leads to something else, and a number is read as one.
            let free = !is_id(value) && !value.starts_with(|c: char| c.is_ascii_digit() || "≤≥±".contains(c));
            if plain && free && !value.is_empty() {
                let text = serde_json::to_string(&format!("{value}{words}")).expect("a text");
                let (start, end) = (span.start as usize, span.end as usize);
                edits.push(Edit { path: path.to_owned(), place, start, end, text });
            }
        });
    }
    if path.ends_with(".md") {
        let end = text.len();
        let text = format!("\n{}\n", words.trim());
        edits.push(Edit { path: path.to_owned(), place: format!("{kind} body"), start: end, end, text });
    }
    edits
}

fn leaves(node: &Node, place: &str, take: &mut impl FnMut(String, Span, &str)) {
    match &node.value {
        Tree::Scalar { text, .. } => take(place.to_owned(), node.span, text),
        Tree::List(items) => items.iter().for_each(|item| leaves(item, place, take)),
        Tree::Map(entries) => {
            for entry in entries.iter().filter(|entry| entry.key != "id") {
                leaves(&entry.value, &format!("{place} {}", entry.key), take);
            }
        }
    }
}

type Ranges = Vec<std::ops::Range<usize>>;

/// The files with the edits in them, and where each edit stands then. The edits of a file stand together, in order.
fn apply(clean: &BTreeMap<String, Vec<u8>>, edits: &[Edit]) -> (BTreeMap<String, Vec<u8>>, Ranges) {
    let mut files = clean.clone();
    let mut ranges = Ranges::new();
    let mut at = 0;
    while at < edits.len() {
        let path = &edits[at].path;
        let old = std::str::from_utf8(&clean[path]).expect("text");
        let (mut new, mut from) = (String::new(), 0);
        while at < edits.len() && edits[at].path == *path {
            new.push_str(&old[from..edits[at].start]);
            let start = new.len();
            new.push_str(&edits[at].text);
            ranges.push(start..new.len());
            from = edits[at].end;
            at += 1;
        }
        new.push_str(&old[from..]);
        files.insert(path.clone(), new.into_bytes());
    }
    (files, ranges)
}

/// Which edits an error speaks of; those of its whole file, where it stands elsewhere. None where there is no error.
fn wrong_edits(checked: &Checked, edits: &[Edit], ranges: &Ranges) -> Vec<bool> {
    let errors: Vec<_> =
        checked.findings.iter().filter(|finding| finding.severity == Severity::Error).collect();
    if errors.is_empty() {
        return Vec::new();
    }
    let mut wrong = vec![false; edits.len()];
    for error in errors {
        let spans = error.also.iter().map(|label| label.span).chain([error.span]);
        let mut known = false;
        for span in spans.clone() {
            let path = &checked.files.get(span.file).path;
            for (at, range) in ranges.iter().enumerate() {
                let touches = span.range().start < range.end
                    && range.start < span.range().end.max(span.range().start + 1);
                if edits[at].path == *path && touches {
                    (wrong[at], known) = (true, true);
                }
            }
        }
        if !known {
            for span in spans {
                let path = &checked.files.get(span.file).path;
                edits
                    .iter()
                    .zip(&mut wrong)
                    .filter(|(edit, _)| edit.path == *path)
                    .for_each(|(_, wrong)| *wrong = true);
            }
        }
    }
    // An acceptance holds by the name of an approver, which stands in the shop's own file.
    if !wrong.contains(&true) {
        let shops = edits.iter().map(|edit| edit.path == "specs/shop.yaml");
        wrong.iter_mut().zip(shops).for_each(|(wrong, shops)| *wrong = shops);
    }
    assert!(wrong.contains(&true), "errors that no hostile text brought: {:#?}", checked.findings);
    wrong
}
