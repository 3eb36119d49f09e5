//! `benchleaf check`

use std::io::Write;
use std::mem::ManuallyDrop;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use crate::check::{CheckedFork, Reach, told_once};
use crate::compare::not_in;
use crate::diagnostic::{Finding, did_you_mean, order, summary, with_overview};
use crate::pipeline::{Checked, check_again, check_shop_on};
use crate::record::{RecordKind, stem};
use crate::site::{print_findings, remember_check};
use crate::text::Revision;

use super::build::SITE;
use super::print;
use super::shop::{Findings, Format, Stop, read, renamed, tell, tell_in_words};

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// The shop's folder, which holds specs and procedures; and one of its forks, by id or by the path of its record:
    /// then only what reaches that fork is told
    #[arg(value_name = "SHOP] [FORK", num_args = 0..=2)]
    what: Vec<PathBuf>,
    /// Tell, and count, only what this git revision of the shop has not: a pull request then fails by what it brings
    #[arg(long, value_name = "REVISION")]
    new_since: Option<String>,
    #[command(flatten)]
    findings: Findings,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let (shop, wanted) = places(&arguments.what)?;
    // The program ends with it: to take it apart piece by piece would only cost time.
    let mut memory = ManuallyDrop::new(remember_check(Path::new(SITE)));
    let mut checked = ManuallyDrop::new(with_cards(check_again(read(&shop)?, &mut memory)));
    let mut left_out = Vec::new();
    let mut fork = None;
    if let Some(wanted) = &wanted {
        let file = record(&checked, &shop, wanted)?;
        let reach = reach(&checked, &file);
        fork = checked.forks.iter().find(|fork| checked.files.get(fork.record.file).path == file).cloned();
        let all = std::mem::take(&mut checked.findings);
        (checked.findings, left_out) =
            all.into_iter().partition(|finding| reach.takes(finding, &checked.files));
    }
    let known = match &arguments.new_since {
        Some(revision) => Some((revision, old_ones(&mut checked, &shop, revision)?)),
        None => None,
    };
    say(&checked, (wanted.is_some(), fork.as_ref()), arguments, &shop)?;
    if let Some(wanted) = &wanted {
        let said = match left_out.len() {
            0 => format!("Only what reaches `{}` is told; there is nothing else.", stem(&name(wanted))),
            _ => format!(
                "Only what reaches `{}` is told; left out, of the rest of the shop: {}",
                stem(&name(wanted)),
                summary(&left_out, checked.files.iter().count())
            ),
        };
        remark(arguments, &said)?;
    }
    if let Some((revision, known)) = known {
        let files = checked.files.iter().count();
        remark(
            arguments,
            &format!("Only what `{revision}` has not is told; left out: {}", summary(&known, files)),
        )?;
    }
    Ok(ExitCode::from(u8::from(arguments.findings.stop(&checked))))
}

/// Tells the findings. Whoever asks about one fork wants to know what to do, and of a draft what is left to write.
fn say(
    checked: &Checked,
    (of_one, fork): (bool, Option<&CheckedFork>),
    asked: &Arguments,
    shop: &Path,
) -> Result<(), Stop> {
    let format = match asked.findings.format() {
        Format::Text if of_one => Format::Full,
        format => format,
    };
    let of_draft = fork.filter(|_| asked.findings.format() == Format::Text);
    match of_draft.and_then(|fork| told_once(&checked.shop, fork, &checked.findings)) {
        Some((first, rest)) => {
            tell_in_words(|width, colour| with_overview(&first, &rest, &checked.files, width, colour))
        }
        None => tell(&checked.findings, &checked.files, format, shop),
    }
}

/// A shop with what is found when its cards are made.
fn with_cards(mut checked: Checked) -> Checked {
    checked.findings.extend(print_findings(&checked, Some(Path::new(SITE))));
    checked.findings = order(std::mem::take(&mut checked.findings), &checked.files);
    checked
}

/// Takes out what a revision of the shop has already.
fn old_ones(checked: &mut Checked, shop: &Path, revision: &str) -> Result<Vec<Finding>, Stop> {
    let opened = Revision::open(shop, revision).map_err(|why| Stop::Said(why.to_string()))?;
    let old = with_cards(check_shop_on(&opened, opened.day));
    let (new, known) = not_in(checked, &old);
    checked.findings = new;
    Ok(known)
}

/// A sentence beside the findings: among them for a person, apart from them for a program.
fn remark(arguments: &Arguments, said: &str) -> Result<(), Stop> {
    if arguments.findings.format().is_for_a_person() {
        writeln!(print::out(), "{said}")?;
    } else {
        writeln!(print::err(), "{said}")?;
    }
    Ok(())
}

/// What belongs to a record: of a fork, all that its pages and cards rest on.
fn reach(checked: &Checked, path: &str) -> Reach {
    let read = |fork: &&CheckedFork| checked.files.get(fork.record.file).path == path;
    match checked.forks.iter().find(read) {
        Some(fork) => Reach::of(&checked.shop, fork, &checked.files),
        None => Reach::of_file(path),
    }
}

/// The shop's folder, and the record that is asked for. A record's path tells the folder of its shop.
fn places(what: &[PathBuf]) -> Result<(PathBuf, Option<PathBuf>), Stop> {
    let here = || PathBuf::from(".");
    match what {
        [] => Ok((here(), None)),
        [one] if one.is_dir() => Ok((one.clone(), None)),
        [one] if one.is_file() => {
            let above = one.ancestors().nth(3).filter(|above| above.join("specs").is_dir());
            let shop =
                above.map(|above| if above.as_os_str().is_empty() { here() } else { above.to_path_buf() });
            Ok((shop.unwrap_or_else(here), Some(one.clone())))
        }
        // A name alone is a fork's, where there is a shop to look it up in.
        [one] if Path::new("specs").is_dir() => Ok((here(), Some(one.clone()))),
        [one] => Ok((one.clone(), None)),
        [shop, fork, ..] => Ok((shop.clone(), Some(fork.clone()))),
    }
}

fn name(path: &Path) -> String {
    path.to_string_lossy().replace('\\', "/")
}

/// The path inside the shop of the record that is asked for.
fn record(checked: &Checked, shop: &Path, wanted: &Path) -> Result<String, Stop> {
    let wanted = name(wanted);
    let inside = Path::new(&wanted).strip_prefix(shop).map_or_else(|_| wanted.clone(), name);
    let kinds =
        [RecordKind::Fork, RecordKind::Build, RecordKind::Family, RecordKind::Oil, RecordKind::Spring];
    let records = || {
        let paths = checked.files.iter().map(|(_, file)| file.path.as_str());
        paths.filter(|path| RecordKind::of(path).is_some_and(|kind| kinds.contains(&kind)))
    };
    // Forks come first where a family or an oil has the same name.
    let by_id = || {
        kinds.iter().find_map(|kind| {
            records().find(|path| RecordKind::of(path) == Some(*kind) && stem(path) == inside)
        })
    };
    let found = records().find(|path| *path == inside.trim_start_matches("./")).or_else(by_id);
    found.map(str::to_owned).ok_or_else(|| {
        if let Some(now) = renamed(checked, &inside) {
            return Stop::Said(now);
        }
        let hint = did_you_mean(&inside, records().map(stem), || {
            "name a fork by its id, or the shop by its folder".to_owned()
        });
        Stop::Said(format!("there is no folder and no fork `{inside}`: {hint}"))
    })
}
