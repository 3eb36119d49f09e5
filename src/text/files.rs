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

/// The folders of a shop that hold sources.
pub(super) const ROOTS: [&str; 3] = ["specs", "procedures", "templates"];

/// The largest source file that is read, in bytes.
pub const LARGEST: u64 = 4 * 1024 * 1024;

impl Source for Folder {
    fn list(&self) -> (Vec<String>, Vec<ReadProblem>) {
        let (mut paths, mut problems) = (Vec::new(), Vec::new());
        for root in ROOTS {
            let top = self.root.join(root);
            if !top.exists() {
                continue;
            }
            for entry in walkdir::WalkDir::new(&top).follow_links(true).sort_by_file_name() {
                match entry {
                    Ok(entry) if entry.file_type().is_file() => match self.inner_path(entry.path()) {
                        Some(path) if wanted(&path) => paths.push(path),
                        Some(_) => {}
                        None => problems.push(ReadProblem {
                            path: entry
                                .path()
                                .strip_prefix(&self.root)
                                .unwrap_or(entry.path())
                                .to_string_lossy()
                                .into_owned(),
                            message: "its name is not readable text (UTF-8)".to_owned(),
                        }),
                    },
                    Ok(entry) => problems.extend(self.no_file(&entry)),
                    Err(error) => {
                        let path = error
                            .path()
                            .and_then(|path| self.inner_path(path))
                            .unwrap_or_else(|| root.to_owned());
                        let message = if error.loop_ancestor().is_some() {
                            "a link leads back into its own folder".to_owned()
                        } else {
                            error.io_error().map_or_else(|| error.to_string(), plain_io)
                        };
                        problems.push(ReadProblem { path, message });
                    }
                }
            }
        }
        paths.sort();
        (paths, problems)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, ReadProblem> {
        let problem = |message: String| ReadProblem { path: path.to_owned(), message };
        let full = self.root.join(path);
        let size = std::fs::metadata(&full).map_err(|error| problem(plain_io(&error)))?.len();
        if size > LARGEST {
            return Err(problem(format!("it is {size} bytes long, and no more than {LARGEST} are read")));
        }
        std::fs::read(&full).map_err(|error| problem(plain_io(&error)))
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

impl Folder {
    /// What is called like a record and is none: a folder, a device, a pipe.
    fn no_file(&self, entry: &walkdir::DirEntry) -> Option<ReadProblem> {
        let path = self.inner_path(entry.path())?;
        let record = path.ends_with(".yaml") || path.ends_with(".md");
        let what = if entry.file_type().is_dir() { "it is a folder" } else { "it is no ordinary file" };
        let problem =
            || ReadProblem { path: path.clone(), message: format!("{what}, and a record is a file") };
        (record && wanted(&path)).then(problem)
    }

    fn inner_path(&self, path: &std::path::Path) -> Option<String> {
        let inner = path.strip_prefix(&self.root).ok()?;
        let parts: Option<Vec<&str>> = inner.components().map(|part| part.as_os_str().to_str()).collect();
        Some(parts?.join("/"))
    }
}

/// Whether a path can be a source. The generated schema, hidden files and editors' leavings are not.
pub(super) fn wanted(path: &str) -> bool {
    let hidden = path.split('/').any(|part| part.starts_with('.') || part.ends_with('~'));
    !hidden && !path.starts_with("specs/schema/")
}

fn plain_io(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::PermissionDenied => "there is no permission to read it".to_owned(),
        std::io::ErrorKind::NotFound => "it is not there".to_owned(),
        _ => error.to_string(),
    }
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
