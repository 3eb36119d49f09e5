//! The YAML tree: against a second reader on a corpus, and against arbitrary input.

use benchleaf::syntax::yaml;
use benchleaf::text::Files;
use proptest::prelude::*;
use serde_json::Value as Json;

/// The tree of a text, as JSON in which every scalar is a text.
fn tree(text: &str) -> Option<Json> {
    fn plain(node: &yaml::Node) -> Json {
        match &node.value {
            yaml::Tree::Scalar { text, .. } => Json::String(text.clone()),
            yaml::Tree::List(items) => Json::Array(items.iter().map(plain).collect()),
            yaml::Tree::Map(entries) => {
                Json::Object(entries.iter().map(|e| (e.key.clone(), plain(&e.value))).collect())
            }
        }
    }
    let mut files = Files::default();
    let file = files.add("x.yaml", text);
    yaml::read(file, text, &mut Vec::new()).map(|node| plain(&node))
}

/// Documents of the shapes records have. The second reader (the serde YAML reader) types its scalars, so
/// the corpus keeps to texts that every reader takes for texts.
const CORPUS: [&str; 12] = [
    "id: a\n",
    "a: {b: c, d: [e, f]}\n",
    "a:\n  - b: c\n    d: e\n  - f: g\n",
    "a: \"x: y # z\"\nb: 'it''s'\n",
    "a: |\n  one\n  two\nb: >\n  folded\n  line\n",
    "# head\na: b # tail\n\n\nc: d\n",
    "a: 41 mm ± 2 mm\nb: 96..112 mm\nc: ≤ 0.2 mm\n",
    "a: 470 mL (15.9 US fl oz)\n",
    "a: 22 N·m\n\"b c\": d\n",
    "a:\n    b:\n        c: deep\n    d: e\n",
    "a: line one\n  goes on\nb: c\n",
    "a: \"tab\\tand \\u00e9\"\n",
];

#[test]
fn the_tree_agrees_with_a_second_reader() {
    for text in CORPUS {
        let second: Json = serde_yaml::from_str(text).expect("the second reader takes it");
        assert_eq!(tree(text), Some(second), "{text}");
    }
}

/// The npm package `yaml`, version pinned in tests/node/package-lock.json, with the failsafe schema, so
/// that scalars are texts there too. Demo records are part of the corpus.
#[test]
fn the_tree_agrees_with_a_reader_of_another_language() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let dir = tempfile::tempdir().expect("a folder");
    let mut paths = Vec::new();
    let mut texts: Vec<String> = CORPUS.iter().map(|text| (*text).to_owned()).collect();
    for folder in ["specs/forks", "specs/families", "specs/oils", "specs/tools", "procedures/services"] {
        for entry in std::fs::read_dir(root.join(folder)).expect("the demo shop").flatten() {
            if entry.path().extension().is_some_and(|ending| ending == "yaml") {
                texts.push(std::fs::read_to_string(entry.path()).expect("a record"));
            }
        }
    }
    // Refused by both.
    texts.extend(["a: [b\n".to_owned(), "a: b: c\n".to_owned(), "\ta: b\n".to_owned(), "a: 'b\n".to_owned()]);
    for (n, text) in texts.iter().enumerate() {
        let path = dir.path().join(format!("{n:03}.yaml"));
        std::fs::write(&path, text).expect("written");
        paths.push(path);
    }
    let done = std::process::Command::new("node")
        .arg("yaml.mjs")
        .args(&paths)
        .current_dir(root.join("tests/node"))
        .output()
        .expect("node is installed");
    let said = String::from_utf8_lossy(&done.stdout);
    assert_eq!(said.lines().count(), texts.len(), "{}", String::from_utf8_lossy(&done.stderr));
    for (text, line) in texts.iter().zip(said.lines()) {
        let other: Json = serde_json::from_str(line).expect("JSON");
        assert_eq!(tree(text), other.get("value").cloned(), "{text}\n{line}");
    }
}

fn spans_inside(node: &yaml::Node, text: &str) -> bool {
    let fine = |span: benchleaf::text::Span| text.get(span.range()).is_some();
    fine(node.span)
        && node.items().iter().all(|item| spans_inside(item, text))
        && node.entries().iter().all(|entry| fine(entry.key_span) && spans_inside(&entry.value, text))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    /// Pieces of YAML in any order: no panic, every place inside the text, a finding for what is not read.
    #[test]
    fn any_input_gives_a_tree_or_a_finding(pieces in proptest::collection::vec(
        prop_oneof![
            Just("a: ".to_owned()), Just("- ".to_owned()), Just("{".to_owned()), Just("}".to_owned()), Just("[".to_owned()),
            Just("]".to_owned()), Just("\n".to_owned()), Just("  ".to_owned()), Just("\t".to_owned()), Just(": ".to_owned()),
            Just("&x ".to_owned()), Just("*x".to_owned()), Just("!t ".to_owned()), Just("<<".to_owned()), Just("'".to_owned()),
            Just("\"".to_owned()), Just("# c".to_owned()), Just("---\n".to_owned()), Just("|\n".to_owned()), Just("10,5 mm".to_owned()),
            Just("41 mm ± 2 mm".to_owned()), "\\PC{0,6}",
        ], 0..40)) {
        let text: String = pieces.concat();
        let mut files = Files::default();
        let file = files.add("x.yaml", text.clone());
        let mut findings = Vec::new();
        let root = yaml::read(file, &text, &mut findings);
        prop_assert!(root.is_some() || !findings.is_empty());
        if let Some(root) = root {
            prop_assert!(spans_inside(&root, &text));
        }
        for finding in findings {
            prop_assert!(text.get(finding.span.range()).is_some());
        }
    }
}
