//! Opens a file so that nothing outside of a folder is read, nothing that is no ordinary file, and never more bytes
//! than a limit.

use std::io::Read;
use std::path::{Component, Path, PathBuf};

use super::ordinary::open_without_waiting;

/// Reads an ordinary file that lies inside a folder, whatever links lead to it. The size that the file system names is
/// not relied on.
///
/// # Errors
/// One sentence: what stands in the way.
pub(super) fn read_inside(root: &Path, path: &str, limit: u64) -> Result<Vec<u8>, String> {
    let real = real_path(root, path)?;
    // A link that was put in its place meanwhile is not followed.
    let file = open_without_waiting(&real, false).map_err(|error| plain_io(&error))?;
    let metadata = file.metadata().map_err(|error| plain_io(&error))?;
    if !metadata.is_file() {
        return Err("it is no ordinary file".to_owned());
    }
    if metadata.len() > limit {
        return Err(format!("it is {} bytes long, and no more than {limit} are read", metadata.len()));
    }
    let mut bytes = Vec::new();
    file.take(limit + 1).read_to_end(&mut bytes).map_err(|error| plain_io(&error))?;
    if bytes.len() as u64 > limit {
        return Err(format!("it is longer than {limit} bytes, and no more are read"));
    }
    Ok(bytes)
}

/// The way to a file inside a folder that leads over no link below it. Where there is none, that is seen without working
/// out the whole real path, which takes a question to the system for each folder above the shop as well.
fn real_path(root: &Path, path: &str) -> Result<PathBuf, String> {
    let mut way = root.to_path_buf();
    let plain = Path::new(path).components().all(|part| {
        way.push(part);
        let no_link = || std::fs::symlink_metadata(&way).is_ok_and(|metadata| !metadata.is_symlink());
        matches!(part, Component::Normal(_)) && no_link()
    });
    if plain {
        return Ok(way);
    }
    let real_root = root.canonicalize().map_err(|error| plain_io(&error))?;
    let real = root.join(path).canonicalize().map_err(|error| plain_io(&error))?;
    if real.starts_with(real_root) { Ok(real) } else { Err(OUTSIDE.to_owned()) }
}

/// That a link's real path lies outside of the shop.
pub(super) const OUTSIDE: &str =
    "it is a link that leads out of the shop's folder, and only what is in it is read";

/// Why the file system gave nothing, in plain words.
pub(super) fn plain_io(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::PermissionDenied => "there is no permission to read it".to_owned(),
        std::io::ErrorKind::NotFound => "it is not there".to_owned(),
        _ => error.to_string(),
    }
}
