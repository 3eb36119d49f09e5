//! The command line: one small file per command.

mod approve;
mod approve_texts;
mod build;
mod calc;
mod card;
mod check;
mod compare;
mod compare_list;
mod completions;
mod convert;
mod explain;
mod job;
mod library;
mod man;
mod new;
mod print;
mod public;
mod pull;
mod recorded;
mod schema;
mod serve;
mod shop;
mod watch;

use std::io::Write;
use std::process::ExitCode;

use clap::{CommandFactory, Parser, Subcommand};

use self::shop::Stop;

/// It could not run at all.
const COULD_NOT_RUN: u8 = 2;

#[derive(Parser)]
#[command(
    name = "benchleaf",
    version = concat!(env!("CARGO_PKG_VERSION"), " (commit ", env!("BENCHLEAF_COMMIT"), ")"),
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
    /// Take a later version of the library: procedures, cautions, conditions, services, complaints and tools
    Library(library::Arguments),
    /// Take a job that came from a tablet, or judge the readings of one
    Job(job::Arguments),
    /// Say what a rule finds, what that does at the bench, and what to write instead
    Explain(explain::Arguments),
    /// Say what to take from the shelf for one job or for several
    Pull(pull::Arguments),
    /// Say whether the shop's pages may be public, and who answers for it
    Public(public::Arguments),
    /// Check and make the pages in memory, and show them in a browser while the shop is written
    Serve(serve::Arguments),
    /// Write the JSON Schema of the shop's records, for editors
    Schema(schema::Arguments),
    /// Print what a shell needs to complete this program's words
    Completions(completions::Arguments),
    /// Write the manual pages
    Man(man::Arguments),
}

/// Runs the command of this process's arguments.
pub fn run() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // What was asked for is ours, what is wrong holds the words that were given. A closed pipe is no reason to
            // fail a second time.
            let _ = match error.use_stderr() {
                true => write!(print::err(), "{}", error.render()),
                false => error.print(),
            };
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
        Command::Library(arguments) => library::run(arguments),
        Command::Job(arguments) => job::run(arguments),
        Command::Explain(arguments) => explain::run(arguments),
        Command::Public(arguments) => public::run(arguments),
        Command::Pull(arguments) => pull::run(arguments),
        Command::Serve(arguments) => serve::run(arguments),
        Command::Schema(arguments) => schema::run(arguments),
        Command::Completions(arguments) => completions::run(arguments, Cli::command()),
        Command::Man(arguments) => man::run(arguments, Cli::command()),
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
