//! No two records claim the same machine in the same year.

use std::collections::BTreeMap;

use crate::check::CheckedFork;
use crate::date::AsOf;
use crate::diagnostic::{Finding, Severity, rules};
use crate::record::{Machine, STILL_MADE, SpecRecord};
use crate::resolve::Shop;

/// machine-claimed-twice: a machine of a year has one fork.
pub(crate) fn claimed_twice(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    let mut by_machine: BTreeMap<(String, String), Vec<(&Machine, &str)>> = BTreeMap::new();
    for fork in &shop.forks {
        for machine in &fork.machines {
            let key = (fold(&machine.maker), fold(&machine.model));
            by_machine.entry(key).or_default().push((machine, &fork.id.text));
        }
    }
    for claims in by_machine.values_mut() {
        claims.sort_by_key(|(machine, _)| (machine.years, machine.span));
        for (at, (machine, _)) in claims.iter().enumerate() {
            let same = |other: &Machine| other.years.1 >= machine.years.0 && !told_apart(machine, other);
            let earlier = claims[..at].iter().find(|(other, _)| same(other));
            let Some((other, id)) = earlier else { continue };
            let year = machine.years.0.max(other.years.0);
            findings.push(
                rules::MACHINE_CLAIMED_TWICE
                    .at(
                        machine.span,
                        format!(
                            "{} of {year} is claimed by `{id}` too",
                            one_line(&format!("{} {}", machine.maker, machine.model))
                        ),
                    )
                    .bench("whoever looks the machine up could take the other fork's numbers")
                    .instead(
                        "correct the years of one of them; where both were fitted, say at each what can be seen: `seen: …`",
                    )
                    .also(other.span, "claimed here"),
            );
        }
    }
}

/// Whether both say what can be seen on the machine, and not the same.
fn told_apart(one: &Machine, other: &Machine) -> bool {
    !one.seen.is_empty() && !other.seen.is_empty() && fold(&one.seen) != fold(&other.seen)
}

/// How many years ahead of the day a model may be sold.
const AHEAD: u16 = 2;

/// years-in-the-future: a machine's years are not in the far future of the commit's day; nothing is judged without one.
pub(crate) fn ahead(shop: &Shop, day: Option<AsOf>, findings: &mut Vec<Finding>) {
    let Some(year) = day.map(|day| day.date.year()) else { return };
    let machines =
        shop.forks.iter().flat_map(|fork| fork.machines.iter().map(move |machine| (fork, machine)));
    for (fork, machine) in machines {
        let (first, last) = machine.years;
        // Of a model that is still made only the first year is said.
        let last = if last == STILL_MADE { first } else { last };
        if last <= year.saturating_add(AHEAD) {
            continue;
        }
        let (maker, model) = (one_line(&machine.maker), one_line(&machine.model));
        findings.push(
            rules::YEARS_IN_THE_FUTURE.graded(if fork.draft { Severity::Warning } else { Severity::Error }, machine.span,
                format!("{maker} {model} is said to be built until {}, and it is {year}", last),
            )
            .bench(
                "whoever looks the machine up by its year does not find it, and takes another fork's numbers",
            )
            .instead("read the years on the frame plate or the sheet again, digit by digit"),
        );
    }
}

/// The first year in which a motorcycle was sold with telescopic legs that are damped by oil (from memory).
const FIRST_FORKS: u16 = 1935;

/// years-too-early: no machine is older than telescopic forks.
pub(crate) fn too_early(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    for fork in &shop.forks {
        for machine in fork.machines.iter().filter(|machine| machine.years.0 < FIRST_FORKS) {
            let (maker, model) = (one_line(&machine.maker), one_line(&machine.model));
            findings.push(
                rules::YEARS_TOO_EARLY
                    .graded(
                        if fork.draft { Severity::Warning } else { Severity::Error },
                        machine.span,
                        format!(
                            "{maker} {model} is said to be built from {}, before there were forks with oil in them",
                            machine.years.0
                        ),
                    )
                    .bench(
                        "whoever looks the machine up by its year does not find it, and takes another fork's numbers",
                    )
                    .instead("read the years on the frame plate or the sheet again, digit by digit"),
            );
        }
    }
}

/// fork-without-machine: a fork says which machines it is in.
pub(crate) fn without(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    for fork in shop.forks.iter().filter(|fork| !fork.names_machine) {
        findings.push(
            rules::FORK_WITHOUT_MACHINE
                .at(fork.id.span, format!("`{}` is in no machine", fork.id.text))
                .bench("whoever looks for the fork by the machine it stands in does not find it")
                .instead("add `machines:` with maker, model and years of each")
                .lines(vec![
                    "machines:".to_owned(),
                    "  - {maker: …, model: …, years: …}   # from..to, or one year".to_owned(),
                ]),
        );
    }
}

/// machine-spelling: a machine's name is written one way in all records.
pub(crate) fn spelled(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    let mut ways: BTreeMap<(String, String), BTreeMap<String, Vec<&Machine>>> = BTreeMap::new();
    for machine in shop.forks.iter().flat_map(|fork| &fork.machines) {
        let written = one_line(&format!("{} {}", machine.maker, machine.model));
        let key = (fold(&machine.maker), fold(&machine.model));
        ways.entry(key).or_default().entry(written).or_default().push(machine);
    }
    for ways in ways.values().filter(|ways| ways.len() > 1) {
        // The usual way is the one most records write; of two alike, the first.
        let mut ways: Vec<(&String, &Vec<&Machine>)> = ways.iter().collect();
        ways.sort_by_key(|(_, machines)| std::cmp::Reverse(machines.len()));
        let Some(((usual, known), others)) = ways.split_first() else { continue };
        for (written, machines) in others {
            // In the same years it is one machine claimed twice, which has been said.
            let overlaps = |machine: &Machine| known.iter().any(|other| overlap(machine.years, other.years));
            for machine in machines.iter().filter(|machine| !overlaps(machine)) {
                findings.push(
                    rules::MACHINE_SPELLING
                        .at(machine.span, format!("{written} is written {usual} elsewhere"))
                        .bench("whoever looks the machine up finds only some of its forks")
                        .instead(format!("write it one way everywhere: `{usual}`; a year, a size or a letter tells two machines apart"))
                        .also(known[0].span, "written so here"),
                );
            }
        }
    }
}

/// same-model-twice: two records of one maker and model say what tells them apart.
pub(crate) fn one_model(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    let mut by_model: BTreeMap<(String, String), Vec<&SpecRecord>> = BTreeMap::new();
    for fork in shop.forks.iter().filter(|fork| !fork.model.trim().is_empty()) {
        by_model.entry((fold(&fork.maker), fold(&fork.model))).or_default().push(fork);
    }
    for forks in by_model.values() {
        for (n, fork) in forks.iter().enumerate() {
            let Some(other) = forks[..n].iter().find(|other| years_overlap(fork, other)) else { continue };
            findings.push(
                rules::SAME_MODEL_TWICE
                    .graded(
                        if fork.draft || other.draft { Severity::Warning } else { Severity::Error },
                        fork.id.span,
                        format!(
                            "`{}` and `{}` are both {}, in the same years",
                            other.id.text,
                            fork.id.text,
                            one_line(&fork.title())
                        ),
                    )
                    .bench("two pages and two cards have one name, and the other fork's is taken")
                    .instead("say in `model:` what tells them apart, or correct the years of one")
                    .also(other.id.span, "the other one"),
            );
        }
    }
}

fn years_overlap(one: &SpecRecord, other: &SpecRecord) -> bool {
    let mut pairs = one.machines.iter().flat_map(|a| other.machines.iter().map(move |b| (a.years, b.years)));
    pairs.any(|(a, b)| overlap(a, b))
}

/// Whether two stretches of years have one in common.
fn overlap(a: (u16, u16), b: (u16, u16)) -> bool {
    a.0 <= b.1 && b.0 <= a.1
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A name without what people write one way or the other: capitals, blanks, hyphens.
fn fold(text: &str) -> String {
    let letters: String = text.to_lowercase().chars().filter(|c| c.is_alphanumeric()).collect();
    if letters.is_empty() { one_line(text) } else { letters }
}
