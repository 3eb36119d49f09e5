//! `benchleaf card`

use std::collections::BTreeSet;
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use super::print;
use super::shop::{Stop, checked, renamed};
use crate::book::Book;
use crate::card::wall::to_take_down;
use crate::card::{content, hang_marks, marks};
use crate::check::{CheckedFork, Reach};
use crate::diagnostic::Severity;
use crate::pipeline::Checked;
use crate::record::RecordKind;
use crate::review::{Answer, CardNow, Fate, HANG, look_up};

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// Codes as they are printed on cards, in any capitals, with or without the hyphen; or forks by id, whose cards are
    /// then listed
    #[arg(required = true, value_name = "CODE|FORK")]
    codes: Vec<String>,
    /// Of forks, the hang card alone: its code, and which copies of it are to be taken down from the wall
    #[arg(long)]
    hang: bool,
    /// The shop's folder
    #[arg(long, default_value = ".", value_name = "DIR")]
    shop: PathBuf,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let checked = checked(&arguments.shop)?;
    let book = Book::new(&checked);
    let desk =
        Desk { now: content::cards(&book), book: &book, checked: &checked, wrong: forks_in_error(&checked) };
    let mut all_current = true;
    for text in &arguments.codes {
        all_current &= match (checked.fork(text), renamed(&checked, text)) {
            (Some(fork), _) => of_fork(fork, &desk, arguments.hang)?,
            (None, Some(now)) => {
                writeln!(print::out(), "{now}")?;
                false
            }
            (None, None) => of_code(text, &desk)?,
        };
    }
    print::out().flush()?;
    Ok(ExitCode::from(u8::from(!all_current)))
}

/// What a code is looked up in.
struct Desk<'d> {
    now: Vec<CardNow>,
    book: &'d Book<'d>,
    checked: &'d Checked,
    wrong: BTreeSet<&'d str>,
}

impl Desk<'_> {
    /// Tells what stands on a card today and is no part of its code.
    fn tell_marks(&self, card: &CardNow) -> Result<(), Stop> {
        let Some(fork) = self.checked.fork(&card.fork) else { return Ok(()) };
        if card.service == HANG {
            return self.tell(&hang_marks(self.book, fork));
        }
        let Some(n) = self.book.plans.of(fork).iter().position(|plan| plan.service.id.text == card.service)
        else {
            return Ok(());
        };
        self.tell(&marks(self.book, fork, n))
    }

    fn tell(&self, marks: &[String]) -> Result<(), Stop> {
        for mark in marks {
            writeln!(print::out(), "    {mark}")?;
        }
        Ok(())
    }
}

/// The forks of which nobody can say what their cards should be: what these rest on has an error.
fn forks_in_error(checked: &Checked) -> BTreeSet<&str> {
    let errors = || checked.findings.iter().filter(|finding| finding.severity == Severity::Error);
    if errors().next().is_none() {
        return BTreeSet::new();
    }
    let is_wrong = |fork: &&CheckedFork| {
        let reach = Reach::of(&checked.shop, fork, &checked.files);
        errors().any(|finding| reach.takes(finding, &checked.files))
    };
    checked.forks.iter().filter(is_wrong).map(|fork| fork.id.as_str()).collect()
}

/// Lists the cards of a fork. Gives whether they can be told and there is one.
fn of_fork<'s>(fork: &'s CheckedFork, desk: &Desk<'s>, hang: bool) -> Result<bool, Stop> {
    let id = fork.id.as_str();
    let mut out = print::out();
    if desk.wrong.contains(id) {
        writeln!(out, "{id}: {}", in_error(id))?;
        return Ok(false);
    }
    let is_meant = |card: &&CardNow| card.fork == id && (!hang || card.service == HANG);
    let cards: Vec<&CardNow> = desk.now.iter().filter(is_meant).collect();
    if cards.is_empty() {
        writeln!(out, "{id}: has no card: it is a draft, or no service is for it")?;
    }
    for now in &cards {
        let CardNow { service, values, card, .. } = now;
        let released = desk.checked.shop.released.cards.iter().rev().find(|old| old.card.text == *card);
        let when = released
            .map_or_else(|| "not released".to_owned(), |old| format!("released on {}", old.date.text));
        writeln!(out, "{card}: current: card of {id}, {service}, {when}; values {values}")?;
        desk.tell_marks(now)?;
    }
    let down = if cards.is_empty() { Vec::new() } else { to_take_down(desk.book, fork) };
    for old in &down {
        let (code, date) = (&old.card.text, &old.date.text);
        writeln!(out, "{code}: take down: hang card of {id}, released on {date}")?;
    }
    Ok(!cards.is_empty())
}

/// Why nothing is said of a fork's card.
fn in_error(id: &str) -> String {
    format!("not told: what its cards rest on has an error; `benchleaf check {id}` says which")
}

/// Says what became of a card, by its code. Gives whether it is current.
fn of_code(text: &str, desk: &Desk<'_>) -> Result<bool, Stop> {
    let Desk { now, checked, wrong, .. } = desk;
    let mut out = print::out();
    match look_up(text, &checked.shop.released.cards, now) {
        Answer::NoCode => {
            let shown: String = text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect();
            writeln!(
                out,
                "{shown}: no fork, and no code: a code has eight letters and digits in two groups, such as 7H2K-9QWD"
            )?;
        }
        Answer::Unknown(code) => {
            writeln!(
                out,
                "{code}: unknown: no card is current or was released under this code; do not work from it"
            )?;
            if !wrong.is_empty() {
                let forks: Vec<&str> = wrong.iter().copied().collect();
                writeln!(out, "    not looked at, since they have errors: {}", forks.join(", "))?;
            }
        }
        Answer::Current(code, cards) => {
            let mut current = true;
            for now in cards {
                let CardNow { fork, service, card, .. } = now;
                if wrong.contains(fork.as_str()) {
                    writeln!(out, "{code}: {fork}, {service}: {}", in_error(fork))?;
                    current = false;
                    continue;
                }
                let what = if *card == code { "card" } else { "values" };
                writeln!(out, "{code}: current: {what} of {fork}, {service}")?;
                desk.tell_marks(now)?;
            }
            return Ok(current);
        }
        Answer::Superseded(code, cards) => {
            for (old, fate) in cards {
                let was = format!("{}, {}, released on {}", old.fork.text, old.service.text, old.date.text);
                let id = old.fork.text.as_str();
                let unread = checked.fork(id).is_none() && checked.shop.knows(RecordKind::Fork, id);
                if unread || wrong.contains(id) {
                    writeln!(out, "{code}: superseded: {was}: {}", in_error(id))?;
                    continue;
                }
                writeln!(out, "{code}: superseded: {was}: {}", became(&fate))?;
                if let Fate::Current(now) | Fate::Replaced { now, .. } = fate {
                    desk.tell_marks(now)?;
                }
            }
        }
    }
    Ok(false)
}

/// What became of a released card, in words.
fn became(fate: &Fate<'_>) -> String {
    match fate {
        // Its values' code was typed, and those changed back and forth.
        Fate::Current(card) => format!("the card is {}", card.card),
        Fate::Replaced { now, same_values: true } => {
            format!("the card is now {}; steps or cautions changed, the numbers did not", now.card)
        }
        Fate::Replaced { now, .. } => format!("the card is now {}; its numbers changed", now.card),
        Fate::Gone => "there is no such card any more".to_owned(),
    }
}
