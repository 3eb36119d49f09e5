//! The workflow and the hook that a shop puts in its own repository: their commands are run as they stand.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_yaml::Value;

use super::support::{commit, copy_shop, edit, git};

fn read(path: &str) -> Value {
    let full = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    serde_yaml::from_str(&std::fs::read_to_string(full).unwrap()).unwrap()
}

/// The command of a step of the check job.
fn command(step: &str) -> String {
    let workflow = read(".github/workflows/shop.yml");
    let steps = workflow["jobs"]["check"]["steps"].as_sequence().unwrap().clone();
    let found = steps.iter().find(|known| known["name"].as_str() == Some(step));
    found.unwrap_or_else(|| panic!("{step}"))["run"].as_str().unwrap().to_owned()
}

/// Runs a step as the runner does.
fn run(shop: &Path, step: &str, base: &str) -> Output {
    let built = PathBuf::from(env!("CARGO_BIN_EXE_benchleaf"));
    let path = std::env::var("PATH").unwrap();
    Command::new("bash")
        .args(["-e", "-o", "pipefail", "-c", &command(step)])
        .current_dir(shop)
        .env("PATH", format!("{}:{path}", built.parent().unwrap().display()))
        .env("BASE", base)
        .env("GITHUB_STEP_SUMMARY", shop.parent().unwrap().join("summary.md"))
        .output()
        .unwrap()
}

#[test]
fn a_pull_request_is_summed_up_annotated_and_stopped_by_an_error() {
    let dir = tempfile::tempdir().unwrap();
    let shop = dir.path().join("shop");
    copy_shop(&shop);
    git(&shop, &["init", "-q"]);
    commit(&shop, "first");
    let base = git(&shop, &["rev-parse", "HEAD"]).trim().to_owned();
    edit(&shop, "specs/families/tarn-road.yaml", "axle: {value: 65 N·m (48 lbf·ft)", "axle: {value: 48 N·m");
    commit(&shop, "axle");
    let told = run(&shop, "What the change does", &base);
    assert!(told.status.success(), "{told:?}");
    let summary = std::fs::read_to_string(dir.path().join("summary.md")).unwrap();
    assert!(summary.contains("### Suspected unit slips") && summary.contains("65.1 N·m"), "{summary}");
    for step in ["Check what the change brings", "Check"] {
        let checked = run(&shop, step, &base);
        assert_eq!(checked.status.code(), Some(1), "{step}");
        let lines = String::from_utf8(checked.stdout).unwrap();
        assert!(lines.contains("::error file=specs/families/tarn-road.yaml,"), "{step}: {lines}");
    }
    let built = run(&shop, "Build the site", &base);
    assert!(!built.status.success() && !shop.join("site").exists());
    // Mended, everything passes.
    edit(&shop, "specs/families/tarn-road.yaml", "axle: {value: 48 N·m", "axle: {value: 66 N·m (49 lbf·ft)");
    commit(&shop, "mended");
    for step in ["What the change does", "Check what the change brings", "Check", "Build the site"] {
        let done = run(&shop, step, &base);
        assert!(done.status.success(), "{step}: {done:?}");
    }
    assert!(shop.join("site/index.html").is_file());
    // A revision that is not there fails the step instead of passing for no change.
    for step in ["What the change does", "Check what the change brings"] {
        assert!(!run(&shop, step, "0000000000000000000000000000000000000000").status.success(), "{step}");
    }
}

/// The reviewer of a small change is not stopped by what was wrong before it, wherever that has moved to; and a second
/// slip of the same kind is not taken for the first.
#[test]
fn only_what_is_new_fails_where_the_shop_asks_for_it() {
    let dir = tempfile::tempdir().unwrap();
    let shop = dir.path();
    copy_shop(shop);
    git(shop, &["init", "-q"]);
    edit(shop, "specs/forks/tarn-41.yaml", "solid_length: 148 mm", "solid_length: 148");
    commit(shop, "wrong already");
    let check =
        |more: &[&str]| super::support::run(shop, &[&["check", "--new-since", "HEAD"], more].concat());
    // Moved down by two lines, it is the same slip.
    edit(shop, "specs/forks/tarn-41.yaml", "tubes:\n", "# One line more.\n\ntubes:\n");
    let told = check(&[]);
    assert_eq!(told.code, 0, "{}", told.out);
    assert!(
        told.out.contains("Only what `HEAD` has not is told; left out: ") && told.out.contains("1 error")
    );
    assert_eq!(super::support::run(shop, &["check"]).code, 1, "the whole shop is still wrong");
    // The same words at another value are another slip.
    edit(shop, "specs/forks/tarn-41.yaml", "free_length: 312 mm", "free_length: 148");
    for format in ["text", "short", "json", "sarif", "github"] {
        let told = check(&["--format", format]);
        assert_eq!(told.code, 1, "{format}: {}", told.out);
        assert!(told.out.contains("bare-number"), "{format}: {}", told.out);
    }
    let lines = check(&["--format", "github"]).out;
    assert_eq!(lines.matches("::error ").count(), 1, "{lines}");
    // Together with a fork: what is new and reaches it.
    assert_eq!(check(&[".", "tarn-45"]).code, 0);
    assert_eq!(check(&[".", "tarn-41"]).code, 1);
    assert_eq!(super::support::run(shop, &["check", "--new-since", "no-such-revision"]).code, 2);
}

#[test]
fn the_hook_runs_a_command_there_is_on_the_files_of_a_shop() {
    let hooks = read(".pre-commit-hooks.yaml");
    let hook = &hooks[0];
    for key in ["id", "name", "entry", "language"] {
        assert!(hook[key].as_str().is_some_and(|text| !text.is_empty()), "{key}");
    }
    let dir = tempfile::tempdir().unwrap();
    copy_shop(dir.path());
    let words: Vec<&str> = hook["entry"].as_str().unwrap().split(' ').collect();
    assert_eq!(words[0], "benchleaf");
    assert_eq!(super::support::run(dir.path(), &words[1..]).code, 0);
    edit(dir.path(), "specs/forks/tarn-41.yaml", "free_length: 312 mm", "free_length: 312");
    assert_eq!(super::support::run(dir.path(), &words[1..]).code, 1);
}
