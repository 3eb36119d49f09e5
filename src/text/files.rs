//! The list-and-read interface, and the set of files one run has read.

use std::collections::BTreeMap;

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

/// A shop held in memory, for tests.
#[derive(Debug, Clone, Default)]
pub struct Memory {
    /// Bytes by path.
    pub files: BTreeMap<String, Vec<u8>>,
}

/// A shop in which one file reads differently.
#[derive(Clone, Copy)]
pub struct Changed<'s> {
    /// The shop as it is.
    pub source: &'s dyn Source,
    /// The file, which is there already.
    pub path: &'s str,
    /// What it is to say.
    pub text: &'s str,
}

/// The text of one source file.
#[derive(Debug, Clone)]
pub struct SourceFile {
    /// Its path inside the shop, with forward slashes.
    pub path: String,
    /// Its whole text; empty for a file that is none.
    pub text: String,
    /// What stands for the bytes of a file that is no text; else empty.
    pub seal: String,
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
        self.files.push(SourceFile { path: path.into(), text: text.into(), seal: String::new() });
        id
    }

    /// Adds a file that is no text; `seal` stands for its bytes.
    pub fn add_sealed(&mut self, path: impl Into<String>, seal: impl Into<String>) -> FileId {
        let id = self.add(path, "");
        if let Some(file) = self.files.last_mut() {
            file.seal = seal.into();
        }
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

/// The folders of a shop that hold sources.
pub(super) const ROOTS: [&str; 3] = ["specs", "procedures", "templates"];

/// The largest source file that is read, in bytes.
pub const LARGEST: u64 = 4 * 1024 * 1024;

/// The most bytes that are read of all sources of a shop together: a hundred times what a thousand models take.
pub const LARGEST_SHOP: u64 = 256 * 1024 * 1024;

/// The most source files of a shop: more models than were ever made, the jobs of many years, and few enough to be read
/// in a minute.
pub const MOST_FILES: usize = 60_000;

impl ReadProblem {
    /// That a shop holds more than is read.
    pub(super) fn too_much() -> Self {
        let megabytes = LARGEST_SHOP / 1024 / 1024;
        ReadProblem {
            path: "specs".to_owned(),
            message: format!(
                "the shop holds more than {MOST_FILES} files or {megabytes} MiB, and no more are read"
            ),
        }
    }
}

impl Source for Changed<'_> {
    fn list(&self) -> (Vec<String>, Vec<ReadProblem>) {
        self.source.list()
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, ReadProblem> {
        if path == self.path { Ok(self.text.as_bytes().to_vec()) } else { self.source.read(path) }
    }
}

/// Sources with files that are not there yet.
pub struct Added<'s> {
    /// The sources as they are.
    pub source: &'s dyn Source,
    /// Paths and texts.
    pub files: &'s [(String, String)],
}

impl Source for Added<'_> {
    fn list(&self) -> (Vec<String>, Vec<ReadProblem>) {
        let (mut paths, problems) = self.source.list();
        paths.extend(self.files.iter().map(|(path, _)| path.clone()));
        paths.sort();
        paths.dedup();
        (paths, problems)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, ReadProblem> {
        match self.files.iter().find(|(added, _)| added == path) {
            Some((_, text)) => Ok(text.as_bytes().to_vec()),
            None => self.source.read(path),
        }
    }
}

/// Whether a path can be a source. The generated schema, hidden files and editors' leavings are not.
pub(super) fn wanted(path: &str) -> bool {
    let hidden = path.split('/').any(|part| part.starts_with('.') || part.ends_with('~'));
    !hidden && !path.starts_with("specs/schema/")
}

impl Memory {
    /// A shop from pairs of path and text.
    pub fn new<P: Into<String>, T: Into<Vec<u8>>>(files: impl IntoIterator<Item = (P, T)>) -> Self {
        Memory { files: files.into_iter().map(|(path, text)| (path.into(), text.into())).collect() }
    }
}

impl Source for Memory {
    fn list(&self) -> (Vec<String>, Vec<ReadProblem>) {
        let inside =
            |path: &&String| ROOTS.iter().any(|root| path.starts_with(&format!("{root}/"))) && wanted(path);
        (self.files.keys().filter(inside).cloned().collect(), Vec::new())
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, ReadProblem> {
        self.files
            .get(path)
            .cloned()
            .ok_or_else(|| ReadProblem { path: path.to_owned(), message: "it is not there".to_owned() })
    }
}
