//! What the tests by user share: a copy of the demo shop to spoil, and the built program to run on it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A copy of the demo shop in a folder of its own, removed at the end of the test.
pub struct ShopCopy {
    folder: tempfile::TempDir,
}

/// The repository's root, which holds the demo shop.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

impl ShopCopy {
    /// Copies the demo shop's sources.
    pub fn new() -> Self {
        Self::of(root())
    }

    /// Copies the sources of the shop in a folder.
    pub fn of(shop: &Path) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        for top in ["specs", "procedures"] {
            for entry in walkdir::WalkDir::new(shop.join(top)) {
                let entry = entry.expect("a shop");
                let to = folder.path().join(entry.path().strip_prefix(shop).expect("inside"));
                if entry.file_type().is_dir() {
                    std::fs::create_dir_all(&to).expect("a folder");
                } else {
                    std::fs::copy(entry.path(), &to).expect("a copy");
                }
            }
        }
        ShopCopy { folder }
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// A file of it.
    pub fn file(&self, path: &str) -> PathBuf {
        self.folder.path().join(path)
    }

    /// Writes a file.
    pub fn write(&self, path: &str, text: &str) {
        std::fs::write(self.file(path), text).expect("written");
    }

    /// Replaces a text that stands exactly once in a file, so that a changed demo shop is noticed.
    pub fn replace(&self, path: &str, old: &str, new: &str) {
        let text = std::fs::read_to_string(self.file(path)).expect("a source");
        assert_eq!(text.matches(old).count(), 1, "`{old}` stands once in {path}");
        self.write(path, &text.replace(old, new));
    }

    /// Runs the program in the shop's folder.
    pub fn run(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(arguments)
            .current_dir(self.path())
            .env("NO_COLOR", "1")
            .output()
            .expect("the program runs")
    }
}

/// Standard output as text.
pub fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8")
}
