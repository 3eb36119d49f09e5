//! What the documents say can be typed is typed here, in the order in which it stands there.

#[allow(dead_code, reason = "shared by tests that each use a part of it")]
mod common;

use std::path::{Path, PathBuf};
use std::process::Command;

use common::{ShopCopy, root};

/// The commands of a document: the lines in fences of a shell.
fn commands(document: &str) -> Vec<String> {
    let text = std::fs::read_to_string(root().join(document)).expect("the document");
    let mut inside = false;
    let mut out = Vec::new();
    for line in text.lines() {
        match line.trim().strip_prefix("```") {
            Some(kind) => inside = !inside && kind == "sh",
            None if inside => out.push(line.trim().to_owned()),
            None => {}
        }
    }
    assert!(!out.is_empty(), "{document} has commands");
    out
}

/// A command as whoever has the program installed types it.
fn installed(command: &str) -> String {
    command.replace("cargo run -- ", "benchleaf ")
}

/// Types every command, one after the other; each must run, and find no error.
fn type_all(document: &str, folder: &Path) {
    let mut folder = PathBuf::from(folder);
    let program = Path::new(env!("CARGO_BIN_EXE_benchleaf")).parent().expect("a folder");
    let path = format!("{}:{}", program.display(), std::env::var("PATH").expect("a path"));
    for command in commands(document).iter().map(|command| installed(command)) {
        // What is run on every change, `.ci/run` among it, and would run this test again; and what runs for minutes.
        if command.contains("cargo test") || command.contains("--example fuzz") {
            continue;
        }
        if let Some(inner) = command.strip_prefix("cd ") {
            folder = folder.join(inner);
            continue;
        }
        let done = Command::new("sh")
            .args(["-c", &command])
            .current_dir(&folder)
            .env("PATH", &path)
            .output()
            .expect("a shell");
        let said =
            format!("{}{}", String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
        assert!(done.status.success(), "{document}: `{command}`: {said}");
    }
}

/// A copy of the demo shop, committed.
fn committed() -> ShopCopy {
    let shop = ShopCopy::new();
    for arguments in [&["init", "-q"][..], &["add", "-A"], &["commit", "-qm", "as it is"]] {
        let who = ["-c", "user.name=A. Wren", "-c", "user.email=wren@shop.example"];
        let done =
            Command::new("git").args(who).args(arguments).current_dir(shop.path()).output().expect("git");
        assert!(done.status.success(), "{done:?}");
    }
    shop
}

#[test]
fn what_the_shop_lead_is_told_to_type_works_from_an_empty_folder() {
    let folder = tempfile::tempdir().expect("a folder");
    type_all("docs/shop-lead.md", folder.path());
}

#[test]
fn what_the_apprentice_is_told_to_type_works() {
    type_all("docs/apprentice.md", committed().path());
}

#[test]
fn what_the_reviewer_is_told_to_type_works() {
    type_all("docs/reviewer.md", committed().path());
}

#[test]
fn what_readme_tells_to_type_works() {
    let shop = committed();
    type_all("README.md", shop.path());
    // The draft of its first fork is refused as it stands: a blank is no figure.
    assert!(shop.file("site/forks/my-fork.html").is_file() || shop.file("site/index.html").is_file());
    let ci = std::fs::read_to_string(root().join(".ci/run")).expect("what a change must pass");
    assert!(ci.contains("(cd tests/node && npm ci") && ci.contains("&& cargo test"), "README's test command");
}

/// Every document of the repository.
fn documents() -> Vec<String> {
    let of = |folder: &str| {
        let entries = std::fs::read_dir(root().join(folder)).expect("a folder");
        let names = entries.map(|entry| entry.expect("a file").file_name().to_string_lossy().into_owned());
        let pages = names.filter(|name| name.ends_with(".md"));
        pages.map(|name| if folder == "." { name } else { format!("{folder}/{name}") }).collect::<Vec<_>>()
    };
    let mut all = [of("."), of("docs")].concat();
    all.sort();
    all
}

/// The commands that a document names in passing: between backticks.
fn in_passing(text: &str) -> Vec<String> {
    let quoted = text.split('`').skip(1).step_by(2).map(installed);
    quoted.filter(|words| words.starts_with("benchleaf ") && !words.contains('\n')).collect()
}

/// What a document names in passing exists: the command, and every option.
#[test]
fn every_command_that_is_named_in_passing_exists() {
    let help = |command: &str| {
        let words: Vec<&str> = command.split_whitespace().collect();
        let done = Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(&words)
            .arg("--help")
            .output()
            .expect("it runs");
        (done.status.success(), String::from_utf8_lossy(&done.stdout).into_owned())
    };
    let mut seen = 0;
    for document in documents() {
        let text = std::fs::read_to_string(root().join(&document)).expect("a document");
        let outside: String = text.split("```").step_by(2).collect();
        for command in in_passing(&outside) {
            let words: Vec<&str> = command.split_whitespace().skip(1).collect();
            let [name, rest @ ..] = words.as_slice() else { panic!("{document}: `{command}`") };
            if name.starts_with('-') || name.chars().all(|letter| letter.is_uppercase()) {
                continue;
            }
            // `new fork`, `library update`: the word behind is a command of its own.
            let inner = rest.first().filter(|word| word.chars().all(|letter| letter.is_ascii_lowercase()));
            let two = inner.map(|inner| help(&format!("{name} {inner}"))).filter(|(known, _)| *known);
            let (known, said) = two.unwrap_or_else(|| help(name));
            assert!(known, "{document}: `{command}` is no command");
            for option in rest.iter().filter(|word| word.starts_with("--")) {
                let option = option.trim_end_matches([']', ',', '.']).split('=').next().unwrap_or_default();
                assert!(said.contains(option), "{document}: `{command}`: no option `{option}`: {said}");
            }
            seen += 1;
        }
        for example in text.split("--example ").skip(1) {
            let name: String =
                example.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '_').collect();
            let at = |path: String| root().join(path).exists();
            let manifest = std::fs::read_to_string(root().join("Cargo.toml")).expect("the manifest");
            let there = at(format!("examples/{name}.rs")) || at(format!("examples/{name}"));
            assert!(
                there || manifest.contains(&format!("name = \"{name}\"")),
                "{document}: no example `{name}`"
            );
        }
    }
    assert!(seen > 20, "{seen} commands");
}

/// The steps of a release that run on this system: the program is tried as a new user would, and packed.
#[test]
fn a_release_is_tried_and_packed() {
    let folder = tempfile::tempdir().expect("a folder");
    let program = env!("CARGO_BIN_EXE_benchleaf");
    let run = |script: &str, arguments: &[&str]| {
        let done = Command::new(root().join(script))
            .args(arguments)
            .current_dir(folder.path())
            .output()
            .expect("it runs");
        let said =
            format!("{}{}", String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
        assert!(done.status.success(), "{script}: {said}");
        said
    };
    let said = run(".ci/try-program", &[program]);
    assert!(said.contains("benchleaf 0.") && said.contains("(commit "), "{said}");
    run(".ci/package", &[program, "benchleaf-test-linux", "archives"]);
    let archives = folder.path().join("archives");
    let inside = |command: &str, arguments: &[&str]| {
        let done = Command::new(command).args(arguments).current_dir(&archives).output().expect("it runs");
        (done.status.success(), String::from_utf8_lossy(&done.stdout).into_owned())
    };
    let (sound, said) = inside("sha256sum", &["--check", "benchleaf-test-linux.tar.gz.sha256"]);
    assert!(sound, "{said}");
    let (_, list) = inside("tar", &["-tzf", "benchleaf-test-linux.tar.gz"]);
    for file in ["benchleaf", "README.md", "LICENSE-MIT", "LICENSE-APACHE", "docs/shop-lead.md"] {
        assert!(list.lines().any(|line| line == format!("benchleaf-test-linux/{file}")), "{file}: {list}");
    }
}

/// Every script that the release workflow runs is there; what it does on other systems is not tried here.
#[test]
fn the_release_workflow_is_read_and_its_scripts_are_there() {
    let text = std::fs::read_to_string(root().join(".github/workflows/release.yml")).expect("the workflow");
    let mut findings = Vec::new();
    let mut files = benchleaf::text::Files::default();
    let file = files.add("release.yml", text.clone());
    assert!(
        benchleaf::syntax::yaml::read(file, &text, &mut findings).is_some() && findings.is_empty(),
        "{findings:?}"
    );
    let scripts: Vec<&str> = text.split_whitespace().filter(|word| word.starts_with(".ci/")).collect();
    assert_eq!(scripts, [".ci/try-program", ".ci/package"]);
    assert!(scripts.iter().all(|script| root().join(script).is_file()));
}
