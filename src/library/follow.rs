//! A shop takes a later version of the library: what it changed stays its own, what it did not change follows, and
//! what both changed is told with both texts.

use std::collections::{BTreeMap, BTreeSet};

use super::ledger::Ledger;
use super::units::{Units, file_of};

/// What a person decided about a text that both sides changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wish {
    /// The shop's own text stays, and is not told of again until the library changes anew.
    Keep,
    /// The library's text is put in its place.
    Take,
}

/// A text that the shop and the library both changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// Its path; for a condition with `#` and its id.
    pub name: String,
    /// The shop's text; `None`: the shop took it out.
    pub own: Option<String>,
    /// The library's text; `None`: the library has it no more.
    pub library: Option<String>,
}

/// What a later version of the library does to a shop.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Following {
    /// Every file as it will be, where it changes; `None`: it goes.
    pub files: BTreeMap<String, Option<String>>,
    /// The ledger as it will be.
    pub ledger: Ledger,
    /// What came new, by name.
    pub added: Vec<String>,
    /// What followed, by name.
    pub followed: Vec<String>,
    /// What the library has no more, and the shop had as it came.
    pub removed: Vec<String>,
    /// What the shop changed and the library did not.
    pub own: Vec<String>,
    /// What the shop took out and the library has as it was.
    pub left_out: Vec<String>,
    /// What both changed: the shop's text stays until somebody decides.
    pub conflicts: Vec<Conflict>,
    /// Wishes that name no conflict.
    pub unmet: Vec<String>,
}

/// Works out what becomes of a shop's files, by path, when it takes this version of the library.
pub fn follow(
    shop: &BTreeMap<String, String>,
    ledger: &Ledger,
    (version, library): (&str, &BTreeMap<String, String>),
    wishes: &BTreeMap<String, Wish>,
) -> Following {
    let (own, new) = (Units::of(shop), Units::of(library));
    let mut ledger_after = ledger.clone();
    version.clone_into(&mut ledger_after.version);
    let mut run = Run { after: own.clone(), out: Following { ledger: ledger_after, ..Following::default() } };
    let mut names: Vec<&str> = new.names().collect();
    let of_the_library: BTreeSet<&str> = names.iter().copied().collect();
    names.extend(ledger.names().filter(|name| !of_the_library.contains(name)));
    let mut met = BTreeSet::new();
    for name in names {
        let wish = wishes.get(name).or_else(|| wishes.get(file_of(name))).copied();
        if run.one(name, (own.get(name), new.get(name)), &new, wish) {
            met.extend([name.to_owned(), file_of(name).to_owned()]);
        }
    }
    let mut out = run.out;
    out.unmet = wishes.keys().filter(|name| !met.contains(*name)).cloned().collect();
    let (before, after) = (shop, run.after.files());
    for path in before.keys().chain(after.keys()) {
        if before.get(path) != after.get(path) {
            out.files.insert(path.clone(), after.get(path).cloned());
        }
    }
    out
}

struct Run {
    after: Units,
    out: Following,
}

impl Run {
    /// Decides on one text; says whether a wish was needed.
    fn one(
        &mut self,
        name: &str,
        (own, library): (Option<&str>, Option<&str>),
        model: &Units,
        wish: Option<Wish>,
    ) -> bool {
        let taken = self.out.ledger.has(name);
        let as_taken = |text: Option<&str>| text.is_some_and(|text| self.out.ledger.is_as_taken(name, text));
        let same = own.map(str::trim_end) == library.map(str::trim_end);
        match (as_taken(own), as_taken(library)) {
            _ if same => self.note(name, library),
            // The library has not changed it: it is the shop's to change or to take out.
            (_, true) => {
                let list = if own.is_some() { &mut self.out.own } else { &mut self.out.left_out };
                list.push(name.to_owned());
            }
            (true, false) => self.put(name, library, model),
            // New in the library, and the shop has nothing of the name.
            (false, false) if own.is_none() && !taken => {
                self.put(name, library, model);
            }
            // Gone on both sides, or gone from the library and changed here: nothing to decide.
            (false, false) if library.is_none() => {
                self.out.own.push(name.to_owned());
                self.out.ledger.forget(name);
            }
            (false, false) => {
                match wish {
                    Some(Wish::Take) => self.put(name, library, model),
                    Some(Wish::Keep) => {
                        self.note(name, library);
                        self.out.own.push(name.to_owned());
                    }
                    None => self.out.conflicts.push(Conflict {
                        name: name.to_owned(),
                        own: own.map(str::to_owned),
                        library: library.map(str::to_owned),
                    }),
                }
                return true;
            }
        }
        false
    }

    /// Lets the shop have the library's text.
    fn put(&mut self, name: &str, library: Option<&str>, model: &Units) {
        let list = match (self.after.get(name), library) {
            (None, _) => &mut self.out.added,
            (Some(_), Some(_)) => &mut self.out.followed,
            (Some(_), None) => &mut self.out.removed,
        };
        list.push(name.to_owned());
        self.after.set(name, library, model);
        self.note(name, library);
    }

    /// Writes down which text of the library the shop has seen.
    fn note(&mut self, name: &str, library: Option<&str>) {
        match library {
            Some(text) => self.out.ledger.take(name, text),
            None => self.out.ledger.forget(name),
        }
    }
}

#[cfg(test)]
mod tests;
