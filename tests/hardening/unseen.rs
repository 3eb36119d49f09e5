//! Nothing that nobody sees comes out, whatever goes in and in whatever form it is written.

use std::path::Path;

use benchleaf::text::is_unseen;

use crate::support::{copy, git, here, run, text, write};

/// Ways to write a character that nobody sees into a record and a procedure: an escape of YAML, an entity of Markdown,
/// the character itself.
const WAYS: [(&str, &str); 9] = [
    ("\\u202e", "&#x202e;"),
    ("\\e[31m", "&#x1b;[31m"),
    ("\\N", "&#x85;"),
    ("\\x9b31m", "&#155;31m"),
    ("\\u200e", "&lrm;"),
    ("\\U000e0041", "&#xe0041;"),
    ("\\0", "&shy;"),
    ("\\L", "&#x2028;"),
    ("\\a", "&ZeroWidthSpace;"),
];

/// No output of a command holds what nobody sees, nor a line that steers a workflow's runner.
fn outputs_are_plain(shop: &Path, arguments: &[&str]) {
    let output = run(shop, arguments);
    let workflow = arguments.contains(&"github");
    for bytes in [&output.stdout, &output.stderr] {
        let said = text(bytes);
        if let Some(c) = said.chars().find(|c| is_unseen(*c)) {
            panic!("{arguments:?} lets {c:?} out: {said}");
        }
        let command = |line: &&str| line.trim_start().starts_with("::") || line.contains("##[");
        assert!(workflow || said.lines().find(command).is_none(), "{arguments:?} steers a runner: {said}");
    }
}

#[test]
fn escapes_entities_and_characters_are_refused_and_come_out_written_out() {
    for (yaml, markdown) in WAYS {
        let folder = tempfile::tempdir().expect("a folder");
        let shop = folder.path();
        copy(&here("tests/shops/plain"), shop);
        git(shop, &["init", "-q"]);
        git(shop, &["add", "-A"]);
        git(shop, &["commit", "-q", "-m", "clean"]);
        write(
            &shop.join("specs/oils/odd.yaml"),
            format!("id: odd\ntitle: \"a{yaml}b\\n::error::c\\r\\n##[group]d\"\n\"k{yaml}\": \"{yaml}\"\n"),
        );
        write(
            &shop.join("procedures/odd.md"),
            format!("---\nid: odd\ntitle: Odd\n---\n1. Do a{markdown}b `c`.\n"),
        );
        for format in ["text", "json", "sarif", "github"] {
            outputs_are_plain(shop, &["check", "--format", format]);
        }
        for format in ["text", "json", "markdown"] {
            outputs_are_plain(shop, &["compare", "HEAD", "--format", format]);
        }
        outputs_are_plain(shop, &["build", "--out", "out"]);
        let found = text(&run(shop, &["check", "--format", "json"]).stdout);
        let found: serde_json::Value = serde_json::from_str(&found).expect("JSON");
        for path in ["specs/oils/odd.yaml", "procedures/odd.md"] {
            let refused = found["findings"].as_array().expect("a list").iter().any(|finding| {
                finding["path"] == path
                    && finding["code"] == "unseen-character"
                    && finding["severity"] == "error"
            });
            assert!(refused, "{yaml} {markdown} in {path}: {found:#}");
        }
    }
}

#[test]
fn names_of_files_and_arguments_come_out_written_out() {
    let folder = tempfile::tempdir().expect("a folder");
    let shop = folder.path();
    copy(&here("tests/shops/plain"), shop);
    for name in ["a\u{202e}b.yaml", "\u{1b}[31mred.yaml", "c\n::error::d.yaml", "e\u{9b}1m.yaml"] {
        write(&shop.join("specs/forks").join(name), "id: x\n");
        write(&shop.join("specs/nowhere").join(name), "id: x\n");
    }
    for format in ["text", "json", "sarif", "github"] {
        outputs_are_plain(shop, &["check", "--format", format]);
    }
    outputs_are_plain(shop, &["build", "--out", "out"]);
    for odd in ["\u{1b}[31mx", "\u{202e}x", "x\n::stop::y"] {
        for arguments in [
            &["check", odd][..],
            &["card", odd],
            &["explain", odd],
            &["pull", odd],
            &["compare", odd],
            &["convert", odd],
            &["calc", "gap", "--fork", odd],
            &["approve", odd, "--by", odd, "--date", odd],
            &["approve", "tarn-41", "--by", "A. Wren", "--date", "2026-05-04", "--values", odd],
            &["new", "fork", odd],
            &["new", "fork", "fresh-41", "--like", odd],
            &["build", "--out", odd],
            &["check", "--format", odd],
            &["calc", odd],
            &[odd],
        ] {
            outputs_are_plain(shop, arguments);
        }
    }
}
