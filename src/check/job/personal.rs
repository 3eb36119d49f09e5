//! Texts of a job that tell who somebody is. No field asks for it, and a repository forgets nothing.

use super::desk::Desk;
use crate::date::Date;
use crate::diagnostic::{Finding, rules};
use crate::record::{Job, Text};

/// job-personal: no text holds what looks like a telephone number, a mail address or a street with its number.
pub(super) fn texts(_: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    for text in all(job) {
        let Some(what) = personal(&text.text) else { continue };
        findings.push(
            rules::JOB_PERSONAL
                .at(text.span, format!("this looks like {what}"))
                .bench("whoever reads the repository reads it too, for as long as there is a copy")
                .instead("take it out, and keep it where the shop keeps its customers; a job needs machine and reading alone"),
        );
    }
}

/// Every free text of a job.
fn all(job: &Job) -> Vec<&Text> {
    let head = [&job.complaint, &job.notes, &job.done_by, &job.read_back_by];
    let mut out: Vec<&Text> = head.into_iter().flatten().collect();
    out.extend(job.rider.use_for.as_ref());
    out.extend(job.skipped.iter().map(|skip| &skip.why));
    out.extend(job.lines().flat_map(|(_, line)| &line.readings).filter_map(|reading| reading.why.as_ref()));
    out.sort_by_key(|text| text.span);
    out.dedup_by_key(|text| text.span);
    out
}

const STREETS: [&str; 9] = ["street", "st.", "road", "rd.", "lane", "avenue", "ave.", "drive", "terrace"];

/// The fewest digits of a telephone number with its area code.
const FEWEST_DIGITS: usize = 8;

/// What a text tells of somebody: a mail address, a street with its number, a telephone number.
pub(crate) fn personal(text: &str) -> Option<&'static str> {
    let words: Vec<&str> =
        text.split_whitespace().map(|word| word.trim_matches([',', ';', ':', '(', ')', '"'])).collect();
    let mail =
        |word: &&str| word.split_once('@').is_some_and(|(name, host)| !name.is_empty() && host.contains('.'));
    if words.iter().any(mail) {
        return Some("a mail address");
    }
    if is_street(&words) {
        return Some("a street with its number");
    }
    has_telephone(text).then_some("a telephone number")
}

/// A number, one or two words with a capital letter, and a word for a street.
fn is_street(words: &[&str]) -> bool {
    let number = |word: &str| {
        word.starts_with(|c: char| c.is_ascii_digit())
            && word.len() <= 5
            && word.trim_end_matches(char::is_alphabetic).bytes().all(|b| b.is_ascii_digit())
    };
    let named = |word: &str| word.starts_with(char::is_uppercase);
    words.iter().enumerate().any(|(at, word)| {
        let street = STREETS.contains(&word.to_lowercase().as_str());
        let before = |back: usize| at.checked_sub(back).map(|at| words[at]);
        street
            && before(1).is_some_and(named)
            && (before(2).is_some_and(number)
                || before(2).is_some_and(named) && before(3).is_some_and(number))
    })
}

/// Digits in a row, with what stands between the groups of a telephone number.
fn has_telephone(text: &str) -> bool {
    let between = |c: char| matches!(c, ' ' | '-' | '/' | '(' | ')' | '.');
    let mut runs: Vec<String> = vec![String::new()];
    for c in text.chars() {
        let Some(run) = runs.last_mut() else { continue };
        match c {
            '0'..='9' => run.push(c),
            '+' if run.is_empty() => run.push(c),
            c if between(c) && !run.is_empty() => run.push(c),
            _ if run.is_empty() => {}
            _ => runs.push(String::new()),
        }
    }
    runs.iter().any(|run| {
        let run = run.trim_end_matches(between);
        let digits = run.bytes().filter(u8::is_ascii_digit).count();
        let grouped =
            run.starts_with('+') || run.starts_with('0') || run.starts_with('(') || run.contains(['-', '/']);
        digits >= FEWEST_DIGITS && grouped && Date::read(run).is_none()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn who_somebody_is_is_told_and_what_the_fork_does_is_not() {
        for (text, what) in [
            ("ring 0555 0134 221 when done", "a telephone number"),
            ("+1 (555) 013-4221", "a telephone number"),
            ("mail to rider@post.example", "a mail address"),
            ("bring it to 12 Mill Lane", "a street with its number"),
            ("at 4b Old Harbor Road", "a street with its number"),
        ] {
            assert_eq!(personal(text), Some(what), "{text}");
        }
        for text in [
            "weeps after 18200 km of road",
            "last done 2024-04-12",
            "0.05 mm wear, 40.97 mm on the left",
            "dives on the Mill Road climb",
            "batch 15-0311",
        ] {
            assert_eq!(personal(text), None, "{text}");
        }
    }
}
