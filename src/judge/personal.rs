//! What looks as if it told who somebody is. The page says the same of the same text (`templates/personal.js`).

use crate::date::Date;

const STREETS: [&str; 9] = ["street", "st.", "road", "rd.", "lane", "avenue", "ave.", "drive", "terrace"];

/// What stands before a name.
const TITLES: [&str; 11] = ["mr", "mr.", "mrs", "mrs.", "ms", "ms.", "miss", "mx", "mx.", "dr", "dr."];

/// Whose name follows.
const PEOPLE: [&str; 5] = ["owner", "customer", "client", "rider", "name"];

/// The fewest digits of a telephone number with its area code.
const FEWEST_DIGITS: usize = 8;

/// What a text looks like that tells who somebody is, in words; `None` where it tells nobody.
///
/// `sign`: it is asked for as a sign, such as bench 2, so that two words with capital letters are a name.
pub fn personal(text: &str, sign: bool) -> Option<&'static str> {
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
    if has_telephone(text) {
        return Some("a telephone number");
    }
    is_person(&words, sign).then_some("a name")
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
fn is_person(words: &[&str], sign: bool) -> bool {
    let at = |at: usize| words.get(at).map_or("", |word| word.trim_end_matches('.'));
    let initial = |word: &str| {
        word.strip_suffix('.')
            .is_some_and(|letter| letter.chars().count() == 1 && letter.chars().all(char::is_uppercase))
    };
    words.iter().enumerate().any(|(n, word)| {
        let small = word.to_lowercase();
        let next = is_name(at(n + 1));
        TITLES.contains(&small.as_str()) && next
            || PEOPLE.contains(&small.as_str()) && next && is_name(at(n + 2))
            || sign && (is_name(at(n)) || initial(word)) && next
    })
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
            ("Mrs. Wren waits for it", "a name"),
            ("owner: Ada Wren", "a name"),
        ] {
            assert_eq!(personal(text, false), Some(what), "{text}");
        }
        for text in [
            "weeps after 18200 km of road",
            "last done 2024-04-12",
            "0.05 mm wear, 40.97 mm on the left",
            "dives on the Mill Road climb",
            "batch 15-0311",
            "the rider says that Left knocks",
            "Ashlock Lantern, its forks are of the R model",
        ] {
            assert_eq!(personal(text, false), None, "{text}");
        }
    }

    #[test]
    fn two_words_with_capital_letters_are_a_name_where_a_sign_is_asked_for() {
        for (sign, is_one) in
            [("A. Wren", true), ("Ada O’Hara", true), ("bench 2", false), ("AW", false), ("Bench 2", false)]
        {
            assert_eq!(personal(sign, true).is_some(), is_one, "{sign}");
        }
        assert_eq!(personal("A. Wren", false), None, "the end of a sentence looks like this too");
    }
}
