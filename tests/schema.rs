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
        let made = file_text(&checked.shop.catalogue, &checked.shop.names(), kind);
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
        "procedures/complaints",
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

/// What a language server for YAML (npm, its version pinned in tests/node/package-lock.json) offers in a record of the
/// demo shop.
fn offered(cases: &[(&str, &str)]) -> Vec<Vec<String>> {
    use std::io::Write;
    let node = shop().join("tests/node");
    let mut server = Command::new("node")
        .arg("complete.mjs")
        .arg(shop())
        .current_dir(&node)
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .spawn()
        .expect("node is installed");
    let asked: Vec<serde_json::Value> =
        cases.iter().map(|(file, text)| serde_json::json!({"file": file, "text": text})).collect();
    let input = serde_json::to_vec(&asked).expect("JSON");
    server.stdin.take().expect("its input").write_all(&input).expect("it listens");
    let done = server.wait_with_output().expect("it answers");
    assert!(done.status.success(), "run `npm ci` in tests/node first, or .ci/run");
    serde_json::from_slice(&done.stdout).expect("a list for each case")
}

#[test]
fn an_editor_offers_the_shops_own_names_and_never_a_figure() {
    let head = "# yaml-language-server: $schema=../schema/fork.schema.json\nid: new-one\n";
    let fork = |name: &str, rest: &str| (format!("specs/forks/{name}.yaml"), format!("{head}{rest}"));
    let cases = [
        fork("axle", "torque:\n  axle: ‸\n"),
        fork("gap", "oil:\n  air_gap: ‸\n"),
        fork("thread", "torque:\n  axle:\n    thread: ‸\n"),
        fork("years", "machines:\n  - maker: A\n    years: ‸\n"),
        fork("family", "family: ‸\n"),
        fork("oil", "oil:\n  oil: ‸\n"),
        fork("source", "source: ‸\n"),
    ];
    let asked: Vec<(&str, &str)> = cases.iter().map(|(file, text)| (file.as_str(), text.as_str())).collect();
    let answers = offered(&asked);
    for (at, form) in [(0, "… N·m (… lbf·ft)"), (1, "… mm ± … mm (… in)"), (2, "M… × …"), (3, "…")]
    {
        let offers = &answers[at];
        assert!(offers.iter().any(|offer| offer.contains(form)), "{form}: {offers:?}");
        assert!(!offers.iter().any(|offer| offer.contains(|c: char| c.is_ascii_digit())), "{offers:?}");
    }
    let checked = check_shop(&Folder { root: shop().to_path_buf() });
    let ids = |list: Vec<&str>| list.into_iter().map(str::to_owned).collect::<Vec<_>>();
    let families = ids(checked.shop.families.iter().map(|family| family.id.text.as_str()).collect());
    let oils = ids(checked.shop.oils.iter().map(|oil| oil.id.text.as_str()).collect());
    assert_eq!(answers[4], families);
    assert!(oils.iter().all(|oil| answers[5].contains(oil)), "{:?}", answers[5]);
    assert!(answers[6].contains(&"sheet".to_owned()), "{:?}", answers[6]);
}

/// Every form that a schema offers for a value of a fork or an oil: a figure that could stand in a record is taken.
#[test]
fn no_schema_offers_a_figure() {
    let checked = check_shop(&Folder { root: shop().to_path_buf() });
    fn examples(at: &serde_json::Value, out: &mut Vec<String>) {
        match at {
            serde_json::Value::Object(map) => {
                for (key, inner) in map {
                    if let ("examples", serde_json::Value::Array(list)) = (key.as_str(), inner) {
                        out.extend(list.iter().filter_map(|one| one.as_str().map(str::to_owned)));
                    } else {
                        examples(inner, out);
                    }
                }
            }
            serde_json::Value::Array(list) => list.iter().for_each(|inner| examples(inner, out)),
            _ => {}
        }
    }
    for kind in [RecordKind::Fork, RecordKind::Family, RecordKind::Oil] {
        let mut all = Vec::new();
        examples(&schema(&checked.shop.catalogue, kind), &mut all);
        assert!(all.iter().any(|form| form.contains('…')), "{kind:?} offers no form");
        // Days and codes of a review are no figures of a fork.
        all.retain(|form| form.contains(|c: char| c.is_ascii_digit()));
        all.retain(|form| !form.contains('-'));
        assert!(all.is_empty(), "{kind:?}: {all:?}");
    }
}
