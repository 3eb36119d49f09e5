//! Measures how many unit slips are caught, by what, and how often the right one is named:
//! `cargo run --release --example slip_trial -- [--from SHOP] [--models 500] [--every 1]`.
//! With `--every N` slips are tried on one model in N, and false alarms counted on all.
//!
//! Tried are the demo shop and a made-up one, the latter in three ways. The made-up shop's models take the choices of
//! the demo shop's forks in turn; each of their values lies about the middle of its class (same choices and size),
//! within spreads that are fixed here beforehand: torques 15 %, gaps and other lengths 8 %, spring rates 15 %,
//! volumes 8 %, all else 15 %. A class's middle is the middle of the catalogue's band for it. Two ways are
//! with the spread as the bounds of an even distribution, and as the standard deviation of a normal one, cut at
//! two and a half of them, which is harder. In the third way classes are where the demo forks lie, even where
//! that is near the end of a band. No value is drawn again because it lies outside its band. Values are drawn
//! each for itself, so a made-up gap may lie outside the tuning range made up beside it; what such a record's
//! other values leave for one is not asked there, since other rules have told that they contradict each other.
//!
//! Every number is slipped in every way that applies, three ways: the number (worked out in another unit, the
//! label kept; the point moved; both legs for one), the unit's label, and one half of a value said twice. A slip
//! is caught where the value is refused, outside its band, or apart from its peers; the right slip is named
//! where the value offered first is the true one within 2 %, and told where it is among all that are offered.

mod shop;
mod trial;

use std::path::PathBuf;
use std::process::ExitCode;

use benchleaf::resolve::ResolvedFork;
use benchleaf::text::Folder;

fn main() -> ExitCode {
    let (mut from, mut models, mut every) = (PathBuf::from("."), 500, 1);
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        match (word.as_str(), words.next()) {
            ("--from", Some(text)) => from = PathBuf::from(text),
            ("--models", Some(text)) if text.parse::<usize>().is_ok() => {
                models = text.parse().unwrap_or(models)
            }
            ("--every", Some(text)) if text.parse::<usize>().is_ok_and(|n| n > 0) => {
                every = text.parse().unwrap_or(every);
            }
            _ => {
                eprintln!("Usage: slip_trial [--from SHOP] [--models N] [--every N]");
                return ExitCode::from(2);
            }
        }
    }
    let demo = benchleaf::check_shop(&Folder { root: from });
    if demo.forks.is_empty() {
        eprintln!("there is no shop to take the forks from");
        return ExitCode::from(2);
    }
    let resolved: Vec<ResolvedFork> = demo.forks.iter().map(|fork| fork.resolved.as_ref().clone()).collect();
    trial::report("the demo shop", &demo.shop, &resolved, 1);
    for (law, centre) in [
        (shop::Law::Even, shop::Centre::Band),
        (shop::Law::Normal, shop::Centre::Band),
        (shop::Law::Even, shop::Centre::Demo),
    ] {
        let forks = shop::forks(&demo.shop, &resolved, models, law, centre);
        let name = format!("{models} made-up models, {}, {}", centre.words(), law.words());
        trial::report(&name, &demo.shop, &forks, every);
    }
    ExitCode::SUCCESS
}
