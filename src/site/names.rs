//! What else things are called: the trade's other names for what has one name here, and what people type.

const TERMS: &str = include_str!("terms.txt");
const ASKED: &str = include_str!("asked.txt");

/// Another name, and ours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Name {
    /// What it is called elsewhere.
    pub other: &'static str,
    /// What it is called here.
    pub ours: &'static str,
    /// Whether it is another name for the same thing, and not only a way to ask for it.
    pub same: bool,
}

/// All of them, in the order of the lists. A list holds one of our names a line, a colon, the others by commas.
pub fn names() -> Vec<Name> {
    let lists = [(TERMS, true), (ASKED, false)];
    let of = |(list, same): (&'static str, bool)| {
        let lines = list.lines().filter(|line| !line.starts_with('#'));
        let rows = lines.filter_map(|line| line.split_once(": "));
        rows.flat_map(move |(ours, others)| others.split(", ").map(move |other| Name { other, ours, same }))
    };
    lists.into_iter().flat_map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_lists_are_read() {
        let names = names();
        assert!(names.contains(&Name { other: "oil height", ours: "air gap", same: true }));
        assert!(names.contains(&Name { other: "usd", ours: "inverted", same: false }));
    }

    #[test]
    fn no_name_leads_to_itself() {
        let names = names();
        assert!(names.iter().all(|name| name.other != name.ours && !name.other.is_empty()), "{names:?}");
    }
}
