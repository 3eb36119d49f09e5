//! Bad input from outside of the records: folders that cannot be read, links in circles, files that are too
//! large, odd names, bytes that are no text. The program says where, and ends with 1 or 2.
#![cfg(unix)]

use std::ffi::OsStr;
use std::fs;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

/// A copy of a small clean shop in a folder of its own.
struct Spoilt {
    folder: tempfile::TempDir,
}

/// What a run said of one mistake.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Told {
    code: String,
    path: String,
    line: u64,
    message: String,
}

const FORK: &str = "specs/forks/tarn-41.yaml";

impl Spoilt {
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let base = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shops/plain");
        for entry in walkdir::WalkDir::new(&base) {
            let entry = entry.expect("the base shop");
            let to = folder.path().join(entry.path().strip_prefix(&base).expect("inside"));
            if entry.file_type().is_dir() {
                fs::create_dir_all(&to).expect("a folder");
            } else {
                fs::copy(entry.path(), &to).expect("a copy");
            }
        }
        Spoilt { folder }
    }

    fn at(&self, path: impl AsRef<Path>) -> PathBuf {
        self.folder.path().join(path)
    }

    fn write(&self, path: impl AsRef<Path>, bytes: impl AsRef<[u8]>) {
        fs::write(self.at(path), bytes).expect("written");
    }

    fn text(&self, path: &str) -> String {
        fs::read_to_string(self.at(path)).expect("a source")
    }

    fn run(&self, arguments: &[&str]) -> Output {
        run(Command::new(env!("CARGO_BIN_EXE_benchleaf")), self.folder.path(), arguments)
    }

    /// Checks the shop and gives the exit status with what was told, every place looked at.
    fn check(&self) -> (i32, Vec<Told>) {
        let output = self.run(&["check", "--format", "json"]);
        let told = told(&output);
        for finding in json(&output)["findings"].as_array().expect("a list") {
            let path = finding["path"].as_str().expect("a path");
            let (start, end) = (&finding["start"]["byte"], &finding["end"]["byte"]);
            let (start, end) = (start.as_u64().expect("a byte"), end.as_u64().expect("a byte"));
            let length = fs::metadata(self.at(path)).map_or(0, |file| file.len());
            assert!(start <= end && end <= length, "{finding} lies outside of its file of {length} bytes");
        }
        // What a person reads ends the same way.
        let text = self.run(&["check"]);
        assert_eq!(text.status.code(), output.status.code());
        (output.status.code().expect("an exit status"), told)
    }

    /// Checks that the shop has exactly one error, and gives it.
    fn one(&self) -> Told {
        let (status, mut told) = self.check();
        assert_eq!((status, told.len()), (1, 1), "{told:#?}");
        told.remove(0)
    }
}

fn run(mut command: Command, folder: &Path, arguments: &[&str]) -> Output {
    let output = command.args(arguments).current_dir(folder).output().expect("the program runs");
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(!errors.contains("panicked"), "{errors}");
    assert!(output.status.code().is_some(), "the program was killed: {:?}", output.status);
    output
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| {
        panic!(
            "{error}: {} {}",
            String::from_utf8_lossy(&output.stdout),
            String::from_utf8_lossy(&output.stderr)
        )
    })
}

fn told(output: &Output) -> Vec<Told> {
    let text = |value: &Value| value.as_str().expect("a text").to_owned();
    let findings = json(output);
    let findings = findings["findings"].as_array().expect("a list").iter();
    // The small shop's forks take over what nobody compared.
    findings
        .filter(|finding| finding["code"] != "inherited-not-compared")
        .map(|finding| Told {
            code: text(&finding["code"]),
            path: text(&finding["path"]),
            line: finding["start"]["line"].as_u64().expect("a line"),
            message: text(&finding["message"]),
        })
        .collect()
}

#[test]
fn the_base_shop_is_clean() {
    assert_eq!(Spoilt::new().check(), (0, Vec::new()));
}

/// Whoever may do everything may read everything, so the program is run as someone who may not.
#[test]
fn a_folder_and_a_file_without_permission_are_told() {
    let shop = Spoilt::new();
    let everyone =
        |path: &Path, mode| fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("a mode");
    let program = shop.at("program");
    fs::copy(env!("CARGO_BIN_EXE_benchleaf"), &program).expect("a copy");
    everyone(shop.folder.path(), 0o755);
    everyone(&program, 0o755);
    everyone(&shop.at(FORK), 0o000);
    everyone(&shop.at("procedures/cautions"), 0o000);
    let id = Command::new("id").arg("-u").output().expect("id runs");
    let command = if id.stdout == b"0\n" {
        let mut command = Command::new("setpriv");
        command.args(["--reuid=65534", "--regid=65534", "--clear-groups"]).arg(&program);
        command
    } else {
        Command::new(&program)
    };
    let output = run(command, shop.folder.path(), &["check", "--format", "json"]);
    everyone(&shop.at("procedures/cautions"), 0o755);
    assert_eq!(output.status.code(), Some(1));
    let told: Vec<(String, String)> = told(&output).into_iter().map(|told| (told.code, told.path)).collect();
    let unreadable = |path: &str| ("file-unreadable".to_owned(), path.to_owned());
    assert_eq!(told, [unreadable("procedures/cautions"), unreadable(FORK)]);
}

#[test]
fn a_link_that_leads_back_is_told_and_not_followed_for_ever() {
    let shop = Spoilt::new();
    symlink("..", shop.at("specs/forks/again")).expect("a link");
    let told = shop.one();
    assert_eq!((told.code.as_str(), told.path.as_str()), ("file-unreadable", "specs/forks/again"));
    assert!(told.message.contains("leads back"), "{}", told.message);
}

#[test]
fn links_that_lead_nowhere_are_told() {
    let shop = Spoilt::new();
    symlink("gone.yaml", shop.at("specs/forks/lost.yaml")).expect("a link");
    symlink("self.yaml", shop.at("specs/forks/self.yaml")).expect("a link");
    let (status, told) = shop.check();
    let seen: Vec<_> = told.iter().map(|told| (told.code.as_str(), told.path.as_str())).collect();
    assert_eq!(status, 1);
    assert_eq!(
        seen,
        [("file-unreadable", "specs/forks/lost.yaml"), ("file-unreadable", "specs/forks/self.yaml")]
    );
}

#[test]
fn what_is_no_file_is_told() {
    let shop = Spoilt::new();
    symlink("/dev/zero", shop.at("specs/forks/endless.yaml")).expect("a link");
    let told = shop.one();
    assert_eq!((told.code.as_str(), told.path.as_str()), ("file-unreadable", "specs/forks/endless.yaml"));
}

#[test]
fn a_file_that_is_too_large_is_told_and_not_read() {
    let shop = Spoilt::new();
    // A hole in the file: it takes no room on disk.
    let file = fs::File::create(shop.at("specs/oils/huge.yaml")).expect("a file");
    file.set_len(1 << 40).expect("a terabyte of nothing");
    let told = shop.one();
    assert_eq!((told.code.as_str(), told.path.as_str()), ("file-unreadable", "specs/oils/huge.yaml"));
    assert!(told.message.contains("bytes long"), "{}", told.message);
}

#[test]
fn a_file_of_one_very_long_line_is_told_at_its_place() {
    let shop = Spoilt::new();
    let text =
        shop.text(FORK).replace("free_length: 312 mm", &format!("free_length: {} mm", "3".repeat(3 << 20)));
    shop.write(FORK, text);
    let told = shop.one();
    let line = shop.text(FORK).lines().position(|line| line.contains("free_length")).expect("the line") + 1;
    assert_eq!((told.path.as_str(), told.line), (FORK, line as u64));
    assert!(told.message.len() < 400, "a message of {} bytes", told.message.len());
}

#[test]
fn depth_and_width_are_borne() {
    let shop = Spoilt::new();
    shop.write(FORK, format!("id: tarn-41\nnotes: {}{}\n", "[".repeat(50_000), "]".repeat(50_000)));
    assert_eq!(shop.one().path, FORK);
    let shop = Spoilt::new();
    let keys: String = (0..400).map(|n| format!("  k{n}: 1 mm\n")).collect();
    shop.write(FORK, shop.text(FORK) + "bushings:\n" + &keys);
    let (status, told) = shop.check();
    assert_eq!((status, told.len()), (1, 101), "a hundred keys are told, and how many more there are");
    assert!(told.iter().all(|told| told.code == "unknown-key" && told.path == FORK));
}

#[test]
fn bytes_that_are_no_text_are_told() {
    let fork = Spoilt::new().text(FORK);
    let utf16: Vec<u8> = "\u{feff}id: tarn-41\n".encode_utf16().flat_map(u16::to_le_bytes).collect();
    for bytes in [b"\xff\xfe\xfd".to_vec(), utf16, [fork.as_bytes(), b"notes: \xe9t\xe9\n"].concat()] {
        let shop = Spoilt::new();
        shop.write(FORK, &bytes);
        let told = shop.one();
        assert_eq!((told.code.as_str(), told.path.as_str()), ("file-unreadable", FORK), "{bytes:?}");
        assert!(told.message.contains("UTF-8"), "{}", told.message);
    }
    let shop = Spoilt::new();
    shop.write(FORK, fork + "notes: a\0b\n");
    assert_eq!(shop.one().path, FORK);
}

#[test]
fn odd_names_are_told_as_they_are() {
    for name in
        ["a b.yaml", "ü.yaml", "a:b,c%.yaml", "\"quoted\".yaml", "new\nline.yaml", "-rf.yaml", "$(id).yaml"]
    {
        let shop = Spoilt::new();
        shop.write(Path::new("specs/tools").join(name), "title: Pick\nkind: tool\nuse: picks\nid: pick\n");
        let (status, told) = shop.check();
        assert_eq!(status, 1, "{name:?}");
        let path = format!("specs/tools/{name}");
        assert!(told.iter().any(|told| told.path == path && told.code == "id-form"), "{told:#?}");
        let shown = String::from_utf8(shop.run(&["check"]).stdout).expect("UTF-8");
        assert!(!shown.contains("new\nline.yaml"), "a name cannot break the report's lines");
    }
}

#[test]
fn a_name_that_is_no_text_is_told() {
    let shop = Spoilt::new();
    shop.write(Path::new("specs/tools").join(OsStr::from_bytes(b"\xff.yaml")), "id: x\n");
    let (status, told) = shop.check();
    assert_eq!((status, told.len()), (1, 1), "{told:#?}");
    assert!(told[0].path.starts_with("specs/tools/") && told[0].message.contains("name"), "{told:#?}");
}

#[test]
fn a_folder_with_a_record_s_name_is_told() {
    let shop = Spoilt::new();
    fs::create_dir(shop.at("specs/oils/ember-20.yaml")).expect("a folder");
    let told = shop.one();
    assert_eq!((told.code.as_str(), told.path.as_str()), ("file-unreadable", "specs/oils/ember-20.yaml"));
}

#[test]
fn hidden_files_and_an_editor_s_leavings_are_no_sources() {
    let shop = Spoilt::new();
    shop.write("specs/forks/.tarn-41.yaml.swp", b"\xff\xff");
    shop.write("specs/forks/tarn-41.yaml~", b"id: other\n");
    assert_eq!(shop.check(), (0, Vec::new()));
}

#[test]
fn a_shop_that_is_empty_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let program = || Command::new(env!("CARGO_BIN_EXE_benchleaf"));
    let output = run(program(), folder.path(), &["check", "--format", "json"]);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(told(&output).iter().map(|told| told.code.as_str()).collect::<Vec<_>>(), ["no-forks"]);
    let output = run(program(), folder.path(), &["build"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(!folder.path().join("site").exists(), "nothing is published");
}

#[test]
fn a_folder_that_is_none_cannot_be_run_on() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("file"), "").expect("written");
    for shop in ["gone", "file", "file/inside", "gone\nline", ""] {
        for command in ["check", "build", "schema"] {
            let program = Command::new(env!("CARGO_BIN_EXE_benchleaf"));
            let output = run(program, folder.path(), &[command, shop]);
            assert_eq!(output.status.code(), Some(2), "{command} {shop:?}");
            assert!(output.stdout.is_empty() && !output.stderr.is_empty(), "{command} {shop:?}");
        }
    }
}
