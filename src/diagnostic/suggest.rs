//! "Did you mean": the nearest known word.

/// No word anyone meant to write is longer, in bytes; the search takes time by the product of both lengths.
const LONGEST: usize = 100;

/// The known word nearest to `word`, where one is near enough to be what was meant.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if word.len() > LONGEST {
        return None;
    }
    let lower = word.to_lowercase();
    known
        .into_iter()
        .filter(|candidate| *candidate != word)
        .map(|candidate| (strsim::osa_distance(&lower, &candidate.to_lowercase()), candidate))
        .filter(|(distance, candidate)| {
            *distance <= 1 + candidate.chars().count().min(word.chars().count()) / 4
        })
        .min()
        .map(|(_, candidate)| candidate)
}

/// "did you mean `x`?", or `otherwise` where no known word is near.
pub fn did_you_mean<'a>(
    word: &str,
    known: impl IntoIterator<Item = &'a str>,
    otherwise: impl FnOnce() -> String,
) -> String {
    match nearest(word, known) {
        Some(near) => format!("did you mean `{near}`?"),
        None => otherwise(),
    }
}
