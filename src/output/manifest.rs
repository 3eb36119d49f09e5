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
//!   only saves time and may be deleted.
//! - `lock`: held while a run publishes. `stage/`: rendered files on their way.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::digest::Digest;
use super::obstacle::Obstacle;
use super::places::{OWN_FOLDER, check_path};

/// The version of the files described above.
const FORMAT: u32 = 1;
pub(crate) const MANIFEST: &str = "manifest.json";
pub(crate) const JOURNAL: &str = "journal.json";
pub(crate) const INPUTS: &str = "inputs.json";
pub(crate) const LOCK: &str = "lock";
pub(crate) const STAGE: &str = "stage";

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
    /// What the whole run was made from, and what it had to tell.
    pub(crate) run: Option<(Digest, String)>,
    /// What each page was made from.
    pub(crate) pages: BTreeMap<String, Digest>,
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
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Form {
            benchleaf: u32,
            folders: BTreeSet<String>,
            pages: BTreeMap<String, Entry>,
        }
        let path = own.join(MANIFEST);
        let Some(bytes) = read_if_there(&path)? else { return Ok(None) };
        let form: Form = understand(&path, &bytes)?;
        check_names(&path, form.benchleaf, form.pages.keys().chain(&form.folders))?;
        Ok(Some((Manifest { pages: form.pages, folders: form.folders }, Digest::of(&bytes))))
    }

    /// The bytes of `manifest.json`, one line for each page so that a review shows which changed.
    pub(crate) fn to_bytes(&self) -> Vec<u8> {
        let mut text = String::with_capacity(160 * self.pages.len() + 100);
        text.push_str(&format!("{{\n\"benchleaf\": {FORMAT},\n"));
        self.write_parts(&mut text);
        text.push_str("\n}\n");
        text.into_bytes()
    }

    fn write_parts(&self, text: &mut String) {
        text.push_str("\"folders\": [");
        list(text, &self.folders, |text, folder| text.push_str(&quoted(folder)));
        text.push_str("],\n\"pages\": {\n");
        let mut first = true;
        for (path, Entry { digest, size }) in &self.pages {
            text.push_str(if first { "" } else { ",\n" });
            first = false;
            text.push_str(&format!("{}: {{\"digest\": \"{digest}\", \"size\": {size}}}", quoted(path)));
        }
        text.push_str("\n}");
    }
}

impl Journal {
    /// The journal that a killed run left in our own folder.
    pub(crate) fn read(own: &Path) -> Result<Option<Journal>, Obstacle> {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Form {
            benchleaf: u32,
            folders: BTreeSet<String>,
            pages: BTreeMap<String, Entry>,
            staged: BTreeMap<String, u32>,
            stale: BTreeSet<String>,
        }
        let path = own.join(JOURNAL);
        let Some(bytes) = read_if_there(&path)? else { return Ok(None) };
        let form: Form = understand(&path, &bytes)?;
        let names = form.pages.keys().chain(&form.folders).chain(form.staged.keys()).chain(&form.stale);
        check_names(&path, form.benchleaf, names)?;
        let new = Manifest { pages: form.pages, folders: form.folders };
        Ok(Some(Journal { new, staged: form.staged, stale: form.stale }))
    }

    /// The bytes of `journal.json`.
    pub(crate) fn to_bytes(&self) -> Vec<u8> {
        let mut text = format!("{{\n\"benchleaf\": {FORMAT},\n");
        self.new.write_parts(&mut text);
        text.push_str(",\n\"staged\": {");
        list(&mut text, &self.staged, |text, (path, number)| {
            text.push_str(&format!("{}: {number}", quoted(path)))
        });
        text.push_str("},\n\"stale\": [");
        list(&mut text, &self.stale, |text, path| text.push_str(&quoted(path)));
        text.push_str("]\n}\n");
        text.into_bytes()
    }
}

impl Inputs {
    /// What the pages of a manifest were made from, if that was written down and still belongs to it. A file
    /// that cannot be used is as good as none: every page is rendered.
    pub(crate) fn read(own: &Path, manifest: Digest) -> Option<Inputs> {
        #[derive(Deserialize)]
        struct Form {
            benchleaf: u32,
            manifest: Digest,
            run: Option<(Digest, String)>,
            pages: BTreeMap<String, Digest>,
        }
        let form: Form = serde_json::from_slice(&fs::read(own.join(INPUTS)).ok()?).ok()?;
        (form.benchleaf == FORMAT && form.manifest == manifest).then_some(Inputs {
            manifest,
            run: form.run,
            pages: form.pages,
        })
    }

    /// The bytes of `inputs.json`.
    pub(crate) fn to_bytes(&self) -> Vec<u8> {
        let run = serde_json::to_string(&self.run).unwrap_or_else(|_| "null".to_owned());
        let mut text = format!(
            "{{\n\"benchleaf\": {FORMAT},\n\"manifest\": \"{}\",\n\"run\": {run},\n\"pages\": {{\n",
            self.manifest
        );
        let mut first = true;
        for (path, digest) in &self.pages {
            text.push_str(if first { "" } else { ",\n" });
            first = false;
            text.push_str(&format!("{}: \"{digest}\"", quoted(path)));
        }
        text.push_str("\n}\n}\n");
        text.into_bytes()
    }
}

/// Whether a new file outlives a power cut from the moment it is in place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Durable {
    /// It is on the disk before it is renamed, and so is its name when this returns.
    Yes,
    /// The system writes it when it likes; a reader still sees the whole old or the whole new file.
    No,
}

/// Writes a file of our own folder so that it is the old or the new one, whole, whenever we are killed.
pub(crate) fn write_whole(own: &Path, name: &str, bytes: &[u8], durable: Durable) -> Result<(), Obstacle> {
    let waiting = own.join(format!("{name}.new"));
    let place = own.join(name);
    let write = || -> io::Result<()> {
        let mut file = File::create(&waiting)?;
        file.write_all(bytes)?;
        if durable == Durable::Yes {
            file.sync_all()?;
        }
        Ok(())
    };
    write().map_err(Obstacle::disk("write", &waiting))?;
    fs::rename(&waiting, &place).map_err(Obstacle::disk("put in place", &place))?;
    if durable == Durable::Yes {
        sync_folder(own).map_err(Obstacle::disk("write", own))?;
    }
    Ok(())
}

/// Makes the names in a folder durable. Elsewhere than on Unix a folder cannot be opened for that.
pub(crate) fn sync_folder(folder: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

fn read_if_there(path: &Path) -> Result<Option<Vec<u8>>, Obstacle> {
    match fs::read(path) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(Obstacle::disk("read", path)(error)),
    }
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

fn list<T>(text: &mut String, items: impl IntoIterator<Item = T>, mut write: impl FnMut(&mut String, T)) {
    for (n, item) in items.into_iter().enumerate() {
        text.push_str(if n == 0 { "" } else { ", " });
        write(text, item);
    }
}

/// A checked path as a JSON string: it holds neither quotes, backslashes nor control characters.
fn quoted(path: &str) -> String {
    format!("\"{path}\"")
}

#[cfg(test)]
mod tests {
    use super::*;

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
        write_whole(own.path(), MANIFEST, &manifest.to_bytes(), Durable::Yes).unwrap();
        let (read, digest) = Manifest::read_with_digest(own.path()).unwrap().unwrap();
        assert_eq!(read, manifest);

        let journal = Journal {
            new: manifest,
            staged: [("b.html".to_string(), 7)].into(),
            stale: ["c.html".to_string(), "d.html".to_string()].into(),
        };
        write_whole(own.path(), JOURNAL, &journal.to_bytes(), Durable::Yes).unwrap();
        assert_eq!(Journal::read(own.path()).unwrap(), Some(journal));

        let mut inputs =
            Inputs { manifest: digest, run: None, pages: [("b.html".to_string(), digest)].into() };
        write_whole(own.path(), INPUTS, &inputs.to_bytes(), Durable::No).unwrap();
        assert_eq!(Inputs::read(own.path(), digest), Some(inputs.clone()));
        inputs.run = Some((Digest::of(b"run"), "1 warning, \"so\"".to_owned()));
        write_whole(own.path(), INPUTS, &inputs.to_bytes(), Durable::No).unwrap();
        assert_eq!(Inputs::read(own.path(), digest), Some(inputs));
        assert_eq!(Inputs::read(own.path(), Digest::of(b"another manifest")), None);
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
