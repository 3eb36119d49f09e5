//! `benchleaf pull`

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::ValueEnum;

use super::print;
use super::shop::{Stop, checked, renamed};
use crate::diagnostic::did_you_mean;
use crate::pipeline::Checked;
use crate::pull::{csv, jobs_of, pull, text};
use crate::text::in_json;
use crate::words::one_of;

/// How the list is written.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// For a person at the shelf
    Text,
    /// For a spreadsheet
    Csv,
    /// For programs
    Json,
}

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// Jobs, each a fork and a service by id
    #[arg(required = true, value_name = "FORK:SERVICE")]
    jobs: Vec<String>,
    /// The shop's folder, which holds specs and procedures
    #[arg(long, default_value = ".", value_name = "DIR")]
    shop: PathBuf,
    /// How the list is written
    #[arg(long, value_enum, default_value_t = Form::Text)]
    format: Form,
}

/// A fork without a service is answered with what can be asked of it.
fn list_services(shop: &Checked, id: &str) -> Result<ExitCode, Stop> {
    let fork = shop.fork(id).ok_or_else(|| {
        if let Some(now) = renamed(shop, id) {
            return Stop::Said(now);
        }
        let ids = shop.forks.iter().map(|fork| fork.id.as_str());
        let hint = did_you_mean(id, ids, || "name one by its id".to_owned());
        Stop::Said(format!("there is no fork `{id}` in this shop: {hint}"))
    })?;
    let mut out = print::out();
    writeln!(out, "Services for {id}; name one or several:")?;
    for service in shop.shop.services_for(&fork.choices) {
        writeln!(out, "  {id}:{}  {}", service.id.text, service.title)?;
    }
    Ok(ExitCode::SUCCESS)
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    if let [fork] = arguments.jobs.as_slice()
        && !fork.contains(':')
    {
        return list_services(&checked(&arguments.shop)?, fork);
    }
    let split = |job: &String| {
        let (fork, service) = job.split_once(':')?;
        Some((fork.to_owned(), service.to_owned()))
    };
    let checked = checked(&arguments.shop)?;
    let job = |job: &String| {
        split(job).ok_or_else(|| {
            let jobs = checked.fork(job).map(|fork| jobs_of(&checked.shop, fork)).unwrap_or_default();
            let form = match jobs.is_empty() {
                true => "write it as fork and service with a colon between".to_owned(),
                false => format!("write {}", one_of(&jobs.iter().map(String::as_str).collect::<Vec<_>>())),
            };
            Stop::Said(format!("`{job}` names no service: {form}"))
        })
    };
    let jobs = arguments.jobs.iter().map(job).collect::<Result<Vec<_>, Stop>>()?;
    if let Some(now) = jobs.iter().find_map(|(fork, _)| renamed(&checked, fork)) {
        return Err(Stop::Said(now));
    }
    if checked.has_errors() {
        return Err(Stop::Said(
            "the shop has errors, and a list from it could be wrong: run `benchleaf check`".to_owned(),
        ));
    }
    let list = pull(&checked.shop, &checked.forks, &jobs).map_err(|why| Stop::Said(why.to_string()))?;
    match arguments.format {
        Form::Text => write!(print::out(), "{}", text(&list))?,
        Form::Csv => print::exact(&csv(&list))?,
        Form::Json => {
            let json = serde_json::to_string_pretty(&list);
            let json = json.map_err(|error| Stop::Said(format!("cannot write: {error}")))? + "\n";
            print::exact(&in_json(&json))?;
        }
    }
    Ok(ExitCode::SUCCESS)
}
