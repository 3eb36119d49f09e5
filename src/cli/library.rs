//! `benchleaf library update`

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Subcommand;

use super::print;
use super::shop::{Format, Stop, checked, tell};
use crate::check::waiting::ledger;
use crate::compare::not_in;
use crate::diagnostic::Severity;
use crate::library::{Conflict, Following, LEDGER, Stock, Wish, follow};
use crate::output::{Change, change_files};
use crate::pipeline::{Checked, check_shop_on};
use crate::text::Memory;
use crate::words::count;

/// The version of the library that this program brings.
pub(super) const VERSION: &str = env!("CARGO_PKG_VERSION");

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(subcommand)]
    what: What,
}

#[derive(Subcommand)]
enum What {
    /// Take the library of this program into the shop: what the shop changed stays its own, the rest follows
    Update(Update),
}

#[derive(clap::Args)]
struct Update {
    /// The shop's folder, which holds specs and procedures
    #[arg(default_value = ".", value_name = "SHOP")]
    shop: PathBuf,
    /// Of a text that both changed, keep the shop's; by its path
    #[arg(long, value_name = "PATH")]
    keep: Vec<String>,
    /// Of a text that both changed, take the library's; by its path
    #[arg(long, value_name = "PATH")]
    take: Vec<String>,
    /// Say what would change, and change nothing
    #[arg(long)]
    dry_run: bool,
    /// Write it although it brings new errors, or although the shop has a later version
    #[arg(long)]
    anyway: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let What::Update(update) = &arguments.what;
    let before = checked(&update.shop)?;
    let ledger = ledger(&before.files).unwrap_or_default();
    is_a_shop(&before, &update.shop)?;
    if later(&ledger.version, VERSION) && !update.anyway {
        return Err(Stop::Said(format!(
            "the shop has version {} of the library, and this program brings {VERSION}: use the later program, or add `--anyway`",
            ledger.version
        )));
    }
    let stock = Stock::of_this_program().map_err(|error| Stop::Said(error.to_string()))?;
    let files: BTreeMap<String, String> =
        before.files.iter().map(|(_, file)| (file.path.clone(), file.text.clone())).collect();
    let done = follow(&files, &ledger, (VERSION, &stock.library), &wishes(update));
    if let Some(name) = done.unmet.first() {
        return Err(Stop::Said(format!(
            "`{name}` is no text that both changed: name it as it is told; without `--keep` and `--take` all are told"
        )));
    }
    say(&done)?;
    let errors = new_errors(&before, &files, &done, &update.shop)?;
    let mut out = print::out();
    if update.dry_run {
        writeln!(out, "Nothing was changed: it was only asked.")?;
    } else if errors && !update.anyway {
        writeln!(
            out,
            "Nothing was changed: these errors would be new. Mend the shop's own texts first, or add `--anyway`."
        )?;
        return Ok(ExitCode::from(1));
    } else {
        write(&update.shop, &files, &done)?;
    }
    Ok(ExitCode::from(u8::from(!done.conflicts.is_empty())))
}

/// Refuses a folder that is no shop: a whole library would be put into it.
fn is_a_shop(before: &Checked, shop: &Path) -> Result<(), Stop> {
    let there = before.files.iter().any(|(_, file)| file.path == "specs/shop.yaml" || file.path == LEDGER);
    if there {
        return Ok(());
    }
    Err(Stop::Said(format!(
        "`{}` holds no shop: there is no specs/shop.yaml; `benchleaf new shop DIR` begins one",
        shop.display()
    )))
}

/// Whether one version is later than another.
fn later(one: &str, other: &str) -> bool {
    let parts =
        |version: &str| version.split('.').map(|part| part.parse().unwrap_or(0)).collect::<Vec<u64>>();
    parts(one) > parts(other)
}

fn wishes(update: &Update) -> BTreeMap<String, Wish> {
    let plain = |name: &String| name.trim_start_matches("./").replace('\\', "/");
    let keep = update.keep.iter().map(|name| (plain(name), Wish::Keep));
    keep.chain(update.take.iter().map(|name| (plain(name), Wish::Take))).collect()
}

/// Checks the shop as it will be, and tells the errors that it has not now.
fn new_errors(
    before: &Checked,
    files: &BTreeMap<String, String>,
    done: &Following,
    shop: &Path,
) -> Result<bool, Stop> {
    let mut files = files.clone();
    for (path, text) in &done.files {
        match text {
            Some(text) => drop(files.insert(path.clone(), text.clone())),
            None => drop(files.remove(path)),
        }
    }
    files.insert(LEDGER.to_owned(), done.ledger.write());
    let after = check_shop_on(&Memory::new(files), before.day);
    let (mut new, _) = not_in(&after, before);
    new.retain(|finding| finding.severity == Severity::Error);
    if !new.is_empty() {
        tell(&new, &after.files, Format::Text, shop)?;
    }
    Ok(!new.is_empty())
}

fn write(shop: &Path, files: &BTreeMap<String, String>, done: &Following) -> Result<(), Stop> {
    let change = |path: &str, new: Option<String>| Change {
        path: shop.join(path),
        old: files.get(path).cloned(),
        new,
    };
    let mut changes: Vec<Change> = done.files.iter().map(|(path, new)| change(path, new.clone())).collect();
    // Last: a run that is killed before it is gone on with by the same command.
    let text = done.ledger.write();
    if files.get(LEDGER) != Some(&text) {
        changes.push(change(LEDGER, Some(text)));
    }
    change_files(shop, &changes).map_err(|error| Stop::Said(error.to_string()))
}

fn say(done: &Following) -> Result<(), Stop> {
    let mut out = print::out();
    let lists = [
        ("new", &done.added),
        ("follows", &done.followed),
        ("gone", &done.removed),
        ("the shop's own, left as it is", &done.own),
        ("taken out by the shop, stays out", &done.left_out),
    ];
    for (word, names) in lists {
        for name in names {
            writeln!(out, "{word}: {name}")?;
        }
    }
    for conflict in &done.conflicts {
        write!(out, "\n{}", told(conflict))?;
    }
    let number = |names: &[String], word: &str| format!("{} {word}", names.len());
    writeln!(
        out,
        "Version {VERSION}: {}, {}, {}, {}, {}, {}.",
        number(&done.added, "new"),
        number(&done.followed, "followed"),
        number(&done.removed, "gone"),
        number(&done.own, "the shop's own"),
        number(&done.left_out, "taken out"),
        count(done.conflicts.len(), "to decide", "to decide"),
    )?;
    Ok(())
}

/// A text that both changed, where the two differ.
fn told(conflict: &Conflict) -> String {
    let name = &conflict.name;
    let (own, library) = (conflict.own.as_deref(), conflict.library.as_deref());
    let (mine, theirs): (Vec<&str>, Vec<&str>) =
        (own.unwrap_or("").lines().collect(), library.unwrap_or("").lines().collect());
    let same = mine.iter().zip(&theirs).take_while(|(mine, theirs)| mine == theirs).count();
    let rest = mine.len().min(theirs.len()) - same;
    let alike = mine.iter().rev().zip(theirs.iter().rev()).take(rest);
    let end = alike.take_while(|(mine, theirs)| mine == theirs).count();
    let mut out = format!("{name}: both changed it, and the shop's text stays\n");
    for (whose, whole, lines) in [("The shop's", own, &mine), ("The library's", library, &theirs)] {
        match whole {
            None => out.push_str(&format!("  {whose}: taken out\n")),
            Some(_) => {
                out.push_str(&format!("  {whose}, from line {}:\n", same + 1));
                for line in &lines[same..lines.len() - end] {
                    out.push_str(&format!("    | {line}\n"));
                }
            }
        }
    }
    out.push_str(&format!(
        "  Decide: `benchleaf library update --keep {name}` or `--take {name}`; or write one of both and keep it\n\n"
    ));
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn versions_are_compared_as_numbers() {
        assert!(later("0.10.0", "0.9.3") && !later("0.1.0", "0.1.0") && !later("", "0.1.0"));
    }

    #[test]
    fn a_conflict_is_told_where_the_two_texts_differ() {
        let conflict = Conflict {
            name: "a.md".to_owned(),
            own: Some("one\ntwo here\nthree\n".to_owned()),
            library: Some("one\ntwo now\nand more\nthree\n".to_owned()),
        };
        let told = told(&conflict);
        assert!(told.contains("The shop's, from line 2:\n    | two here\n  The library's"), "{told}");
        assert!(told.contains("    | two now\n    | and more\n  Decide"), "{told}");
    }
}
