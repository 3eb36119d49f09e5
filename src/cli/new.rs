//! `benchleaf new`

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Subcommand;

use super::library::VERSION;
use super::print;
use super::recorded::text_of;
use super::shop::{Stop, checked, renamed};
use crate::catalogue::builtin;
use crate::check::CheckedFork;
use crate::date::Date;
use crate::diagnostic::did_you_mean;
use crate::draft::{self, Draft, JobBegun};
use crate::intake::next_number;
use crate::library::{CONDITIONS, Stock, with_entry};
use crate::output::{FileError, hold, make_files};
use crate::pipeline::Checked;
use crate::plan::plan;
use crate::record::{RecordKind, ReleasedCard, is_id};
use crate::resolve::ResolvedFork;
use crate::text::names::name_problem;
use crate::words::one_of;

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(subcommand)]
    what: What,
    /// The shop's folder
    #[arg(long, default_value = ".", value_name = "DIR", global = true)]
    shop: PathBuf,
}

#[derive(Subcommand)]
enum What {
    /// A fork; its values are blank, with how each is measured
    Fork {
        /// The new record's id, which is its file's name
        #[arg(value_parser = id)]
        id: String,
        /// The fork whose choices it has; left out: the choices are there to be made
        #[arg(long, value_name = "ID")]
        like: Option<String>,
    },
    /// An oil
    Oil {
        /// The new record's id, which is its file's name
        #[arg(value_parser = id)]
        id: String,
    },
    /// A spring of the stock
    Spring {
        /// The new record's id, which is its file's name
        #[arg(value_parser = id)]
        id: String,
    },
    /// A build: a fork set up for one machine and use
    Build {
        /// The new record's id, which is its file's name
        #[arg(value_parser = id)]
        id: String,
        /// The fork it is over
        #[arg(long, value_name = "ID")]
        over: String,
    },
    /// A valving: the shim stacks of a fork, as found and as changed
    Valving {
        /// The new record's id, which is its file's name
        #[arg(value_parser = id)]
        id: String,
        /// The fork it is of
        #[arg(long, value_name = "ID")]
        of: String,
    },
    /// A procedure
    Procedure {
        /// The new record's id, which is its file's name
        #[arg(value_parser = id)]
        id: String,
    },
    /// A service: every procedure for forks like another
    Service {
        /// The new record's id, which is its file's name
        #[arg(value_parser = id)]
        id: String,
        /// A fork it is for
        #[arg(long, value_name = "ID")]
        like: String,
    },
    /// A tool, or what a job uses up
    Tool {
        /// The new record's id, which is its file's name
        #[arg(value_parser = id)]
        id: String,
    },
    /// A caution
    Caution {
        /// The new record's id, which is its file's name
        #[arg(value_parser = id)]
        id: String,
    },
    /// A complaint: what a rider says, how it is reproduced, and its causes in order
    Complaint {
        /// The new record's id, which is its file's name
        #[arg(value_parser = id)]
        id: String,
    },
    /// A family: what several forks share, begun with the choices of one of them
    Family {
        /// The new record's id, which is its file's name
        #[arg(value_parser = id)]
        id: String,
        /// The fork whose choices it has
        #[arg(long, value_name = "ID")]
        from: String,
    },
    /// A condition: what a mechanic says of a leg or of the machine; added to the shop's list
    Condition {
        /// The new condition's id
        #[arg(value_parser = id)]
        id: String,
    },
    /// A job: every box of its card, to be typed in from paper
    Job {
        /// Fork and service, such as `tarn-41:full-service`
        #[arg(value_name = "FORK:SERVICE")]
        what: String,
        /// The day; left out: that of the last commit
        #[arg(long, value_name = "DAY")]
        date: Option<String>,
    },
    /// A whole shop with the library: procedures, cautions, conditions, services and tools for every kind of fork
    Shop {
        /// The folder to make it in
        #[arg(value_name = "DIR")]
        dir: PathBuf,
        /// Bring the demo's invented forks along, marked as drafts
        #[arg(long)]
        with_demo: bool,
    },
}

/// The longest id a new record may have, in letters: it is a file's name, and part of a page's address.
const LONGEST_ID: usize = 60;

/// What was given as an id can be none.
#[derive(Debug)]
struct NoId;

impl std::fmt::Display for NoId {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            out,
            "an id is small letters a to z, digits and hyphens, such as `tarn-41`, and not a device's name, such as `con`"
        )
    }
}

impl std::error::Error for NoId {}

fn id(text: &str) -> Result<String, NoId> {
    let fits = is_id(text) && text.len() <= LONGEST_ID && name_problem(text).is_none();
    if fits { Ok(text.to_owned()) } else { Err(NoId) }
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let shop = match &arguments.what {
        What::Shop { dir, with_demo } => return new_shop(dir, *with_demo),
        What::Condition { id } => return new_condition(&arguments.shop, id),
        _ => shop_in(&arguments.shop)?,
    };
    let drafts: Vec<Draft> = record(&shop, &arguments.what)?.into_iter().collect();
    write_all(&arguments.shop, &drafts)?;
    let mut out = print::out();
    for (path, _) in &drafts {
        writeln!(out, "{}", arguments.shop.join(path).display())?;
    }
    if let What::Procedure { id } = &arguments.what {
        writeln!(out, "{}", after_procedure(id))?;
    }
    Ok(ExitCode::SUCCESS)
}

/// How to go on with a procedure that is begun.
fn after_procedure(id: &str) -> String {
    format!(
        "\nNext:\n  1. Write the steps: what to do, and below each why. Until then `benchleaf check`\n     \
         says `placeholder`.\n  \
         2. In its head say its part of the job, its tools and its time; and what must hold\n     \
         before it and holds after it (`needs:`, `brings:`, `ends:`): the order of the\n     \
         services is proved by these.\n  \
         3. Name it in a service, an entry `- {id}` at its place in\n     \
         procedures/services: until then no card leads to it (`unused-procedure`).\n  \
         4. Ask `benchleaf check`, and look at it: `benchleaf serve`. Then an approver\n     \
         says so: `benchleaf approve procedure:{id} --by NAME --date DAY`."
    )
}

/// The draft of a record; nothing where it is not one record that is begun.
fn record(shop: &Checked, what: &What) -> Result<Option<Draft>, Stop> {
    Ok(Some(match what {
        What::Shop { .. } | What::Condition { .. } => return Ok(None),
        What::Tool { id } => draft::tool(id),
        What::Caution { id } => draft::caution(id),
        What::Complaint { id } => draft::complaint(id),
        What::Procedure { id } => draft::procedure(id),
        What::Oil { id } => draft::oil(&shop.shop, id),
        What::Spring { id } => draft::spring(&shop.shop, id),
        What::Family { id, from } => draft::family(&shop.shop, fork(shop, from)?, id),
        What::Fork { id, like: Some(like) } => draft::fork(&shop.shop, fork(shop, like)?, id),
        What::Fork { id, like: None } => draft::first_of_its_kind(&shop.shop.catalogue, id),
        What::Build { id, .. } if shop.fork(id).is_some() => {
            return Err(Stop::Said(format!("there is a fork or a build `{id}` already: name it otherwise")));
        }
        What::Build { id, over } => draft::build(&shop.shop, fork(shop, over)?, id),
        What::Valving { id, of } => draft::valving(fork(shop, of)?, id),
        What::Job { what, date } => job(shop, what, date.as_deref())?,
        What::Service { id, like } => {
            let all: Vec<&ResolvedFork> = shop.forks.iter().map(|fork| fork.resolved.as_ref()).collect();
            draft::service(&shop.shop, &all, fork(shop, like)?, id)
        }
    }))
}

/// Makes a shop, and says what there is and how to go on.
fn new_shop(dir: &Path, with_demo: bool) -> Result<ExitCode, Stop> {
    let catalogue = builtin().map_err(Stop::Said)?;
    let stock = Stock::of_this_program().map_err(|error| Stop::Said(error.to_string()))?;
    let drafts = draft::shop(&catalogue, &stock, VERSION, with_demo);
    write_all(dir, &drafts)?;
    let mut out = print::out();
    let of = |kind: RecordKind| drafts.iter().filter(|(path, _)| RecordKind::of(path) == Some(kind)).count();
    writeln!(
        out,
        "A shop in {}: {} procedures, {} cautions,\n{} services, {} complaints, {} tools and consumables; {}.\n",
        dir.display(),
        of(RecordKind::Procedure),
        of(RecordKind::Caution),
        of(RecordKind::Service),
        of(RecordKind::Complaint),
        of(RecordKind::Tool),
        if with_demo { format!("{} invented forks", of(RecordKind::Fork)) } else { "no fork yet".to_owned() },
    )?;
    writeln!(
        out,
        "Next:\n  1. In specs/shop.yaml write the shop's name and who approves; in specs/tools\n     \
         the number of each instrument of yours and the days it was calibrated.\n  \
         2. Begin the first fork: `benchleaf new fork MAKER-MODEL`; write what its\n     \
         sheet says, and ask `benchleaf check`.\n  \
         3. Look at it while you write: `benchleaf serve`.\n  \
         4. Keep what you have: `git init`, `git add .`, `git commit`. The days of\n     \
         calibrations, `compare` and the workflow go by commits. For the workflow\n     \
         set the repository variables BENCHLEAF_REPOSITORY and BENCHLEAF_REF."
    )?;
    Ok(ExitCode::SUCCESS)
}

/// The shop in a folder; a folder that holds none gets no record.
fn shop_in(dir: &Path) -> Result<Checked, Stop> {
    let checked = checked(dir)?;
    if checked.files.iter().any(|(_, file)| RecordKind::of(&file.path).is_some()) {
        return Ok(checked);
    }
    Err(Stop::Said(format!(
        "`{}` holds no shop: run it in the shop's folder, or begin one: `benchleaf new shop DIR`",
        dir.display()
    )))
}

/// Adds a condition to the shop's list, behind the others.
fn new_condition(shop: &Path, id: &str) -> Result<ExitCode, Stop> {
    let checked = shop_in(shop)?;
    if checked.shop.conditions.list.iter().any(|condition| condition.id.text == id) {
        return Err(Stop::Said(format!("there is a condition `{id}` already, and it is left as it is")));
    }
    let old = text_of(&checked, CONDITIONS);
    let entry = draft::condition(id);
    let new = match old {
        None => format!(
            "# yaml-language-server: $schema=../specs/schema/conditions.schema.json\nconditions:\n{entry}"
        ),
        Some(old) => with_entry(old, &entry).ok_or_else(|| {
            Stop::Said(format!("{CONDITIONS} has no line `conditions:`: write it, with the entries below it"))
        })?,
    };
    let said = |error: FileError| Stop::Said(error.to_string());
    if old.is_none() {
        write_all(shop, &[(CONDITIONS.to_owned(), new)])?;
    } else {
        hold(shop, CONDITIONS).and_then(|held| held.put(old, &new)).map_err(said)?;
    }
    writeln!(print::out(), "{}: `{id}`", shop.join(CONDITIONS).display())?;
    Ok(ExitCode::SUCCESS)
}

/// A draft of a job, with the next free number of its year.
fn job(checked: &Checked, what: &str, date: Option<&str>) -> Result<Draft, Stop> {
    let (id, service) = what
        .split_once(':')
        .ok_or_else(|| Stop::Said(format!("name fork and service, such as `{what}:full-service`")))?;
    let resolved = fork(checked, id)?;
    let Some(known) = checked.fork(id) else { return Err(Stop::Said(format!("there is no fork `{id}`"))) };
    let plans: Vec<_> = checked.shop.services_for(&known.choices).collect();
    let Some(service) = plans.iter().find(|one| one.id.text == service) else {
        let ids: Vec<&str> = plans.iter().map(|one| one.id.text.as_str()).collect();
        return Err(Stop::Said(format!("there is no service `{service}` for `{id}`: name {}", one_of(&ids))));
    };
    let day = match date {
        Some(text) => Some(
            Date::read(text).ok_or_else(|| Stop::Said(format!("`{text}` is no day such as 2026-04-12")))?,
        ),
        None => checked.day.map(|day| day.date),
    };
    let Some(day) = day else {
        return Err(Stop::Said("say the day with `--date`: the shop is in no repository".to_owned()));
    };
    let number = next_number(checked, &day.to_string()[..4]);
    // The newest on that day.
    let of = |card: &&ReleasedCard| {
        (&card.fork.text, &card.service.text) == (&resolved.id, &service.id.text)
            && Date::read(&card.date.text).is_some_and(|released| released <= day)
    };
    let card = checked.shop.released.cards.iter().rfind(of).map(|card| card.card.text.as_str());
    let begun = JobBegun { number: &number, date: Some(day), card };
    Ok(draft::job(&checked.shop, resolved, &known.derived, &plan(&checked.shop, service, resolved), &begun))
}

fn fork<'c>(checked: &'c Checked, id: &str) -> Result<&'c ResolvedFork, Stop> {
    checked.fork(id).map(|fork| fork.resolved.as_ref()).ok_or_else(|| {
        let ids = || checked.forks.iter().map(|fork| fork.id.as_str());
        let family =
            |fork: &&CheckedFork| fork.record.family.as_ref().is_some_and(|family| family.text == id);
        let members: Vec<&str> = checked.forks.iter().filter(family).map(|fork| fork.id.as_str()).collect();
        if !members.is_empty() {
            return Stop::Said(format!("`{id}` is a family: name one of its forks: {}", members.join(", ")));
        }
        let parts: Vec<&str> = ids().filter(|other| !id.is_empty() && other.contains(id)).take(8).collect();
        if let Some(now) = renamed(checked, id) {
            return Stop::Said(now);
        }
        let hint = did_you_mean(id, ids(), || match (parts.as_slice(), checked.forks.is_empty()) {
            ([], true) => "run it in the shop's folder, or name that with `--shop`".to_owned(),
            ([], false) => "name a fork of this shop by its id, as its file is called".to_owned(),
            (parts, _) => format!("name {}", one_of(parts)),
        });
        Stop::Said(format!("there is no fork `{id}`: {hint}"))
    })
}

/// Makes files that are not there yet: all of them, or none.
fn write_all(root: &Path, drafts: &[Draft]) -> Result<(), Stop> {
    let files: Vec<(PathBuf, Vec<u8>)> =
        drafts.iter().map(|(path, text)| (root.join(path), text.as_bytes().to_vec())).collect();
    make_files(root, &files).map_err(|error| Stop::Said(error.to_string()))
}
