//! The list-and-read interface, and the set of files one run has read.

use std::collections::BTreeMap;
use std::path::PathBuf;

use super::span::FileId;

/// Why a source could not be listed or read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadProblem {
    /// The path as it would be written inside the shop, with forward slashes.
    pub path: String,
    /// What stands in the way, one sentence.
    pub message: String,
}

/// Where a shop's sources are read from. Paths are relative to the shop, with forward slashes.
pub trait Source: Sync {
    /// Every file of the shop below `specs`, `procedures` and `templates`, sorted by path, and what could not be listed.
    fn list(&self) -> (Vec<String>, Vec<ReadProblem>);
    /// The bytes of one file.
    fn read(&self, path: &str) -> Result<Vec<u8>, ReadProblem>;
}

/// A shop in a folder on disk.
#[derive(Debug, Clone)]
pub struct Folder {
    /// The shop's folder.
    pub root: PathBuf,
}

/// A shop held in memory, for tests.
#[derive(Debug, Clone, Default)]
pub struct Memory {
    /// Bytes by path.
    pub files: BTreeMap<String, Vec<u8>>,
}

/// The text of one source file.
#[derive(Debug, Clone)]
pub struct SourceFile {
    /// Its path inside the shop, with forward slashes.
    pub path: String,
    /// Its whole text.
    pub text: String,
}

/// Every file this run has read, so that a span can be shown.
#[derive(Debug, Default)]
pub struct Files {
    files: Vec<SourceFile>,
}

impl Files {
    /// Adds a file and gives its id.
    pub fn add(&mut self, path: impl Into<String>, text: impl Into<String>) -> FileId {
        let id = FileId(u32::try_from(self.files.len()).unwrap_or(u32::MAX));
        self.files.push(SourceFile { path: path.into(), text: text.into() });
        id
    }

    /// The file of an id that [`Files::add`] gave.
    pub fn get(&self, id: FileId) -> &SourceFile {
        &self.files[id.0 as usize]
    }

    /// All files, in the order they were added.
    pub fn iter(&self) -> impl Iterator<Item = (FileId, &SourceFile)> {
        self.files.iter().zip(0u32..).map(|(file, id)| (FileId(id), file))
    }
}
