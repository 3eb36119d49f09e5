//! What is followed by itself: a file, and of the conditions, which all stand in one file, each entry.

use std::collections::BTreeMap;

/// The file of the conditions.
pub const CONDITIONS: &str = "procedures/conditions.yaml";

/// The part of the conditions' file before its entries, and the one behind them.
const HEAD: &str = "head";
const TAIL: &str = "end";

/// Texts by the name they are followed under: a path, or `procedures/conditions.yaml#ID`. In the order of the file for
/// the conditions.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Units {
    files: BTreeMap<String, String>,
    conditions: Vec<(String, String)>,
}

fn part(name: &str) -> String {
    format!("{CONDITIONS}#{name}")
}

impl Units {
    /// The units of files by path.
    pub fn of(files: &BTreeMap<String, String>) -> Units {
        let mut files = files.clone();
        let conditions = files.remove(CONDITIONS).map(|text| split(&text)).unwrap_or_default();
        Units { files, conditions }
    }

    /// A unit's text.
    pub fn get(&self, name: &str) -> Option<&str> {
        let condition = self.conditions.iter().find(|(known, _)| known == name).map(|(_, text)| text);
        condition.or_else(|| self.files.get(name)).map(String::as_str)
    }

    /// The names of all units: files by path, then the conditions in their order.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.files.keys().map(String::as_str).chain(self.conditions.iter().map(|(name, _)| name.as_str()))
    }

    /// Puts a unit in place or takes it away. A new condition comes behind the one that stands before it in `model`.
    pub fn set(&mut self, name: &str, text: Option<&str>, model: &Units) {
        if !name.starts_with(&part("")) {
            match text {
                Some(text) => drop(self.files.insert(name.to_owned(), text.to_owned())),
                None => drop(self.files.remove(name)),
            }
            return;
        }
        let at = self.conditions.iter().position(|(known, _)| known == name);
        match (at, text) {
            (Some(at), Some(text)) => text.clone_into(&mut self.conditions[at].1),
            (Some(at), None) => drop(self.conditions.remove(at)),
            (None, Some(text)) => {
                let at = self.place(name, model);
                self.conditions.insert(at, (name.to_owned(), text.to_owned()));
            }
            (None, None) => {}
        }
    }

    /// Where a new condition belongs.
    fn place(&self, name: &str, model: &Units) -> usize {
        let before = model.conditions.iter().take_while(|(known, _)| known != name);
        let known: Vec<usize> = before
            .filter_map(|(before, _)| self.conditions.iter().position(|(known, _)| known == before))
            .collect();
        let end = self.conditions.iter().position(|(known, _)| *known == part(TAIL));
        known.last().map_or(end.unwrap_or(self.conditions.len()), |at| at + 1)
    }

    /// The files by path.
    pub fn files(&self) -> BTreeMap<String, String> {
        let mut files = self.files.clone();
        if !self.conditions.is_empty() {
            let text = self.conditions.iter().map(|(_, text)| text.as_str()).collect();
            files.insert(CONDITIONS.to_owned(), text);
        }
        files
    }
}

/// The file a unit stands in.
pub(super) fn file_of(name: &str) -> &str {
    name.split('#').next().unwrap_or(name)
}

/// The unit that stands at a place of a file: its name and its text.
pub(super) fn unit_at(path: &str, text: &str, at: usize) -> (String, String) {
    let whole = || (path.to_owned(), text.to_owned());
    if path != CONDITIONS {
        return whole();
    }
    let mut begins = 0;
    let stands_at = |(_, part): &(String, String)| {
        begins += part.len();
        at < begins
    };
    split(text).into_iter().find(stands_at).unwrap_or_else(whole)
}

/// Parts the conditions' file: what stands before the entries, each entry with the comments above it, and the rest.
/// Joined again, the parts are the file.
fn split(text: &str) -> Vec<(String, String)> {
    let mut parts: Vec<(String, String)> = vec![(part(HEAD), String::new())];
    let (mut inside, mut waiting) = (false, String::new());
    for line in text.split_inclusive('\n') {
        let bare = line.trim_end();
        let indented = line.starts_with(' ');
        let comment = bare.trim_start().starts_with('#');
        let last = parts.last_mut().map(|(_, text)| text);
        if bare.is_empty() || comment {
            waiting.push_str(line);
        } else if let Some(id) = entry(bare).filter(|_| inside) {
            parts.push((part(id), std::mem::take(&mut waiting) + line));
        } else if inside && !indented {
            inside = bare == "conditions:";
            parts.push((part(TAIL), std::mem::take(&mut waiting) + line));
        } else if let Some(last) = last {
            inside = inside || bare == "conditions:";
            last.push_str(&std::mem::take(&mut waiting));
            last.push_str(line);
        }
    }
    if let Some((_, last)) = parts.last_mut() {
        last.push_str(&waiting);
    }
    parts
}

/// The id of the entry that a line begins.
fn entry(line: &str) -> Option<&str> {
    let id = line.strip_prefix("  ")?.split(':').next()?;
    let fits =
        !id.is_empty() && id.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
    (fits && line.contains(':')).then_some(id)
}

/// A condition's entry put behind all others of the file; `None` where the file has no list of conditions.
pub(crate) fn with_entry(text: &str, entry: &str) -> Option<String> {
    let mut parts = split(text);
    if !parts.iter().any(|(_, text)| text.lines().any(|line| line.trim_end() == "conditions:")) {
        return None;
    }
    let end = parts.iter().position(|(name, _)| *name == part(TAIL)).unwrap_or(parts.len());
    if let Some((_, before)) = parts.get_mut(end - 1).filter(|(_, text)| !text.ends_with('\n')) {
        before.push('\n');
    }
    parts.insert(end, (String::new(), entry.to_owned()));
    Some(parts.into_iter().map(|(_, text)| text).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = "# head\nconditions:\n  # Intake\n  bled:\n    says: it is bled\n\n  gap-set:\n    says: set\nstart: [bled]\nhand_back:\n  - gap-set\n";

    #[test]
    fn the_parts_of_the_conditions_joined_are_the_file() {
        let parts = split(FILE);
        let names: Vec<&str> = parts.iter().map(|(name, _)| name.rsplit('#').next().unwrap()).collect();
        assert_eq!(names, ["head", "bled", "gap-set", "end"]);
        assert_eq!(parts.iter().map(|(_, text)| text.as_str()).collect::<String>(), FILE);
        let repository = include_str!("../../procedures/conditions.yaml");
        let parts = split(repository);
        assert!(parts.len() > 50, "{}", parts.len());
        assert_eq!(parts.into_iter().map(|(_, text)| text).collect::<String>(), repository);
    }

    #[test]
    fn a_new_condition_stands_behind_the_last_one() {
        let new = with_entry(FILE, "  new-one:\n    says: new\n").unwrap();
        assert!(new.contains("    says: set\n  new-one:\n    says: new\nstart: [bled]\n"), "{new}");
        assert_eq!(with_entry("start: []\n", "x"), None);
    }
}
