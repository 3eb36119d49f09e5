//! A shop in a folder that is read again and again: a file that has not changed is not read twice.

use std::collections::HashMap;
use std::fs;
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

use super::files::{ReadProblem, Source};
use super::folder::Folder;

/// A shop in a folder, with the files that were read at the last look.
#[derive(Debug)]
pub struct Remembered {
    folder: Folder,
    before: HashMap<String, Read>,
    now: Mutex<HashMap<String, Read>>,
}

/// A file as it was read.
#[derive(Debug, Clone)]
struct Read {
    stamp: Stamp,
    bytes: Vec<u8>,
}

impl Remembered {
    /// A shop of which nothing was read yet.
    pub fn new(root: PathBuf) -> Remembered {
        Remembered { folder: Folder { root }, before: HashMap::new(), now: Mutex::default() }
    }

    /// The shop's folder.
    pub fn root(&self) -> &PathBuf {
        &self.folder.root
    }

    /// Ends a look: files that nobody asked for in it are forgotten.
    pub fn turn(&mut self) {
        self.before = std::mem::take(self.now.get_mut().unwrap_or_else(PoisonError::into_inner));
    }

    fn keep(&self, path: &str, read: Read) {
        // Entries are only ever added, so that a thread that panicked left them whole.
        self.now.lock().unwrap_or_else(PoisonError::into_inner).insert(path.to_owned(), read);
    }
}

impl Source for Remembered {
    fn list(&self) -> (Vec<String>, Vec<ReadProblem>) {
        self.folder.list()
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, ReadProblem> {
        let stamp = stamp(&self.folder.root.join(path));
        let known = self.before.get(path).filter(|known| Some(known.stamp) == stamp);
        if let Some(known) = known {
            self.keep(path, known.clone());
            return Ok(known.bytes.clone());
        }
        let bytes = self.folder.read(path)?;
        if let Some(stamp) = stamp.filter(Stamp::is_settled) {
            self.keep(path, Read { stamp, bytes: bytes.clone() });
        }
        Ok(bytes)
    }
}

/// By what the system tells a file that has not changed: its place on the disk, its size, and when its contents or what
/// is said of it changed last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Stamp {
    place: [u64; 2],
    size: u64,
    /// Seconds and nanoseconds.
    changed: [i64; 2],
}

/// How long a file must have been left alone before it is remembered, in seconds: what changes twice in a moment can have
/// one time.
const SETTLED: u64 = 3;

impl Stamp {
    /// Whether its last change lies far enough back.
    fn is_settled(&self) -> bool {
        let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
        let settled = u64::try_from(self.changed[0]).ok().and_then(|at| at.checked_add(SETTLED));
        now.ok().zip(settled).is_some_and(|(now, settled)| now.as_secs() > settled)
    }
}

/// The stamp of an ordinary file; none of a link, and where the system does not say when a file changed.
#[cfg(unix)]
fn stamp(path: &std::path::Path) -> Option<Stamp> {
    use std::os::unix::fs::MetadataExt;
    let meta = fs::symlink_metadata(path).ok().filter(fs::Metadata::is_file)?;
    Some(Stamp {
        place: [meta.dev(), meta.ino()],
        size: meta.size(),
        changed: [meta.ctime(), meta.ctime_nsec()],
    })
}

/// The stamp of an ordinary file; none of a link, and where the system does not say when a file changed.
#[cfg(not(unix))]
fn stamp(_: &std::path::Path) -> Option<Stamp> {
    None
}

#[cfg(all(test, unix))]
mod tests {
    use std::fs::{FileTimes, OpenOptions};
    use std::time::{Duration, SystemTime};

    use super::*;

    fn shop() -> (tempfile::TempDir, Remembered) {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir_all(folder.path().join("specs")).unwrap();
        let shop = Remembered::new(folder.path().to_path_buf());
        (folder, shop)
    }

    fn look(shop: &mut Remembered) -> Result<Vec<u8>, ReadProblem> {
        let read = shop.read("specs/shop.yaml");
        shop.turn();
        read
    }

    /// Puts a file among those of the last look, as if it had been read long ago with these bytes.
    fn as_if_read(shop: &mut Remembered, bytes: &[u8]) {
        let stamp = stamp(&shop.root().join("specs/shop.yaml")).unwrap();
        shop.keep("specs/shop.yaml", Read { stamp, bytes: bytes.to_vec() });
        shop.turn();
    }

    #[test]
    fn what_was_changed_a_moment_ago_is_read_again() {
        let (folder, mut shop) = shop();
        let file = folder.path().join("specs/shop.yaml");
        for text in ["one", "two", "six"] {
            fs::write(&file, text).unwrap();
            assert_eq!(look(&mut shop).unwrap(), text.as_bytes());
            assert!(shop.before.is_empty(), "it may change again under the same stamp");
        }
    }

    #[test]
    fn what_has_not_changed_is_not_read_twice_and_what_has_is() {
        let (folder, mut shop) = shop();
        let file = folder.path().join("specs/shop.yaml");
        fs::write(&file, "one").unwrap();
        as_if_read(&mut shop, b"as it was");
        assert_eq!(look(&mut shop).unwrap(), b"as it was");
        assert_eq!(look(&mut shop).unwrap(), b"as it was");
        // The same length, and the time of the last writing put back, as some programs do.
        let written = fs::metadata(&file).unwrap().modified().unwrap();
        std::thread::sleep(Duration::from_millis(20));
        fs::write(&file, "two").unwrap();
        let open = OpenOptions::new().write(true).open(&file).unwrap();
        open.set_times(FileTimes::new().set_modified(written)).unwrap();
        assert_eq!(look(&mut shop).unwrap(), b"two");
        // Another file in its place, which is older.
        as_if_read(&mut shop, b"as it was");
        let other = folder.path().join("specs/other.yaml");
        fs::write(&other, "six").unwrap();
        fs::rename(&other, &file).unwrap();
        assert_eq!(look(&mut shop).unwrap(), b"six");
    }

    #[test]
    fn a_file_that_goes_is_forgotten_and_a_link_is_never_remembered() {
        let (folder, mut shop) = shop();
        let file = folder.path().join("specs/shop.yaml");
        fs::write(&file, "one").unwrap();
        as_if_read(&mut shop, b"as it was");
        fs::remove_file(&file).unwrap();
        assert!(look(&mut shop).is_err());
        fs::write(folder.path().join("specs/true.yaml"), "true").unwrap();
        std::os::unix::fs::symlink("true.yaml", &file).unwrap();
        assert_eq!(look(&mut shop).unwrap(), b"true");
        assert_eq!(stamp(&file), None);
    }

    #[test]
    fn a_stamp_is_settled_only_when_its_change_lies_back() {
        let at = |back: u64| {
            let then = SystemTime::now() - Duration::from_secs(back);
            let since = then.duration_since(SystemTime::UNIX_EPOCH).unwrap();
            Stamp { place: [1, 2], size: 3, changed: [i64::try_from(since.as_secs()).unwrap(), 0] }
        };
        assert!(!at(0).is_settled() && !at(2).is_settled());
        assert!(at(60).is_settled());
        let ahead = Stamp { changed: [i64::MAX, 0], ..at(0) };
        assert!(!ahead.is_settled(), "a clock that runs ahead");
    }
}
