//! No program that a repository names is started. Every setting, attribute and hook of git that can name one names
//! a tripwire here, and every command of ours runs over it.
//!
//! The names are those of git's own manual: git-config, gitattributes, githooks.

use std::io::{BufRead, BufReader};
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::support::{PROGRAM, copy, git, git_says, here, run, text, write};

/// A shop in a repository, with a tripwire beside it that leaves a mark when it is run.
struct Trap {
    folder: tempfile::TempDir,
}

impl Trap {
    fn new() -> Trap {
        let trap = Trap { folder: tempfile::tempdir().expect("a folder") };
        copy(&here("tests/shops/plain"), &trap.shop());
        let wire = trap.wire();
        write(&wire, format!("#!/bin/sh\necho \"$0 $*\" >> '{}'\n", trap.mark().display()));
        std::fs::set_permissions(&wire, std::fs::Permissions::from_mode(0o755)).expect("a program");
        git(&trap.shop(), &["init", "-q", "-b", "main"]);
        git(&trap.shop(), &["add", "-A"]);
        git(&trap.shop(), &["commit", "-q", "-m", "as it is"]);
        trap
    }

    fn shop(&self) -> PathBuf {
        self.folder.path().join("shop")
    }

    fn wire(&self) -> PathBuf {
        self.folder.path().join("wire")
    }

    fn mark(&self) -> PathBuf {
        self.folder.path().join("tripped")
    }

    /// What the tripwire was run as since it was last asked.
    fn tripped(&self) -> Option<String> {
        let mark = std::fs::read_to_string(self.mark()).ok();
        let _ = std::fs::remove_file(self.mark());
        mark
    }

    /// A file as committed with a later time, so that git would have to look into it.
    fn touch(&self) {
        let path = self.shop().join("specs/forks/tarn-41.yaml");
        let bytes = std::fs::read(&path).expect("a record");
        std::fs::write(&path, bytes).expect("written");
    }

    fn set(&self, key: &str, value: &str) {
        git(&self.shop(), &["config", key, value]);
    }
}

/// Every command, each with what makes it read the shop.
const COMMANDS: [&[&str]; 25] = [
    &["check"],
    &["check", "tarn-41"],
    &["check", "--format", "json"],
    &["check", "--format", "sarif"],
    &["check", "--format", "github"],
    &["compare", "HEAD"],
    &["compare", "HEAD", "HEAD", "--format", "markdown"],
    &["build", "--out", "out"],
    &["approve", "tarn-41", "--by", "A. Wren", "--date", "2025-03-01"],
    &["card", "7H2K-9QWD"],
    &["convert", "16 oz"],
    &["calc", "gap", "--fork", "tarn-41", "--reading", "99 mm"],
    &["new", "fork", "fresh-41", "--like", "tarn-41"],
    &["new", "complaint", "fresh-complaint"],
    &["new", "family", "fresh-family", "--from", "tarn-41"],
    &["explain", "outside-band"],
    &["job", "show"],
    &["library", "update", "--dry-run"],
    &["public"],
    &["serve", "--port", "0"],
    &["pull", "tarn-41:full-service"],
    &["schema", "--out", "out-schema"],
    &["completions", "bash"],
    &["man", "out-man"],
    &["help"],
];

/// The settings that can name a program, with what else must be set for it to come to that.
const SETTINGS: [&str; 66] = [
    "alias.ls-tree",
    "alias.status",
    "browser.trip.cmd",
    "browser.trip.path",
    "core.alternateRefsCommand",
    "core.askPass",
    "core.editor",
    "core.fsmonitor",
    "core.gitProxy",
    "core.pager",
    "core.sshCommand",
    "credential.helper",
    "diff.external",
    "diff.trip.command",
    "diff.trip.textconv",
    "difftool.trip.cmd",
    "difftool.trip.path",
    "filter.trip.clean",
    "filter.trip.process",
    "filter.trip.smudge",
    "gc.recentObjectsHook",
    "gpg.openpgp.program",
    "gpg.program",
    "gpg.ssh.defaultKeyCommand",
    "gpg.ssh.program",
    "gpg.x509.program",
    "guitool.trip.cmd",
    "imap.tunnel",
    "instaweb.browser",
    "instaweb.httpd",
    "interactive.diffFilter",
    "man.trip.cmd",
    "man.trip.path",
    "merge.trip.driver",
    "mergetool.trip.cmd",
    "mergetool.trip.path",
    "pager.cat-file",
    "pager.diff",
    "pager.log",
    "pager.ls-tree",
    "pager.rev-list",
    "pager.rev-parse",
    "pager.show",
    "pager.status",
    "receive.procReceiveRefs",
    "remote.origin.proxy",
    "remote.origin.receivepack",
    "remote.origin.uploadpack",
    "remote.origin.vcs",
    "sendemail.ccCmd",
    "sendemail.headerCmd",
    "sendemail.sendmailCmd",
    "sendemail.smtpServer",
    "sendemail.toCmd",
    "sequence.editor",
    "ssh.variant",
    "submodule.trip.update",
    "tar.trip.command",
    "trailer.trip.cmd",
    "trailer.trip.command",
    "uploadpack.packObjectsHook",
    "user.signingKey",
    "web.browser",
    "notes.rewrite.amend",
    "trace2.eventTarget",
    "url.trip.insteadOf",
];

/// The hooks of githooks(5), the one of the file monitor among them.
const HOOKS: [&str; 29] = [
    "applypatch-msg",
    "commit-msg",
    "fsmonitor-watchman",
    "p4-changelist",
    "p4-post-changelist",
    "p4-pre-submit",
    "p4-prepare-changelist",
    "post-applypatch",
    "post-checkout",
    "post-commit",
    "post-index-change",
    "post-merge",
    "post-receive",
    "post-rewrite",
    "post-update",
    "pre-applypatch",
    "pre-auto-gc",
    "pre-commit",
    "pre-merge-commit",
    "pre-push",
    "pre-rebase",
    "pre-receive",
    "prepare-commit-msg",
    "proc-receive",
    "push-to-checkout",
    "reference-transaction",
    "sendemail-validate",
    "update",
    "query-watchman",
];

/// A setting's value: an alias and a submodule's update run what stands behind an exclamation mark.
fn value(key: &str, wire: &Path) -> String {
    let wire = wire.display();
    if key.starts_with("alias.") || key.starts_with("submodule.") || key.starts_with("credential.") {
        format!("!{wire}")
    } else {
        wire.to_string()
    }
}

/// Lets every file have the filter, the differ, the merger and the archive command that the settings name.
fn attributes(trap: &Trap) {
    write(&trap.shop().join(".gitattributes"), "* filter=trip diff=trip merge=trip\n");
    write(&trap.shop().join(".git/info/attributes"), "* filter=trip diff=trip merge=trip\n");
}

/// Takes one object out of the repository, which then promises to fetch it.
fn missing_object(trap: &Trap) {
    let name = git(&trap.shop(), &["rev-parse", "HEAD:specs/shop.yaml"]);
    let (first, rest) = name.trim().split_at(2);
    std::fs::remove_file(trap.shop().join(".git/objects").join(first).join(rest)).expect("an object");
    trap.set("remote.origin.url", &trap.folder.path().join("elsewhere").display().to_string());
    trap.set("remote.origin.promisor", "true");
    trap.set("extensions.partialClone", "origin");
}

/// A last commit that bears a signature, and the wish to see signatures checked.
fn signed_commit(trap: &Trap) {
    let shop = trap.shop();
    let plain = git(&shop, &["cat-file", "commit", "HEAD"]);
    let (head, message) = plain.split_once("\n\n").expect("a commit");
    let signature = "gpgsig -----BEGIN PGP SIGNATURE-----\n \n iQ==\n -----END PGP SIGNATURE-----";
    let file = trap.folder.path().join("commit");
    write(&file, format!("{head}\n{signature}\n\n{message}"));
    let file = file.display().to_string();
    let name = git(&shop, &["hash-object", "-t", "commit", "-w", &file]);
    git(&shop, &["update-ref", "refs/heads/main", name.trim()]);
    trap.set("log.showSignature", "true");
}

/// Serves until the shop was read and checked; this command does not end by itself.
fn serve_for_a_moment(folder: &Path, arguments: &[&str]) {
    let mut serving = Command::new(PROGRAM)
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program runs");
    let out = BufReader::new(serving.stdout.take().expect("its words"));
    let served = out.lines().map_while(Result::ok).any(|line| line.contains("The working copy is at"));
    let _ = serving.kill();
    let _ = serving.wait();
    // Where there is no shop, it ends at once.
    assert!(served || !folder.join("specs").is_dir(), "it was never served");
}

/// Runs a command, whatever it says, and asks whether the tripwire was touched.
fn safe(trap: &Trap, folder: &Path, arguments: &[&str], what: &str) {
    trap.touch();
    if arguments[0] == "serve" {
        serve_for_a_moment(folder, arguments);
    } else {
        run(folder, arguments);
    }
    if let Some(mark) = trap.tripped() {
        panic!("`benchleaf {}` ran a program that {what} names: {mark}", arguments.join(" "));
    }
}

#[test]
fn every_command_is_among_those_that_are_run() {
    let help = text(&run(Path::new("/"), &["--help"]).stdout);
    let list = help.split("Commands:").nth(1).and_then(|rest| rest.split("\n\n").next()).expect("a list");
    for line in list.lines().filter(|line| line.starts_with("  ") && !line.starts_with("   ")) {
        let name = line.split_whitespace().next().expect("a name");
        assert!(COMMANDS.iter().any(|command| command[0] == name), "`{name}` is not run here");
    }
}

/// A new version of git may know a setting more that names a program.
#[test]
fn every_setting_that_sounds_like_a_program_is_among_those_that_are_set() {
    let known = text(&git_says(Path::new("/"), &["help", "--config-for-completion"]).stdout);
    let all: Vec<&str> = known.lines().collect();
    assert!(all.len() > 300, "git tells its settings: {known}");
    let group = |key: &str| {
        let (first, last) = key.split_once('.').unwrap_or((key, ""));
        (first.to_lowercase(), last.rsplit('.').next().unwrap_or(last).to_lowercase())
    };
    let set: Vec<_> = SETTINGS.iter().map(|key| group(key)).collect();
    let endings = [
        "cmd",
        "command",
        "program",
        "editor",
        "pager",
        "helper",
        "textconv",
        "external",
        "clean",
        "smudge",
        "process",
        "driver",
        "hook",
        "askpass",
        "proxy",
        "fsmonitor",
        "tunnel",
        "vcs",
        "uploadpack",
        "receivepack",
    ];
    // These name a place in the network, or how something is done, and no program.
    let other = [("http", "proxy"), ("gitcvs", "dbdriver"), ("color", "pager"), ("column", "clean")];
    for key in all.iter().filter(|key| !key.contains('*')) {
        let key = group(key);
        let sounds = endings.iter().any(|ending| key.1.ends_with(ending));
        let known =
            key.0 == "advice" || set.contains(&key) || other.contains(&(key.0.as_str(), key.1.as_str()));
        assert!(!sounds || known, "`{}.…{}` may name a program and is not set here", key.0, key.1);
    }
}

/// The trap works: git itself runs what the settings name, where it is asked for what a careless program would ask.
#[test]
fn git_itself_steps_on_the_tripwire() {
    let cases: [(&str, &[&str]); 6] = [
        ("core.fsmonitor", &["status"]),
        ("filter.trip.clean", &["status"]),
        ("diff.trip.textconv", &["show", "--textconv", "HEAD"]),
        ("gpg.program", &["show", "HEAD"]),
        ("remote.origin.uploadpack", &["cat-file", "-p", "HEAD:specs/shop.yaml"]),
        ("core.hooksPath", &["update-index", "--refresh"]),
    ];
    for (key, arguments) in cases {
        let trap = Trap::new();
        attributes(&trap);
        match key {
            "core.hooksPath" => hooks(&trap, &trap.shop().join(".git/hooks")),
            _ => trap.set(key, &value(key, &trap.wire())),
        }
        match key {
            "gpg.program" => signed_commit(&trap),
            "remote.origin.uploadpack" => {
                git(
                    &trap.shop(),
                    &["init", "-q", "--bare", &trap.folder.path().join("elsewhere").display().to_string()],
                );
                missing_object(&trap);
            }
            _ => {}
        }
        trap.touch();
        git_says(&trap.shop(), arguments);
        assert!(trap.tripped().is_some(), "{key}: git {arguments:?} ran nothing");
    }
}

fn hooks(trap: &Trap, folder: &Path) {
    std::fs::create_dir_all(folder).expect("a folder");
    for hook in HOOKS {
        let path = folder.join(hook);
        std::fs::copy(trap.wire(), &path).expect("a hook");
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o755)).expect("a program");
    }
}

#[test]
fn no_setting_of_the_repository_starts_a_program() {
    let trap = Trap::new();
    attributes(&trap);
    signed_commit(&trap);
    for key in SETTINGS {
        trap.set(key, &value(key, &trap.wire()));
        // This one asks for the state of the folder and for a revision.
        safe(&trap, &trap.shop(), &["compare", "HEAD"], key);
        git(&trap.shop(), &["config", "--unset-all", key]);
    }
}

#[test]
fn no_command_starts_a_program_where_all_of_them_are_set() {
    let trap = Trap::new();
    attributes(&trap);
    signed_commit(&trap);
    hooks(&trap, &trap.shop().join(".git/hooks"));
    let elsewhere = trap.shop().join("tools");
    hooks(&trap, &elsewhere);
    for key in SETTINGS {
        trap.set(key, &value(key, &trap.wire()));
    }
    trap.set("diff.trip.cachetextconv", "false");
    for hooks_path in [None, Some("tools")] {
        if let Some(path) = hooks_path {
            trap.set("core.hooksPath", path);
        }
        for arguments in COMMANDS {
            safe(&trap, &trap.shop(), arguments, "the repository");
        }
    }
}

/// What a clone leaves out it would fetch, by the program that the repository names.
#[test]
fn nothing_is_fetched() {
    for key in ["remote.origin.uploadpack", "remote.origin.vcs", "core.sshCommand", "core.gitProxy"] {
        let trap = Trap::new();
        trap.set(key, &value(key, &trap.wire()));
        missing_object(&trap);
        match key {
            "core.sshCommand" => trap.set("remote.origin.url", "ssh://elsewhere.invalid/shop"),
            "core.gitProxy" => trap.set("remote.origin.url", "git://elsewhere.invalid/shop"),
            _ => {}
        }
        for arguments in COMMANDS {
            safe(&trap, &trap.shop(), arguments, key);
        }
    }
}

/// Everything here is an ordinary tracked file: a shop that is itself laid out as a repository.
#[test]
fn a_repository_among_the_tracked_files_is_not_taken_for_one() {
    let trap = Trap::new();
    let shop = trap.folder.path().join("cloned");
    copy(&here("tests/shops/plain"), &shop);
    git(&trap.shop(), &["config", "core.fsmonitor", &trap.wire().display().to_string()]);
    for part in ["HEAD", "config", "index", "objects", "refs"] {
        copy(&trap.shop().join(".git").join(part), &shop.join(part));
    }
    git(&shop, &["--git-dir=.", "config", "core.bare", "false"]);
    git(&shop, &["--git-dir=.", "config", "core.worktree", "."]);
    for outer in [false, true] {
        if outer {
            git(&shop, &["init", "-q", "-b", "main"]);
            git(&shop, &["add", "-A"]);
            git(&shop, &["commit", "-q", "-m", "with a repository in it"]);
        }
        for arguments in COMMANDS {
            safe(&trap, &shop, arguments, "a tracked file");
        }
    }
    // It is no repository at all: there is no day, and no revision.
    std::fs::remove_dir_all(shop.join(".git")).expect("removed");
    let compared = run(&shop, &["compare", "HEAD"]);
    assert_eq!(compared.status.code(), Some(2), "{}", text(&compared.stdout));
}

/// The day a shop is judged on is the last commit's where nothing changed, whatever git would run to see it.
#[test]
fn worktrees_submodules_and_a_users_own_settings_still_work() {
    let trap = Trap::new();
    let tree = trap.folder.path().join("tree");
    git(&trap.shop(), &["worktree", "add", "-q", &tree.display().to_string(), "HEAD"]);
    let outer = trap.folder.path().join("outer");
    std::fs::create_dir(&outer).expect("a folder");
    git(&outer, &["init", "-q", "-b", "main"]);
    let from = trap.shop().display().to_string();
    git(&outer, &["-c", "protocol.file.allow=always", "submodule", "add", "-q", &from, "sub"]);
    let bare = trap.folder.path().join("bare.git");
    git(trap.folder.path(), &["clone", "-q", "--bare", &from, &bare.display().to_string()]);
    let of_bare = trap.folder.path().join("of-bare");
    git(&bare, &["worktree", "add", "-q", &of_bare.display().to_string(), "HEAD"]);
    // A user's own settings: a monitor, a signer, the other line ends.
    let home = trap.folder.path().join("home");
    write(
        &home.join(".gitconfig"),
        "[core]\n\tfsmonitor = true\n\tautocrlf = true\n[log]\n\tshowSignature = true\n[safe]\n\tbareRepository = all\n",
    );
    for shop in [trap.shop(), tree, outer.join("sub"), of_bare] {
        let output = Command::new(PROGRAM)
            .args(["compare", "HEAD", "--format", "json"])
            .current_dir(&shop)
            .env("HOME", &home)
            .stdin(Stdio::null())
            .output()
            .expect("the program runs");
        assert_eq!(output.status.code(), Some(0), "{}: {}", shop.display(), text(&output.stderr));
        assert_eq!(
            benchleaf::text::last_commit(&shop).map(|day| day.settled),
            Some(true),
            "{}",
            shop.display()
        );
    }
}

/// Which changes count: those of what is read, and not those of line ends that git itself changes.
#[test]
fn a_tree_is_settled_where_it_says_what_the_commit_says() {
    let trap = Trap::new();
    let settled = || benchleaf::text::last_commit(&trap.shop()).expect("a day").settled;
    let fork = trap.shop().join("specs/forks/tarn-41.yaml");
    let before = std::fs::read_to_string(&fork).expect("a record");
    assert!(settled());
    write(&fork, before.replace('\n', "\r\n"));
    assert!(settled(), "line ends");
    write(&fork, format!("{before}# a word\n"));
    assert!(!settled(), "a changed record");
    write(&fork, &before);
    write(&trap.shop().join("specs/forks/new-41.yaml"), "id: new-41\n");
    assert!(!settled(), "a new record");
    std::fs::remove_file(trap.shop().join("specs/forks/new-41.yaml")).expect("removed");
    assert!(settled());
    std::fs::remove_file(&fork).expect("removed");
    assert!(!settled(), "a record less");
    std::os::unix::fs::symlink("tarn-45.yaml", &fork).expect("a link");
    assert!(!settled(), "a link in its place");
}
