//! Which paths pages may have, and which folders a site may be published into.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Component, Path, PathBuf};

use super::obstacle::Obstacle;
use crate::text::names::name_problem;

/// The folder of our own within an output folder.
pub const OWN_FOLDER: &str = ".benchleaf";
/// The folders of a shop that hold its sources.
const SOURCE_FOLDERS: [&str; 3] = ["specs", "procedures", "templates"];
/// Whether a page may have this path: relative, with forward slashes, and a good name on every file system.
///
/// # Errors
/// What is wrong with it, to follow the path in a sentence.
pub fn check_path(path: &str) -> Result<(), &'static str> {
    if path.is_empty() {
        return Err("is empty");
    }
    if path.starts_with('/') {
        return Err("is not relative to the output folder");
    }
    for (depth, name) in path.split('/').enumerate() {
        if let Some(problem) = name_problem(name) {
            return Err(problem);
        }
        let lower = name.to_ascii_lowercase();
        if depth == 0 && (lower == OWN_FOLDER || lower == ".git") {
            return Err("is kept for other use");
        }
    }
    Ok(())
}

/// A path as a file system sees it that does not tell capitals from small letters. Checked paths are ASCII.
pub(crate) fn folded(path: &str) -> String {
    path.to_ascii_lowercase()
}

/// The folders a path lies in, the outermost first: `a/b/c` gives `a`, `a/b`.
pub(crate) fn folders_of(path: &str) -> impl Iterator<Item = &str> {
    path.match_indices('/').map(|(at, _)| &path[..at])
}

/// Whether all paths can be published together: each is good, and no two are the same file or folder where
/// capitals do not count.
///
/// # Errors
/// The first path that is wrong, or the first two that clash.
pub fn check_paths<'a>(paths: impl IntoIterator<Item = &'a str>) -> Result<(), Obstacle> {
    let mut files: BTreeMap<String, &str> = BTreeMap::new();
    let mut folders: BTreeMap<String, &str> = BTreeMap::new();
    for path in paths {
        check_path(path).map_err(|why| Obstacle::Path { path: path.to_string(), why })?;
        if let Some(other) = files.insert(folded(path), path) {
            return Err(Obstacle::Clash { one: other.to_string(), other: path.to_string() });
        }
        for folder in folders_of(path) {
            let seen = folders.entry(folded(folder)).or_insert(folder);
            if *seen != folder {
                return Err(Obstacle::Clash { one: (*seen).to_string(), other: folder.to_string() });
            }
        }
    }
    match files.iter().find_map(|(path, file)| folders.get(path).map(|folder| (file, folder))) {
        Some((file, folder)) => {
            Err(Obstacle::Clash { one: (*file).to_string(), other: format!("{folder}/") })
        }
        None => Ok(()),
    }
}

/// The output folder with every link on the way to it followed, whether it is there yet or not.
///
/// # Errors
/// The folder itself is a symbolic link; it is the shop's folder, holds the shop's sources or lies among
/// them; or the disk does not answer.
pub fn check_folder(out: &Path, shop: Option<&Path>) -> Result<PathBuf, Obstacle> {
    // A slash at the end would follow a link; going over the components drops it.
    let given: PathBuf = out.components().collect();
    if fs::symlink_metadata(&given).is_ok_and(|meta| meta.is_symlink()) {
        return Err(Obstacle::Link { at: given });
    }
    let real = real_path(&given).map_err(Obstacle::disk("find", &given))?;
    if in_git(&real) {
        return Err(Obstacle::InGit { out: real });
    }
    if let Some(shop) = shop {
        let shop = real_path(shop).map_err(Obstacle::disk("find", shop))?;
        if shop.starts_with(&real) {
            return Err(Obstacle::Sources { out: real, sources: shop });
        }
        for name in SOURCE_FOLDERS {
            let sources = real_path(&shop.join(name)).map_err(Obstacle::disk("find", &shop))?;
            if sources.starts_with(&real) || real.starts_with(&sources) {
                return Err(Obstacle::Sources { out: real, sources });
            }
        }
    }
    Ok(real)
}

/// Whether a real path leads into git's own files: a folder `.git`, or a repository without one.
pub(crate) fn in_git(real: &Path) -> bool {
    let named = |part: Component| part.as_os_str().to_string_lossy().eq_ignore_ascii_case(".git");
    let bare = |folder: &Path| {
        folder.join("HEAD").is_file() && folder.join("objects").is_dir() && folder.join("refs").is_dir()
    };
    real.components().any(named) || real.ancestors().any(bare)
}

/// A path with links followed as far as it exists, and the rest appended.
pub(crate) fn real_path(path: &Path) -> io::Result<PathBuf> {
    let absolute = std::path::absolute(path)?;
    let mut rest = Vec::new();
    let mut there = absolute.as_path();
    loop {
        match fs::canonicalize(there) {
            Ok(real) => return Ok(rest.iter().rev().fold(real, |path, name| path.join(name))),
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                match (there.components().next_back(), there.parent()) {
                    (Some(Component::Normal(name)), Some(parent)) => {
                        rest.push(name);
                        there = parent;
                    }
                    // `missing/..` could mean two places.
                    _ => return Err(error),
                }
            }
            Err(error) => return Err(error),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn good_paths_pass() {
        for path in
            ["index.html", "forks/tarn-41/card a4.html", "a/b/c.svg", "console.html", ".nojekyll", "com"]
        {
            assert_eq!(check_path(path), Ok(()), "{path}");
        }
    }

    #[test]
    fn bad_paths_are_refused() {
        for path in [
            "",
            "/etc/passwd",
            "../x",
            "a/../b",
            "a//b",
            "a/",
            "./a",
            "a\\b",
            "c:x",
            "a\nb",
            "mötör.html",
            "a.",
            "a ",
            " a",
            "con.html",
            "x/LPT1",
            "nul",
            ".benchleaf/x",
            ".BenchLeaf/x",
            ".git/config",
        ] {
            assert!(check_path(path).is_err(), "{path}");
        }
        assert!(check_path(&"x".repeat(201)).is_err());
    }

    #[test]
    fn paths_that_some_file_systems_mix_up_clash() {
        for paths in [
            ["a.html", "A.html"],
            ["a.html", "a.html"],
            ["forks/a.html", "Forks/b.html"],
            ["a", "a/b"],
            ["x/A/b", "x/a"],
        ] {
            assert!(matches!(check_paths(paths), Err(Obstacle::Clash { .. })), "{paths:?}");
        }
        assert!(check_paths(["a/b.html", "a/c.html", "ab/b.html"]).is_ok());
    }

    #[test]
    fn an_output_folder_among_the_sources_is_refused() {
        let dir = tempfile::tempdir().unwrap();
        let shop = dir.path().join("shop");
        fs::create_dir_all(shop.join("specs/forks")).unwrap();
        for out in ["shop", "", "shop/specs", "shop/specs/forks/site", "shop/procedures", "shop/site/.."] {
            let obstacle = check_folder(&dir.path().join(out), Some(&shop));
            assert!(obstacle.is_err(), "{out}");
        }
        for out in ["shop/site", "site", "shop/specs-site", "shop/site/deeper/"] {
            let real = check_folder(&dir.path().join(out), Some(&shop)).unwrap();
            assert!(real.ends_with(out.trim_end_matches('/')), "{real:?}");
        }
    }

    #[test]
    fn an_output_folder_among_gits_own_files_is_refused() {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir_all(dir.path().join("shop/.git")).unwrap();
        for part in ["objects", "refs"] {
            fs::create_dir_all(dir.path().join("bare").join(part)).unwrap();
        }
        assert!(check_folder(&dir.path().join("bare/site"), None).is_ok(), "no repository yet");
        fs::write(dir.path().join("bare/HEAD"), "ref: refs/heads/main\n").unwrap();
        for out in
            ["shop/.git", "shop/.git/hooks", "shop/.GIT/site", "bare", "bare/hooks", "shop/x/../.git/site"]
        {
            let refused = check_folder(&dir.path().join(out), None);
            assert!(refused.is_err(), "{out}");
        }
        for out in ["shop/.github", "shop/git", "shop/site.git.d"] {
            assert!(check_folder(&dir.path().join(out), None).is_ok(), "{out}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_link_is_refused_as_the_output_folder_and_followed_on_the_way() {
        use std::os::unix::fs::symlink;
        let dir = tempfile::tempdir().unwrap();
        let shop = dir.path().join("shop");
        fs::create_dir_all(shop.join("specs")).unwrap();
        symlink(&shop, dir.path().join("alias")).unwrap();
        for out in ["alias", "alias/"] {
            let obstacle = check_folder(&dir.path().join(out), Some(&shop)).unwrap_err();
            assert!(matches!(obstacle, Obstacle::Link { .. }), "{obstacle}");
        }
        let obstacle = check_folder(&dir.path().join("alias/specs"), Some(&shop)).unwrap_err();
        assert!(matches!(obstacle, Obstacle::Sources { .. }), "{obstacle}");
    }
}
