//! Putting a rendered site in place, one small step after another, so that a run killed between any two
//! leaves every page whole, and a later run can go on from the journal.

use std::collections::BTreeSet;
use std::fs::{self, Metadata};
use std::io;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use rayon::prelude::*;

use super::digest::Digest;
use super::disk::{Disk, Durable, clear};
use super::manifest::{Entry, Inputs, Journal, Manifest};
use super::obstacle::Obstacle;
use super::own::{
    IGNORE, INPUTS, JOURNAL, KEPT, MANIFEST, MEMORY, STAGE, manifest_written, waiting, write_whole,
};
use super::places::{OWN_FOLDER, folded, folders_of};

/// One change of the output folder. Each is one call of the system, so it has happened or it has not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Step<'a> {
    /// Remove a page of ours. `old`: what we published there.
    Remove { path: &'a str, old: Option<Entry> },
    /// Remove a folder of ours if it is empty.
    Prune(&'a str),
    /// Make a folder.
    Make(&'a str),
    /// Move a rendered file from the stage folder into place. `old`: the page of ours that was there before.
    Place { path: &'a str, number: u32, old: Option<Entry> },
}

/// What came of a step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Taken {
    /// It was done.
    Done,
    /// There was nothing to do: an earlier run did it, or a person did.
    Nothing,
    /// A file that is not ours has come to stand there; it was left alone.
    Blocked,
    /// It was done, and what stood there with other bytes than ours was kept under this name of our own folder.
    Kept(String),
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
    /// Files with other bytes than we published, by the name under which they were kept.
    pub(crate) kept: Vec<String>,
}

/// An output folder whose lock we hold, with the folders already seen to be real ones.
#[derive(Debug)]
pub(crate) struct Output<'d> {
    /// What changes it.
    pub(crate) disk: &'d dyn Disk,
    /// The output folder, links followed.
    pub(crate) root: PathBuf,
    /// Our own folder in it.
    pub(crate) own: PathBuf,
    /// When the manifest was written, if that can be believed: a page that was not touched since need not be read.
    pub(crate) written: Option<SystemTime>,
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

    let entry = |path: &str| old.pages.get(path).copied();
    let place = |(path, &number): (&'a String, &u32)| Step::Place { path, number, old: entry(path) };
    let remove = |path: &'a String| Step::Remove { path, old: entry(path) };
    let mut steps: Vec<Step> = first.into_iter().map(remove).collect();
    steps.extend(empty_first.into_iter().map(|folder| Step::Prune(folder)));
    steps.extend(
        journal.new.folders.iter().filter(|folder| needed.contains(folder.as_str())).map(|f| Step::Make(f)),
    );
    steps.extend(journal.staged.iter().map(place));
    steps.extend(last.into_iter().map(remove));
    steps.extend(empty_last.into_iter().map(|folder| Step::Prune(folder)));
    steps
}

impl<'d> Output<'d> {
    /// An output folder, by its real path. The caller holds its lock.
    pub(crate) fn new(disk: &'d dyn Disk, root: PathBuf) -> Output<'d> {
        Output { disk, own: root.join(OWN_FOLDER), root, written: None, seen: BTreeSet::new() }
    }

    /// What the last run wrote down, with what its pages were made from, if that can be believed.
    pub(crate) fn last_run(&mut self, fresh: bool) -> Result<Option<(Manifest, Option<Inputs>)>, Obstacle> {
        let Some((manifest, digest)) = Manifest::read_with_digest(&self.own)? else {
            self.written = None;
            return Ok(None);
        };
        let inputs = if fresh { None } else { Inputs::read(&self.own, digest) };
        self.written = inputs.as_ref().and_then(|_| manifest_written(&self.own));
        Ok(Some((manifest, inputs)))
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
        let (Step::Remove { path, .. } | Step::Prune(path) | Step::Make(path) | Step::Place { path, .. }) =
            step;
        self.check_way(path)?;
        let at = self.root.join(path);
        match step {
            Step::Remove { old, .. } => self.remove(&at, old),
            Step::Prune(_) => {
                self.seen.remove(path);
                match self.disk.remove_folder(&at) {
                    Ok(()) => Ok(Taken::Done),
                    Err(error) if is_kept(error.kind()) => Ok(Taken::Nothing),
                    Err(error) => Err(Obstacle::disk("remove", &at)(error)),
                }
            }
            Step::Make(_) => match self.disk.make_folder(&at) {
                Ok(()) => Ok(Taken::Done),
                Err(_) if fs::symlink_metadata(&at).is_ok_and(|meta| meta.is_dir()) => Ok(Taken::Nothing),
                Err(error) => Err(Obstacle::disk("make", &at)(error)),
            },
            Step::Place { number, old, .. } => self.place(&at, number, old),
        }
    }

    /// Removes a page of ours. What has other bytes than we published is not ours to remove: it is kept.
    fn remove(&self, at: &Path, old: Option<Entry>) -> Result<Taken, Obstacle> {
        // A folder or a link that a person put there is not ours.
        let (Some(entry), true) = (old, fs::symlink_metadata(at).is_ok_and(|meta| meta.is_file())) else {
            return Ok(Taken::Nothing);
        };
        if let Some(kept) = self.keep(at, &entry)? {
            self.disk.remove_file(at).map_err(Obstacle::disk("remove", at))?;
            return Ok(Taken::Kept(kept));
        }
        self.disk.remove_file(at).map_err(Obstacle::disk("remove", at))?;
        Ok(Taken::Done)
    }

    fn place(&self, at: &Path, number: u32, old: Option<Entry>) -> Result<Taken, Obstacle> {
        let staged = self.staged(number);
        let Some(entry) = old else {
            return match self.disk.place(&staged, at) {
                Ok(()) => Ok(Taken::Done),
                Err(_) if fs::symlink_metadata(at).is_ok() => Ok(Taken::Blocked),
                Err(error) => Err(Obstacle::disk("put in place", at)(error)),
            };
        };
        let kept = self.keep(at, &entry)?;
        self.disk.replace(&staged, at).map_err(Obstacle::disk("put in place", at))?;
        Ok(kept.map_or(Taken::Done, Taken::Kept))
    }

    /// Gives a file a second name in our own folder, if it has other bytes than we published: a person wrote it, or
    /// a manifest that strangers made names it. Returns that name. An empty file is what a power cut leaves.
    fn keep(&self, at: &Path, entry: &Entry) -> Result<Option<String>, Obstacle> {
        if standing(at, entry, self.written)? != Standing::Edited {
            return Ok(None);
        }
        let (digest, size) = Digest::of_file(at).map_err(Obstacle::disk("read", at))?;
        if size == 0 {
            return Ok(None);
        }
        let name = at.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let kept = self.own.join(KEPT);
        match fs::symlink_metadata(&kept) {
            Ok(meta) if meta.is_dir() => {}
            Ok(_) => return Err(Obstacle::Link { at: kept }),
            Err(_) => self.disk.make_folder(&kept).map_err(Obstacle::disk("make", &kept))?,
        }
        // The same bytes have the same name: they are kept once.
        let name = format!("{}-{name}", &digest.to_string()[..16]);
        let place = kept.join(&name);
        if fs::symlink_metadata(&place).is_err() {
            self.disk.second_name(at, &place).or_else(|_| self.copy(at, &place))?;
        }
        Ok(Some(format!("{OWN_FOLDER}/{KEPT}/{name}")))
    }

    /// For disks on which a file has one name only.
    fn copy(&self, from: &Path, to: &Path) -> Result<(), Obstacle> {
        let Some(bytes) = super::own::read_own(from)? else { return Ok(()) };
        let name = to.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        write_whole(self.disk, &self.own.join(KEPT), &name, &bytes, Durable::Yes)
    }

    /// Takes all steps of a journal, writes the new manifest and drops the journal.
    pub(crate) fn finish(&mut self, old: &Manifest, journal: &Journal) -> Result<Finished, Obstacle> {
        let (mut removed, mut blocked, mut kept) = (0, Vec::new(), Vec::new());
        for step in steps(old, journal) {
            let taken = self.take(step).map_err(Obstacle::begun)?;
            removed += usize::from(
                matches!(step, Step::Remove { .. }) && matches!(taken, Taken::Done | Taken::Kept(_)),
            );
            match (step, taken) {
                (Step::Place { path, .. }, Taken::Blocked) => blocked.push(path.to_string()),
                (_, Taken::Kept(name)) => kept.push(name),
                _ => {}
            }
        }
        let mut manifest = journal.new.clone();
        for path in &blocked {
            manifest.pages.remove(path);
        }
        let digest = self.settle(&mut manifest).map_err(Obstacle::begun)?;
        Ok(Finished { digest, removed, blocked, kept })
    }

    /// Goes on where a killed run stopped, if one did: the site is then the one that run was putting in place.
    /// Returns whether there was anything to go on with.
    pub(crate) fn recover(&mut self) -> Result<bool, Obstacle> {
        let Some(journal) = Journal::read(&self.own)? else {
            self.clear_left_over()?;
            return Ok(false);
        };
        let old = self.last_run(false)?.map(|(manifest, _)| manifest).unwrap_or_default();
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
                    Some((digest, size)) => Some((path, Some(Entry { digest, size }))),
                    None => Some((path, None)),
                }
            })
            .collect();
        for (path, there) in doubtful {
            match (there, old.pages.get(path)) {
                // Still the page of before: the new one was torn by a power cut, and is rendered again.
                (Some(entry), Some(before)) if entry == *before => {
                    manifest.pages.insert(path.clone(), entry);
                }
                // Not the page we would have put there, and no page of ours was there before: a stranger's. A
                // power cut can leave an empty file where a page was just placed: that one is ours.
                (Some(entry), None) if entry.size > 0 => {
                    manifest.pages.remove(path);
                }
                (None, None) => {
                    manifest.pages.remove(path);
                }
                // Edited since, or lost: it is rendered again, and what a person wrote there is kept.
                (Some(_) | None, _) => {}
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
        write_whole(self.disk, &self.own, MANIFEST, &bytes, Durable::Yes)?;
        let journal = self.own.join(JOURNAL);
        clear(self.disk, &journal).map_err(Obstacle::disk("remove", &journal))?;
        self.clear_left_over()?;
        Ok(Digest::of(&bytes))
    }

    /// Whether a run that was killed left something to be finished or cleared away.
    pub(crate) fn has_left_over(&self) -> bool {
        let names = [JOURNAL.to_owned(), STAGE.to_owned()].into_iter().chain(unfinished());
        names.map(|name| self.own.join(name)).any(|at| fs::symlink_metadata(at).is_ok())
    }

    /// Removes the stage folder with what is in it, and files of our own that were never finished.
    pub(crate) fn clear_left_over(&self) -> Result<(), Obstacle> {
        for name in unfinished() {
            let at = self.own.join(name);
            clear(self.disk, &at).map_err(Obstacle::disk("remove", &at))?;
        }
        let stage = self.own.join(STAGE);
        match fs::symlink_metadata(&stage) {
            Err(_) => Ok(()),
            Ok(meta) if !meta.is_dir() => Err(Obstacle::Link { at: stage }),
            Ok(_) => remove_tree(self.disk, &stage).map_err(Obstacle::disk("remove", &stage)),
        }
    }
}

/// The names under which our own files wait to be renamed.
fn unfinished() -> impl Iterator<Item = String> {
    [MANIFEST, JOURNAL, INPUTS, MEMORY, IGNORE].into_iter().map(waiting)
}

/// Removes a folder with all that is in it; a link in it goes, and not what it leads to.
fn remove_tree(disk: &dyn Disk, folder: &Path) -> io::Result<()> {
    for item in fs::read_dir(folder)? {
        let item = item?;
        if item.file_type()?.is_dir() {
            remove_tree(disk, &item.path())?;
        } else {
            disk.remove_file(&item.path())?;
        }
    }
    disk.remove_folder(folder)
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
    let Some(meta) = Obstacle::unless_file(at)? else { return Ok(Standing::Missing) };
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
fn last_touched(meta: &Metadata) -> Option<SystemTime> {
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
