//! What commands share: the shop they are about, how findings are told, and why a command may end early.

use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::print;
use crate::diagnostic::{self, Finding, Severity, rules};
use crate::pipeline::{Checked, Sources, check_sources, read_shop};
use crate::record::RecordKind;
use crate::text::{Files, Folder, last_commit};

/// How findings are written.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// For a person: errors with their lines and what to do, the rest in brief
    Text,
    /// For a person: each finding with its line and what to do
    Full,
    /// For a person, one line for each finding
    Short,
    /// For programs: the form `benchleaf-findings/1`
    Json,
    /// For a code host's findings list: SARIF 2.1.0
    Sarif,
    /// For a workflow run: one annotation line for each finding
    Github,
}

impl Format {
    /// Whether a person reads it, at a terminal.
    pub(super) fn is_for_a_person(self) -> bool {
        matches!(self, Format::Text | Format::Full | Format::Short)
    }
}

#[derive(Args)]
pub(super) struct ShopFolder {
    /// The shop's folder, which holds specs and procedures
    #[arg(default_value = ".", value_name = "SHOP")]
    pub(super) shop: PathBuf,
}

#[derive(Args)]
pub(super) struct Findings {
    /// How findings are written; left out: `text`, and after a build without an error `short`
    #[arg(long, value_enum)]
    pub(super) format: Option<Format>,
    /// Let warnings count as errors do
    #[arg(long)]
    pub(super) strict: bool,
}

impl Findings {
    /// How findings are written.
    pub(super) fn format(&self) -> Format {
        self.format.unwrap_or(Format::Text)
    }

    /// Whether what was found stands in the way.
    pub(super) fn stop(&self, checked: &Checked) -> bool {
        checked.has_errors()
            || (self.strict && checked.findings.iter().any(|finding| finding.severity == Severity::Warning))
    }
}

/// Why a command could not run to its end.
pub(super) enum Stop {
    /// One sentence for a person.
    Said(String),
    /// Standard output was closed.
    Gone,
}

impl From<std::io::Error> for Stop {
    fn from(error: std::io::Error) -> Self {
        if error.kind() == std::io::ErrorKind::BrokenPipe {
            Stop::Gone
        } else {
            Stop::Said(format!("cannot write: {error}"))
        }
    }
}

/// Reads and checks the shop in a folder, as it stands on the day of its last commit.
pub(super) fn checked(shop: &Path) -> Result<Checked, Stop> {
    known(check_sources(read(shop)?))
}

/// A shop whose notation this program knows; into another it writes nothing.
pub(super) fn known(checked: Checked) -> Result<Checked, Stop> {
    match checked.findings.iter().find(|finding| finding.rule == &rules::LATER_NOTATION) {
        Some(later) => Err(Stop::Said(format!("{}: {}", later.message, later.instead))),
        None => Ok(checked),
    }
}

/// What is said where a fork is asked for by the name that it had.
pub(super) fn renamed(checked: &Checked, id: &str) -> Option<String> {
    let kinds = [RecordKind::Fork, RecordKind::Family, RecordKind::Oil, RecordKind::Spring];
    let now = kinds.into_iter().find_map(|kind| checked.shop.called_now(kind, id))?;
    Some(format!("`{id}` is now called `{now}`"))
}

/// Reads the shop in a folder.
pub(super) fn read(shop: &Path) -> Result<Sources, Stop> {
    if !shop.is_dir() {
        return Err(Stop::Said(format!("there is no folder `{}`", shop.display())));
    }
    if std::fs::read_dir(shop).is_err() {
        return Err(Stop::Said(format!("the folder `{}` cannot be read", shop.display())));
    }
    Ok(read_shop(&Folder { root: shop.to_path_buf() }, last_commit(shop)))
}

/// Writes findings to standard output. `shop` is the shop's folder: a code host wants paths as they are in
/// its repository.
pub(super) fn tell(findings: &[Finding], files: &Files, format: Format, shop: &Path) -> Result<(), Stop> {
    match format {
        Format::Json => diagnostic::write_json(&mut print::exactly(), findings, files)?,
        Format::Sarif => diagnostic::write_sarif(
            &mut print::exactly(),
            findings,
            files,
            &in_repository(shop),
            crate::check::pages::page,
        )?,
        Format::Github => print::exact(&diagnostic::github(findings, files, &in_repository(shop)))?,
        Format::Short => write!(print::out(), "{}", diagnostic::short(findings, files))?,
        Format::Text | Format::Full => {
            let write = if format == Format::Full { diagnostic::text } else { diagnostic::overview };
            tell_in_words(|width, colour| write(findings, files, width, colour))?;
        }
    }
    Ok(())
}

/// Writes a text for a person, as wide as the terminal, in colors where it shows them.
pub(super) fn tell_in_words(text: impl FnOnce(usize, bool) -> String) -> Result<(), Stop> {
    let out = std::io::stdout();
    let colour = anstream::AutoStream::choice(&out) != anstream::ColorChoice::Never && out.is_terminal();
    let text = text(width(), colour);
    if colour {
        // The escapes in it are our own.
        print::exact(&text)?;
    } else {
        write!(print::out(), "{text}")?;
    }
    Ok(())
}

/// The shop's folder inside the repository that holds it, with forward slashes; empty where it is the
/// repository itself or in none.
fn in_repository(shop: &Path) -> String {
    let Ok(shop) = shop.canonicalize() else { return String::new() };
    let Some(root) = shop.ancestors().find(|folder| folder.join(".git").exists()) else {
        return String::new();
    };
    let inner = shop.strip_prefix(root).unwrap_or(Path::new(""));
    let parts: Vec<_> = inner.components().map(|part| part.as_os_str().to_string_lossy()).collect();
    parts.join("/")
}

/// The terminal's width; 80 where there is none.
pub(super) fn width() -> usize {
    if std::io::stdout().is_terminal() { textwrap::termwidth().clamp(40, 160) } else { 80 }
}
