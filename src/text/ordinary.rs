//! Opening nothing but ordinary files: a link could lead anywhere, and a named pipe would be waited for without end.

use std::fs::{self, File, Metadata};
use std::io::{self, Read};
use std::path::Path;

/// What stands in a place, links not followed.
#[derive(Debug)]
pub(crate) enum Standing {
    /// Nothing.
    Nothing,
    /// An ordinary file.
    File(Metadata),
    /// A folder.
    Folder,
    /// A symbolic link.
    Link,
    /// A pipe, a socket, a device.
    Special,
}

/// What stands in a place.
///
/// # Errors
/// The system does not tell.
pub(crate) fn standing(path: &Path) -> io::Result<Standing> {
    match fs::symlink_metadata(path) {
        Ok(meta) if meta.is_symlink() => Ok(Standing::Link),
        Ok(meta) if meta.is_dir() => Ok(Standing::Folder),
        Ok(meta) if meta.is_file() => Ok(Standing::File(meta)),
        Ok(_) => Ok(Standing::Special),
        Err(error) if matches!(error.kind(), io::ErrorKind::NotFound | io::ErrorKind::NotADirectory) => {
            Ok(Standing::Nothing)
        }
        Err(error) => Err(error),
    }
}

/// Opens an ordinary file for reading. It is looked at again once it is open, so that nobody can put something else
/// in its place between the look and the opening.
///
/// # Errors
/// It is not there, it is no ordinary file, or the system says no.
pub(crate) fn open(path: &Path) -> io::Result<File> {
    open_as(path, false)
}

/// Opens an ordinary file so that it can be locked against others: some systems lock only what may be written.
///
/// # Errors
/// As for [`open`].
pub(crate) fn open_to_lock(path: &Path) -> io::Result<File> {
    open_as(path, true)
}

fn open_as(path: &Path, write: bool) -> io::Result<File> {
    match standing(path)? {
        Standing::Nothing => return Err(io::ErrorKind::NotFound.into()),
        Standing::File(_) => {}
        Standing::Folder | Standing::Link | Standing::Special => return Err(no_ordinary_file()),
    }
    let file = open_without_waiting(path, write)?;
    if file.metadata()?.is_file() { Ok(file) } else { Err(no_ordinary_file()) }
}

/// Opens a file without waiting: a pipe that nobody writes to would be waited for, for ever. A link is not followed.
///
/// # Errors
/// The system says no.
pub(crate) fn open_without_waiting(path: &Path, write: bool) -> io::Result<File> {
    let mut options = File::options();
    options.read(true).write(write);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        let flags = rustix::fs::OFlags::NONBLOCK | rustix::fs::OFlags::NOFOLLOW;
        options.custom_flags(i32::try_from(flags.bits()).unwrap_or(0));
    }
    options.open(path)
}

/// Reads an ordinary file, and no more bytes than `most`, whatever its size is said to be.
///
/// # Errors
/// As for [`open`]; or it is longer.
pub(crate) fn read(path: &Path, most: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    open(path)?.take(most.saturating_add(1)).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, format!("it is longer than {most} bytes")));
    }
    Ok(bytes)
}

fn no_ordinary_file() -> io::Error {
    io::Error::new(io::ErrorKind::InvalidInput, "it is no ordinary file")
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;
    use std::os::unix::fs::symlink;
    use std::process::Command;

    #[test]
    fn only_ordinary_files_are_opened_and_no_more_than_the_limit_is_read() {
        let dir = tempfile::tempdir().unwrap();
        let at = |name: &str| dir.path().join(name);
        fs::write(at("file"), "12345").unwrap();
        symlink(at("file"), at("link")).unwrap();
        fs::create_dir(at("folder")).unwrap();
        assert!(Command::new("mkfifo").arg(at("pipe")).status().unwrap().success());
        assert_eq!(read(&at("file"), 5).unwrap(), b"12345");
        assert_eq!(read(&at("file"), 4).unwrap_err().kind(), io::ErrorKind::FileTooLarge);
        assert_eq!(read(&at("gone"), 4).unwrap_err().kind(), io::ErrorKind::NotFound);
        for name in ["link", "folder", "pipe"] {
            for opened in [open(&at(name)), open_to_lock(&at(name))] {
                assert_eq!(opened.unwrap_err().kind(), io::ErrorKind::InvalidInput, "{name}");
            }
        }
    }
}
