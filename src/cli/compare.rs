//! `benchleaf compare`

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::ValueEnum;

use super::print;
use super::shop::{Stop, checked, width};
use crate::compare;
use crate::pipeline::{Checked, check_shop_on};
use crate::text::Revision;

/// How a comparison is written.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// For a person at a terminal
    Text,
    /// For a comment on a change
    Markdown,
    /// For programs: the form `benchleaf-comparison/1`
    Json,
}

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// A folder that holds a shop, or a git revision of the shop's repository
    #[arg(value_name = "OLD")]
    old: String,
    /// The same for the other side; otherwise the shop's folder as it is now
    #[arg(value_name = "NEW")]
    new: Option<String>,
    /// The shop's folder, whose repository revisions are read from
    #[arg(long, default_value = ".", value_name = "DIR")]
    shop: PathBuf,
    /// How the comparison is written
    #[arg(long, value_enum, default_value_t = Form::Text)]
    format: Form,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let (old, old_name) = side(&arguments.shop, &arguments.old)?;
    let (new, new_name) = match &arguments.new {
        Some(new) => side(&arguments.shop, new)?,
        None => (checked(&arguments.shop)?, "the folder as it is".to_owned()),
    };
    let told = compare::compare(&old, &new);
    match arguments.format {
        Form::Text => write!(print::out(), "{}", compare::text(&told, &old_name, &new_name, width()))?,
        Form::Markdown => print::exact(&compare::markdown(&told, &old_name, &new_name))?,
        Form::Json => print::exact(&compare::json(&told, &old_name, &new_name))?,
    }
    Ok(ExitCode::from(u8::from(told.brings_errors())))
}

/// A folder that holds a shop, else a revision. Also what the reader calls it.
fn side(shop: &Path, name: &str) -> Result<(Checked, String), Stop> {
    let folder = Path::new(name);
    if folder.join("specs").is_dir() {
        return Ok((checked(folder)?, name.to_owned()));
    }
    let opened = Revision::open(shop, name);
    let revision = opened.map_err(|why| {
        let hint =
            if folder.is_dir() { format!("; and the folder `{name}` holds no specs") } else { String::new() };
        Stop::Said(format!("{why}{hint}"))
    })?;
    let short = revision.commit.get(..12).unwrap_or_default();
    let called = if name.starts_with(short) { short.to_owned() } else { format!("{name} ({short})") };
    Ok((check_shop_on(&revision, revision.day), called))
}
