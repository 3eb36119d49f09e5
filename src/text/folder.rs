//! A shop in a folder on disk.

use std::path::{Path, PathBuf};

use super::files::{LARGEST, LARGEST_SHOP, MOST_FILES, ROOTS, ReadProblem, Source, wanted};
use super::open::{OUTSIDE, plain_io, read_inside};

/// A shop in a folder on disk.
#[derive(Debug, Clone)]
pub struct Folder {
    /// The shop's folder.
    pub root: PathBuf,
}

/// What a listing has found so far.
#[derive(Default)]
struct Listing {
    paths: Vec<String>,
    problems: Vec<ReadProblem>,
    /// How many bytes the files have together, as far as the file system says.
    bytes: u64,
}

impl Source for Folder {
    fn list(&self) -> (Vec<String>, Vec<ReadProblem>) {
        let mut listing = Listing::default();
        if let Ok(real_root) = self.root.canonicalize() {
            for root in ROOTS {
                if !self.list_below(root, &real_root, &mut listing) {
                    listing.problems.push(ReadProblem::too_much());
                    break;
                }
            }
        }
        listing.paths.sort();
        (listing.paths, listing.problems)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, ReadProblem> {
        read_inside(&self.root, path, LARGEST)
            .map_err(|message| ReadProblem { path: path.to_owned(), message })
    }
}

impl Folder {
    /// Lists what is below one of the shop's folders. Returns whether all of it is to be read.
    fn list_below(&self, root: &str, real_root: &Path, listing: &mut Listing) -> bool {
        let top = self.root.join(root);
        if std::fs::symlink_metadata(&top).is_err() {
            return true;
        }
        let mut walk = walkdir::WalkDir::new(&top).follow_links(true).sort_by_file_name().into_iter();
        while let Some(entry) = walk.next() {
            let entry = match entry {
                Ok(entry) => entry,
                Err(error) => {
                    listing.problems.push(self.not_listed(root, &error));
                    continue;
                }
            };
            let link = entry.path_is_symlink() || (entry.depth() == 0 && entry.path().is_symlink());
            if link && !leads_inside(real_root, entry.path()) {
                let path = self.inner_path(entry.path()).unwrap_or_else(|| root.to_owned());
                let is_folder = entry.file_type().is_dir();
                if is_folder {
                    walk.skip_current_dir();
                }
                if is_folder || wanted(&path) {
                    listing.problems.push(ReadProblem { path, message: OUTSIDE.to_owned() });
                }
            } else if entry.file_type().is_file() {
                match self.inner_path(entry.path()) {
                    Some(path) if wanted(&path) => {
                        listing.bytes += entry.metadata().map_or(0, |metadata| metadata.len()).min(LARGEST);
                        listing.paths.push(path);
                    }
                    Some(_) => {}
                    None => listing.problems.push(self.unreadable_name(entry.path())),
                }
            } else {
                listing.problems.extend(self.no_file(&entry));
            }
            if listing.paths.len() > MOST_FILES || listing.bytes > LARGEST_SHOP {
                listing.paths.pop();
                return false;
            }
        }
        true
    }

    /// What the walk could not enter.
    fn not_listed(&self, root: &str, error: &walkdir::Error) -> ReadProblem {
        let path = error.path().and_then(|path| self.inner_path(path)).unwrap_or_else(|| root.to_owned());
        let message = if error.loop_ancestor().is_some() {
            "a link leads back into its own folder".to_owned()
        } else {
            error.io_error().map_or_else(|| error.to_string(), plain_io)
        };
        ReadProblem { path, message }
    }

    fn unreadable_name(&self, path: &Path) -> ReadProblem {
        let path = path.strip_prefix(&self.root).unwrap_or(path).to_string_lossy().into_owned();
        ReadProblem { path, message: "its name is not readable text (UTF-8)".to_owned() }
    }

    /// What is called like a record and is none: a folder, a device, a pipe.
    fn no_file(&self, entry: &walkdir::DirEntry) -> Option<ReadProblem> {
        let path = self.inner_path(entry.path())?;
        let record = path.ends_with(".yaml") || path.ends_with(".md");
        let what = if entry.file_type().is_dir() { "it is a folder" } else { "it is no ordinary file" };
        let problem =
            || ReadProblem { path: path.clone(), message: format!("{what}, and a record is a file") };
        (record && wanted(&path)).then(problem)
    }

    /// A path inside the shop, with forward slashes.
    fn inner_path(&self, path: &Path) -> Option<String> {
        let inner = path.strip_prefix(&self.root).ok()?;
        let parts: Option<Vec<&str>> = inner.components().map(|part| part.as_os_str().to_str()).collect();
        Some(parts?.join("/"))
    }
}

/// Whether a link's real path lies inside the shop.
fn leads_inside(real_root: &Path, path: &Path) -> bool {
    path.canonicalize().is_ok_and(|real| real.starts_with(real_root))
}
