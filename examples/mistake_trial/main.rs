//! Makes mistakes as people make them in every record of the demo shop, and counts what is told of them:
//! `cargo run --release --example mistake_trial -- [--from SHOP] [--seed 1] [--each 8] [--show KIND] [--only KIND,…]`.
//!
//! The kinds, what each counts for and how an edit is judged stand in `KINDS.md`; the correct but unusual edits in
//! `UNUSUAL.md`. Both are tried in the shop as it is and in the same shop with its reviews taken out. The same seed
//! makes the same mistakes. `--only` tries a few kinds, in the shop without reviews, and in the same in words of its own,
//! where nothing is known as the library's. `--show KIND` prints each mistake of a kind with what is told of it, `--show unusual`
//! the edits; `--show missed` every mistake that is not stopped and should be, `--show wrong` every wrong suggestion.

mod figures;
mod further;
mod judge;
mod kinds;
mod mistake;
mod random;
mod records;
mod unusual;
mod work;
mod world;

use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Instant;

use benchleaf::quantity::Dimension;
use benchleaf::syntax::Scheme;
use rayon::prelude::*;

use judge::{Answer, Outcome, Told};
use kinds::{Counts, Kind};
use mistake::Mistake;
use random::Random;
use world::{Reviewed, World};

/// Units that mean two things.
const AMBIGUOUS: [(Dimension, &str, Option<&str>); 3] = [
    (Dimension::Volume, "oz", Some("US fl oz")),
    (Dimension::Torque, "lb", Some("lbf·ft")),
    (Dimension::Torque, "lb", Some("lbf·in")),
];

/// Units of another kind.
const OTHER_KIND: [(Dimension, &str, Option<&str>); 5] = [
    (Dimension::Torque, "N", None),
    (Dimension::Volume, "mm", None),
    (Dimension::Length, "mL", None),
    (Dimension::Pressure, "N·m", None),
    (Dimension::SpringRate, "N", None),
];

struct Arguments {
    from: PathBuf,
    seed: u64,
    each: usize,
    show: String,
    /// The kinds that are tried; empty: all, in both shops. A few are tried in the shop without reviews alone.
    only: Vec<String>,
}

fn arguments() -> Option<Arguments> {
    let mut out =
        Arguments { from: PathBuf::from("."), seed: 1, each: 8, show: String::new(), only: Vec::new() };
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let value = words.next()?;
        match word.as_str() {
            "--from" => out.from = PathBuf::from(value),
            "--seed" => out.seed = value.parse().ok()?,
            "--each" => out.each = value.parse().ok()?,
            "--show" => out.show = value,
            "--only" => out.only = value.split(',').map(str::to_owned).collect(),
            _ => return None,
        }
    }
    Some(out)
}

fn main() -> ExitCode {
    let Some(arguments) = arguments() else {
        eprintln!(
            "Usage: mistake_trial [--from SHOP] [--seed N] [--each N] [--show KIND|unusual|missed|wrong] [--only KIND,…]"
        );
        return ExitCode::from(2);
    };
    let kinds = match kinds::all() {
        Ok(kinds) => kinds,
        Err(why) => {
            eprintln!("KINDS.md: {why}");
            return ExitCode::from(2);
        }
    };
    let shops: &[Reviewed] = match arguments.only.is_empty() {
        true => &[Reviewed::Yes, Reviewed::No],
        false => &[Reviewed::No, Reviewed::OwnWords],
    };
    for &reviewed in shops {
        if let Err(why) = trial(&arguments, &kinds, reviewed) {
            eprintln!("{why}");
            return ExitCode::from(2);
        }
    }
    ExitCode::SUCCESS
}

/// Every mistake of a kind that can be made; `None` where nothing makes them.
fn makes(world: &World, name: &str, random: &mut Random) -> Option<Vec<Mistake>> {
    numbers(world, name, random)
        .or_else(|| heads(world, name, random))
        .or_else(|| steps(world, name, random))
        .or_else(|| beside(world, name))
}

fn numbers(world: &World, name: &str, random: &mut Random) -> Option<Vec<Mistake>> {
    Some(match name {
        "label-far-twin" => figures::label(world, true, true),
        "label-near-twin" => figures::label(world, false, true),
        "number-twin" => figures::number_twin(world),
        "label-far" => figures::label(world, true, false),
        "label-near" => figures::label(world, false, false),
        "point-twin" => figures::point(world, true),
        "point" => figures::point(world, false),
        "digits-twin" => figures::digits(world, random, true),
        "digits" => figures::digits(world, random, false),
        "digit-twin" => figures::digit(world, random, true),
        "digit" => figures::digit(world, random, false),
        "comma" => figures::comma(world),
        "bare-number" => figures::bare(world),
        "ambiguous-unit" => figures::other_unit(world, &AMBIGUOUS),
        "wrong-dimension" => figures::other_unit(world, &OTHER_KIND),
        "tolerance" => figures::tolerance(world),
        "beyond-range" => figures::beyond_range(world),
        "range-slipped" => figures::range_slipped(world),
        "wear-limit" => figures::wear_limit(world),
        "other-size" => figures::other_size(world),
        "other-fork" => figures::other_fork(world),
        "other-line" => figures::other_line(world),
        "neighbor" => figures::neighbor(world),
        "rate" => figures::rate(world),
        "bolt" => figures::bolt(world),
        "sides" => figures::sides(world, false),
        "fill-once" => figures::sides(world, true),
        "fills-exchanged" => figures::fills_exchanged(world),
        "family-number" => figures::family_number(world, random),
        _ => return None,
    })
}

fn heads(world: &World, name: &str, random: &mut Random) -> Option<Vec<Mistake>> {
    let safe = |line: &world::Line<'_>| line.field.safety;
    Some(match name {
        "seal-lip" => figures::seal_lip(world),
        "seal-order" => figures::seal_order(world),
        "difference" => figures::difference(world),
        "thread-dry" => figures::thread_dry(world),
        "fender" => figures::fender(world),
        "state-spring" => figures::state(world, "spring", &[("out", "in"), ("in", "out")]),
        "state-leg" => figures::state(world, "leg", &[("collapsed", "extended"), ("extended", "collapsed")]),
        "state-edge" => figures::state(
            world,
            "edge",
            &[("stanchion-top", "outer-tube-top"), ("outer-tube-top", "stanchion-top")],
        ),
        "state-missing" => figures::part_missing(world, "state", safe),
        "thread-state" => figures::part_missing(world, "thread_state", |line| line.field.group == "torque"),
        "not-fitted" => figures::not_fitted(world),
        "value-missing" => figures::value_missing(world),
        "twin-missing" => figures::twin_missing(world),
        "sequence" => figures::sequence(world),
        "choice" => records::choice(world),
        "family-wrong" => records::family_wrong(world),
        "family-foreign" => records::family_foreign(world),
        "duplicate" => records::duplicate(world),
        "oil-other" => records::oil_other(world),
        "oil-lost" => records::oil_lost(world, random),
        "oil-figure" => records::oil_figure(world),
        "years" => records::years_wrong(world),
        "years-one" => records::years_one(world),
        "date-future" => records::date_future(world),
        "source-lost" => records::source_lost(world, random),
        _ => return None,
    })
}

fn steps(world: &World, name: &str, random: &mut Random) -> Option<Vec<Mistake>> {
    let aids = |world: &World| {
        let tools = work::left_out(world, "tools", |one| &one.tools);
        tools.into_iter().chain(work::left_out(world, "consumables", |one| &one.consumables)).collect()
    };
    Some(match name {
        "prose-number" => work::prose_number(world),
        "prose-added" => work::prose_added(world, random),
        "turn-words" => work::turn_words(world),
        "link-other" => work::reference_other(world, Scheme::Spec),
        "box-other" => work::reference_other(world, Scheme::Reading),
        "refill-dry" => work::refill_dry(world),
        "link-lost" => work::link_lost(world, random),
        "wrench" => work::wrench(world),
        "tool-lost" => aids(world),
        "needs" => work::left_out(world, "needs", |one| &one.needs),
        "brings" => work::left_out(world, "brings", |one| &one.brings),
        "ends" => work::left_out(world, "ends", |one| &one.ends),
        "condition-lost" => work::condition_lost(world, random),
        "step-deleted" => work::step(world, true),
        "step-plain-deleted" => work::step(world, false),
        "caution-link" => work::caution_link(world),
        "signal-word" => work::signal_word(world),
        "caution-text" => work::caution_text(world),
        "caution-for" => work::caution_for(world),
        "condition-caution" => work::condition_caution(world),
        "condition-excludes" => work::condition_excludes(world),
        "hand-back" => work::hand_back(world),
        "service-entry" => work::service_entry(world),
        "service-order" => work::service_order(world),
        "procedure-for" => work::procedure_for(world),
        _ => return None,
    })
}

/// What a reviewer did by hand.
fn beside(world: &World, name: &str) -> Option<Vec<Mistake>> {
    Some(match name {
        "limit-words" => further::limit_words(world),
        "limit-lost" => further::limit_lost(world),
        "steps-exchanged" => further::steps_exchanged(world),
        "signed" => further::signed(world),
        "waiting" => further::waiting(world),
        "worn" => further::worn(world, false),
        "used-up" => further::worn(world, true),
        "wrench-range" => further::wrench_range(world),
        "calibration" => further::calibration(world),
        "gauge" => further::gauge(world),
        "counted" => further::counted(world),
        "lubricants" => further::lubricants(world),
        "adjuster-sides" => further::adjuster_sides(world),
        "spring-limit" => further::spring_limit(world),
        "preload" => further::preload(world),
        "axle-side" => further::axle_side(world),
        "fills-other" => further::fills_other(world),
        "oil-of-jobs" => further::oil_of_jobs(world),
        "thread-compound" => further::thread_compound(world),
        _ => return None,
    })
}

/// What came of the mistakes of one kind.
#[derive(Default, Clone)]
struct Row {
    can_be_made: usize,
    tried: usize,
    told: [usize; 6],
    placed: usize,
    offered: usize,
    wrong: usize,
    /// The same of those that can hurt.
    hurting: [usize; 6],
}

impl Row {
    fn add(&mut self, outcome: &Outcome, hurts: bool) {
        self.tried += 1;
        self.told[outcome.told as usize] += 1;
        self.hurting[outcome.told as usize] += usize::from(hurts);
        self.placed += usize::from(outcome.placed);
        self.offered += usize::from(outcome.offered);
        self.wrong += usize::from(outcome.wrong);
    }

    fn plus(mut self, other: &Row) -> Row {
        self.can_be_made += other.can_be_made;
        self.tried += other.tried;
        for at in 0..self.told.len() {
            self.told[at] += other.told[at];
            self.hurting[at] += other.hurting[at];
        }
        self.placed += other.placed;
        self.offered += other.offered;
        self.wrong += other.wrong;
        self
    }

    fn print(&self, name: &str, counts: &str) {
        let told = self.told.iter().map(|count| format!("{count:>8}")).collect::<String>();
        println!(
            "{name:<20} {counts:<12}{:>7}{:>7}{told}{:>7}{:>8}{:>6}",
            self.can_be_made, self.tried, self.placed, self.offered, self.wrong
        );
    }
}

fn trial(arguments: &Arguments, kinds: &[Kind], reviewed: Reviewed) -> Result<(), String> {
    let world = World::read(&arguments.from, reviewed);
    if world.checked.forks.is_empty() {
        return Err("there is no shop to make mistakes in".to_owned());
    }
    let begin = Instant::now();
    let name = match reviewed {
        Reviewed::Yes => "the demo shop, reviewed",
        Reviewed::No => "the same shop without its reviews",
        Reviewed::OwnWords => "the same shop without its reviews, in words of its own",
    };
    println!("== {name}: seed {}, {} of each kind", arguments.seed, arguments.each);
    println!("{} findings before any mistake", world.checked.findings.len());
    let heads = Told::ALL.map(|told| format!("{:>8}", told.word())).concat();
    println!(
        "{:<20} {:<12}{:>7}{:>7}{heads}{:>7}{:>8}{:>6}",
        "kind", "counts for", "can be", "tried", "place", "offers", "wrong"
    );
    let mut rows = Vec::new();
    let wanted =
        |kind: &&Kind| arguments.only.is_empty() || arguments.only.iter().any(|name| name == kind.name);
    for kind in kinds.iter().filter(wanted) {
        let row = one_kind(arguments, &world, kind)?;
        row.print(kind.name, kind.counts.word());
        rows.push((kind.counts, row));
    }
    for counts in Counts::ALL {
        let sum =
            rows.iter().filter(|(of, _)| *of == counts).fold(Row::default(), |sum, (_, row)| sum.plus(row));
        sum.print("ALL", counts.word());
        let tried: usize = sum.hurting.iter().sum();
        let share = |part: usize| 100.0 * part as f64 / tried.max(1) as f64;
        let said: Vec<String> =
            Told::ALL.iter().map(|told| format!("{} {}", told.word(), sum.hurting[*told as usize])).collect();
        println!("  of these can hurt {tried}: {}; named {:.1} %", said.join(", "), share(sum.hurting[0]));
    }
    println!("{} s", begin.elapsed().as_secs());
    if reviewed != Reviewed::OwnWords {
        edits(arguments, &world)?;
    }
    println!();
    Ok(())
}

fn one_kind(arguments: &Arguments, world: &World, kind: &Kind) -> Result<Row, String> {
    let mut random = Random::of(arguments.seed, kind.name);
    let all = makes(world, kind.name, &mut random).ok_or(format!("nothing makes `{}`", kind.name))?;
    let mut row = Row { can_be_made: all.len(), ..Row::default() };
    let some = random.some(all, arguments.each);
    let outcomes: Vec<(Mistake, Outcome)> = some
        .into_par_iter()
        .map(|mistake| {
            let outcome = judge::mistake(world, &mistake);
            (mistake, outcome)
        })
        .collect();
    for (mistake, outcome) in &outcomes {
        let hurts = kind.hurts.unwrap_or(mistake.hurts) && !world.is_draft(mistake);
        row.add(outcome, hurts);
        let missed = outcome.told > Told::Stopped && hurts && kind.counts != Counts::Plausible;
        let shown = arguments.show == kind.name
            || arguments.show == "missed" && missed
            || arguments.show == "wrong" && outcome.wrong;
        if shown {
            println!("  {} [{}] {}", kind.name, outcome.told.word(), mistake.what);
            for line in &outcome.lines {
                println!("      {line}");
            }
        }
    }
    Ok(row)
}

fn edits(arguments: &Arguments, world: &World) -> Result<(), String> {
    let edits = unusual::all(world)?;
    let answers: Vec<(Answer, Vec<String>)> =
        edits.par_iter().map(|edit| judge::edit(world, &edit.changes)).collect();
    let count = |answer: Answer| answers.iter().filter(|(given, _)| *given == answer).count();
    println!(
        "correct but unusual edits: {}, refused {}, asked {}",
        edits.len(),
        count(Answer::Refused),
        count(Answer::Asked)
    );
    for (edit, (answer, lines)) in edits.iter().zip(&answers) {
        if *answer != Answer::Taken && !arguments.show.is_empty() {
            println!("  {answer:?}: {}", edit.title);
            for line in lines.iter().filter(|_| arguments.show == "unusual") {
                println!("      {line}");
            }
        }
    }
    Ok(())
}

/// The kinds in the table and the makers are the same.
#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_is_made_and_every_edit_fits() {
        let world = World::read(std::path::Path::new("."), Reviewed::Yes);
        let kinds = kinds::all().unwrap();
        assert!(kinds.len() >= 40, "{}", kinds.len());
        for kind in &kinds {
            let made = makes(&world, kind.name, &mut Random::of(1, kind.name)).unwrap_or_default();
            assert!(!made.is_empty(), "{}", kind.name);
        }
        assert_eq!(unusual::all(&world).unwrap().len(), 50);
    }
}
