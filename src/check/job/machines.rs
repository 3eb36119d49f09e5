//! Machines that may be one.

use std::collections::BTreeMap;

use crate::diagnostic::{Finding, rules};
use crate::judge::Machines;
use crate::record::Job;

/// job-machine: one machine has one frame number, and one frame number one machine.
pub(super) fn frames(machines: &Machines<'_>, findings: &mut Vec<Finding>) {
    let list: Vec<_> = machines.iter().filter_map(|(key, jobs)| Some((key, *jobs.first()?))).collect();
    let mut by_frame: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (at, (key, _)) in list.iter().enumerate() {
        by_frame.entry(&key.2).or_default().push(at);
    }
    for same in by_frame.values().filter(|same| same.len() > 1) {
        let (first, other) = (list[same[0]].1, list[same[1]].1);
        let what = format!(
            "the frame …{} is said to be a {} {}’s too",
            other.machine.frame.text, first.machine.maker.text, first.machine.model.text
        );
        let finding = told(other, what, first, "the other model");
        findings.push(finding.instead("read the frame plate again, and write maker and model alike in each of its jobs; two machines need more of both numbers"));
    }
    // Machines of one model stand side by side.
    for (at, (key, job)) in list.iter().enumerate() {
        let alike = list[at + 1..].iter().take_while(|(other, _)| (&other.0, &other.1) == (&key.0, &key.1));
        for (_, other) in alike.filter(|(other, _)| may_be_one(&key.2, &other.2)) {
            let what = format!(
                "this machine may be the one with the frame …{}: the numbers differ by one sign, by two that are exchanged, or by their length",
                job.machine.frame.text
            );
            findings.push(told(other, what, job, "the other frame"));
        }
    }
}

/// job-twice: a machine's job of one day, one fork and one service is there once.
pub(super) fn twice(machines: &Machines<'_>, findings: &mut Vec<Finding>) {
    for jobs in machines.values() {
        let mut seen: BTreeMap<(&str, &str, &str), &Job> = BTreeMap::new();
        for job in jobs {
            let Some(first) = seen.insert((&job.date.text, &job.fork.text, &job.service.text), job) else {
                continue;
            };
            findings.push(
                rules::JOB_TWICE
                    .at(
                        job.date.span,
                        format!("this machine’s job of that day is there already, as {}", first.number.text),
                    )
                    .bench("evidence and wear count one reading twice")
                    .instead("keep the file that is right, and move what only the other says into it")
                    .also(first.number.span, "the same job"),
            );
        }
    }
}

fn told(job: &Job, what: String, other: &Job, label: &str) -> Finding {
    rules::JOB_MACHINE
        .at(job.machine.frame.span, what)
        .bench("the machine’s history is split in two, and its wear and what is due are not seen")
        .instead("read the frame plate again, and write the same last letters and digits in each of its jobs")
        .also(other.machine.frame.span, label)
}

/// Whether one is the other's end, or one letter is another, or two neighbors are exchanged.
fn may_be_one(a: &str, b: &str) -> bool {
    if a.len() != b.len() {
        let (long, short) = if a.len() > b.len() { (a, b) } else { (b, a) };
        return short.len() >= 4 && long.ends_with(short);
    }
    let differ: Vec<usize> =
        a.bytes().zip(b.bytes()).enumerate().filter(|(_, (a, b))| a != b).map(|(at, _)| at).collect();
    match differ.as_slice() {
        // Numbers that follow one another are two machines as a rule.
        [one] => a.len() >= 6 && *one + 2 < a.len(),
        [one, two] => {
            let (a, b) = (a.as_bytes(), b.as_bytes());
            one + 1 == *two && a[*one] == b[*two] && a[*two] == b[*one]
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_hand_mistypes_may_be_one_machine_and_neighbors_of_the_line_are_two() {
        for (a, b) in [("7Q0412", "7Q4012"), ("ABC7Q0412", "7Q0412"), ("7Q0412", "8Q0412")] {
            assert!(may_be_one(a, b), "{a} {b}");
        }
        for (a, b) in [("7Q0412", "7Q0413"), ("7Q0412", "9X1187"), ("412", "7Q0412")] {
            assert!(!may_be_one(a, b), "{a} {b}");
        }
    }
}
