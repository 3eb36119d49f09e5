//! The places in the code that write, that start a process, or that leave what the compiler checks: all listed here, so
//! that a new one is looked at before it is let in.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// A place where something of a kind may stand.
struct Place {
    kind: &'static str,
    file: &'static str,
    /// In how many lines.
    lines: usize,
    /// Why it is there.
    why: &'static str,
}

const ALLOWED: [Place; 6] = [
    Place { kind: "unsafe", file: "src/lib.rs", lines: 1, why: "`forbid(unsafe_code)`" },
    Place {
        kind: "start a process",
        file: "src/text/git/command.rs",
        lines: 1,
        why: "git, with everything off that a repository can name",
    },
    Place {
        kind: "start a process",
        file: "src/text/git/running.rs",
        lines: 1,
        why: "starts that command, and watches it",
    },
    Place { kind: "write", file: "src/output/disk.rs", lines: 8, why: "the one interface that writes" },
    Place {
        kind: "write",
        file: "src/text/ordinary.rs",
        lines: 2,
        why: "opens a file so that it can be locked, and writes nothing",
    },
    Place {
        kind: "end the program",
        file: "src/cli/build.rs",
        lines: 1,
        why: "a template that does not come to an end",
    },
];

/// The words of each kind.
const WORDS: [(&str, &[&str]); 4] = [
    ("unsafe", &["unsafe"]),
    (
        "start a process",
        &["Command::new(\"", "process::Command::new", ".spawn()", ".status()", ".output()", ".exec()"],
    ),
    (
        "write",
        &[
            "fs::write",
            "fs::create_dir",
            "fs::rename",
            "fs::remove",
            "fs::copy",
            "fs::hard_link",
            "fs::set_permissions",
            "fs::symlink(",
            "File::create",
            "create_new(",
            "OpenOptions",
            ".write(true)",
            ".write(write)",
            ".set_len(",
            ".set_permissions(",
            ".set_modified(",
            "persist(",
            "persist_noclobber(",
            "NamedTempFile",
            "tempfile::Builder",
            "generate_to(",
        ],
    ),
    ("end the program", &["process::exit", "process::abort"]),
];

/// The code of a file without its tests, without comments.
fn code(text: &str) -> String {
    let tests = ["\n#[cfg(test)]\nmod tests", "\n#[cfg(all(test, unix))]\nmod tests"];
    let end = tests.iter().filter_map(|begin| text.find(begin)).min().unwrap_or(text.len());
    let code = &text[..end];
    code.lines().filter(|line| !line.trim_start().starts_with("//")).map(|line| format!("{line}\n")).collect()
}

/// Where each kind stands: in how many lines of which file.
fn found(root: &Path) -> BTreeMap<(&'static str, String), usize> {
    let mut found = BTreeMap::new();
    for item in walkdir::WalkDir::new(root.join("src")).into_iter().map(Result::unwrap) {
        let path = item.path().strip_prefix(root).unwrap().to_str().unwrap().replace('\\', "/");
        let is_test = path.ends_with("/tests.rs") || path == "src/output/faulty.rs";
        if !path.ends_with(".rs") || is_test {
            continue;
        }
        let code = code(&fs::read_to_string(item.path()).unwrap());
        for (kind, words) in WORDS {
            let lines = code.lines().filter(|line| words.iter().any(|word| line.contains(word))).count();
            if lines > 0 {
                found.insert((kind, path.clone()), lines);
            }
        }
    }
    found
}

#[test]
fn every_place_that_writes_starts_a_process_or_is_unsafe_is_known() {
    assert!(ALLOWED.iter().all(|place| !place.why.is_empty()));
    let expected: BTreeMap<(&str, String), usize> =
        ALLOWED.iter().map(|place| ((place.kind, place.file.to_owned()), place.lines)).collect();
    assert_eq!(found(Path::new(env!("CARGO_MANIFEST_DIR"))), expected);
}

#[test]
fn a_new_place_would_be_noticed() {
    let dir = tempfile::tempdir().unwrap();
    fs::create_dir(dir.path().join("src")).unwrap();
    let text = "fn f() {\n    // fs::write is only named here\n    std::fs::write(\"a\", \"b\");\n    unsafe {}\n}\n\
                \n#[cfg(test)]\nmod tests {\n    fn g() { std::fs::write(\"a\", \"b\"); }\n}\n";
    fs::write(dir.path().join("src/new.rs"), text).unwrap();
    let found = found(dir.path());
    let of = |kind| found.get(&(kind, "src/new.rs".to_owned())).copied();
    assert_eq!((of("write"), of("unsafe"), of("start a process")), (Some(1), Some(1), None));
}
