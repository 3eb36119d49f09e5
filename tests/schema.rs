//! The shop lead's editor: the schema checked in is the schema the program makes, it is a valid schema,
//! and an independent validator takes every record of the demo shop.

use std::path::Path;
use std::process::Command;

use benchleaf::check_shop;
use benchleaf::record::RecordKind;
use benchleaf::schema::{file_text, schema};
use benchleaf::text::Folder;

fn shop() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn the_schema_that_is_checked_in_is_current() {
    let checked = check_shop(&Folder { root: shop().to_path_buf() });
    for kind in RecordKind::ALL {
        let name = kind.schema_file();
        let path = shop().join("specs/schema").join(name);
        let there = std::fs::read_to_string(&path).expect("the schema is checked in");
        let made = file_text(&checked.shop.catalogue, kind);
        assert!(there == made, "specs/schema/{name} is out of date: run `cargo run -- schema` and commit it");
    }
}

/// Against the meta-schema of draft 2020-12, as published and shipped with the jsonschema library.
#[test]
fn every_schema_is_valid_by_the_meta_schema() {
    let checked = check_shop(&Folder { root: shop().to_path_buf() });
    for kind in RecordKind::ALL {
        let made = schema(&checked.shop.catalogue, kind);
        assert!(jsonschema::draft202012::meta::is_valid(&made), "{}", kind.schema_file());
    }
    // The meta-schema can say no.
    assert!(!jsonschema::draft202012::meta::is_valid(&serde_json::json!({"type": "colour"})));
}

/// ajv (npm) with the yaml package (npm), versions pinned in tests/node/package-lock.json.
#[test]
fn an_independent_validator_takes_every_demo_record() {
    let node = shop().join("tests/node");
    assert!(node.join("node_modules").is_dir(), "run `npm ci` in tests/node first, or .ci/run");
    let run = |folder: &Path| {
        let done = Command::new("node").arg("schema.mjs").arg(folder).current_dir(&node).output();
        done.expect("node is installed")
    };
    let good = run(shop());
    let said = String::from_utf8_lossy(&good.stdout).into_owned();
    assert!(good.status.success(), "{said}{}", String::from_utf8_lossy(&good.stderr));
    let count: usize = said.split_whitespace().next().and_then(|word| word.parse().ok()).expect("a count");
    let checked = check_shop(&Folder { root: shop().to_path_buf() });
    let records: usize = checked.shop.known.values().map(std::collections::BTreeSet::len).sum();
    assert_eq!(count, records, "the validator saw every record");

    // And it refuses a record with a wrong key.
    let copy = tempfile::tempdir().expect("a folder");
    for folder in [
        "specs/schema",
        "specs/forks",
        "specs/families",
        "specs/oils",
        "specs/tools",
        "procedures/services",
        "procedures/cautions",
        "procedures",
    ] {
        let to = copy.path().join(folder);
        std::fs::create_dir_all(&to).expect("a folder");
        for entry in std::fs::read_dir(shop().join(folder)).expect("the demo shop") {
            let entry = entry.expect("the demo shop");
            if entry.path().is_file() {
                std::fs::copy(entry.path(), to.join(entry.file_name())).expect("a copy");
            }
        }
    }
    std::fs::copy(shop().join("specs/shop.yaml"), copy.path().join("specs/shop.yaml")).expect("a copy");
    let fork = std::fs::read_dir(copy.path().join("specs/forks"))
        .expect("forks")
        .flatten()
        .next()
        .expect("a fork")
        .path();
    let text = std::fs::read_to_string(&fork).expect("a fork");
    std::fs::write(&fork, format!("{text}\nsprung: {{rate: 9 N/mm}}\n")).expect("written");
    assert!(!run(copy.path()).status.success(), "a wrong key is refused");
}
