//! A shop as it was in a revision, against real repositories.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use benchleaf::text::{Revision, Source};
use serde_json::Value;

use super::comparing::rename;
use super::support::{commit, copy_shop, edit, git, program, run};

const FORK: &str = "specs/forks/tarn-41.yaml";

/// A repository whose shop is kept in a folder with a blank and letters outside ASCII.
fn repository(dir: &Path) -> PathBuf {
    let shop = dir.join("Gabel werkstatt/größe µ");
    copy_shop(&shop);
    git(dir, &["init", "-q"]);
    std::fs::write(dir.join("README.md"), "not the shop's").unwrap();
    commit(dir, "first");
    shop
}

fn json(folder: &Path, arguments: &[&str]) -> Value {
    let ran = run(folder, &[&["compare", "--format", "json"], arguments].concat());
    serde_json::from_str(&ran.out).unwrap_or_else(|_| panic!("{ran:?}"))
}

fn keys(told: &Value) -> Vec<&str> {
    told["values"].as_array().unwrap().iter().map(|change| change["key"].as_str().unwrap()).collect()
}

/// Every file below a folder with its bytes, to see that nothing was touched.
fn everything(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let files = walkdir::WalkDir::new(folder)
        .into_iter()
        .map(Result::unwrap)
        .filter(|entry| entry.file_type().is_file());
    files.map(|entry| (entry.path().to_owned(), std::fs::read(entry.path()).unwrap())).collect()
}

#[test]
fn a_dirty_tree_is_compared_with_the_last_revision_and_left_alone() {
    let dir = tempfile::tempdir().unwrap();
    let shop = repository(dir.path());
    edit(&shop, FORK, "rate: 8.8 N/mm", "rate: 9.2 N/mm");
    std::fs::write(shop.join("specs/forks/ungespeichert ü.yaml"), "id: x").unwrap();
    let before = everything(dir.path());
    let told = json(&shop, &["HEAD"]);
    assert_eq!(keys(&told), ["spring.rate"]);
    assert_eq!(everything(dir.path()), before, "neither the tree nor the repository is touched");
    // From elsewhere, with the shop named.
    let told = json(dir.path(), &["HEAD", "--shop", "Gabel werkstatt/größe µ"]);
    assert_eq!(keys(&told), ["spring.rate"]);
}

#[test]
fn two_revisions_a_rename_and_a_merge() {
    let dir = tempfile::tempdir().unwrap();
    let shop = repository(dir.path());
    git(dir.path(), &["checkout", "-q", "-b", "grün/neue gabel".replace(' ', "-").as_str()]);
    rename(&shop);
    commit(dir.path(), "rename");
    git(dir.path(), &["checkout", "-q", "main"]);
    edit(&shop, FORK, "rate: 8.8 N/mm", "rate: 9.2 N/mm");
    commit(dir.path(), "spring");
    git(dir.path(), &["tag", "v1"]);
    git(dir.path(), &["merge", "-q", "-m", "both", "grün/neue-gabel"]);
    let told = json(&shop, &["HEAD~1^1", "HEAD"]);
    assert_eq!(keys(&told), ["spring.rate"], "{told:#}");
    assert_eq!(
        told["records"],
        serde_json::json!([{"record": "fork tarn-40", "what": "was called tarn-41"}])
    );
    assert_eq!(keys(&json(&shop, &["grün/neue-gabel", "v1"])), ["spring.rate"]);
    assert_eq!(keys(&json(&shop, &["v1", "HEAD"])), [] as [&str; 0]);
}

#[test]
fn a_revision_before_the_shop_and_one_that_is_not_there() {
    let dir = tempfile::tempdir().unwrap();
    git(dir.path(), &["init", "-q"]);
    git(dir.path(), &["commit", "-q", "--allow-empty", "-m", "nothing yet"]);
    copy_shop(dir.path());
    commit(dir.path(), "shop");
    let told = json(dir.path(), &["HEAD~1", "HEAD"]);
    assert!(told["records"].as_array().unwrap().iter().any(|change| change["record"] == "fork tarn-41"));
    for odd in [
        "nowhere",
        "HEAD~9",
        "HEAD..HEAD~1",
        "-p",
        "--upload-pack=touch x",
        "HEAD\nHEAD",
        "",
        "HEAD:specs",
        "$(touch x)",
    ] {
        let ran = run(dir.path(), &["compare", "--", odd]);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{odd:?}: {ran:?}");
        assert_eq!(ran.err.lines().count(), 1, "one sentence: {ran:?}");
    }
    assert!(!dir.path().join("x").exists());
}

#[test]
fn a_shallow_clone_says_that_it_is_shallow() {
    let dir = tempfile::tempdir().unwrap();
    let origin = dir.path().join("origin");
    copy_shop(&origin);
    git(&origin, &["init", "-q"]);
    commit(&origin, "first");
    edit(&origin, FORK, "rate: 8.8 N/mm", "rate: 9.2 N/mm");
    commit(&origin, "second");
    let from = format!("file://{}", origin.display());
    git(dir.path(), &["clone", "-q", "--depth", "1", &from, "clone"]);
    let clone = dir.path().join("clone");
    assert_eq!(keys(&json(&clone, &["HEAD"])), [] as [&str; 0]);
    let ran = run(&clone, &["compare", "HEAD~1"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("does not hold the whole history"), "{}", ran.err);
}

#[test]
fn without_a_repository_or_without_git() {
    let dir = tempfile::tempdir().unwrap();
    copy_shop(dir.path());
    let ran = run(dir.path(), &["compare", "HEAD"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("in no git repository"), "{}", ran.err);
    let output = program(dir.path()).args(["compare", "HEAD"]).env("PATH", "").output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(said.contains("git is not installed"), "{said}");
    // Folders need no git.
    let output = program(dir.path()).args(["compare", ".", "."]).env("PATH", "").output().unwrap();
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn hostile_names_and_links_in_a_tree_are_told_and_not_followed() {
    let dir = tempfile::tempdir().unwrap();
    copy_shop(dir.path());
    git(dir.path(), &["init", "-q"]);
    std::fs::write(dir.path().join("specs/forks/\u{1b}[31mred\n.yaml"), "id: red").unwrap();
    std::os::unix::fs::symlink("/etc/hostname", dir.path().join("specs/forks/link.yaml")).unwrap();
    std::fs::write(dir.path().join("specs/forks/-rf.yaml"), "id: rf").unwrap();
    commit(dir.path(), "odd");
    let revision = Revision::open(dir.path(), "HEAD").unwrap();
    let (paths, problems) = revision.list();
    assert!(paths.contains(&"specs/forks/-rf.yaml".to_owned()), "{paths:?}");
    let told: Vec<&str> = problems.iter().map(|problem| problem.path.as_str()).collect();
    assert_eq!(told, ["specs/forks/link.yaml", "specs/forks/\u{fffd}[31mred\u{fffd}.yaml"]);
    assert_eq!(revision.read("specs/forks/-rf.yaml").unwrap(), b"id: rf");
    assert!(revision.read("specs/forks/../../etc/passwd").is_err());
    let ran = run(dir.path(), &["compare", "HEAD", "HEAD"]);
    assert!(!ran.out.contains('\u{1b}'), "{ran:?}");
}

#[test]
fn a_revision_holds_what_the_folder_held() {
    let dir = tempfile::tempdir().unwrap();
    let shop = repository(dir.path());
    let revision = Revision::open(&shop, "HEAD").unwrap();
    let folder = benchleaf::text::Folder { root: shop };
    let (paths, problems) = folder.list();
    assert!(problems.is_empty());
    assert_eq!(revision.list().0, paths);
    for path in paths {
        assert_eq!(revision.read(&path).unwrap(), folder.read(&path).unwrap(), "{path}");
    }
}
