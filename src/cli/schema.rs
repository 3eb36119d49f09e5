//! `benchleaf schema`

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use super::print;
use super::shop::{ShopFolder, Stop, checked};
use crate::output::write_files;
use crate::record::RecordKind;

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    folder: ShopFolder,
    /// Print the schema of one kind of record instead of writing all of them
    #[arg(long, value_parser = kind, value_name = "KIND")]
    kind: Option<RecordKind>,
    /// The folder to write to; otherwise specs/schema in the shop
    #[arg(long, value_name = "DIR", conflicts_with = "kind")]
    out: Option<PathBuf>,
}

/// The word names no kind of record.
#[derive(Debug)]
struct NoKind;

impl std::fmt::Display for NoKind {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let words: Vec<&str> = RecordKind::ALL.iter().map(|kind| kind.word()).collect();
        write!(out, "write one of {}", words.join(", "))
    }
}

impl std::error::Error for NoKind {}

fn kind(word: &str) -> Result<RecordKind, NoKind> {
    RecordKind::ALL.into_iter().find(|kind| kind.word() == word).ok_or(NoKind)
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let checked = checked(&arguments.folder.shop)?;
    let text = |kind| crate::schema::file_text(&checked.shop.catalogue, &checked.shop.names(), kind);
    if let Some(kind) = arguments.kind {
        print::exact(&text(kind))?;
        return Ok(ExitCode::SUCCESS);
    }
    // Within the shop no link may lead out of it; a folder that was named on the command line may be anywhere.
    let out = arguments.out.clone().unwrap_or_else(|| arguments.folder.shop.join("specs/schema"));
    let root = arguments.out.as_ref().unwrap_or(&arguments.folder.shop);
    let files: Vec<(PathBuf, Vec<u8>)> = RecordKind::ALL
        .into_iter()
        .map(|kind| (out.join(kind.schema_file()), text(kind).into_bytes()))
        .collect();
    write_files(root, &files).map_err(|error| Stop::Said(error.to_string()))?;
    for (path, _) in &files {
        writeln!(print::err(), "{}", path.display())?;
    }
    Ok(ExitCode::SUCCESS)
}
