//! What the commands share that record something in a shop's files.

use std::io::Write;
use std::process::ExitCode;

use super::print;
use super::shop::Stop;
use crate::output::{FileError, Held};
use crate::pipeline::Checked;

/// The text of a file of the shop; `None` where there is no such file.
pub(super) fn text_of<'c>(checked: &'c Checked, path: &str) -> Option<&'c str> {
    checked.files.iter().find(|(_, file)| file.path == path).map(|(_, file)| file.text.as_str())
}

/// Writes a file anew, where there is anything to write.
pub(super) fn put(file: &Held, old: Option<&str>, new: Option<&str>) -> Result<(), FileError> {
    new.map_or(Ok(()), |new| file.put(old, new))
}

/// Says why nothing was recorded.
pub(super) fn refuse(why: &str) -> Result<ExitCode, Stop> {
    writeln!(print::err(), "benchleaf: not recorded: {why}")?;
    Ok(ExitCode::from(1))
}
