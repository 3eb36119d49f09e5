//! The one place that writes files: publishes rendered pages into an output folder, all or nothing.
//!
//! Order of events, under a lock: an earlier run that was killed is finished; every planned path is looked at, so
//! that a stranger's file is refused before anything changes; pages are rendered in parallel, and those whose
//! bytes are new are written to `.benchleaf/stage/`; if all succeed, a journal names old and new; each file is
//! renamed into place; stale pages go, and folders of ours left empty; the manifest is written; the journal is
//! dropped. See [`super::manifest`] for the files.
//!
//! A killed process leaves each page wholly old or wholly new, and the next run finishes. After a power cut, what
//! the manifest and the journal say is on the disk (they are synced); pages are left to the system to write, as
//! they can be made again: one that did not reach the disk whole is noticed by its size and made again.
//!
//! Memory: one page for each thread, and about 300 bytes for each page's name and digests.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File, TryLockError};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use rayon::prelude::*;

use super::digest::Digest;
use super::disk::{Disk, Durable, RealDisk, make_folders};
use super::manifest::{Entry, Inputs, Journal, Kept, Manifest};
use super::memory;
use super::obstacle::{Blocker, Obstacle, PublishError};
use super::own::{
    IGNORE, INPUTS, JOURNAL, LOCK, MANIFEST, MEMORY, STAGE, Seal, manifest_written, write_whole,
};
use super::places::{OWN_FOLDER, check_folder, check_paths, folded, folders_of};
use super::steps::{Output, Standing, standing};
use crate::text::ordinary;

/// So many pages a thread takes at once, and another cannot help it with: few, since those that tell of the whole shop
/// stand together in the list, and may be the only ones to be rendered.
const AT_ONCE: usize = 4;

/// Keeps everything but the manifest out of git, for sites that are checked in.
const GITIGNORE: &str = "# The manifest says which files here are ours; the rest only matters on this computer.\n\
                         *\n!.gitignore\n!manifest.json\n";

/// A page to publish.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Planned {
    /// Its path within the output folder, with forward slashes.
    pub path: String,
    /// All that its bytes are made from. If it is what it was when the page was last published, the page is
    /// not rendered again. `None`: always render.
    pub inputs: Option<Digest>,
}

/// Where a site goes.
#[derive(Clone, Copy)]
pub struct Target<'a> {
    /// The output folder; made if it is not there.
    pub out: &'a Path,
    /// The shop's folder, so that its sources are not written over.
    pub shop: Option<&'a Path>,
    /// All that the whole site is made from, and what is to be told when it is asked for again, for [`up_to_date`].
    pub run: Option<(Digest, &'a str)>,
    /// Believe nothing that an earlier run wrote down: read and render every page.
    pub fresh: bool,
    /// What else the run worked out, for [`kept`].
    pub kept: Option<&'a Kept>,
    /// Packs what the run worked out of the sources, for [`remembered`](super::remembered); asked for while pages are
    /// rendered.
    pub memory: Option<&'a (dyn Fn() -> Vec<u8> + Sync)>,
}

impl<'a> Target<'a> {
    /// An output folder, and nothing known of the shop or of the last run.
    pub fn new(out: &'a Path) -> Target<'a> {
        Target { out, shop: None, run: None, fresh: false, kept: None, memory: None }
    }
}

/// What a run did.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Published {
    /// Pages written, new or changed.
    pub written: usize,
    /// Pages that were as they should be and were left alone.
    pub unchanged: usize,
    /// Pages removed because the site no longer has them.
    pub removed: usize,
    /// Pages that had to be rendered to know.
    pub rendered: usize,
    /// Bytes written to pages.
    pub bytes_written: u64,
    /// Bytes of all pages of the site.
    pub bytes: u64,
    /// Pages that somebody changed by hand since they were published. They were written anew or removed: a page
    /// says what the sources say.
    pub edited: Vec<String>,
    /// Where what stood in their places was kept, by path within the output folder.
    pub kept: Vec<String>,
    /// Whether an earlier run that had been stopped half way was finished first.
    pub recovered: bool,
}

/// Whether the output folder holds the whole site that a run with this digest would publish, untouched since:
/// then there is nothing to do. Files are looked at, not read, unless they were touched after the run.
/// Returns what a run would report, with what the run that published it had to tell, or `None`.
pub fn up_to_date(out: &Path, run: Digest) -> Option<(Published, String)> {
    let own = out.join(OWN_FOLDER);
    if !fs::symlink_metadata(&own).is_ok_and(|meta| meta.is_dir())
        || fs::symlink_metadata(own.join(JOURNAL)).is_ok()
    {
        return None;
    }
    // Most often something has changed: that is seen before the whole manifest is read.
    let said = Inputs::said(&own, run)?;
    let manifest = Manifest::read_with_digest(&own).ok()??.0;
    let written = manifest_written(&own);
    let intact = manifest.pages.par_iter().all(|(path, entry)| {
        matches!(standing(&out.join(path), entry, written), Ok(Standing::AsPublished { .. }))
    });
    let published = || Published {
        unchanged: manifest.pages.len(),
        bytes: manifest.pages.values().map(|entry| entry.size).sum(),
        ..Published::default()
    };
    intact.then(|| (published(), said))
}

/// What the last run into an output folder worked out beside its pages; nothing where that cannot be believed.
pub fn kept(out: &Path) -> Kept {
    let own = out.join(OWN_FOLDER);
    let inputs = Manifest::digest(&own).and_then(|digest| Inputs::read(&own, digest));
    inputs.map(|inputs| inputs.kept).unwrap_or_default()
}

/// What the output folder holds now, seen before anything is changed.
struct Seen {
    /// The manifest of the last run.
    old: Manifest,
    /// What its pages were made from.
    inputs: BTreeMap<String, Digest>,
    /// How each planned page stands, in the order of the plan.
    standings: Vec<Standing>,
    /// Folders that are not there yet.
    to_make: BTreeSet<String>,
}

/// What came of one page.
struct Rendered {
    entry: Entry,
    staged: bool,
    rendered: bool,
}

enum Failed<E> {
    Page(E),
    Disk(Obstacle),
    /// Not tried, because the disk had failed for another page.
    Skipped,
}

/// Publishes pages. `render` gives the bytes of the page with an index into `pages`; it is called from many
/// threads, at most once for each page, and not for pages that are known to be unchanged.
///
/// A page changed by hand since it was published is written anew and named in [`Published::edited`].
///
/// # Errors
/// [`PublishError::Pages`] if a page cannot be rendered: the site stays as it was. [`PublishError::Obstacle`] if
/// the folder, a path, a stranger's file, another run or the disk stands in the way; its text says whether
/// anything was changed.
pub fn publish<E: Send, B: AsRef<[u8]>>(
    target: &Target,
    pages: &[Planned],
    render: impl Fn(usize) -> Result<B, E> + Sync,
) -> Result<Published, PublishError<E>> {
    publish_on(&RealDisk, target, pages, render)
}

pub(crate) fn publish_on<E: Send, B: AsRef<[u8]>>(
    disk: &dyn Disk,
    target: &Target,
    pages: &[Planned],
    render: impl Fn(usize) -> Result<B, E> + Sync,
) -> Result<Published, PublishError<E>> {
    check_paths(pages.iter().map(|page| page.path.as_str()))?;
    let root = check_folder(target.out, target.shop)?;
    let mut output = Output::new(disk, root);
    // A folder that was never ours is looked at before anything is made in it.
    if output.root.is_dir() && fs::symlink_metadata(&output.own).is_err() {
        look(&mut output, pages, target.fresh)?;
    }
    let _lock = lock(&output)?;
    let recovered = output.recover()?;
    let seen = look(&mut output, pages, target.fresh)?;
    let stage = output.own.join(STAGE);
    disk.make_folder(&stage).map_err(Obstacle::disk("make", &stage))?;
    let (rendered, memory) =
        rayon::join(|| render_all(&output, pages, &seen, &render), || target.memory.map(|pack| pack()));
    let result = rendered
        .and_then(|rendered| Ok(put_in_place(&mut output, target, (pages, memory), &seen, &rendered)?));
    if result.is_err() && fs::symlink_metadata(output.own.join(JOURNAL)).is_err() {
        // The next run would clear it as well; on a full disk the room is wanted now.
        let _ = output.clear_left_over();
    }
    Ok(Published { recovered, ..result? })
}

/// Finishes what a run that was killed left in an output folder, and clears away what it no longer needs, whatever
/// the run that calls this will do. Returns whether pages had been on their way.
///
/// # Errors
/// The folder, another run or the disk stands in the way.
pub fn finish_killed_run(out: &Path, shop: Option<&Path>) -> Result<bool, Obstacle> {
    finish_killed_run_on(&RealDisk, out, shop)
}

pub(crate) fn finish_killed_run_on(
    disk: &dyn Disk,
    out: &Path,
    shop: Option<&Path>,
) -> Result<bool, Obstacle> {
    let root = check_folder(out, shop)?;
    let mut output = Output::new(disk, root);
    if !output.has_left_over() {
        return Ok(false);
    }
    let _lock = lock(&output)?;
    output.recover()
}

/// Makes the output folder and our own in it, and takes the lock. It is given back when the file is closed, by
/// the system if need be.
fn lock(output: &Output) -> Result<File, Obstacle> {
    let (disk, own) = (output.disk, &output.own);
    make_folders(disk, &output.root, &mut Vec::new()).map_err(Obstacle::disk("make", &output.root))?;
    match ordinary::standing(own).map_err(Obstacle::disk("look at", own))? {
        ordinary::Standing::Folder => {}
        ordinary::Standing::Nothing => disk
            .make_folder(own)
            .or_else(|error| if own.is_dir() { Ok(()) } else { Err(error) })
            .map_err(Obstacle::disk("make", own))?,
        ordinary::Standing::Link => return Err(Obstacle::Link { at: own.clone() }),
        ordinary::Standing::File(_) | ordinary::Standing::Special => {
            return Err(Obstacle::Blocked { at: own.clone(), what: Blocker::File });
        }
    }
    let path = own.join(LOCK);
    if Obstacle::unless_file(&path)?.is_none() {
        match disk.write_new(&path, b"", None, Durable::No) {
            // Another run made it in between.
            Err(error) if error.kind() != std::io::ErrorKind::AlreadyExists => {
                return Err(Obstacle::disk("make", &path)(error));
            }
            _ => {}
        }
    }
    let file = ordinary::open_to_lock(&path).map_err(Obstacle::disk("open", &path))?;
    match super::lock::lock(&file) {
        Ok(()) => {}
        Err(TryLockError::WouldBlock) => return Err(Obstacle::Busy { out: output.root.clone() }),
        Err(TryLockError::Error(error)) => return Err(Obstacle::disk("lock", &path)(error)),
    }
    if Obstacle::unless_file(&own.join(IGNORE))?.is_none() {
        write_whole(disk, own, IGNORE, GITIGNORE.as_bytes(), Durable::No)?;
    }
    Ok(file)
}

/// Looks at every place the run would write to, and refuses what is not ours.
fn look(output: &mut Output, pages: &[Planned], fresh: bool) -> Result<Seen, Obstacle> {
    let (old, inputs) = output.last_run(fresh)?.unwrap_or_default();
    let inputs = inputs.map(|inputs| inputs.pages).unwrap_or_default();
    let mut to_make = BTreeSet::new();
    let needed: BTreeSet<&str> = pages.iter().flat_map(|page| folders_of(&page.path)).collect();
    for folder in needed {
        output.check_way(folder)?;
        let at = output.root.join(folder);
        match fs::symlink_metadata(&at) {
            Ok(meta) if meta.is_dir() => continue,
            Ok(meta) if meta.is_symlink() => return Err(Obstacle::Link { at }),
            Ok(_) if !old.pages.contains_key(folder) => {
                return Err(Obstacle::Blocked { at, what: Blocker::File });
            }
            _ => to_make.insert(folder.to_string()),
        };
    }
    let (root, written) = (&output.root, output.written);
    let stand = |page: &Planned| match old.pages.get(&page.path) {
        Some(entry) => standing(&root.join(&page.path), entry, written).map(Some),
        None => match fs::symlink_metadata(root.join(&page.path)) {
            Err(_) => Ok(Some(Standing::Missing)),
            Ok(meta) if meta.is_symlink() => Err(Obstacle::Link { at: root.join(&page.path) }),
            Ok(meta) if meta.is_dir() && only_ours(root, &page.path, &old)? => Ok(Some(Standing::Missing)),
            Ok(meta) if meta.is_dir() => {
                Err(Obstacle::Blocked { at: root.join(&page.path), what: Blocker::Folder })
            }
            Ok(_) if is_another_spelling(root, &page.path, &old) => Ok(Some(Standing::Missing)),
            Ok(_) => Ok(None),
        },
    };
    let found: Vec<Option<Standing>> = pages.par_iter().map(stand).collect::<Result<_, _>>()?;
    let foreign: Vec<String> = pages
        .iter()
        .zip(&found)
        .filter(|(_, found)| found.is_none())
        .map(|(page, _)| page.path.clone())
        .collect();
    if !foreign.is_empty() {
        return Err(Obstacle::Foreign { out: output.root.clone(), paths: foreign, late: false });
    }
    Ok(Seen { old, inputs, standings: found.into_iter().flatten().collect(), to_make })
}

/// Whether a folder holds nothing but pages and folders of ours, so that a page may take its place.
fn only_ours(root: &Path, folder: &str, old: &Manifest) -> Result<bool, Obstacle> {
    let at = root.join(folder);
    if !old.folders.contains(folder) {
        return Ok(false);
    }
    for item in fs::read_dir(&at).map_err(Obstacle::disk("list", &at))? {
        let item = item.map_err(Obstacle::disk("list", &at))?;
        let Ok(name) = item.file_name().into_string() else { return Ok(false) };
        let path = format!("{folder}/{name}");
        let kind = item.file_type().map_err(Obstacle::disk("look at", &item.path()))?;
        let ours = if kind.is_dir() { only_ours(root, &path, old)? } else { old.pages.contains_key(&path) };
        if !ours {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Whether a path leads to a page of ours that is spelled with other capitals, on a file system that does not
/// tell them apart.
fn is_another_spelling(root: &Path, path: &str, old: &Manifest) -> bool {
    let wanted = folded(path);
    let Ok(real) = fs::canonicalize(root.join(path)) else { return false };
    old.pages
        .keys()
        .filter(|other| folded(other) == wanted)
        .any(|other| fs::canonicalize(root.join(other)).is_ok_and(|other| other == real))
}

/// Renders every page that may have changed, and writes those that have to the stage folder.
fn render_all<E: Send, B: AsRef<[u8]>>(
    output: &Output,
    pages: &[Planned],
    seen: &Seen,
    render: impl Fn(usize) -> Result<B, E> + Sync,
) -> Result<Vec<Rendered>, PublishError<E>> {
    let disk_failed = AtomicBool::new(false);
    let one = |(index, (page, standing)): (usize, (&Planned, &Standing))| -> Result<Rendered, Failed<E>> {
        if disk_failed.load(Ordering::Relaxed) {
            return Err(Failed::Skipped);
        }
        let intact = matches!(standing, Standing::AsPublished { .. });
        let old = seen.old.pages.get(&page.path).filter(|_| intact);
        if let (Some(entry), Some(inputs)) = (old, page.inputs)
            && seen.inputs.get(&page.path) == Some(&inputs)
        {
            return Ok(Rendered { entry: *entry, staged: false, rendered: false });
        }
        let page = render(index).map_err(Failed::Page)?;
        let bytes = page.as_ref();
        let entry = Entry { digest: Digest::of(bytes), size: bytes.len() as u64 };
        if old == Some(&entry) {
            return Ok(Rendered { entry, staged: false, rendered: true });
        }
        let staged = output.staged(number(index));
        output.disk.write_new(&staged, bytes, None, Durable::No).map_err(|error| {
            disk_failed.store(true, Ordering::Relaxed);
            Failed::Disk(Obstacle::disk("write", &staged)(error))
        })?;
        Ok(Rendered { entry, staged: true, rendered: true })
    };
    let outcomes: Vec<Result<Rendered, Failed<E>>> =
        pages.par_iter().zip(&seen.standings).enumerate().with_max_len(AT_ONCE).map(one).collect();
    let mut rendered = Vec::with_capacity(pages.len());
    let mut failed = Vec::new();
    let mut refused = None;
    for (page, outcome) in pages.iter().zip(outcomes) {
        match outcome {
            Ok(one) => rendered.push(one),
            Err(Failed::Page(error)) => failed.push((page.path.clone(), error)),
            Err(Failed::Disk(obstacle)) => refused = refused.or(Some(obstacle)),
            Err(Failed::Skipped) => {}
        }
    }
    match refused {
        Some(obstacle) => Err(obstacle.into()),
        None if !failed.is_empty() => Err(PublishError::Pages(failed)),
        None => Ok(rendered),
    }
}

/// The number of a page's file in the stage folder. A plan of four thousand million pages does not fit a disk.
fn number(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX)
}

/// What is to be done with the rendered pages, and what a run that does it will report.
fn plan(
    output: &mut Output,
    pages: &[Planned],
    seen: &Seen,
    rendered: &[Rendered],
) -> Result<(Journal, Published), Obstacle> {
    let Seen { old, standings, to_make, .. } = seen;
    let written = output.written;
    let mut journal = Journal::default();
    let mut published = Published::default();
    for (index, (page, (one, standing))) in pages.iter().zip(rendered.iter().zip(standings)).enumerate() {
        journal.new.pages.insert(page.path.clone(), one.entry);
        published.bytes += one.entry.size;
        published.rendered += usize::from(one.rendered);
        if *standing == Standing::Edited {
            published.edited.push(page.path.clone());
        }
        if one.staged {
            journal.staged.insert(page.path.clone(), number(index));
            published.written += 1;
            published.bytes_written += one.entry.size;
        } else {
            published.unchanged += 1;
        }
    }
    journal.stale = old.pages.keys().filter(|path| !journal.new.pages.contains_key(*path)).cloned().collect();
    for path in &journal.stale {
        output.check_way(path)?;
        if let Some(entry) = old.pages.get(path)
            && matches!(standing(&output.root.join(path), entry, written), Ok(Standing::Edited))
        {
            published.edited.push(path.clone());
        }
    }
    published.edited.sort();
    journal.new.folders = old.folders.union(to_make).cloned().collect();
    Ok((journal, published))
}

/// Moves the rendered pages into place and removes those that are no more.
fn put_in_place(
    output: &mut Output,
    target: &Target,
    (pages, memory): (&[Planned], Option<Vec<u8>>),
    seen: &Seen,
    rendered: &[Rendered],
) -> Result<Published, Obstacle> {
    let (journal, mut published) = plan(output, pages, seen, rendered)?;
    let read_some = seen.standings.contains(&Standing::AsPublished { read: true });
    let nothing_to_do = journal.staged.is_empty() && journal.stale.is_empty() && journal.new == seen.old;
    let digest = if nothing_to_do && !read_some && output.written.is_some() {
        output.clear_left_over()?;
        Digest::of(&seen.old.to_bytes())
    } else {
        // With nothing to do but pages that had to be read, the manifest is written again for its date: the
        // next run need not read them.
        if !nothing_to_do {
            write_whole(output.disk, &output.own, JOURNAL, &journal.to_bytes(), Durable::Yes)?;
        }
        let finished = output.finish(&seen.old, &journal)?;
        published.removed = finished.removed;
        published.kept = finished.kept;
        if !finished.blocked.is_empty() {
            let out = output.root.clone();
            return Err(Obstacle::Foreign { out, paths: finished.blocked, late: true });
        }
        finished.digest
    };
    // Where the disk does not tell what the seal needs, every run reads and renders all.
    if let Some(seal) = Seal::of(&output.own.join(MANIFEST)) {
        let run = target.run.map(|(run, summary)| (run, summary.to_owned()));
        let pages = pages.iter().filter_map(|page| Some((page.path.clone(), page.inputs?))).collect();
        let kept = target.kept.cloned().unwrap_or_default();
        if let Some(memory) = memory {
            let memory = memory::sealed(&seal, memory);
            write_whole(output.disk, &output.own, MEMORY, &memory, Durable::No).map_err(Obstacle::begun)?;
        }
        let inputs = Inputs { manifest: digest, seal, run, pages, kept };
        write_whole(output.disk, &output.own, INPUTS, &inputs.to_bytes(), Durable::No)
            .map_err(Obstacle::begun)?;
    }
    Ok(published)
}

#[cfg(test)]
mod tests;
