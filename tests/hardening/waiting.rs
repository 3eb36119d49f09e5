//! Nothing that lies in a shop's folder or its repository makes a command wait for ever, nor read for ever.

use std::path::Path;
use std::process::{Command, Output, Stdio};

use crate::support::{PROGRAM, copy, git, here, text, write};

/// A small shop in a repository.
fn shop() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    copy(&here("tests/shops/plain"), folder.path());
    git(folder.path(), &["init", "-q", "-b", "main"]);
    git(folder.path(), &["add", "-A"]);
    git(folder.path(), &["commit", "-q", "-m", "as it is"]);
    folder
}

/// Runs a command that must end by itself; a program of the system ends it if it does not.
fn ends(shop: &Path, arguments: &[&str]) -> Output {
    let output = Command::new("timeout")
        .args(["120", PROGRAM])
        .args(arguments)
        .current_dir(shop)
        .stdin(Stdio::null())
        .output()
        .expect("it runs");
    let status = output.status.code();
    assert!(matches!(status, Some(0..=2)), "{arguments:?}: {status:?}: {}", text(&output.stderr));
    output
}

fn pipe(at: &Path) {
    std::fs::create_dir_all(at.parent().expect("a folder")).expect("folders");
    let _ = std::fs::remove_file(at);
    assert!(Command::new("mkfifo").arg(at).status().expect("mkfifo runs").success());
}

/// What every command asks first.
const COMMANDS: [&[&str]; 4] = [
    &["check", "--format", "json"],
    &["compare", "HEAD"],
    &["build", "--out", "out"],
    &["approve", "tarn-41", "--by", "A. Wren", "--date", "2025-03-01"],
];

#[test]
fn a_pipe_in_place_of_one_of_gits_files_is_not_waited_for() {
    for file in [
        "HEAD",
        "config",
        "packed-refs",
        "commondir",
        "shallow",
        "refs/heads/main",
        "objects/info/alternates",
    ] {
        let shop = shop();
        pipe(&shop.path().join(".git").join(file));
        for arguments in COMMANDS {
            ends(shop.path(), arguments);
        }
        // Whoever asks for a revision is told which file it is.
        let said = text(&ends(shop.path(), &["compare", "HEAD"]).stderr);
        let name = file.rsplit('/').next().unwrap_or(file);
        assert!(said.contains(name) && said.contains("no ordinary file"), "{file}: {said}");
    }
}

#[test]
fn a_pipe_behind_a_link_or_in_a_repository_elsewhere_is_not_waited_for() {
    let shop = shop();
    pipe(&shop.path().join("pipe"));
    std::fs::remove_file(shop.path().join(".git/HEAD")).expect("removed");
    std::os::unix::fs::symlink("../pipe", shop.path().join(".git/HEAD")).expect("a link");
    COMMANDS.iter().for_each(|arguments| drop(ends(shop.path(), arguments)));

    let shop = self::shop();
    let elsewhere = shop.path().join("elsewhere");
    std::fs::rename(shop.path().join(".git"), &elsewhere).expect("moved");
    write(&shop.path().join(".git"), "gitdir: elsewhere\n");
    pipe(&elsewhere.join("HEAD"));
    COMMANDS.iter().for_each(|arguments| drop(ends(shop.path(), arguments)));
}

/// A user's own file monitor has a socket there, which nothing waits for.
#[test]
fn a_socket_among_gits_files_is_none_of_our_business() {
    let shop = shop();
    let socket =
        std::os::unix::net::UnixListener::bind(shop.path().join(".git/monitor.ipc")).expect("a socket");
    assert_eq!(ends(shop.path(), &["compare", "HEAD"]).status.code(), Some(0));
    drop(socket);
}

/// git looks whether a folder is itself a repository before it refuses to take it for one.
#[test]
fn a_pipe_among_the_files_of_the_shop_is_not_waited_for() {
    for file in ["HEAD", "commondir"] {
        let shop = shop();
        std::fs::remove_dir_all(shop.path().join(".git")).expect("removed");
        for folder in ["objects", "refs"] {
            std::fs::create_dir(shop.path().join(folder)).expect("a folder");
        }
        write(&shop.path().join("HEAD"), "ref: refs/heads/main\n");
        pipe(&shop.path().join(file));
        for arguments in COMMANDS {
            ends(shop.path(), arguments);
        }
    }
}

/// A tree that holds itself ten times over, ten levels deep: some kilobytes of objects, ten thousand million files.
#[test]
fn a_revision_without_end_is_not_listed_to_its_end() {
    let shop = shop();
    let blob = git(shop.path(), &["rev-parse", "HEAD:specs/shop.yaml"]);
    let mut entry = format!("100644 blob {}", blob.trim());
    for _ in 0..10 {
        let lines: String = (0..10).map(|n| format!("{entry}\tf{n}.yaml\n")).collect();
        entry = format!("040000 tree {}", make_tree(shop.path(), &lines));
    }
    let root = make_tree(shop.path(), &format!("{entry}\tspecs\n"));
    let commit = git(shop.path(), &["commit-tree", &root, "-m", "without end"]);
    git(shop.path(), &["update-ref", "refs/heads/main", commit.trim()]);
    for arguments in COMMANDS {
        ends(shop.path(), arguments);
    }
    let said = text(&ends(shop.path(), &["compare", "HEAD"]).stderr);
    assert!(said.contains("more files than are read"), "{said}");
}

fn make_tree(shop: &Path, lines: &str) -> String {
    let list = shop.join(".git/list");
    write(&list, lines);
    let output = Command::new("git")
        .args(["-C", &shop.display().to_string(), "mktree"])
        .stdin(std::fs::File::open(&list).expect("a list"))
        .output()
        .expect("git runs");
    assert!(output.status.success(), "{}", text(&output.stderr));
    text(&output.stdout).trim().to_owned()
}

/// Where git itself would wait: what the tests above put in its way does make it wait.
#[test]
fn git_itself_waits() {
    let shop = shop();
    pipe(&shop.path().join(".git/HEAD"));
    let status = Command::new("timeout")
        .args(["2", "git", "-C", &shop.path().display().to_string(), "rev-parse", "HEAD"])
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .expect("timeout runs");
    // The status of `timeout` where the command did not end.
    assert_eq!(status.code(), Some(124));
}
