//! What each page is made from, so that a page whose sources are as they were is not rendered again.

use std::collections::{BTreeMap, HashMap};

use rayon::prelude::*;

use super::list::{Planned, Press};
use super::page::fork::{others, shared};
use crate::book::Book;
use crate::card::wall::hung;
use crate::check::CheckedFork;
use crate::date::AsOf;
use crate::judge::ran_out;
use crate::output::Digest;
use crate::record::RecordKind;
use crate::text::Files;

/// Everything the site is made from: this program's own code and templates, every source, and the day by which what
/// was let stand is judged.
pub fn run_digest(files: &Files, day: Option<AsOf>) -> Digest {
    let day = day.map(|day| format!("{} {}", day.date, day.settled)).unwrap_or_default();
    Digest::of_parts([digest(files, |_| true).as_ref(), day.as_bytes()])
}

fn digest(files: &Files, is_part: impl Fn(&str) -> bool) -> Digest {
    let program = [env!("CARGO_PKG_VERSION"), env!("BENCHLEAF_SOURCES")];
    let sources = files.iter().filter(|(_, file)| is_part(&file.path));
    let sources = sources.flat_map(|(_, file)| [file.path.as_str(), file.text.as_str(), file.seal.as_str()]);
    Digest::of_parts(program.into_iter().chain(sources))
}

/// What the forks of a shop rest on.
pub struct Rests<'s> {
    common: Digest,
    forks: HashMap<&'s str, Digest>,
}

impl<'s> Rests<'s> {
    /// All that is told of a fork is made from the fork's record, from every source that is no fork, no job and no list
    /// of released cards, from what was found in it, and from the names of the forks it shares a part with. Nothing
    /// else of another fork reaches it: `resolve`, `derive` and `plan` look at one fork at a time.
    pub fn of(book: &Book<'s>) -> Rests<'s> {
        let alone = |path: &str| {
            use RecordKind::{Build, Fork, Job, Released};
            matches!(RecordKind::of(path), Some(Fork | Build | Released | Job))
        };
        // Which wrench a step names hangs on the day of the last release as well.
        let on = book.last_release();
        let over = book.shop.tools.iter().filter(|tool| ran_out(tool, on).is_some());
        let over: Vec<&[u8]> = over.map(|tool| tool.id.text.as_bytes()).collect();
        let sources = digest(book.files, |path| !alone(path));
        let common = Digest::of_parts([sources.as_ref()].into_iter().chain(over));
        let mut findings: BTreeMap<&String, Vec<String>> = BTreeMap::new();
        for finding in book.findings {
            let text = format!("{} {}", finding.code(), finding.message);
            let path = &book.files.get(finding.span.file).path;
            for place in finding.reaches.iter().chain([path]) {
                findings.entry(place).or_default().push(text.clone());
            }
        }
        let forks = book.forks.par_iter().map(|fork| (fork.id.as_str(), of_fork(book, &findings, fork)));
        Rests { common, forks: forks.collect() }
    }

    /// What the cards of a fork are made from.
    pub fn of_cards(&self, fork: &CheckedFork) -> Option<Digest> {
        Some(Digest::of_parts([self.common, *self.forks.get(fork.id.as_str())?]))
    }

    /// What each page is made from, in the order of the list; `None` for a page that tells of the whole shop.
    pub fn of_pages(&self, press: &Press<'_, 's>) -> Vec<Option<Digest>> {
        let of_page = |planned: &Planned<'s>| {
            let (forks_of_page, place) = press.forks_of(planned)?;
            let place = Digest::of(place.as_bytes());
            let forks_of_page = forks_of_page.into_iter().map(|fork| self.forks[fork.id.as_str()]);
            Some(Digest::of_parts([self.common, place].into_iter().chain(forks_of_page)))
        };
        press.list().iter().map(of_page).collect()
    }
}

fn of_fork<'s>(book: &Book<'s>, findings: &BTreeMap<&String, Vec<String>>, fork: &'s CheckedFork) -> Digest {
    let file = book.files.get(fork.record.file);
    let mut parts = vec![file.path.clone(), file.text.clone()];
    // A build rests on its fork, and a fork names the builds over it.
    let builds = book.shop.builds_of(&fork.id);
    for record in builds.chain(book.shop.built_over(&fork.record)) {
        let file = book.files.get(record.file);
        parts.extend([file.path.clone(), file.text.clone()]);
    }
    // The first review anywhere turns the marks on everywhere; and which warnings there are hangs on the day.
    parts.push(book.reviewed.to_string());
    // Of the shop's jobs a page tells these figures alone.
    parts.extend(book.evidence(fork).iter().map(|one| format!("{one:?}")));
    // Of the released cards its own hang cards: which hangs as it is now, and which copies are old.
    parts.extend(hung(book, fork).flat_map(|card| [card.card.text.clone(), card.date.text.clone()]));
    let at_home = findings.get(&book.files.get(fork.record.file).path);
    let inherited = findings.get(&fork.id);
    parts.extend(at_home.into_iter().chain(inherited).flatten().cloned());
    for part in shared(book, fork) {
        parts.push(part.what);
        parts.extend(part.forks.into_iter().flat_map(|link| [link.href, link.text]));
    }
    for machine in &fork.record.machines {
        let seen = others(book, fork, machine).into_iter();
        parts.extend(seen.flat_map(|other| [other.fork.href, other.fork.text, other.seen]));
    }
    Digest::of_parts(parts)
}
