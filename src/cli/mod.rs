//! The command line: one small file per command.

mod approve;
mod build;
mod calc;
mod card;
mod check;
mod compare;
mod completions;
mod convert;
mod explain;
mod man;
mod new;
mod print;
mod pull;
mod schema;

use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::diagnostic::{self, Finding, Severity};
use crate::pipeline::{Checked, Sources, check_sources, read_shop};
use crate::text::{Files, Folder, last_commit};

/// It could not run at all.
const COULD_NOT_RUN: u8 = 2;

#[derive(Parser)]
#[command(
    name = "benchleaf",
    version,
    about = "Compiles a fork-service shop's spec records and procedures into checked pages and bench cards",
    after_help = "Exit status: 0 no error, 1 at least one error, 2 it could not run.\n\
                  Findings go to standard output, progress to standard error."
)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Check a shop's records and procedures, and say what is wrong
    Check(check::Arguments),
    /// Say what changed between two shops, and what it does at the bench
    Compare(compare::Arguments),
    /// Check, then publish the site; with an error nothing is published
    Build(build::Arguments),
    /// Record who reviewed which values of a fork, a family or an oil
    Approve(approve::Arguments),
    /// Say whether a printed card is current, or what replaced it
    Card(card::Arguments),
    /// Convert a value, in every reading of an ambiguous one
    Convert(convert::Arguments),
    /// Work out one thing: a gap, an air force, a torque, a fit, a blend
    Calc {
        /// What to work out
        #[command(subcommand)]
        what: calc::Arguments,
    },
    /// Start a record, or a whole shop; nothing that is there is overwritten
    New(new::Arguments),
    /// Say what a rule finds, what that does at the bench, and what to write instead
    Explain(explain::Arguments),
    /// Say what to take from the shelf for one job or for several
    Pull(pull::Arguments),
    /// Write the JSON Schema of the shop's records, for editors
    Schema(schema::Arguments),
    /// Print what a shell needs to complete this program's words
    Completions(completions::Arguments),
    /// Write the manual pages
    Man(man::Arguments),
}

/// How findings are written.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For a person, with the place underlined
    Text,
    /// For programs: the form `benchleaf-findings/1`
    Json,
    /// For a code host's findings list: SARIF 2.1.0
    Sarif,
    /// For a workflow run: one annotation line for each finding
    Github,
}

#[derive(Args)]
struct ShopFolder {
    /// The shop's folder, which holds specs and procedures
    #[arg(default_value = ".", value_name = "SHOP")]
    shop: PathBuf,
}

#[derive(Args)]
struct Findings {
    /// How findings are written
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// Let warnings count as errors do
    #[arg(long)]
    strict: bool,
}

impl Findings {
    /// Whether what was found stands in the way.
    fn stop(&self, checked: &Checked) -> bool {
        checked.has_errors()
            || (self.strict && checked.findings.iter().any(|finding| finding.severity == Severity::Warning))
    }
}

/// Runs the command of this process's arguments.
pub fn run() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // A closed pipe is no reason to fail a second time.
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { COULD_NOT_RUN } else { 0 });
        }
    };
    let done = match &cli.command {
        Command::Check(arguments) => check::run(arguments),
        Command::Compare(arguments) => compare::run(arguments),
        Command::Build(arguments) => build::run(arguments),
        Command::Approve(arguments) => approve::run(arguments),
        Command::Card(arguments) => card::run(arguments),
        Command::Convert(arguments) => convert::run(arguments),
        Command::Calc { what } => calc::run(what),

        Command::New(arguments) => new::run(arguments),
        Command::Explain(arguments) => explain::run(arguments),
        Command::Pull(arguments) => pull::run(arguments),
        Command::Schema(arguments) => schema::run(arguments),
        Command::Completions(arguments) => completions::run(arguments),
        Command::Man(arguments) => man::run(arguments),
    };
    match done {
        Ok(code) => code,
        Err(Stop::Said(message)) => {
            // A closed pipe is no reason to fail a second time.
            let _ = writeln!(print::err(), "benchleaf: {message}");
            ExitCode::from(COULD_NOT_RUN)
        }
        // Whoever read our output has gone: there is nobody left to tell.
        Err(Stop::Gone) => ExitCode::SUCCESS,
    }
}

/// Why a command could not run to its end.
enum Stop {
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
fn checked(shop: &Path) -> Result<Checked, Stop> {
    read(shop).map(check_sources)
}

/// Reads the shop in a folder.
fn read(shop: &Path) -> Result<Sources, Stop> {
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
fn tell(findings: &[Finding], files: &Files, format: Format, shop: &Path) -> Result<(), Stop> {
    match format {
        Format::Json => print::exact(&diagnostic::json(findings, files))?,
        Format::Sarif => print::exact(&diagnostic::sarif(
            findings,
            files,
            &in_repository(shop),
            crate::check::pages::page,
        ))?,
        Format::Github => print::exact(&diagnostic::github(findings, files, &in_repository(shop)))?,
        Format::Text => {
            let out = std::io::stdout();
            let colour =
                anstream::AutoStream::choice(&out) != anstream::ColorChoice::Never && out.is_terminal();
            let text = diagnostic::text(findings, files, width(), colour);
            if colour {
                // The escapes in it are our own.
                print::exact(&text)?;
            } else {
                write!(print::out(), "{text}")?;
            }
        }
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
fn width() -> usize {
    if std::io::stdout().is_terminal() { textwrap::termwidth().clamp(40, 160) } else { 80 }
}
