//! Hears of changes in a shop's folder.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::mpsc::Sender;
use std::time::SystemTime;

use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};

/// The folders whose contents are sources; what else is in the shop's folder, such as a built site, is not watched.
const FOLDERS: [&str; 3] = ["specs", "procedures", "templates"];

/// A watch over a shop's folder.
pub(super) struct Watching {
    shop: PathBuf,
    watcher: Option<RecommendedWatcher>,
    /// The folders that are watched, each as it was when the watch began: one of the same name that was made anew is
    /// another.
    watched: BTreeMap<PathBuf, Option<SystemTime>>,
    trouble: Option<String>,
}

impl Watching {
    /// Begins to watch; each change is told. That a file was read is none: it is read here as well.
    pub(super) fn begin(shop: &Path, changed: Sender<()>) -> Watching {
        let tell = move |event: notify::Result<Event>| {
            if !event.is_ok_and(|event| matches!(event.kind, EventKind::Access(_))) {
                // Whoever listens has gone when the program ends.
                let _ = changed.send(());
            }
        };
        let (watcher, trouble) = match notify::recommended_watcher(tell) {
            Ok(watcher) => (Some(watcher), None),
            Err(error) => (None, Some(error.to_string())),
        };
        let mut watching = Watching { shop: shop.to_path_buf(), watcher, watched: BTreeMap::new(), trouble };
        watching.look();
        watching
    }

    /// Why the system does not tell of changes.
    pub(super) fn trouble(&self) -> Option<String> {
        self.trouble.clone()
    }

    /// Looks after folders that came or went; says whether the shop is to be read again. Where the system does not
    /// tell of changes, it always is.
    pub(super) fn look(&mut self) -> bool {
        let mut changed = self.trouble.is_some();
        for folder in FOLDERS.map(|name| self.shop.join(name)) {
            let born = std::fs::metadata(&folder).ok().map(|meta| meta.created().ok());
            if self.watched.get(&folder) == born.as_ref() {
                continue;
            }
            changed = true;
            let Some(watcher) = &mut self.watcher else { continue };
            if self.watched.remove(&folder).is_some() {
                // It may have ended with the folder.
                let _ = watcher.unwatch(&folder);
            }
            let Some(born) = born else { continue };
            match watcher.watch(&folder, RecursiveMode::Recursive) {
                Ok(()) => drop(self.watched.insert(folder, born)),
                Err(error) => self.trouble = Some(error.to_string()),
            }
        }
        changed
    }
}
