//! Why publishing stopped: what is wrong, where, and what to do about it.

use std::fmt;
use std::fs::Metadata;
use std::io;
use std::path::{Path, PathBuf};

use crate::text::ordinary::{self, Standing};

/// How many names an error lists before it counts the rest.
const NAMES_SHOWN: usize = 10;

/// A reason not to publish, or not to go on. Its text says what, where and what to do.
#[derive(Debug)]
pub enum Obstacle {
    /// A page's path cannot be used on every file system, or would leave the output folder.
    Path {
        /// The path as planned.
        path: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// Two planned paths would be one file on a file system that does not tell capitals apart, or
    /// one is the folder of the other.
    Clash {
        /// The one.
        one: String,
        /// The other.
        other: String,
    },
    /// The output folder holds the shop's sources, or lies among them.
    Sources {
        /// The output folder.
        out: PathBuf,
        /// The sources that are in danger.
        sources: PathBuf,
    },
    /// The output folder is among git's own files.
    InGit {
        /// The output folder.
        out: PathBuf,
    },
    /// A symbolic link where a real file or folder is needed.
    Link {
        /// The link.
        at: PathBuf,
    },
    /// Files stand where pages should go, and no manifest says that they are ours.
    Foreign {
        /// The output folder.
        out: PathBuf,
        /// The files, by path within it.
        paths: Vec<String>,
        /// Whether the other pages have been published already: the files came while we wrote.
        late: bool,
    },
    /// Something that is not a file stands where a page should go, or not a folder where one should be.
    Blocked {
        /// The place.
        at: PathBuf,
        /// What stands there.
        what: Blocker,
    },
    /// Another run is publishing into the same folder now.
    Busy {
        /// The output folder.
        out: PathBuf,
    },
    /// The manifest or the journal is there but cannot be understood.
    Damaged {
        /// The file.
        at: PathBuf,
        /// What is wrong with it.
        why: String,
    },
    /// The disk or the system said no.
    Disk {
        /// What we were doing: "write", "rename", …
        doing: &'static str,
        /// The file or folder.
        at: PathBuf,
        /// The system's answer.
        error: io::Error,
        /// Whether pages were already being put in place.
        begun: bool,
    },
}

/// What stands in a place where it does not belong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Blocker {
    /// A file where a folder should be.
    File,
    /// A folder where a file should be.
    Folder,
    /// A pipe, a socket or a device where a file should be.
    Special,
}

impl fmt::Display for Blocker {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Blocker::File => "A file",
            Blocker::Folder => "A folder",
            Blocker::Special => "Something that is no ordinary file and",
        })
    }
}

impl Obstacle {
    /// Takes what stands in a place for an ordinary file or nothing, or says what is in the way.
    pub(crate) fn unless_file(at: &Path) -> Result<Option<Metadata>, Obstacle> {
        let blocked = |what| Err(Obstacle::Blocked { at: at.to_path_buf(), what });
        match ordinary::standing(at).map_err(Obstacle::disk("look at", at))? {
            Standing::Nothing => Ok(None),
            Standing::File(meta) => Ok(Some(meta)),
            Standing::Link => Err(Obstacle::Link { at: at.to_path_buf() }),
            Standing::Folder => blocked(Blocker::Folder),
            Standing::Special => blocked(Blocker::Special),
        }
    }

    /// An obstacle of the disk before any page was put in place; shaped for `map_err`.
    pub(crate) fn disk(doing: &'static str, at: &Path) -> impl FnOnce(io::Error) -> Obstacle {
        move |error| Obstacle::Disk { doing, at: at.to_path_buf(), error, begun: false }
    }

    /// The same obstacle, said of a run that was already putting pages in place.
    pub(crate) fn begun(self) -> Obstacle {
        match self {
            Obstacle::Disk { doing, at, error, .. } => Obstacle::Disk { doing, at, error, begun: true },
            other => other,
        }
    }
}

impl fmt::Display for Obstacle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Obstacle::Path { path, why } => {
                write!(
                    f,
                    "The page path \"{path}\" {why}. Nothing was published. Give the page another name."
                )
            }
            Obstacle::Clash { one, other } => write!(
                f,
                "The pages \"{one}\" and \"{other}\" would be the same file or folder on some computers. \
                 Nothing was published. Give one of them another name."
            ),
            Obstacle::Sources { out, sources } => write!(
                f,
                "The output folder {} must be apart from the shop's own files in {}. Nothing was published. \
                 Name another output folder, such as \"site\" inside the shop.",
                out.display(),
                sources.display()
            ),
            Obstacle::InGit { out } => write!(
                f,
                "The output folder {} is among git's own files, which pages could damage. Nothing was published. \
                 Name another output folder, such as \"site\" inside the shop.",
                out.display()
            ),
            Obstacle::Link { at } => write!(
                f,
                "{} is a symbolic link, and pages are only written to real files and folders. \
                 Name the real folder, or remove the link.",
                at.display()
            ),
            Obstacle::Foreign { out, paths, late } => {
                let (many, places) = match paths.len() {
                    1 => ("A file that benchleaf did not write stands", "a page"),
                    _ => ("Files that benchleaf did not write stand", "pages"),
                };
                write!(f, "{many} where {places} should go in {}: ", out.display())?;
                for (n, path) in paths.iter().take(NAMES_SHOWN).enumerate() {
                    write!(f, "{}{path}", if n == 0 { "" } else { ", " })?;
                }
                if paths.len() > NAMES_SHOWN {
                    write!(f, " and {} more", paths.len() - NAMES_SHOWN)?;
                }
                f.write_str(if *late {
                    ". All other pages were published. "
                } else {
                    ". Nothing was changed. "
                })?;
                let them = if paths.len() == 1 { "it" } else { "them" };
                write!(f, "Move {them} away, or name another output folder.")
            }
            Obstacle::Blocked { at, what } => write!(
                f,
                "{what} that benchleaf did not make is in the way at {}. Move it away, or name another output folder.",
                at.display()
            ),
            Obstacle::Busy { out } => write!(
                f,
                "Another run is publishing into {} now. Wait until it has ended, then run this again.",
                out.display()
            ),
            Obstacle::Damaged { at, why } => write!(
                f,
                "{} cannot be understood ({why}), so it is not known which files here are ours. \
                 Nothing was changed. Bring the file back from a copy, or empty the output folder and build again.",
                at.display()
            ),
            Obstacle::Disk { doing, at, error, begun } => {
                write!(f, "Could not {doing} {}: {error}. ", at.display())?;
                f.write_str(if *begun {
                    "Each page is wholly old or wholly new, and the next run finishes the rest. "
                } else {
                    "The pages that were there are unchanged. "
                })?;
                f.write_str(what_to_do(error.kind()))
            }
        }
    }
}

impl std::error::Error for Obstacle {}

/// What a person can do about an answer of the system.
fn what_to_do(kind: io::ErrorKind) -> &'static str {
    match kind {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "Make room on the disk, then run it again."
        }
        io::ErrorKind::ReadOnlyFilesystem => "The disk is read-only: name an output folder on another one.",
        io::ErrorKind::PermissionDenied => {
            "Get permission to write there, or name another output folder, then run it again."
        }
        io::ErrorKind::NotADirectory => "A file stands where a folder should be: name another output folder.",
        _ => "Mend what the system complains about, then run it again.",
    }
}

/// Why a site was not published.
#[derive(Debug)]
pub enum PublishError<E> {
    /// These pages could not be rendered, in the order they were planned. Nothing was published.
    Pages(Vec<(String, E)>),
    /// The output folder, the disk or a path stands in the way.
    Obstacle(Obstacle),
}

impl<E> From<Obstacle> for PublishError<E> {
    fn from(obstacle: Obstacle) -> Self {
        PublishError::Obstacle(obstacle)
    }
}

impl<E: fmt::Display> fmt::Display for PublishError<E> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PublishError::Pages(failed) => {
                write!(f, "Nothing was published: ")?;
                for (n, (path, error)) in failed.iter().take(NAMES_SHOWN).enumerate() {
                    write!(f, "{}{path}: {error}", if n == 0 { "" } else { "; " })?;
                }
                if failed.len() > NAMES_SHOWN {
                    write!(f, "; and {} more pages", failed.len() - NAMES_SHOWN)?;
                }
                Ok(())
            }
            PublishError::Obstacle(obstacle) => obstacle.fmt(f),
        }
    }
}

impl<E: fmt::Debug + fmt::Display> std::error::Error for PublishError<E> {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_disk_says_what_where_and_what_to_do() {
        let full =
            Obstacle::disk("write", Path::new("site/.benchleaf/stage/3"))(io::ErrorKind::StorageFull.into());
        let text = full.to_string();
        assert!(text.starts_with("Could not write site/.benchleaf/stage/3"), "{text}");
        assert!(text.contains("pages that were there are unchanged"), "{text}");
        assert!(text.ends_with("Make room on the disk, then run it again."), "{text}");
        let text = full.begun().to_string();
        assert!(text.contains("the next run finishes"), "{text}");
    }

    #[test]
    fn a_long_list_of_foreign_files_is_counted() {
        let paths = (0..13).map(|n| format!("{n}.html")).collect();
        let text = Obstacle::Foreign { out: "site".into(), paths, late: false }.to_string();
        assert!(text.contains("9.html and 3 more. Nothing was changed."), "{text}");
    }
}
