//! Single files on a disk that fails at every change in turn, and edited while they are written.

use super::*;
use crate::output::faulty::{Fault, FaultyDisk};

const FAULTS: [Fault; 3] = [Fault::Refused, Fault::Full, Fault::Killed];

/// Every file below a folder, by path, and every folder.
fn tree(root: &Path) -> Vec<(String, Option<String>)> {
    let items = walkdir::WalkDir::new(root).min_depth(1).sort_by_file_name();
    let one = |item: walkdir::DirEntry| {
        let path = item.path().strip_prefix(root).unwrap().to_str().unwrap().to_owned();
        (path, item.file_type().is_file().then(|| fs::read_to_string(item.path()).unwrap()))
    };
    items.into_iter().map(|item| one(item.unwrap())).collect()
}

/// The tree without what waits to be renamed: only the next run sees it.
fn seen(root: &Path) -> Vec<(String, Option<String>)> {
    tree(root).into_iter().filter(|(path, _)| !path.ends_with(".new")).collect()
}

fn new_shop(root: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    ["shop.yaml", "specs/forks/a.yaml", "specs/oils/b.yaml", "procedures/c.md"]
        .map(|path| (root.join(path), format!("{path}\n").into_bytes()))
        .into()
}

#[test]
fn a_new_shop_is_made_whole_or_not_at_all_and_a_killed_run_is_gone_on_with() {
    let dir = tempfile::tempdir().unwrap();
    let sound = FaultyDisk::sound();
    let root = dir.path().join("sound");
    make_files_on(&sound, &root, &new_shop(&root)).unwrap();
    let whole = tree(&root);
    assert!(sound.changes() > 15, "{} changes", sound.changes());
    for fault in FAULTS {
        for at in 0..sound.changes() {
            let root = dir.path().join(format!("{fault:?}-{at}"));
            fs::create_dir(&root).unwrap();
            fs::write(root.join("theirs"), "theirs").unwrap();
            let disk = FaultyDisk::new(fault, at);
            let done = make_files_on(&disk, &root, &new_shop(&root));
            let theirs = ("theirs".to_owned(), Some("theirs".to_owned()));
            let mut after = seen(&root);
            assert_eq!(after.pop(), Some(theirs.clone()), "{fault:?} at {at}");
            match (&done, fault) {
                // Only the names' lasting through a power cut could not be made sure of.
                (Ok(()), _) => assert_eq!(after, whole, "{fault:?} at {at}"),
                (Err(_), Fault::Killed) => {
                    assert!(after.iter().all(|item| whole.contains(item)), "{fault:?} at {at}: {after:?}");
                }
                // What could be taken back was taken back, waiting files too.
                (Err(_), _) => assert_eq!(tree(&root), std::slice::from_ref(&theirs), "{fault:?} at {at}"),
            }
            if done.is_err() && after != whole {
                make_files(&root, &new_shop(&root)).unwrap();
            }
            let mut after = tree(&root);
            assert_eq!(after.pop(), Some(theirs), "{fault:?} at {at}");
            assert_eq!(after, whole, "{fault:?} at {at}, and again");
        }
    }
}

#[test]
fn nothing_that_is_there_is_overwritten() {
    let dir = tempfile::tempdir().unwrap();
    let root = dir.path();
    make_files(root, &new_shop(root)).unwrap();
    let refused = make_files(root, &new_shop(root)).unwrap_err().to_string();
    assert!(refused.contains("shop.yaml` is there already"), "{refused}");
    fs::write(root.join("specs/oils/b.yaml"), "theirs").unwrap();
    fs::remove_file(root.join("shop.yaml")).unwrap();
    let refused = make_files(root, &new_shop(root)).unwrap_err().to_string();
    assert!(refused.contains("b.yaml` is there already"), "{refused}");
    assert!(!root.join("shop.yaml").exists());
}

#[test]
fn a_changed_file_is_the_old_or_the_new_one_whatever_fails() {
    let dir = tempfile::tempdir().unwrap();
    let (old, new) = ("id: a\n", "id: a\nreviewed: []\n");
    let file = |name: &str, text: Option<&str>| {
        let root = dir.path().join(name);
        fs::create_dir(&root).unwrap();
        if let Some(text) = text {
            fs::write(root.join("a.yaml"), text).unwrap();
        }
        root
    };
    let sound = FaultyDisk::sound();
    let root = file("sound", Some(old));
    hold(&root, "a.yaml").unwrap().put_on(&sound, Some(old), new).unwrap();
    assert!(sound.changes() >= 3);
    for before in [Some(old), None] {
        for fault in FAULTS {
            for at in 0..sound.changes() {
                let name = format!("{}-{fault:?}-{at}", before.is_some());
                let root = file(&name, before);
                let disk = FaultyDisk::new(fault, at);
                let done = hold(&root, "a.yaml").unwrap().put_on(&disk, before, new);
                let now = fs::read_to_string(root.join("a.yaml")).ok();
                let expected = if done.is_ok() { Some(new) } else { before };
                assert_eq!(now.as_deref(), expected, "{name}: {done:?}");
                if done.is_err() {
                    hold(&root, "a.yaml").unwrap().put(before, new).unwrap();
                }
                assert_eq!(tree(&root), [("a.yaml".to_owned(), Some(new.to_owned()))], "{name}, and again");
            }
        }
    }
}

/// A disk on which somebody saves the file while ours is written beside it.
#[derive(Debug)]
struct Edited {
    at: PathBuf,
    text: Option<&'static str>,
}

impl Disk for Edited {
    fn make_folder(&self, at: &Path) -> io::Result<()> {
        RealDisk.make_folder(at)
    }

    fn write_new(
        &self,
        at: &Path,
        bytes: &[u8],
        rights: Option<&Permissions>,
        durable: Durable,
    ) -> io::Result<()> {
        RealDisk.write_new(at, bytes, rights, durable)?;
        match self.text {
            Some(text) => fs::write(&self.at, text),
            None => fs::remove_file(&self.at),
        }
    }

    fn replace(&self, from: &Path, to: &Path) -> io::Result<()> {
        RealDisk.replace(from, to)
    }

    fn place(&self, from: &Path, to: &Path) -> io::Result<()> {
        RealDisk.place(from, to)
    }

    fn second_name(&self, from: &Path, to: &Path) -> io::Result<()> {
        RealDisk.second_name(from, to)
    }

    fn remove_file(&self, at: &Path) -> io::Result<()> {
        RealDisk.remove_file(at)
    }

    fn remove_folder(&self, at: &Path) -> io::Result<()> {
        RealDisk.remove_folder(at)
    }

    fn sync_folder(&self, at: &Path) -> io::Result<()> {
        RealDisk.sync_folder(at)
    }
}

#[test]
fn an_edit_that_is_saved_while_the_new_file_is_written_stays() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path().join("a.yaml");
    for (before, edit) in [(Some("old"), Some("edited")), (Some("old"), None), (None, Some("edited"))] {
        let _ = fs::remove_file(&at);
        if let Some(text) = before {
            fs::write(&at, text).unwrap();
        }
        let disk = Edited { at: at.clone(), text: edit };
        let held = hold(dir.path(), "a.yaml").unwrap();
        let refused = held.put_on(&disk, before, "ours").unwrap_err();
        assert!(matches!(refused, FileError::Changed(_)), "{refused}");
        assert_eq!(fs::read_to_string(&at).ok().as_deref(), edit);
        assert!(!dir.path().join(".a.yaml.new").exists());
    }
}

#[test]
fn files_that_are_written_anew_are_old_or_new_whatever_fails() {
    let dir = tempfile::tempdir().unwrap();
    let files = |root: &Path, text: &str| {
        ["one.json", "two.json"].map(|name| (root.join("schema").join(name), text.as_bytes().to_vec()))
    };
    let sound = FaultyDisk::sound();
    let root = dir.path().join("sound");
    fs::create_dir(&root).unwrap();
    write_files_on(&sound, &root, &files(&root, "new")).unwrap();
    for fault in FAULTS {
        for at in 0..sound.changes() {
            let root = dir.path().join(format!("{fault:?}-{at}"));
            fs::create_dir(&root).unwrap();
            write_files(&root, &files(&root, "old")).unwrap();
            let done = write_files_on(&FaultyDisk::new(fault, at), &root, &files(&root, "new"));
            for (path, text) in seen(&root) {
                let text = text.as_deref();
                let good = path == "schema" || text == Some("new") || (done.is_err() && text == Some("old"));
                assert!(good, "{path} is {text:?} after {fault:?} at {at}");
            }
            write_files(&root, &files(&root, "new")).unwrap();
            assert_eq!(tree(&root).len(), 3, "{fault:?} at {at} leaves something behind");
            assert!(
                seen(&root).iter().all(|(path, text)| path == "schema" || text.as_deref() == Some("new"))
            );
        }
    }
}

#[test]
fn nothing_is_written_among_gits_own_files() {
    let dir = tempfile::tempdir().unwrap();
    fs::create_dir(dir.path().join(".git")).unwrap();
    let git = dir.path().join(".git");
    for root in [&git, &git.join("hooks"), &dir.path().join("x/../.git")] {
        let file = [(root.join("pre-commit"), b"ours".to_vec())];
        assert!(write_files(root, &file).is_err() && make_files(root, &file).is_err(), "{root:?}");
    }
    assert_eq!(tree(&git), []);
}

/// A run that opened the old file just before another put a new one in its place holds nothing: both would write the
/// waiting file at once.
#[test]
#[cfg(unix)]
fn a_lock_on_a_file_that_was_replaced_is_no_lock_on_its_name() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("a.yaml");
    fs::write(&path, "old\n").unwrap();
    let file = ordinary::open(&path).unwrap();
    assert!(is_still(&file, &path));
    hold(dir.path(), "a.yaml").unwrap().put(Some("old\n"), "new\n").unwrap();
    assert!(!is_still(&file, &path));
    fs::remove_file(&path).unwrap();
    assert!(!is_still(&file, &path));
}

#[test]
fn two_do_not_hold_one_file() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("a.yaml"), "old\n").unwrap();
    for path in ["a.yaml", "not-there-yet.yaml"] {
        let held = hold(dir.path(), path).unwrap();
        assert!(matches!(hold(dir.path(), path), Err(FileError::Busy(_))), "{path}");
        drop(held);
        hold(dir.path(), path).unwrap();
    }
}
