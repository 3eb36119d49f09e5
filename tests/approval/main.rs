//! The reviewer approves: records keep every other byte, digests mean what a value says, nothing is ever half
//! written, days come from commits, and a typed code tells what became of a card.

mod compared;
mod corpus;
mod desk;
mod digests;
mod repository;
mod texts;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use benchleaf::approve::{Approval, NotRecorded, Request, approve};
use benchleaf::review::Standing;
use benchleaf::text::Memory;
use benchleaf::{Checked, check_shop};

/// The fork of the small shop that most tests review.
const FORK: &str = "specs/forks/tarn-41.yaml";

/// Every file of the small shop, by path.
fn plain() -> BTreeMap<String, Vec<u8>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shops/plain");
    let files = walkdir::WalkDir::new(&root).into_iter().map(|entry| entry.expect("the shop"));
    files
        .filter(|entry| entry.file_type().is_file())
        .map(|entry| {
            let path =
                entry.path().strip_prefix(&root).expect("inside").to_str().expect("text").replace('\\', "/");
            (path, std::fs::read(entry.path()).expect("a source"))
        })
        .collect()
}

/// A number's own line on a card.
fn line_on_card<'c>(card: &'c str, key: &str) -> &'c str {
    let at = card.find(&format!("data-key=\"{key}")).unwrap_or_else(|| panic!("{key}"));
    card[at..].split("</li>").next().expect("a line")
}

/// The number itself on its line, with its signs.
fn figure_on_card<'c>(card: &'c str, key: &str) -> &'c str {
    let line = line_on_card(card, key);
    let at = line.find("class=\"val").expect("a number");
    line[at..].split("</p>").next().expect("a number")
}

/// The small shop with one file as it is given.
fn shop_with(path: &str, text: &str) -> Memory {
    let mut files = plain();
    files.insert(path.to_owned(), text.as_bytes().to_vec());
    Memory { files }
}

/// The text of a file of the small shop.
fn text_of(path: &str) -> String {
    String::from_utf8(plain().remove(path).expect("a file of the small shop")).expect("UTF-8")
}

fn request<'r>(id: &'r str, date: &'r str, values: &'r [String]) -> Request<'r> {
    Request { id, by: "A. Wren", date, values, again: false, compared: None }
}

/// Reviews the fork in a shop on 4 May 2026.
fn review(shop: &Memory, values: &[String]) -> Result<Approval, NotRecorded> {
    approve(&check_shop(shop), &request("tarn-41", "2026-05-04", values))
}

/// How a value of the fork stands.
fn standing<'c>(checked: &'c Checked, key: &str) -> &'c Standing {
    checked.fork("tarn-41").expect("the fork").review.of(key)
}

/// The small shop in a folder of its own, removed at the end of the test.
struct Desk {
    folder: tempfile::TempDir,
}

impl Desk {
    fn new() -> Desk {
        let folder = tempfile::tempdir().expect("a folder");
        for (path, bytes) in plain() {
            let to = folder.path().join(path);
            std::fs::create_dir_all(to.parent().expect("a folder")).expect("a folder");
            std::fs::write(to, bytes).expect("a copy");
        }
        Desk { folder }
    }

    fn path(&self) -> &Path {
        self.folder.path()
    }

    fn file(&self, path: &str) -> PathBuf {
        self.path().join(path)
    }

    fn read(&self, path: &str) -> String {
        std::fs::read_to_string(self.file(path)).expect("a source")
    }

    fn replace(&self, path: &str, old: &str, new: &str) {
        let text = self.read(path);
        assert_eq!(text.matches(old).count(), 1, "`{old}` stands once in {path}");
        std::fs::write(self.file(path), text.replace(old, new)).expect("written");
    }

    fn run(&self, arguments: &[&str]) -> Output {
        let mut command = Command::new(env!("CARGO_BIN_EXE_benchleaf"));
        command.args(arguments).current_dir(self.path()).env("NO_COLOR", "1");
        command.output().expect("the program runs")
    }

    fn approve(&self, more: &[&str]) -> Output {
        let all: Vec<&str> = ["approve"].iter().chain(more).copied().collect();
        self.run(&all)
    }

    /// Everything in the shop, by path.
    fn all(&self) -> BTreeMap<String, Vec<u8>> {
        let files = walkdir::WalkDir::new(self.path()).into_iter().map(|entry| entry.expect("the shop"));
        files
            .filter(|entry| entry.file_type().is_file() && !entry.path().starts_with(self.file(".git")))
            .map(|entry| {
                let path =
                    entry.path().strip_prefix(self.path()).expect("inside").to_string_lossy().into_owned();
                (path, std::fs::read(entry.path()).expect("a source"))
            })
            .collect()
    }
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// What was said on standard error, on one line.
fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}
