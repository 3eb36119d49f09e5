//! A small shop to spoil, and the program run on it with a guard against hanging.

use std::fs;
use std::os::unix::fs::symlink;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

/// How long a run may take before it is taken to hang for ever: a hundred times what it takes on a busy computer.
const HANGS: Duration = Duration::from_secs(180);

/// A fork of the small shop.
pub const FORK: &str = "specs/forks/tarn-41.yaml";

/// A copy of a small clean shop, and beside it a file that nobody may change.
pub struct Shop {
    folder: tempfile::TempDir,
}

/// What a run answered.
pub struct Answer {
    pub status: i32,
    pub out: String,
    pub error: String,
}

impl Shop {
    pub fn new() -> Shop {
        let folder = tempfile::tempdir().unwrap();
        let shop = Shop { folder };
        copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shops/plain"), &shop.root());
        fs::write(shop.outside(), "theirs").unwrap();
        shop
    }

    /// The shop's own folder.
    pub fn root(&self) -> PathBuf {
        self.folder.path().join("shop")
    }

    /// A file of the shop.
    pub fn at(&self, path: &str) -> PathBuf {
        self.root().join(path)
    }

    /// A file outside the shop.
    pub fn outside(&self) -> PathBuf {
        self.folder.path().join("outside.txt")
    }

    /// Fails if the file outside was changed.
    #[track_caller]
    pub fn assert_outside_is_untouched(&self, when: &str) {
        let text = fs::read_to_string(self.outside()).unwrap();
        assert!(text == "theirs", "{when}: the file outside now begins with {:?}", text.get(..20));
    }

    /// Changes a source, so that the next build has something to write.
    pub fn change(&self) {
        let text = fs::read_to_string(self.at(FORK)).unwrap();
        fs::write(self.at(FORK), text + "# a change\n").unwrap();
    }

    /// Puts a link to the file outside in a place, in place of what is there.
    pub fn link(&self, path: &str) {
        self.clear(path);
        symlink(self.outside(), self.at(path)).unwrap();
    }

    /// Puts a named pipe in a place, in place of what is there.
    pub fn pipe(&self, path: &str) {
        self.clear(path);
        assert!(Command::new("mkfifo").arg(self.at(path)).status().unwrap().success());
    }

    /// What waits to be renamed, or is on its way.
    pub fn waiting(&self) -> Vec<PathBuf> {
        let items = walkdir::WalkDir::new(self.root()).into_iter().map(Result::unwrap);
        let files = items.filter(|item| item.file_type().is_file()).map(walkdir::DirEntry::into_path);
        let waits = |path: &PathBuf| {
            let text = path.to_string_lossy();
            text.ends_with(".new") || text.contains(".benchleaf/stage/") || text.ends_with("journal.json")
        };
        files.filter(waits).collect()
    }

    fn clear(&self, path: &str) {
        fs::create_dir_all(self.at(path).parent().unwrap()).unwrap();
        match fs::symlink_metadata(self.at(path)) {
            Ok(meta) if meta.is_dir() => fs::remove_dir_all(self.at(path)).unwrap(),
            Ok(_) => fs::remove_file(self.at(path)).unwrap(),
            Err(_) => {}
        }
    }

    /// Runs the program in the shop's folder. A run that hangs is ended and fails the test.
    #[track_caller]
    pub fn run(&self, arguments: &[&str]) -> Answer {
        let mut child = Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(arguments)
            .current_dir(self.root())
            .env("NO_COLOR", "1")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let begun = Instant::now();
        while child.try_wait().unwrap().is_none() {
            if begun.elapsed() > HANGS {
                child.kill().unwrap();
                panic!("{arguments:?} hangs");
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        answer(child.wait_with_output().unwrap())
    }
}

fn answer(output: Output) -> Answer {
    let text = |bytes| String::from_utf8(bytes).unwrap();
    let error = text(output.stderr);
    assert!(!error.contains("panicked"), "{error}");
    Answer { status: output.status.code().expect("an exit status"), out: text(output.stdout), error }
}

fn copy(from: &Path, to: &Path) {
    for item in walkdir::WalkDir::new(from) {
        let item = item.unwrap();
        let place = to.join(item.path().strip_prefix(from).unwrap());
        if item.file_type().is_dir() {
            fs::create_dir_all(place).unwrap();
        } else {
            fs::copy(item.path(), place).unwrap();
        }
    }
}
