//! The workflow and the hook that a shop puts in its own repository: their commands are run as they stand.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_yaml::Value;

use super::support::{commit, copy_shop, edit, git};

fn read(path: &str) -> Value {
    let full = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    serde_yaml::from_str(&std::fs::read_to_string(full).unwrap()).unwrap()
}

/// The command of a step.
fn command(step: &str) -> String {
    let workflow = read(".github/workflows/shop.yml");
    let all = workflow["jobs"].as_mapping().unwrap().values();
    let mut steps = all.flat_map(|job| job["steps"].as_sequence().unwrap());
    let found = steps.find(|known| known["name"].as_str() == Some(step));
    found.unwrap_or_else(|| panic!("{step}"))["run"].as_str().unwrap().to_owned()
}

/// Runs a step as the runner does.
fn run(shop: &Path, step: &str, base: &str) -> Output {
    let built = PathBuf::from(env!("CARGO_BIN_EXE_benchleaf"));
    // What stands in for the code host's own program, where a test put one there.
    let path = format!("{}:{}", shop.parent().unwrap().join("bin").display(), std::env::var("PATH").unwrap());
    Command::new("bash")
        .args(["-e", "-o", "pipefail", "-c", &command(step)])
        .current_dir(shop)
        .env("PATH", format!("{}:{path}", built.parent().unwrap().display()))
        .env("BASE", base)
        .env("GITHUB_STEP_SUMMARY", shop.parent().unwrap().join("summary.md"))
        .env("GITHUB_OUTPUT", shop.parent().unwrap().join("output"))
        .env("RUNNER_TEMP", shop.parent().unwrap())
        .env("REPOSITORY", "wren/forks")
        .env("NUMBER", "7")
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

/// The lines between the first fence of a language behind some words and its end.
fn block(document: &str, behind: &str, language: &str) -> String {
    let (_, rest) = document.split_once(behind).expect("the words");
    let (_, rest) = rest.split_once(&format!("```{language}\n")).expect("a block");
    rest.split_once("\n```").expect("its end").0.to_owned() + "\n"
}

/// Runs the hooks of a shop's repository on all of its files.
fn pre_commit(shop: &Path, program: &Path) -> super::support::Ran {
    let path = std::env::var("PATH").unwrap_or_default();
    std::process::Command::new("pre-commit")
        .args(["run", "--all-files", "--color", "never"])
        .current_dir(shop)
        .env("PATH", format!("{}:{path}", program.display()))
        .env("PRE_COMMIT_HOME", shop.join(".hooks"))
        .output()
        .expect("pre-commit is installed, as .ci/run does it")
        .into()
}

/// The hook as the shop lead's page shows it: a good shop passes, a bare number stops the commit.
#[test]
fn the_hook_of_the_document_stops_a_commit_with_an_error() {
    if std::process::Command::new("pre-commit").arg("--version").output().is_err() {
        eprintln!("not run: pre-commit is not installed");
        return;
    }
    let dir = tempfile::tempdir().unwrap();
    let shop = dir.path();
    copy_shop(shop);
    let document =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/shop-lead.md")).unwrap();
    std::fs::write(shop.join(".pre-commit-config.yaml"), block(&document, "## Before each commit", "yaml"))
        .unwrap();
    git(shop, &["init", "-q"]);
    commit(shop, "first");
    let program = Path::new(env!("CARGO_BIN_EXE_benchleaf")).parent().unwrap();
    let good = pre_commit(shop, program);
    assert!(good.code == 0 && good.out.contains("Passed"), "{good:?}");
    edit(shop, "specs/forks/tarn-41.yaml", "free_length: 312 mm", "free_length: 312");
    let bad = pre_commit(shop, program);
    assert!(bad.code == 1 && bad.out.contains("bare-number"), "{bad:?}");
}

/// The published hook from a repository of the tool, built with the Rust that is installed. It takes minutes:
/// `cargo test --test pull_request published_hook -- --ignored`.
#[test]
#[ignore = "builds the whole program for release"]
fn the_published_hook_builds_the_program_and_checks_the_shop() {
    let dir = tempfile::tempdir().unwrap();
    let (tool, shop) = (dir.path().join("tool"), dir.path().join("shop"));
    git(dir.path(), &["clone", "-q", env!("CARGO_MANIFEST_DIR"), &tool.to_string_lossy()]);
    copy_shop(&shop);
    let revision = git(&tool, &["rev-parse", "HEAD"]);
    let document =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/shop-lead.md")).unwrap();
    let config = block(&document, "with the Rust that is installed", "yaml")
        .replace("…/benchleaf", &tool.to_string_lossy())
        .replace("rev: …", &format!("rev: {}", revision.trim()));
    std::fs::write(shop.join(".pre-commit-config.yaml"), config).unwrap();
    git(&shop, &["init", "-q"]);
    commit(&shop, "first");
    let good = pre_commit(&shop, Path::new("/nowhere"));
    assert!(good.code == 0 && good.out.contains("Passed"), "{good:?}");
    edit(&shop, "specs/forks/tarn-41.yaml", "free_length: 312 mm", "free_length: 312");
    let bad = pre_commit(&shop, Path::new("/nowhere"));
    assert!(bad.code == 1 && bad.out.contains("bare-number"), "{bad:?}");
}

/// The comparison stands beside the change, once: a later push writes over it. What is too long for a comment is cut.
#[test]
fn the_comparison_becomes_a_comment_that_fits() {
    let dir = tempfile::tempdir().unwrap();
    let shop = dir.path().join("shop");
    copy_shop(&shop);
    git(&shop, &["init", "-q"]);
    commit(&shop, "first");
    let base = git(&shop, &["rev-parse", "HEAD"]).trim().to_owned();
    let notes = (0..3000).map(|n| format!("notes of the {n}th look at it")).collect::<Vec<_>>().join(", ");
    edit(
        &shop,
        "specs/forks/tarn-41.yaml",
        "status: published\n",
        &format!("status: published\nnotes: \"{notes}\"\n"),
    );
    edit(
        &shop,
        "specs/families/tarn-road.yaml",
        "axle: {value: 65 N·m (48 lbf·ft)",
        "axle: {value: 66 N·m (49 lbf·ft)",
    );
    commit(&shop, "axle");
    let told = run(&shop, "What the change does", &base);
    assert!(told.status.success(), "{told:?}");
    assert!(!shop.join("comparison.md").exists(), "nothing is left among the shop's files");
    let comment = std::fs::read_to_string(dir.path().join("comment/comment.md")).unwrap();
    let summary = std::fs::read_to_string(dir.path().join("summary.md")).unwrap();
    assert!(comment.len() < 65_536 && comment.contains("66 N·m"), "{}", comment.len());
    if summary.len() > 60_000 {
        assert!(comment.ends_with("The rest stands in the summary of the run.\n"));
    } else {
        assert_eq!(comment, summary);
    }
    // The code host's program, which only writes down what it is asked.
    let bin = dir.path().join("bin");
    std::fs::create_dir(&bin).unwrap();
    let host = bin.join("gh");
    std::fs::write(&host, "#!/bin/sh\necho \"$@\" > ../asked\n").unwrap();
    #[cfg(unix)]
    std::fs::set_permissions(&host, std::os::unix::fs::PermissionsExt::from_mode(0o755)).unwrap();
    assert!(run(&shop, "Say it beside the change", &base).status.success());
    let asked = std::fs::read_to_string(dir.path().join("asked")).unwrap();
    assert_eq!(asked, "pr comment 7 --repo wren/forks --body-file comment.md --edit-last --create-if-none\n");
}

/// A comparison longer than a comment may be.
#[test]
fn a_long_comparison_is_cut_at_a_line() {
    let dir = tempfile::tempdir().unwrap();
    let (shop, bin) = (dir.path().join("shop"), dir.path().join("bin"));
    copy_shop(&shop);
    git(&shop, &["init", "-q"]);
    commit(&shop, "first");
    std::fs::create_dir(&bin).unwrap();
    // In the place of the program, one that says a great deal.
    let stand_in = bin.join("benchleaf");
    std::fs::write(&stand_in, "#!/bin/sh\nseq -f 'line %.0f of a comparison' 1 5000\n").unwrap();
    #[cfg(unix)]
    std::fs::set_permissions(&stand_in, std::os::unix::fs::PermissionsExt::from_mode(0o755)).unwrap();
    let done = Command::new("bash")
        .args(["-e", "-o", "pipefail", "-c", &command("What the change does")])
        .current_dir(&shop)
        .env("PATH", format!("{}:{}", bin.display(), std::env::var("PATH").unwrap()))
        .env("BASE", "HEAD")
        .env("GITHUB_STEP_SUMMARY", dir.path().join("summary.md"))
        .env("RUNNER_TEMP", dir.path())
        .output()
        .unwrap();
    assert!(done.status.success(), "{done:?}");
    let comment = std::fs::read_to_string(dir.path().join("comment/comment.md")).unwrap();
    assert!(comment.len() < 65_536 && comment.ends_with("The rest stands in the summary of the run.\n"));
    assert!(
        comment
            .lines()
            .all(|line| line.is_empty() || line.ends_with("of a comparison") || line.ends_with("the run."))
    );
    assert_eq!(std::fs::read_to_string(dir.path().join("summary.md")).unwrap().lines().count(), 5000);
}

/// Makers' figures may have owners: pages are published only where an approver answers for it.
#[test]
fn pages_are_public_only_where_an_approver_says_so() {
    let dir = tempfile::tempdir().unwrap();
    let shop = dir.path().join("shop");
    copy_shop(&shop);
    let ask = || {
        let _ = std::fs::remove_file(dir.path().join("output"));
        let done = run(&shop, "May the pages be public", "HEAD");
        assert!(done.status.success(), "{done:?}");
        let said = String::from_utf8(done.stdout).unwrap();
        assert!(said.starts_with("::warning") && said.contains("may have owners"), "{said}");
        std::fs::read_to_string(dir.path().join("output")).unwrap()
    };
    assert_eq!(ask(), "public=no\n");
    edit(&shop, "specs/shop.yaml", "waste: 5 %\n", "waste: 5 %\npublic: {by: J. Teal, reason: Why not.}\n");
    assert_eq!(ask(), "public=no\n", "not by an approver");
    edit(&shop, "specs/shop.yaml", "by: J. Teal", "by: A. Wren");
    assert_eq!(ask(), "public=yes\n");
    let told = super::support::run(&shop, &["public"]);
    assert!(told.code == 0 && told.out.contains("says A. Wren: Why not."), "{told:?}");
    let workflow = read(".github/workflows/shop.yml");
    let only = workflow["jobs"]["publish"]["if"].as_str().unwrap();
    assert!(only.contains("needs.check.outputs.public == 'yes'"), "{only}");
}

/// What a later build begins with (its list of files, what it keeps, its memory) is not for whoever reads the pages:
/// every step up to the one that takes the folder is run, and then the folder that it takes holds pages alone.
#[test]
fn nothing_but_pages_is_published() {
    let dir = tempfile::tempdir().unwrap();
    let shop = dir.path().join("shop");
    copy_shop(&shop);
    edit(&shop, "specs/shop.yaml", "waste: 5 %\n", "waste: 5 %\npublic: {by: A. Wren, reason: Why not.}\n");
    git(&shop, &["init", "-q"]);
    commit(&shop, "first");
    let workflow = read(".github/workflows/shop.yml");
    let steps = workflow["jobs"]["check"]["steps"].as_sequence().unwrap();
    let takes = |step: &Value| {
        step["uses"].as_str().is_some_and(|uses| uses.starts_with("actions/upload-pages-artifact@"))
    };
    let last = steps.iter().position(takes).expect("a step that takes the folder");
    let pushed = |step: &&Value| step["if"].as_str().is_some_and(|only| only.contains("== 'push'"));
    for step in steps[..last].iter().filter(pushed) {
        let name = step["name"].as_str().expect("a name");
        let done = run(&shop, name, "HEAD");
        assert!(done.status.success(), "{name}: {done:?}");
        if name == "Build the site" {
            assert!(shop.join("site/.benchleaf").is_dir(), "nothing would be held against");
        }
    }
    let folder = shop.join(steps[last]["with"]["path"].as_str().expect("a folder"));
    assert!(folder.join("index.html").is_file());
    let hidden: Vec<String> = walkdir::WalkDir::new(&folder)
        .into_iter()
        .map(|item| item.unwrap().path().strip_prefix(&folder).unwrap().display().to_string())
        .filter(|path| path.split('/').any(|part| part.starts_with('.')))
        .collect();
    assert!(hidden.is_empty(), "{hidden:?}");
}

/// A shop that does not say where the program is kept is told so, instead of installing itself.
#[test]
fn a_workflow_that_does_not_know_where_the_program_is_says_so() {
    let dir = tempfile::tempdir().unwrap();
    let shop = dir.path().join("shop");
    copy_shop(&shop);
    copy_shop(&shop.join(".benchleaf-tool"));
    let done = run(&shop, "Build the tool", "");
    let said = String::from_utf8_lossy(&done.stdout).into_owned();
    assert_eq!(done.status.code(), Some(1), "{done:?}");
    assert!(said.starts_with("::error ") && said.contains("BENCHLEAF_REPOSITORY"), "{said}");
}
