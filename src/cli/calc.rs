//! `benchleaf calc`: one subcommand for each subject, made from the subjects' table.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Arg, ArgAction, ArgMatches, Command, FromArgMatches, Subcommand};

use super::print;
use super::shop::{Stop, checked};
use crate::calc::{Asked, KnownFork, Subject, Takes, subjects};
use crate::diagnostic::did_you_mean;
use crate::resolve::Side;
use crate::text::in_json;

/// A subject with what was given to it.
pub(super) struct Arguments {
    subject: &'static Subject,
    given: BTreeMap<&'static str, String>,
    fork: Option<String>,
    shop: Option<PathBuf>,
    side: Side,
    json: bool,
}

fn command(subject: &'static Subject) -> Command {
    let mut command = Command::new(subject.name).about(subject.about).after_help(help(subject));
    for input in subject.inputs {
        let mut arg = Arg::new(input.name)
            .long(input.name)
            .help(format!("{} [such as: {}]", capital(input.help), input.example))
            .value_name("VALUE")
            .allow_hyphen_values(true);
        if let Takes::Word(words) = input.takes {
            arg = arg.value_parser(clap::builder::PossibleValuesParser::new(words)).value_name("WORD");
        }
        command = command.arg(arg);
    }
    command
        .arg(
            Arg::new("fork")
                .long("fork")
                .value_name("ID")
                .help("A fork of the shop whose record fills in the rest"),
        )
        .arg(
            Arg::new("leg")
                .long("leg")
                .value_name("LEG")
                .value_parser(["left", "right"])
                .default_value("left")
                .help("Which leg of the fork"),
        )
        .arg(
            Arg::new("shop")
                .long("shop")
                .value_name("SHOP")
                .value_parser(clap::value_parser!(PathBuf))
                .help("The shop's folder; the current one when left out, where a fork or an oil is named"),
        )
        .arg(Arg::new("json").long("json").action(ArgAction::SetTrue).help("Write JSON, for scripts"))
}

fn help(subject: &Subject) -> String {
    let mut text = format!("Example:\n  {}", subject.typed());
    if !subject.shows.is_empty() {
        text.push_str(&format!("\n  {}", subject.shows));
    }
    text
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}", first.to_uppercase(), letters.as_str()))
}

impl Subcommand for Arguments {
    fn augment_subcommands(command_line: Command) -> Command {
        subjects().fold(command_line, |so_far, subject| so_far.subcommand(command(subject)))
    }

    fn augment_subcommands_for_update(command_line: Command) -> Command {
        Self::augment_subcommands(command_line)
    }

    fn has_subcommand(name: &str) -> bool {
        subjects().any(|subject| subject.name == name)
    }
}

impl FromArgMatches for Arguments {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let missing =
            || clap::Error::raw(clap::error::ErrorKind::MissingSubcommand, "say what to work out\n");
        let (name, matches) = matches.subcommand().ok_or_else(missing)?;
        let subject = subjects().find(|subject| subject.name == name).ok_or_else(missing)?;
        let given = subject
            .inputs
            .iter()
            .filter_map(|input| Some((input.name, matches.get_one::<String>(input.name)?.clone())))
            .collect();
        Ok(Arguments {
            subject,
            given,
            fork: matches.get_one::<String>("fork").cloned(),
            shop: matches.get_one::<PathBuf>("shop").cloned(),
            side: match matches.get_one::<String>("leg").map(String::as_str) {
                Some("right") => Side::Right,
                _ => Side::Left,
            },
            json: matches.get_flag("json"),
        })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let folder = match (&arguments.shop, &arguments.fork) {
        (Some(folder), _) => Some(folder.clone()),
        (None, Some(_)) => Some(PathBuf::from(".")),
        // An oil is named by its id in a shop: in a shop's folder, that shop.
        (None, None) => {
            let names_oil = arguments.subject.inputs.iter().any(|input| input.takes == Takes::Oil);
            (names_oil && Path::new("specs").is_dir()).then(|| PathBuf::from("."))
        }
    };
    let shop = folder.map(|folder| checked(&folder)).transpose()?;
    let used = RefCell::default();
    let fork = match (&shop, &arguments.fork) {
        (Some(shop), Some(id)) => {
            let fork = shop.fork(id).ok_or_else(|| {
                let ids = shop.forks.iter().map(|fork| fork.id.as_str());
                let hint = did_you_mean(id, ids, || "name one by its id".to_owned());
                Stop::Said(format!("there is no fork `{id}` in this shop: {hint}"))
            })?;
            let (shop, derived, side) = (&shop.shop, &fork.derived, arguments.side);
            Some(KnownFork { shop, fork, derived, side, used: &used })
        }
        _ => None,
    };
    let asked = Asked {
        inputs: arguments.subject.inputs,
        given: arguments.given.clone(),
        fork,
        shop: shop.as_ref().map(|checked| &checked.shop),
        lacking: RefCell::default(),
    };
    let sheet =
        arguments.subject.work(&asked).map_err(|refusal| Stop::Said(refusal.lines("benchleaf: ".len())))?;
    if arguments.json {
        print::exact(&in_json(&format!("{:#}\n", sheet.json())))?;
    } else {
        write!(print::out(), "{}", sheet.text())?;
    }
    Ok(ExitCode::SUCCESS)
}
