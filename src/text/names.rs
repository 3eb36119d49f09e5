//! Names of files that every file system takes.

/// Names that mean a device, not a file, on some systems, with any ending.
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];

/// The longest name: file systems take 255 bytes, and what we put before and behind it while it is written.
const LONGEST: usize = 200;

/// What is wrong with a file's name, to follow the name in a sentence; `None` if every file system takes it.
pub(crate) fn name_problem(name: &str) -> Option<&'static str> {
    let lower = name.to_ascii_lowercase();
    let stem = lower.split('.').next().unwrap_or_default();
    let numbered =
        |word| stem.strip_prefix(word).is_some_and(|rest| matches!(rest.as_bytes(), [b'0'..=b'9']));
    if name.is_empty() {
        Some("has an empty part")
    } else if name == "." || name == ".." {
        Some("leaves the folder or says the same place twice")
    } else if !name.bytes().all(|b| (b.is_ascii_graphic() || b == b' ') && !b"<>:\"|?*\\".contains(&b)) {
        Some("has a character other than plain letters, digits, spaces and common signs")
    } else if name.ends_with(['.', ' ']) || name.starts_with(' ') {
        Some("has a part that begins or ends with a space or ends with a point")
    } else if name.len() > LONGEST {
        Some("has a part longer than 200 characters")
    } else if DEVICES.contains(&stem) || numbered("com") || numbered("lpt") {
        Some("has a part that means a device on some computers")
    } else {
        None
    }
}
