//! What benchleaf keeps in an output folder beside the pages, in `.benchleaf/`:
//!
//! - `manifest.json`: the files and folders that are ours. Nothing else in the output folder is ever
//!   written, replaced or removed. It may be checked in with the pages; the same pages give the same bytes:
//!   ```json
//!   {
//!   "benchleaf": 1,
//!   "folders": ["forks"],
//!   "pages": {
//!   "forks/tarn-41.html": {"digest": "<BLAKE3 of the file, 64 hex digits>", "size": 20482},
//!   "index.html": {"digest": "…", "size": 1733}
//!   }
//!   }
//!   ```
//! - `journal.json`: only there while pages are put in place, or after a run was killed doing so. It names
//!   what the site will be, which rendered files wait in `stage/`, and which pages are to go.
//! - `inputs.json`: what each page was made from, so that an unchanged one need not be rendered again. It
//!   only saves time and may be deleted. It holds the [`Seal`] of the manifest beside it: without the right seal
//!   nothing it says is believed.
//! - `memory`: what a run worked out of the sources, see [`super::memory`].
//! - `lock`: held while a run publishes. `stage/`: rendered files on their way. `kept/`: files with other bytes than
//!   we published that stood where a page had to go or to be removed.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::Path;

use serde::{Deserialize, Serialize};
use serde_json::ser::{Formatter, Serializer};

use super::digest::Digest;
use super::obstacle::Obstacle;
use super::own::{INPUTS, JOURNAL, MANIFEST, Seal, read_own};
use super::places::{OWN_FOLDER, check_path};

/// The version of the files described above.
const FORMAT: u32 = 1;

/// One published file: what its bytes are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// BLAKE3 of the file.
    pub digest: Digest,
    /// Its size in bytes.
    pub size: u64,
}

/// The files and folders within an output folder that are ours.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Manifest {
    /// Published files by path within the output folder, with forward slashes.
    pub pages: BTreeMap<String, Entry>,
    /// Folders that we made; one that is left empty is removed.
    pub folders: BTreeSet<String>,
}

/// A change of the site that is under way: what it will be and what is left to do.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Journal {
    /// The site as it will be. Folders: those we made before and those to be made.
    pub(crate) new: Manifest,
    /// The rendered files in the stage folder, by the path each will have.
    pub(crate) staged: BTreeMap<String, u32>,
    /// Pages of ours that are to be removed.
    pub(crate) stale: BTreeSet<String>,
}

/// What pages were made from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Inputs {
    /// The manifest this belongs to, by the digest of its bytes.
    pub(crate) manifest: Digest,
    /// The manifest's file as the disk knows it.
    pub(crate) seal: Seal,
    /// What the whole run was made from, and what it had to tell.
    pub(crate) run: Option<(Digest, String)>,
    /// What each page was made from.
    pub(crate) pages: BTreeMap<String, Digest>,
    /// What else was worked out.
    pub(crate) kept: Kept,
}

/// Texts that a run worked out and the next one may need again, by name, each with all that they rest on.
pub type Kept = BTreeMap<String, (Digest, Vec<String>)>;

/// `manifest.json` as it is written.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ManifestForm<'a> {
    benchleaf: u32,
    folders: Cow<'a, BTreeSet<String>>,
    pages: Cow<'a, BTreeMap<String, Entry>>,
}

/// `journal.json` as it is written.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct JournalForm<'a> {
    benchleaf: u32,
    folders: Cow<'a, BTreeSet<String>>,
    pages: Cow<'a, BTreeMap<String, Entry>>,
    staged: Cow<'a, BTreeMap<String, u32>>,
    stale: Cow<'a, BTreeSet<String>>,
}

/// `inputs.json` as it is written.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct InputsForm<'a> {
    benchleaf: u32,
    manifest: Digest,
    seal: Cow<'a, Seal>,
    run: Cow<'a, Option<(Digest, String)>>,
    pages: Cow<'a, BTreeMap<String, Digest>>,
    kept: Cow<'a, Kept>,
}

/// What `inputs.json` says of the whole run; the pages are passed over.
#[derive(Deserialize)]
struct InputsHead {
    benchleaf: u32,
    manifest: Digest,
    seal: Seal,
    run: Option<(Digest, String)>,
}

impl Manifest {
    /// Reads the manifest of an output folder. An absent one means that nothing there is ours.
    ///
    /// # Errors
    /// The file cannot be read, is not what this version writes, or names a path outside the folder.
    pub fn read(out: &Path) -> Result<Manifest, Obstacle> {
        Ok(Manifest::read_with_digest(&out.join(OWN_FOLDER))?
            .map(|(manifest, _)| manifest)
            .unwrap_or_default())
    }

    /// The manifest in our own folder, with the digest of its bytes; `None` if there is none.
    pub(crate) fn read_with_digest(own: &Path) -> Result<Option<(Manifest, Digest)>, Obstacle> {
        let path = own.join(MANIFEST);
        let Some(bytes) = read_own(&path)? else { return Ok(None) };
        let form: ManifestForm = understand(&path, &bytes)?;
        check_names(&path, form.benchleaf, form.pages.keys().chain(form.folders.iter()))?;
        let manifest = Manifest { pages: form.pages.into_owned(), folders: form.folders.into_owned() };
        Ok(Some((manifest, Digest::of(&bytes))))
    }

    /// The digest of the manifest in our own folder; `None` if there is none that can be read.
    pub(crate) fn digest(own: &Path) -> Option<Digest> {
        Some(Digest::of(&read_own(&own.join(MANIFEST)).ok()??))
    }

    /// The bytes of `manifest.json`, one line for each page so that a review shows which changed.
    pub(crate) fn to_bytes(&self) -> Vec<u8> {
        lines(&ManifestForm {
            benchleaf: FORMAT,
            folders: Cow::Borrowed(&self.folders),
            pages: Cow::Borrowed(&self.pages),
        })
    }
}

impl Journal {
    /// The journal that a killed run left in our own folder.
    pub(crate) fn read(own: &Path) -> Result<Option<Journal>, Obstacle> {
        let path = own.join(JOURNAL);
        let Some(bytes) = read_own(&path)? else { return Ok(None) };
        let form: JournalForm = understand(&path, &bytes)?;
        let names = form.pages.keys().chain(form.folders.iter()).chain(form.staged.keys());
        check_names(&path, form.benchleaf, names.chain(form.stale.iter()))?;
        let new = Manifest { pages: form.pages.into_owned(), folders: form.folders.into_owned() };
        Ok(Some(Journal { new, staged: form.staged.into_owned(), stale: form.stale.into_owned() }))
    }

    /// The bytes of `journal.json`.
    pub(crate) fn to_bytes(&self) -> Vec<u8> {
        lines(&JournalForm {
            benchleaf: FORMAT,
            folders: Cow::Borrowed(&self.new.folders),
            pages: Cow::Borrowed(&self.new.pages),
            staged: Cow::Borrowed(&self.staged),
            stale: Cow::Borrowed(&self.stale),
        })
    }
}

impl Inputs {
    /// What the pages of a manifest were made from, if that was written down here and still belongs to it. A file
    /// that cannot be used is as good as none: every page is read and rendered.
    pub(crate) fn read(own: &Path, manifest: Digest) -> Option<Inputs> {
        let bytes = read_own(&own.join(INPUTS)).ok()??;
        let form: InputsForm = serde_json::from_slice(&bytes).ok()?;
        let belongs = form.benchleaf == FORMAT
            && form.manifest == manifest
            && Seal::of(&own.join(MANIFEST)).is_some_and(|seal| seal == *form.seal);
        belongs.then(|| Inputs {
            manifest,
            seal: form.seal.into_owned(),
            run: form.run.into_owned(),
            pages: form.pages.into_owned(),
            kept: form.kept.into_owned(),
        })
    }

    /// What the last run had to tell, if it was made from just this.
    pub(crate) fn said(own: &Path, run: Digest) -> Option<String> {
        let bytes = read_own(&own.join(INPUTS)).ok()??;
        let head: InputsHead = serde_json::from_slice(&bytes).ok()?;
        let (last, said) = head.run?;
        let belongs = head.benchleaf == FORMAT
            && last == run
            && Manifest::digest(own) == Some(head.manifest)
            && Seal::of(&own.join(MANIFEST)).is_some_and(|seal| seal == head.seal);
        belongs.then_some(said)
    }

    /// The bytes of `inputs.json`.
    pub(crate) fn to_bytes(&self) -> Vec<u8> {
        lines(&InputsForm {
            benchleaf: FORMAT,
            manifest: self.manifest,
            seal: Cow::Borrowed(&self.seal),
            run: Cow::Borrowed(&self.run),
            pages: Cow::Borrowed(&self.pages),
            kept: Cow::Borrowed(&self.kept),
        })
    }
}

/// JSON with a line for each key of the outer two objects.
struct Lines {
    depth: usize,
}

impl Formatter for Lines {
    fn begin_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.depth += 1;
        writer.write_all(b"{")
    }

    fn end_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        let end: &[u8] = if self.depth <= 2 { b"\n}" } else { b"}" };
        self.depth -= 1;
        writer.write_all(end)
    }

    fn begin_object_key<W: ?Sized + io::Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        let between: &[u8] = match (first, self.depth <= 2) {
            (true, true) => b"\n",
            (false, true) => b",\n",
            (true, false) => b"",
            (false, false) => b", ",
        };
        writer.write_all(between)
    }

    fn begin_object_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        writer.write_all(b": ")
    }

    fn begin_array_value<W: ?Sized + io::Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        writer.write_all(if first { b"" } else { b", " })
    }
}

fn lines(form: &impl Serialize) -> Vec<u8> {
    let mut bytes = Vec::new();
    let written = form.serialize(&mut Serializer::with_formatter(&mut bytes, Lines { depth: 0 }));
    // Texts and numbers go into memory: there is nothing that could fail. If it did, the file would be refused.
    if written.is_err() {
        bytes.clear();
    }
    bytes.push(b'\n');
    bytes
}

fn understand<'a, T: Deserialize<'a>>(path: &Path, bytes: &'a [u8]) -> Result<T, Obstacle> {
    serde_json::from_slice(bytes)
        .map_err(|error| Obstacle::Damaged { at: path.to_path_buf(), why: error.to_string() })
}

/// A manifest may come from a repository that strangers write to, and its names get files removed: each must
/// be one that we could have published.
fn check_names<'a>(
    file: &Path,
    format: u32,
    mut names: impl Iterator<Item = &'a String>,
) -> Result<(), Obstacle> {
    let damaged = |why| Err(Obstacle::Damaged { at: file.to_path_buf(), why });
    if format != FORMAT {
        return damaged(format!("it has format {format}, and this version writes format {FORMAT}"));
    }
    match names.find_map(|name| check_path(name).err().map(|why| (name, why))) {
        Some((name, why)) => damaged(format!("its path \"{name}\" {why}")),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::disk::{Durable, RealDisk};
    use crate::output::own::write_whole;
    use std::fs;

    fn sample() -> Manifest {
        let page = |text: &str| Entry { digest: Digest::of(text.as_bytes()), size: text.len() as u64 };
        Manifest {
            pages: [("a/one page.html".to_string(), page("one")), ("b.html".to_string(), page(""))].into(),
            folders: ["a".to_string()].into(),
        }
    }

    #[test]
    fn what_is_written_is_read_back() {
        let own = tempfile::tempdir().unwrap();
        let manifest = sample();
        write_whole(&RealDisk, own.path(), MANIFEST, &manifest.to_bytes(), Durable::Yes).unwrap();
        let (read, digest) = Manifest::read_with_digest(own.path()).unwrap().unwrap();
        assert_eq!(read, manifest);

        let journal = Journal {
            new: manifest,
            staged: [("b.html".to_string(), 7)].into(),
            stale: ["c.html".to_string(), "d.html".to_string()].into(),
        };
        write_whole(&RealDisk, own.path(), JOURNAL, &journal.to_bytes(), Durable::Yes).unwrap();
        assert_eq!(Journal::read(own.path()).unwrap(), Some(journal));

        let seal = Seal::of(&own.path().join(MANIFEST)).unwrap();
        let pages = [("b.html".to_string(), digest)].into();
        let kept = [("a-fork".to_string(), (digest, vec!["QGRY-YKMR".to_string()]))].into();
        let mut inputs = Inputs { manifest: digest, seal: seal.clone(), run: None, pages, kept };
        write_whole(&RealDisk, own.path(), INPUTS, &inputs.to_bytes(), Durable::No).unwrap();
        assert_eq!(Inputs::read(own.path(), digest), Some(inputs.clone()));
        inputs.run = Some((Digest::of(b"run"), "1 warning, \"so\"".to_owned()));
        write_whole(&RealDisk, own.path(), INPUTS, &inputs.to_bytes(), Durable::No).unwrap();
        assert_eq!(Inputs::read(own.path(), digest), Some(inputs));
        assert_eq!(Inputs::read(own.path(), Digest::of(b"another manifest")), None);

        // The same bytes in another file: nobody here wrote what stands in the inputs about it.
        write_whole(&RealDisk, own.path(), MANIFEST, &sample().to_bytes(), Durable::Yes).unwrap();
        assert_ne!(Seal::of(&own.path().join(MANIFEST)), Some(seal));
        assert_eq!(Inputs::read(own.path(), digest), None);
    }

    #[test]
    fn a_manifest_has_a_line_for_each_page() {
        let text = String::from_utf8(sample().to_bytes()).unwrap();
        let (one, none) = (Digest::of(b"one"), Digest::of(b""));
        let expected = format!(
            "{{\n\"benchleaf\": 1,\n\"folders\": [\"a\"],\n\"pages\": {{\n\
             \"a/one page.html\": {{\"digest\": \"{one}\", \"size\": 3}},\n\
             \"b.html\": {{\"digest\": \"{none}\", \"size\": 0}}\n}}\n}}\n"
        );
        assert_eq!(text, expected);
    }

    #[test]
    fn an_empty_folder_has_no_manifest_and_a_damaged_one_is_refused() {
        let own = tempfile::tempdir().unwrap();
        assert_eq!(Manifest::read_with_digest(own.path()).unwrap(), None);
        let good = String::from_utf8(sample().to_bytes()).unwrap();
        for (bad, why) in [
            (good[..good.len() / 2].to_string(), "EOF"),
            (good.replace("\"b.html\"", "\"../b.html\""), "leaves the folder"),
            (good.replace("\"b.html\"", "\".git/config\""), "is kept for"),
            (good.replace("\"benchleaf\": 1", "\"benchleaf\": 2"), "format 2"),
            (good.replace("\"digest\": \"", "\"digest\": \"zz"), "64 hexadecimal digits"),
            (String::new(), "EOF"),
        ] {
            fs::write(own.path().join(MANIFEST), &bad).unwrap();
            let obstacle = Manifest::read_with_digest(own.path()).unwrap_err();
            assert!(matches!(obstacle, Obstacle::Damaged { .. }), "{obstacle}");
            assert!(obstacle.to_string().contains(why), "{obstacle} should say {why}");
        }
    }
}
