//! What looks as if it told who somebody is. The page says the same of the same text (`templates/personal.js`).

use std::ops::Range;

use crate::date::Date;

const STREETS: [&str; 9] = ["street", "st.", "road", "rd.", "lane", "avenue", "ave.", "drive", "terrace"];

/// What stands before a name.
const TITLES: [&str; 11] = ["mr", "mr.", "mrs", "mrs.", "ms", "ms.", "miss", "mx", "mx.", "dr", "dr."];

/// Whose name follows.
const PEOPLE: [&str; 5] = ["owner", "customer", "client", "rider", "name"];

/// The fewest digits of a telephone number with its area code.
const FEWEST_DIGITS: usize = 8;

/// Units: digits in groups with one of these behind them are a measure, and no telephone number.
const MEASURES: [&str; 20] = [
    "km", "mi", "mm", "cm", "m", "in", "n", "kn", "kpa", "bar", "psi", "ml", "cc", "l", "g", "kg", "lb", "h",
    "min", "rpm",
];

/// What a registration plate's letters and digits follow.
const PLATES: [&str; 5] = ["plate", "registration", "reg", "reg.", "license"];

/// What may stand between that word and the plate itself.
const BETWEEN: [&str; 6] = ["plate", "number", "no.", "no", "is", "nr."];

/// Plates that are none of the road's: a frame's number is asked for.
const OTHER_PLATES: [&str; 2] = ["frame", "data"];

/// A stretch of a text that looks as if it told who somebody is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Telling {
    /// What it looks like: `a name`.
    pub what: &'static str,
    /// Where it stands, in bytes of the text.
    pub at: Range<usize>,
}

/// Everything in a text that looks as if it told who somebody is, in the order in which it stands there.
///
/// `sign`: it is asked for as a sign, such as bench 2, so that two words with capital letters are a name.
pub fn personal(text: &str, sign: bool) -> Vec<Telling> {
    let words = words(text);
    let plain: Vec<&str> = words.iter().map(|(_, word)| *word).collect();
    let across = |first: usize, count: usize| {
        let (from, to) = (words[first].0, words[first + count - 1]);
        from..to.0 + to.1.len()
    };
    let mut out: Vec<Telling> = Vec::new();
    let kinds: [(&'static str, Looks); 4] = [
        ("a mail address", mail),
        ("a street with its number", street),
        ("a registration plate", plate),
        ("a name", person),
    ];
    for (what, looks) in kinds {
        let mut at = 0;
        while at < plain.len() {
            let count = looks(&plain, at, sign);
            if count > 0 {
                out.push(Telling { what, at: across(at, count) });
            }
            at += count.max(1);
        }
    }
    out.extend(telephones(text).into_iter().map(|at| Telling { what: "a telephone number", at }));
    out.sort_by_key(|telling| (telling.at.start, telling.at.end));
    out
}

/// How many words from this one on look like it; none where they do not.
type Looks = fn(words: &[&str], at: usize, sign: bool) -> usize;

/// The words of a text without the marks around them, each with its place.
fn words(text: &str) -> Vec<(usize, &str)> {
    let mark = [',', ';', ':', '(', ')', '"'];
    let one = |word: &'_ str| {
        let from = word.len() - word.trim_start_matches(mark).len();
        (from, word.len() - from)
    };
    let mut out = Vec::new();
    let mut behind = 0;
    for word in text.split_whitespace() {
        let Some(at) = text[behind..].find(word).map(|found| behind + found) else { continue };
        behind = at + word.len();
        let (from, _) = one(word);
        out.push((at + from, word.trim_matches(mark)));
    }
    out
}

fn mail(words: &[&str], at: usize, _: bool) -> usize {
    let is_one = words[at].split_once('@').is_some_and(|(name, host)| !name.is_empty() && host.contains('.'));
    usize::from(is_one)
}

/// A word with a capital letter and small ones behind it.
fn is_name(word: &str) -> bool {
    let mark = |c: char| matches!(c, '\'' | '’' | '-');
    let small = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_lowercase() || mark(c));
    let lower = |text: &str| text.chars().all(char::is_lowercase);
    let mut letters = word.chars();
    if !letters.next().is_some_and(char::is_uppercase) {
        return false;
    }
    let rest = letters.as_str();
    // O'Hara, Smith-Jones.
    let twice = rest.find(mark).is_some_and(|at| {
        let mut behind = rest[at..].chars();
        behind.next();
        let second = behind.next().is_some_and(char::is_uppercase);
        second && lower(&rest[..at]) && !behind.as_str().is_empty() && lower(behind.as_str())
    });
    small(rest) || twice
}

/// A name behind a title, two names behind the word for a person, or, in a sign, two words with capital letters.
fn person(words: &[&str], n: usize, sign: bool) -> usize {
    let at = |at: usize| words.get(at).map_or("", |word| word.trim_end_matches('.'));
    let initial = |word: &str| {
        word.strip_suffix('.')
            .is_some_and(|letter| letter.chars().count() == 1 && letter.chars().all(char::is_uppercase))
    };
    let small = words[n].to_lowercase();
    let next = is_name(at(n + 1));
    if PEOPLE.contains(&small.as_str()) && next && is_name(at(n + 2)) {
        return 3;
    }
    let two =
        TITLES.contains(&small.as_str()) && next || sign && (is_name(at(n)) || initial(words[n])) && next;
    if two { 2 } else { 0 }
}

/// A number, one or two words with a capital letter, and a word for a street.
fn street(words: &[&str], at: usize, _: bool) -> usize {
    let number = |word: &str| {
        word.starts_with(|c: char| c.is_ascii_digit())
            && word.len() <= 5
            && word.trim_end_matches(char::is_alphabetic).bytes().all(|b| b.is_ascii_digit())
    };
    let named = |at: usize| words.get(at).is_some_and(|word| word.starts_with(char::is_uppercase));
    let is_street =
        |at: usize| words.get(at).is_some_and(|word| STREETS.contains(&word.to_lowercase().as_str()));
    if !number(words[at]) || !named(at + 1) {
        return 0;
    }
    match (is_street(at + 2), named(at + 2) && is_street(at + 3)) {
        (true, _) => 3,
        (false, true) => 4,
        (false, false) => 0,
    }
}

/// The word for a plate, and capital letters with digits behind it.
fn plate(words: &[&str], at: usize, _: bool) -> usize {
    let before = at.checked_sub(1).map(|at| words[at].to_lowercase()).unwrap_or_default();
    if !PLATES.contains(&words[at].to_lowercase().as_str()) || OTHER_PLATES.contains(&before.as_str()) {
        return 0;
    }
    let mut from = at + 1;
    while words.get(from).is_some_and(|word| BETWEEN.contains(&word.to_lowercase().as_str())) {
        from += 1;
    }
    let of_plate = |c: char| c.is_uppercase() || c.is_ascii_digit() || c == '-';
    let part = |word: &&&str| !word.is_empty() && word.chars().all(of_plate);
    let parts: Vec<&str> = words[from.min(words.len())..].iter().take_while(part).take(3).copied().collect();
    let signs = || parts.iter().flat_map(|part| part.chars()).filter(|c| *c != '-');
    let is_one = (4..=9).contains(&signs().count())
        && signs().any(char::is_uppercase)
        && signs().any(|c| c.is_ascii_digit());
    if is_one { from - at + parts.len() } else { 0 }
}

/// Digits in a row, with what stands between the groups of a telephone number.
fn telephones(text: &str) -> Vec<Range<usize>> {
    let between = |c: char| matches!(c, ' ' | '-' | '/' | '(' | ')' | '.');
    let mut runs: Vec<Range<usize>> = Vec::new();
    let mut open: Option<usize> = None;
    for (at, c) in text.char_indices() {
        let goes_on = c.is_ascii_digit() || c == '+' && open.is_none() || between(c) && open.is_some();
        match (goes_on, open) {
            (true, None) => open = Some(at),
            (false, Some(from)) => {
                runs.push(from..at);
                open = None;
            }
            _ => {}
        }
    }
    runs.extend(open.map(|from| from..text.len()));
    let trimmed =
        runs.into_iter().map(|run| run.start..run.start + text[run].trim_end_matches(between).len());
    trimmed
        .filter(|run| {
            let (run, behind) = (&text[run.clone()], &text[run.end..]);
            let digits = run.bytes().filter(u8::is_ascii_digit).count();
            let grouped = run.starts_with(['+', '0', '(']) || run.contains(['-', '/']);
            let is_one = grouped || in_groups(run) && !is_measure(behind);
            digits >= FEWEST_DIGITS && is_one && Date::read(run).is_none()
        })
        .collect()
}

/// Three groups of three or four digits with one space between, the first of three, and not all alike: `555 0199 227`.
/// Groups of three alone are how thousands are written, and groups of four may be readings.
fn in_groups(run: &str) -> bool {
    let groups: Vec<&str> = run.split(' ').collect();
    let digits = |group: &&str| (3..=4).contains(&group.len()) && group.bytes().all(|b| b.is_ascii_digit());
    let [first, rest @ ..] = groups.as_slice() else { return false };
    groups.len() == 3
        && groups.iter().all(digits)
        && first.len() == 3
        && rest.iter().any(|group| group.len() == 4)
}

/// Whether a text begins with the name of a unit.
fn is_measure(text: &str) -> bool {
    let word: String = text.trim_start().chars().take_while(char::is_ascii_alphabetic).collect();
    MEASURES.contains(&word.to_lowercase().as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(text: &str, sign: bool) -> Vec<&'static str> {
        personal(text, sign).into_iter().map(|telling| telling.what).collect()
    }

    #[test]
    fn who_somebody_is_is_told_and_what_the_fork_does_is_not() {
        for (text, what) in [
            ("ring 0555 0134 221 when done", "a telephone number"),
            ("+1 (555) 013-4221", "a telephone number"),
            ("ring 555 0199 227 on Friday", "a telephone number"),
            ("555 013 4221", "a telephone number"),
            ("mail to rider@post.example", "a mail address"),
            ("bring it to 12 Mill Lane", "a street with its number"),
            ("at 4b Old Harbor Road", "a street with its number"),
            ("Mrs. Wren waits for it", "a name"),
            ("owner: Ada Wren", "a name"),
            ("number plate: KL 04 ABX", "a registration plate"),
            ("reg. AB-123-CD", "a registration plate"),
        ] {
            assert_eq!(kinds(text, false), [what], "{text}");
        }
        for text in [
            "weeps after 18200 km of road",
            "last done 2024-04-12",
            "0.05 mm wear, 40.97 mm on the left",
            "dives on the Mill Road climb",
            "batch 15-0311",
            "read 100 200 300 kPa",
            "980 1010 995 N on three strokes",
            "seals 4410 2210 330",
            "1 234 567 km",
            "41 43 4567",
            "the rider says that Left knocks",
            "Ashlock Lantern, its forks are of the R model",
            "the frame plate 7Q0412 is worn",
            "plate 12 mm off; reg. M8 loose",
        ] {
            assert_eq!(personal(text, false), [], "{text}");
        }
    }

    #[test]
    fn two_words_with_capital_letters_are_a_name_where_a_sign_is_asked_for() {
        for (sign, is_one) in
            [("A. Wren", true), ("Ada O’Hara", true), ("bench 2", false), ("AW", false), ("Bench 2", false)]
        {
            assert_eq!(!personal(sign, true).is_empty(), is_one, "{sign}");
        }
        assert_eq!(personal("A. Wren", false), [], "the end of a sentence looks like this too");
    }

    /// For whoever has to take it out: everything at once, each where it stands.
    #[test]
    fn all_that_a_text_tells_is_told_each_at_its_place() {
        let text = "Mrs Wren, 12 Mill Lane, reg KL04 ABX; ring 0555 0134 221 or rider@post.example";
        let told: Vec<(&str, &str)> =
            personal(text, false).into_iter().map(|one| (one.what, &text[one.at])).collect();
        let expected = [
            ("a name", "Mrs Wren"),
            ("a street with its number", "12 Mill Lane"),
            ("a registration plate", "reg KL04 ABX"),
            ("a telephone number", "0555 0134 221"),
            ("a mail address", "rider@post.example"),
        ];
        assert_eq!(told, expected);
    }
}
