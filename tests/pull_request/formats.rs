//! Findings in the forms a code host takes, and what makes a run fail.

use serde_json::Value;

use super::support::{copy_shop, edit, run};

const FORK: &str = "specs/forks/tarn-41.yaml";

/// The schema of OASIS for SARIF 2.1.0 (sarif-schema-2.1.0.json), as the crate `serde-sarif` 0.8 ships it.
const SCHEMA: &str = include_str!("../reference/sarif-2.1.0.schema.json");

fn validator() -> jsonschema::Validator {
    // As published, two patterns (languages) have a bracket that closes nothing, which strict readers of
    // patterns refuse. Without it they say what their descriptions do.
    assert_eq!(SCHEMA.matches("{2}]?$").count(), 2);
    let schema: Value = serde_json::from_str(&SCHEMA.replace("{2}]?$", "{2}$")).unwrap();
    jsonschema::options().should_validate_formats(true).build(&schema).unwrap()
}

/// A demo shop with an error, a warning with a second place, and a file that cannot be read.
fn wrong_shop(folder: &std::path::Path) {
    copy_shop(folder);
    edit(folder, FORK, "free_length: 312 mm", "free_length: 312");
    edit(folder, FORK, "height: 14.5 mm ± 0.2 mm", "height: 33.5 mm ± 0.2 mm");
    std::fs::write(folder.join("specs/forks/a, b: %ü.yaml"), [b'i', b'd', 0xff]).unwrap();
}

#[test]
fn sarif_keeps_to_the_standards_schema_and_names_every_place_in_the_repository() {
    let dir = tempfile::tempdir().unwrap();
    let shop = dir.path().join("fork shop/böcke");
    std::fs::create_dir_all(dir.path().join(".git")).unwrap();
    std::fs::create_dir_all(&shop).unwrap();
    wrong_shop(&shop);
    let ran = run(dir.path(), &["check", "--format", "sarif", "fork shop/böcke"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    let log: Value = serde_json::from_str(&ran.out).unwrap();
    let schema = validator();
    let wrong: Vec<String> = schema.iter_errors(&log).map(|error| error.to_string()).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    let results = log["runs"][0]["results"].as_array().unwrap();
    let uri = |result: &Value| {
        result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"].as_str().unwrap().to_owned()
    };
    let codes: Vec<&str> = results.iter().map(|result| result["ruleId"].as_str().unwrap()).collect();
    assert!(codes.contains(&"bare-number") && codes.contains(&"outside-band"), "{codes:?}");
    for result in results {
        assert!(uri(result).starts_with("fork%20shop/b%C3%B6cke/"), "{result}");
    }
    for rule in log["runs"][0]["tool"]["driver"]["rules"].as_array().unwrap() {
        let markdown = rule["help"]["markdown"].as_str().unwrap_or_else(|| panic!("no help: {rule}"));
        assert!(markdown.contains("## At the bench") && !markdown.contains("## Examples"), "{markdown}");
        assert!(rule["fullDescription"]["text"].as_str().is_some_and(|text| !text.is_empty()), "{rule}");
    }
    // The schema bites: the same log without its version is refused.
    let mut broken = log.clone();
    broken.as_object_mut().unwrap().remove("version");
    assert!(!schema.is_valid(&broken));
    // A shop without findings is a log too.
    let empty = benchleaf::diagnostic::sarif(&[], &benchleaf::text::Files::default(), "", |_| String::new());
    assert!(schema.is_valid(&serde_json::from_str(&empty).unwrap()));
}

#[test]
fn annotation_lines_are_one_each_with_paths_in_the_repository() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::create_dir_all(dir.path().join(".git")).unwrap();
    let shop = dir.path().join("shop");
    std::fs::create_dir(&shop).unwrap();
    wrong_shop(&shop);
    let ran = run(&shop, &["check", "--format", "github"]);
    assert_eq!(ran.code, 1);
    assert!(
        ran.out.lines().all(|line| ["::error file=shop/", "::warning file=shop/", "::notice file=shop/"]
            .iter()
            .any(|start| line.starts_with(start))),
        "{}",
        ran.out
    );
    let bare = ran.out.lines().find(|line| line.contains("title=bare-number")).unwrap();
    assert!(bare.starts_with("::error file=shop/specs/forks/tarn-41.yaml,line="), "{bare}");
    let odd = ran.out.lines().find(|line| line.contains("file-unreadable")).unwrap();
    assert!(odd.contains("file=shop/specs/forks/a%2C b%3A %25ü.yaml,"), "{odd}");
}

#[test]
fn strict_lets_a_warning_fail_the_run() {
    let dir = tempfile::tempdir().unwrap();
    copy_shop(dir.path());
    edit(dir.path(), FORK, "height: 14.5 mm ± 0.2 mm", "height: 33.5 mm ± 0.2 mm");
    let plain = run(dir.path(), &["check", "--format", "short"]);
    assert!(plain.out.contains(": warning outside-band:"), "{}", plain.out);
    assert_eq!((plain.code, plain.err.as_str()), (0, ""));
    let strict = run(dir.path(), &["check", "--strict", "--format", "short"]);
    assert_eq!((strict.code, strict.out), (1, plain.out), "the findings stay what they are");
}
