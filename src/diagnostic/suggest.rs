//! "Did you mean": the nearest known word.

/// No word anyone meant to write is longer, in bytes; the search takes time by the product of both lengths.
const LONGEST: usize = 100;

/// A beginning of fewer letters is no word that was broken off, in bytes.
const SHORTEST_BEGINNING: usize = 5;

/// The digits of a word in their order, superscripts among them: `quillon-damp-15` has 15, `mm²` has 2.
fn digits(word: &str) -> impl Iterator<Item = u32> + '_ {
    word.chars().filter_map(|c| match c {
        '²' => Some(2),
        '³' => Some(3),
        _ => c.to_digit(10),
    })
}

/// The known word nearest to `word`, where one is near enough to be what was meant. A word with other digits
/// is another oil, model or unit, however near its letters are, and is never guessed.
pub(crate) fn nearest<'a>(word: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    nearest_all(word, words).into_iter().next()
}

/// The known words nearest to `word`, sorted: several where several are as near.
pub(crate) fn nearest_all<'a>(word: &str, words: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    if word.len() > LONGEST {
        return Vec::new();
    }
    let lower = word.to_lowercase();
    let others = words.into_iter().filter(|other| *other != word && digits(other).eq(digits(word)));
    let others: Vec<&str> = others.collect();
    // A word that was broken off: `stanchion_dia` is nearer to `stanchion_limit` by letters alone.
    let begun: Vec<&str> =
        others.iter().filter(|other| other.to_lowercase().starts_with(&lower)).copied().collect();
    if let ([whole], true) = (begun.as_slice(), word.len() >= SHORTEST_BEGINNING) {
        return vec![whole];
    }
    let whole = by_letters(&lower, &others, Some);
    if !whole.is_empty() || word.contains('.') {
        return whole;
    }
    // A value without its group: `oil_seal` is `seals.oil_seal`.
    by_letters(&lower, &others, |other| other.rsplit_once('.').map(|(_, name)| name.trim_start()))
}

/// The words of which a part is nearest by its letters.
fn by_letters<'a>(lower: &str, words: &[&'a str], part: impl Fn(&'a str) -> Option<&'a str>) -> Vec<&'a str> {
    let near_enough = |word: &&'a str| {
        let part = part(word)?;
        let distance = strsim::osa_distance(lower, &part.to_lowercase());
        (distance <= 1 + part.chars().count().min(lower.chars().count()) / 4).then_some((distance, *word))
    };
    let mut near: Vec<(usize, &str)> = words.iter().filter_map(near_enough).collect();
    near.sort_unstable();
    let least = near.first().map(|(distance, _)| *distance);
    near.into_iter().take_while(|(distance, _)| Some(*distance) == least).map(|(_, word)| word).collect()
}

/// "did you mean `x`?", with every word that is as near, or `otherwise` where no known word is near.
pub(crate) fn did_you_mean<'a>(
    word: &str,
    words: impl IntoIterator<Item = &'a str>,
    otherwise: impl FnOnce() -> String,
) -> String {
    match nearest_all(word, words).as_slice() {
        [] => otherwise(),
        [most @ .., last] if !most.is_empty() && most.len() < 4 => {
            format!("did you mean `{}` or `{last}`?", most.join("`, `"))
        }
        [near, ..] => format!("did you mean `{near}`?"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_that_was_broken_off_is_the_one_it_begins() {
        let keys = ["stanchion_limit", "stanchion_diameter", "stroke"];
        assert_eq!(nearest_all("stanchion_dia", keys), ["stanchion_diameter"]);
        // It begins two: the letters decide.
        assert_eq!(nearest_all("stanchion_", ["stanchion_limit", "stanchion_diameter"]).len(), 0);
        assert_eq!(nearest("strok", keys), Some("stroke"));
    }

    #[test]
    fn a_value_without_its_group_is_the_one_that_is_called_so() {
        let keys = ["seals.oil_seal", "seals.dust_seal", "torque.axle", "oil.oil", "intervals.oil"];
        assert_eq!(nearest_all("oil_seal", keys), ["seals.oil_seal"]);
        assert_eq!(nearest_all("oil_sea", keys), ["seals.oil_seal"]);
        assert_eq!(nearest_all("oil", keys), ["intervals.oil", "oil.oil"]);
        assert_eq!(nearest_all("axel", keys), ["torque.axle"]);
        assert_eq!(nearest_all("fork", keys), [""; 0]);
    }

    #[test]
    fn a_name_with_other_digits_is_another_thing() {
        let oils = ["quillon-damp-10", "quillon-damp-22", "marrowhill-fork-32"];
        assert_eq!(nearest("quillon-damp-15", oils), None);
        assert_eq!(nearest("quilon-damp-22", oils), Some("quillon-damp-22"));
        assert_eq!(nearest("quillon-damp", oils), None);
        assert_eq!(nearest("tarnholm-u14", ["tarnholm-u41"]), None);
        assert_eq!(nearest("mm2/", ["mm²/s"]), Some("mm²/s"));
    }
}
