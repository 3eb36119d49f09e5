//! Which parts of a text are no longer as they were seen, in words, and which of these took a guard away.

use super::differs::differences;
use super::seen::{REASONS, SAYS, SENTENCES, Seen, TextKind};
use crate::record::Signal;

/// A change of one part of a text.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Change {
    /// A guard went: whoever works from the text is no longer held back, warned or told.
    pub guard: bool,
    /// The part: `needs`, `steps`.
    pub part: String,
    /// The condition, caution, value or procedure that came or went, by id; empty where it is none.
    pub name: String,
    /// What changed, to follow the text's name: "no longer needs `air-out`".
    pub what: String,
}

impl Change {
    /// Whether only the reason of a step reads otherwise.
    pub fn is_of_a_reason(&self) -> bool {
        self.part == REASONS
    }
}

/// Which way a part loses a guard.
#[derive(Clone, Copy, PartialEq)]
enum Guards {
    /// By what goes.
    Gone,
    /// By what comes: more is taken for granted.
    Came,
    /// By either: more is taken for granted, or what ends no longer ends what hangs on it.
    Both,
}

/// The parts that are kept by name: what is said when a name goes, what when one comes, and which of it takes a
/// guard away.
const BY_NAME: [(&str, &str, &str, Guards); 33] = [
    (SAYS, "no longer says", "now says", Guards::Gone),
    ("needs", "no longer needs", "now needs", Guards::Gone),
    ("brings", "no longer brings about", "now brings about", Guards::Both),
    ("ends", "no longer ends", "now ends", Guards::Gone),
    ("cautions", "no longer carries the caution", "now carries the caution", Guards::Gone),
    ("sets", "no longer links the value", "now links the value", Guards::Gone),
    ("writes", "no longer has a box for", "now has a box for", Guards::Gone),
    ("hand_back", "no longer asks at hand-back for", "now asks at hand-back for", Guards::Gone),
    ("start", "no longer begins with", "now begins with", Guards::Came),
    ("procedures", "no longer names the procedure", "now names the procedure", Guards::Gone),
    ("evidence", "no longer asks for the evidence", "now asks for the evidence", Guards::Gone),
    ("only_after", "no longer comes only after", "now comes only after", Guards::Gone),
    ("ended_by", "is no longer ended by", "is now ended by", Guards::Gone),
    ("handed_back", "no longer holds at the end of", "now holds at the end of", Guards::Gone),
    ("warns_at", "no longer warns at", "now warns at", Guards::Gone),
    ("warns_at_end_of", "no longer warns at the end of", "now warns at the end of", Guards::Gone),
    ("warns_with", "no longer warns where there is", "now warns where there is", Guards::Gone),
    ("sign_off", "no longer has to be signed for:", "now has to be signed for:", Guards::Gone),
    ("on_card", "no longer says on the card", "now says on the card", Guards::Gone),
    ("again", "no longer has tried again", "now has tried again", Guards::Gone),
    ("whole_job", "no longer says for the whole job", "now says for the whole job", Guards::Gone),
    ("called", "is no longer called", "is now called", Guards::Gone),
    ("pours", "no longer pours", "now pours", Guards::Gone),
    ("renews", "no longer counts as renewing", "now counts as renewing", Guards::Came),
    ("waits", "no longer waits", "now waits", Guards::Gone),
    ("uses_up", "no longer lays out", "now lays out", Guards::Gone),
    ("worn", "no longer has somebody wear", "now has somebody wear", Guards::Gone),
    ("only_then", "no longer guards the value", "now guards the value", Guards::Gone),
    ("not_then", "no longer keeps off the value", "now keeps off the value", Guards::Gone),
    ("not_said", "no longer keeps off the words", "now keeps off the words", Guards::Gone),
    ("state", "no longer stands for the state", "now stands for the state", Guards::Gone),
    ("implies", "no longer implies", "now implies", Guards::Both),
    ("excludes", "no longer excludes", "now excludes", Guards::Gone),
];

/// The parts that are kept as codes, and what is said when one changed.
const BY_CODE: [(&str, &str); 6] = [
    (REASONS, "gives another reason for a step"),
    ("head", "has another title, phase, time or list of tools"),
    ("for", "is for other forks or legs"),
    ("constants", "has another number that is the same on every fork, or another reason for one"),
    ("text", "has another text"),
    ("order", "has its procedures in another order"),
];

/// The parts kept as codes whose words guard somebody: what a caution says, and for which forks a caution or a
/// condition means anything.
const GUARDING_CODES: [(TextKind, &str); 3] =
    [(TextKind::Caution, "text"), (TextKind::Caution, "for"), (TextKind::Condition, "for")];

/// What changed from what was seen of a text of this kind to what is there, guards that went first.
pub fn changes(kind: TextKind, was: &Seen, is: &Seen) -> Vec<Change> {
    let part = |seen: &'_ Seen, name: &str| seen.get(name).cloned().unwrap_or_default();
    let mut out = Vec::new();
    for (name, gone, came, guards) in BY_NAME {
        let (old, new) = (part(was, name), part(is, name));
        let mut say = |here: &[String], there: &[String], words: &str, guard: bool| {
            let only = here.iter().filter(|word| !there.contains(word));
            out.extend(only.map(|word| Change {
                guard,
                part: name.to_owned(),
                name: word.clone(),
                what: if name == SAYS {
                    format!("{words} “{word}”")
                } else {
                    format!("{words} `{word}`")
                },
            }));
        };
        say(&old, &new, gone, guards != Guards::Came);
        say(&new, &old, came, guards != Guards::Gone);
    }
    // A sentence that went by its words is not told once more as another text.
    let told = out.iter().any(|change| change.guard && change.part == SAYS);
    let differs = |name: &str| part(was, name) != part(is, name) && !(told && name == "text");
    for (name, what) in BY_CODE.iter().filter(|(name, _)| differs(name)) {
        out.push(match *name == "text" && only_more(&part(was, SENTENCES), &part(is, SENTENCES)) {
            true => other(false, name, "says more than it did".to_owned()),
            false => other(GUARDING_CODES.contains(&(kind, name)), name, (*what).to_owned()),
        });
    }
    out.extend(signal(&part(was, "signal"), &part(is, "signal")));
    steps(&part(was, "steps"), &part(is, "steps"), &mut out);
    out.sort_by_key(|change| !change.guard);
    out
}

/// Whether every sentence that was seen is there as it was, in its order, whatever was added. Where the sentences were
/// not kept one by one nobody can say so.
fn only_more(was: &[String], is: &[String]) -> bool {
    !was.is_empty() && differences(was, is).iter().all(|(gone, _)| gone.is_none())
}

fn other(guard: bool, part: &str, what: String) -> Change {
    Change { guard, part: part.to_owned(), name: String::new(), what }
}

/// The part of a change that moved steps and left each as it was.
pub(crate) const STEP_ORDER: &str = "order of steps";

/// The part of a change that turned the order of sentences round.
pub(crate) const WORD_ORDER: &str = "order of sentences";

/// The part of a change that took a caution away from one step of several.
pub(crate) const CARRIED: &str = "carried";

/// The signal word. None at all is the lowest.
fn signal(was: &[String], is: &[String]) -> Option<Change> {
    let rank = |words: &[String]| {
        let word = words.first().map(String::as_str);
        Signal::ALL.iter().position(|(name, _)| Some(*name) == word).unwrap_or(Signal::ALL.len())
    };
    let said =
        |words: &[String]| words.first().map_or_else(|| "nothing".to_owned(), |word| word.to_uppercase());
    let (old, new) = (rank(was), rank(is));
    (old != new).then(|| other(new > old, "signal", format!("says {} and no longer {}", said(is), said(was))))
}

fn steps(was: &[String], is: &[String], out: &mut Vec<Change>) {
    let places = differences(was, is);
    let (mut old, mut new) = (was.to_vec(), is.to_vec());
    old.sort();
    new.sort();
    if !places.is_empty() && old == new {
        out.push(other(true, STEP_ORDER, "has the same steps in another order".to_owned()));
        return;
    }
    for place in places {
        let (guard, what) = match place {
            (Some(old), None) => (true, format!("has lost its step {}, of {}", old + 1, was.len())),
            (None, Some(new)) => (false, format!("has a new step {}", new + 1)),
            (_, Some(new)) => (false, format!("has another step {}", new + 1)),
            (None, None) => continue,
        };
        out.push(other(guard, "steps", what));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(parts: &[(&str, &[&str])]) -> Seen {
        let words = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
        parts.iter().map(|(part, list)| ((*part).to_owned(), words(list))).collect()
    }

    fn told(was: &[(&str, &[&str])], is: &[(&str, &[&str])]) -> Vec<(bool, String)> {
        changes(TextKind::Procedure, &seen(was), &seen(is))
            .into_iter()
            .map(|change| (change.guard, change.what))
            .collect()
    }

    #[test]
    fn a_need_that_went_is_a_guard_that_went_and_one_that_came_is_none() {
        assert_eq!(
            told(&[("needs", &["air-out"])], &[("needs", &["wheel-out"])]),
            [(true, "no longer needs `air-out`".into()), (false, "now needs `wheel-out`".into())]
        );
        assert_eq!(told(&[("needs", &["air-out"])], &[("needs", &["air-out"])]), []);
    }

    #[test]
    fn a_sentence_more_takes_nothing_from_a_caution_and_one_that_went_or_changed_does() {
        let seen_of = |text: &str, sentences: &[&str]| seen(&[("text", &[text]), (SENTENCES, sentences)]);
        let was = seen_of("1", &["a", "b"]);
        let told = |is: &Seen| {
            let all = changes(TextKind::Caution, &was, is);
            all.into_iter().map(|change| (change.guard, change.what)).collect::<Vec<_>>()
        };
        for more in [&["a", "b", "c"][..], &["c", "a", "b"], &["a", "c", "b"]] {
            assert_eq!(told(&seen_of("2", more)), [(false, "says more than it did".into())], "{more:?}");
        }
        for less in [&["a"][..], &["b", "a"], &["a", "c"], &["a", "c", "d"]] {
            assert_eq!(told(&seen_of("2", less)), [(true, "has another text".into())], "{less:?}");
        }
        // A review from before sentences were kept says nothing of them.
        let old = changes(TextKind::Caution, &seen(&[("text", &["1"])]), &seen_of("2", &["a", "b", "c"]));
        assert!(old[0].guard, "{old:?}");
    }

    #[test]
    fn to_claim_more_than_before_takes_a_guard_away() {
        assert_eq!(
            told(&[("brings", &[])], &[("brings", &["bled"])]),
            [(true, "now brings about `bled`".into())]
        );
        // What a procedure no longer brings about is no longer asked for by what hangs on it.
        assert_eq!(told(&[("brings", &["bled"])], &[]), [(true, "no longer brings about `bled`".into())]);
        assert_eq!(told(&[("start", &["bled"])], &[]), [(false, "no longer begins with `bled`".into())]);
    }

    #[test]
    fn a_lower_signal_word_is_a_guard_that_went_and_a_higher_one_is_none() {
        let words = [["danger"], ["warning"], ["caution"], ["notice"]];
        for (n, old) in words.iter().enumerate() {
            for (m, new) in words.iter().enumerate() {
                let said = told(&[("signal", old)], &[("signal", new)]);
                assert_eq!(
                    said.first().map(|(guard, _)| *guard),
                    (n != m).then_some(m > n),
                    "{old:?} {new:?}"
                );
            }
        }
        let gone = told(&[("signal", &["danger"])], &[]);
        assert_eq!(gone, [(true, "says nothing and no longer DANGER".into())]);
    }

    #[test]
    fn a_step_that_went_is_told_from_one_that_changed() {
        let was: &[(&str, &[&str])] = &[("steps", &["a", "b", "c"])];
        assert_eq!(told(was, &[("steps", &["a", "c"])]), [(true, "has lost its step 2, of 3".into())]);
        assert_eq!(told(was, &[("steps", &["a", "x", "c"])]), [(false, "has another step 2".into())]);
        assert_eq!(told(was, &[("steps", &["a", "b", "c", "d"])]), [(false, "has a new step 4".into())]);
        let moved = [(true, "has the same steps in another order".into())];
        assert_eq!(told(was, &[("steps", &["b", "a", "c"])]), moved);
        assert_eq!(told(was, &[("steps", &["c", "a", "b"])]), moved);
    }

    /// For the reviewer: a sentence that held somebody back is named where it went, and where it reads otherwise.
    #[test]
    fn a_sentence_that_guards_is_told_by_its_words() {
        let was: &[(&str, &[&str])] = &[("says", &["Hands clear", "No more"]), ("steps", &["a"])];
        assert_eq!(
            told(was, &[("says", &["No more", "Hands near"]), ("steps", &["b"])]),
            [
                (true, "no longer says “Hands clear”".into()),
                (false, "now says “Hands near”".into()),
                (false, "has another step 1".into())
            ]
        );
        assert_eq!(told(was, &[("says", &["No more", "Hands clear"]), ("steps", &["a"])]), []);
    }

    /// For the reviewer: a reason explains, and takes nothing away where it reads otherwise.
    #[test]
    fn another_reason_is_no_other_step() {
        let was: &[(&str, &[&str])] = &[("reasons", &["1"]), ("steps", &["a"])];
        let is: &[(&str, &[&str])] = &[("reasons", &["2"]), ("steps", &["a"])];
        assert_eq!(told(was, is), [(false, "gives another reason for a step".into())]);
    }
}
