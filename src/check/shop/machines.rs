//! No two records claim the same machine in the same year.

use std::collections::BTreeMap;

use crate::check::CheckedFork;
use crate::date::AsOf;
use crate::diagnostic::{Finding, Severity, rules};
use crate::record::Machine;
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
            let earlier = claims[..at].iter().find(|(other, _)| other.years.1 >= machine.years.0);
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
                    .instead("correct the years of one of them")
                    .also(other.span, "claimed here"),
            );
        }
    }
}

/// How many years ahead of the day a model may be sold.
const AHEAD: u16 = 2;

/// years-in-the-future: a machine's years are not in the far future of the commit's day; nothing is judged without one.
pub(crate) fn ahead(shop: &Shop, day: Option<AsOf>, findings: &mut Vec<Finding>) {
    let Some(year) = day.map(|day| day.date.year()) else { return };
    let machines =
        shop.forks.iter().flat_map(|fork| fork.machines.iter().map(move |machine| (fork, machine)));
    for (fork, machine) in machines {
        if machine.years.1 <= year.saturating_add(AHEAD) {
            continue;
        }
        let (maker, model) = (one_line(&machine.maker), one_line(&machine.model));
        findings.push(
            rules::YEARS_IN_THE_FUTURE.graded(if fork.draft { Severity::Warning } else { Severity::Error }, machine.span,
                format!("{maker} {model} is said to be built until {}, and it is {year}", machine.years.1),
            )
            .bench(
                "whoever looks the machine up by its year does not find it, and takes another fork's numbers",
            )
            .instead("read the years on the frame plate or the sheet again, digit by digit"),
        );
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

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn fold(text: &str) -> String {
    one_line(text).to_lowercase()
}
