//! Putting a rendered site in place, one small step after another, so that a run killed between any two
//! leaves every page whole, and a later run can go on from the journal.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use rayon::prelude::*;

use super::digest::Digest;
use super::manifest::{Durable, Entry, JOURNAL, Journal, MANIFEST, Manifest, STAGE, write_whole};
use super::obstacle::Obstacle;
use super::places::{OWN_FOLDER, folded, folders_of};

/// One change of the output folder. Each is one call of the system, so it has happened or it has not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Step<'a> {
    /// Remove a page of ours.
    Remove(&'a str),
    /// Remove a folder of ours if it is empty.
    Prune(&'a str),
    /// Make a folder.
    Make(&'a str),
    /// Move a rendered file from the stage folder into place. `fresh`: no page of ours was there before.
    Place { path: &'a str, number: u32, fresh: bool },
}

/// What came of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Taken {
    /// It was done.
    Done,
    /// There was nothing to do: an earlier run did it, or a person did.
    Nothing,
    /// A file that is not ours has come to stand there; it was left alone.
    Blocked,
}

/// What came of all steps.
#[derive(Debug)]
pub(crate) struct Finished {
    /// The digest of the bytes of the manifest that was written.
    pub(crate) digest: Digest,
    /// How many pages were removed.
    pub(crate) removed: usize,
    /// Pages that could not be put in place because a file that is not ours stands there.
    pub(crate) blocked: Vec<String>,
}

/// An output folder whose lock we hold, with the folders already seen to be real ones.
#[derive(Debug)]
pub(crate) struct Output {
    /// The output folder, links followed.
    pub(crate) root: PathBuf,
    /// Our own folder in it.
    pub(crate) own: PathBuf,
    seen: BTreeSet<String>,
}

/// The steps from the old site to the new one. New pages come before old ones go, so that a link finds its page
/// at any moment; only what stands in the way of a new page goes first.
pub(crate) fn steps<'a>(old: &Manifest, journal: &'a Journal) -> Vec<Step<'a>> {
    let pages: BTreeSet<String> = journal.new.pages.keys().map(|path| folded(path)).collect();
    let needed: BTreeSet<&str> = journal.new.pages.keys().flat_map(|path| folders_of(path)).collect();
    let needed_folded: BTreeSet<String> = needed.iter().map(|folder| folded(folder)).collect();
    let below_page = |path: &str| folders_of(path).any(|folder| pages.contains(folder));
    let in_the_way = |path: &&String| {
        let path = folded(path);
        pages.contains(&path) || needed_folded.contains(&path) || below_page(&path)
    };
    let (first, last): (Vec<&String>, Vec<&String>) = journal.stale.iter().partition(in_the_way);
    // Backwards, a folder comes after what lies in it.
    let empty = journal.new.folders.iter().rev().filter(|folder| !needed.contains(folder.as_str()));
    let (empty_first, empty_last): (Vec<&String>, Vec<&String>) = empty.partition(in_the_way);

    let place = |(path, &number): (&'a String, &u32)| Step::Place {
        path,
        number,
        fresh: !old.pages.contains_key(path),
    };
    let mut steps: Vec<Step> = first.into_iter().map(|path| Step::Remove(path)).collect();
    steps.extend(empty_first.into_iter().map(|folder| Step::Prune(folder)));
    steps.extend(
        journal.new.folders.iter().filter(|folder| needed.contains(folder.as_str())).map(|f| Step::Make(f)),
    );
    steps.extend(journal.staged.iter().map(place));
    steps.extend(last.into_iter().map(|path| Step::Remove(path)));
    steps.extend(empty_last.into_iter().map(|folder| Step::Prune(folder)));
    steps
}

impl Output {
    /// An output folder, by its real path. The caller holds its lock.
    pub(crate) fn new(root: PathBuf) -> Output {
        Output { own: root.join(OWN_FOLDER), root, seen: BTreeSet::new() }
    }

    /// Where a rendered file waits.
    pub(crate) fn staged(&self, number: u32) -> PathBuf {
        self.own.join(STAGE).join(number.to_string())
    }

    /// Refuses a path that leads through a symbolic link, out of the folder.
    pub(crate) fn check_way(&mut self, path: &str) -> Result<(), Obstacle> {
        for folder in folders_of(path) {
            if !self.seen.contains(folder) {
                let at = self.root.join(folder);
                match fs::symlink_metadata(&at) {
                    Ok(meta) if meta.is_symlink() => return Err(Obstacle::Link { at }),
                    Ok(meta) if meta.is_dir() => {
                        self.seen.insert(folder.to_string());
                    }
                    _ => return Ok(()),
                }
            }
        }
        Ok(())
    }

    /// Takes one step.
    pub(crate) fn take(&mut self, step: Step) -> Result<Taken, Obstacle> {
        let (Step::Remove(path) | Step::Prune(path) | Step::Make(path) | Step::Place { path, .. }) = step;
        self.check_way(path)?;
        let at = self.root.join(path);
        match step {
            Step::Remove(_) => {
                // A folder or a link that a person put there is not ours.
                if !fs::symlink_metadata(&at).is_ok_and(|meta| meta.is_file()) {
                    return Ok(Taken::Nothing);
                }
                fs::remove_file(&at).map_err(Obstacle::disk("remove", &at))?;
                Ok(Taken::Done)
            }
            Step::Prune(_) => {
                self.seen.remove(path);
                match fs::remove_dir(&at) {
                    Ok(()) => Ok(Taken::Done),
                    Err(error) if is_kept(error.kind()) => Ok(Taken::Nothing),
                    Err(error) => Err(Obstacle::disk("remove", &at)(error)),
                }
            }
            Step::Make(_) => match fs::create_dir(&at) {
                Ok(()) => Ok(Taken::Done),
                Err(_) if fs::symlink_metadata(&at).is_ok_and(|meta| meta.is_dir()) => Ok(Taken::Nothing),
                Err(error) => Err(Obstacle::disk("make", &at)(error)),
            },
            Step::Place { number, fresh, .. } => {
                let staged = self.staged(number);
                if fresh && fs::symlink_metadata(&at).is_ok() {
                    return Ok(Taken::Blocked);
                }
                match fs::rename(&staged, &at) {
                    Ok(()) => Ok(Taken::Done),
                    Err(error) => Err(Obstacle::disk("put in place", &at)(error)),
                }
            }
        }
    }

    /// Takes all steps of a journal, writes the new manifest and drops the journal.
    pub(crate) fn finish(&mut self, old: &Manifest, journal: &Journal) -> Result<Finished, Obstacle> {
        let mut removed = 0;
        let mut blocked = Vec::new();
        for step in steps(old, journal) {
            match (step, self.take(step).map_err(Obstacle::begun)?) {
                (Step::Remove(_), Taken::Done) => removed += 1,
                (Step::Place { path, .. }, Taken::Blocked) => blocked.push(path.to_string()),
                _ => {}
            }
        }
        let mut manifest = journal.new.clone();
        for path in &blocked {
            manifest.pages.remove(path);
        }
        let digest = self.settle(&mut manifest).map_err(Obstacle::begun)?;
        Ok(Finished { digest, removed, blocked })
    }

    /// Goes on where a killed run stopped, if one did: the site is then the one that run was putting in place.
    /// Returns whether there was anything to go on with.
    pub(crate) fn recover(&mut self) -> Result<bool, Obstacle> {
        let Some(journal) = Journal::read(&self.own)? else {
            self.clear_stage()?;
            return Ok(false);
        };
        let old = Manifest::read_with_digest(&self.own)?.map(|(manifest, _)| manifest).unwrap_or_default();
        let mut blocked = BTreeSet::new();
        for step in steps(&old, &journal) {
            if let Step::Place { path, number, .. } = step {
                let whole = Digest::of_file(&self.staged(number)).is_ok_and(|(digest, _)| {
                    journal.new.pages.get(path).is_some_and(|entry| entry.digest == digest)
                });
                if !whole {
                    // Placed by the killed run; or torn by a power cut, and then it is rendered again.
                    continue;
                }
            }
            if let (Step::Place { path, .. }, Taken::Blocked) =
                (step, self.take(step).map_err(Obstacle::begun)?)
            {
                blocked.insert(path);
            }
        }
        let mut manifest = journal.new.clone();
        manifest.pages.retain(|path, _| !blocked.contains(path.as_str()));
        let doubtful: Vec<(&String, Option<Entry>)> = journal
            .new
            .pages
            .par_iter()
            .filter(|(path, _)| !blocked.contains(path.as_str()))
            .filter_map(|(path, entry)| {
                let there = Digest::of_file(&self.root.join(path)).ok();
                match there {
                    Some((digest, _)) if digest == entry.digest => None,
                    // It will be rendered again: what is there is known to be another page.
                    Some((digest, size)) => Some((path, Some(Entry { digest, size }))),
                    None => Some((path, None)),
                }
            })
            .collect();
        for (path, there) in doubtful {
            let ours = old.pages.contains_key(path);
            match there {
                // Not the page we would have put there, and no page of ours was there before: a stranger's. A
                // power cut can leave an empty file where a page was just placed: that one is ours.
                Some(entry) if entry.size > 0 && !ours => {
                    manifest.pages.remove(path);
                }
                Some(entry) => {
                    manifest.pages.insert(path.clone(), entry);
                }
                None if ours => {}
                None => {
                    manifest.pages.remove(path);
                }
            }
        }
        self.settle(&mut manifest).map_err(Obstacle::begun)?;
        Ok(true)
    }

    /// Writes the manifest for good, then drops the journal and the stage.
    fn settle(&mut self, manifest: &mut Manifest) -> Result<Digest, Obstacle> {
        let needed: BTreeSet<&str> = manifest.pages.keys().flat_map(|path| folders_of(path)).collect();
        let root = &self.root;
        manifest.folders.retain(|folder| {
            needed.contains(folder.as_str())
                || fs::symlink_metadata(root.join(folder)).is_ok_and(|meta| meta.is_dir())
        });
        let bytes = manifest.to_bytes();
        write_whole(&self.own, MANIFEST, &bytes, Durable::Yes)?;
        let journal = self.own.join(JOURNAL);
        match fs::remove_file(&journal) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => {
                return Err(Obstacle::disk("remove", &journal)(error));
            }
            _ => {}
        }
        self.clear_stage()?;
        Ok(Digest::of(&bytes))
    }

    /// Removes the stage folder and what is in it.
    pub(crate) fn clear_stage(&self) -> Result<(), Obstacle> {
        let stage = self.own.join(STAGE);
        match fs::symlink_metadata(&stage) {
            Err(_) => Ok(()),
            Ok(meta) if !meta.is_dir() => Err(Obstacle::Link { at: stage }),
            Ok(_) => fs::remove_dir_all(&stage).map_err(Obstacle::disk("remove", &stage)),
        }
    }
}

/// Whether a folder that could not be removed is simply still used, or gone already.
fn is_kept(kind: io::ErrorKind) -> bool {
    matches!(
        kind,
        io::ErrorKind::NotFound
            | io::ErrorKind::DirectoryNotEmpty
            | io::ErrorKind::NotADirectory
            | io::ErrorKind::AlreadyExists
    )
}

/// How a page of ours is found on the disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Standing {
    /// It is not there.
    Missing,
    /// It is as it was published. `read`: its bytes had to be read to know that.
    AsPublished { read: bool },
    /// Somebody changed it since.
    Edited,
}

/// How the page of an entry stands on the disk. A file whose size is right and which was last touched before
/// the manifest was written is taken to be as published; any other is read.
pub(crate) fn standing(
    at: &Path,
    entry: &Entry,
    manifest_written: Option<SystemTime>,
) -> Result<Standing, Obstacle> {
    let meta = match fs::symlink_metadata(at) {
        Ok(meta) => meta,
        Err(error) if matches!(error.kind(), io::ErrorKind::NotFound | io::ErrorKind::NotADirectory) => {
            return Ok(Standing::Missing);
        }
        Err(error) => return Err(Obstacle::disk("look at", at)(error)),
    };
    if meta.is_symlink() {
        return Err(Obstacle::Link { at: at.to_path_buf() });
    }
    if !meta.is_file() {
        return Err(Obstacle::Blocked { at: at.to_path_buf(), what: "A folder" });
    }
    if meta.len() != entry.size {
        return Ok(Standing::Edited);
    }
    // Strictly before: clocks tick coarsely, and a change in the same tick as the manifest must not be missed.
    if let (Some(written), Some(touched)) = (manifest_written, last_touched(&meta))
        && touched < written
    {
        return Ok(Standing::AsPublished { read: false });
    }
    let (digest, _) = Digest::of_file(at).map_err(Obstacle::disk("read", at))?;
    Ok(if digest == entry.digest { Standing::AsPublished { read: true } } else { Standing::Edited })
}

/// When a file was last written or, where the system tells, given another name or other rights: a copy that
/// keeps the old time of writing is noticed too.
fn last_touched(meta: &fs::Metadata) -> Option<SystemTime> {
    let modified = meta.modified().ok()?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        use std::time::Duration;
        let seconds = u64::try_from(meta.ctime()).ok()?;
        let nanoseconds = u32::try_from(meta.ctime_nsec()).ok()?;
        let changed = SystemTime::UNIX_EPOCH.checked_add(Duration::new(seconds, nanoseconds))?;
        Some(modified.max(changed))
    }
    #[cfg(not(unix))]
    Some(modified)
}

/// When the manifest was last written.
pub(crate) fn manifest_written(own: &Path) -> Option<SystemTime> {
    fs::symlink_metadata(own.join(MANIFEST)).ok()?.modified().ok()
}
