//! Short texts in a row, with commas.

/// Parts that say something, with commas.
pub(super) fn joined(parts: Vec<String>) -> String {
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

/// Two parts, the first of which may say nothing.
pub(super) fn join(first: &str, second: &str) -> String {
    match (first, second) {
        ("", one) | (one, "") => one.to_owned(),
        (first, second) => format!("{first}, {second}"),
    }
}
