//! Whoever writes while the shop is served: after each save the findings and the pages are those of a shop that is read
//! from nothing, whatever was saved before.

mod common;
#[path = "../examples/make_shop/shop.rs"]
mod shop;

use std::collections::BTreeMap;
use std::path::Path;

use benchleaf::book::Book;
use benchleaf::site::{Press, Templates};
use benchleaf::text::{Folder, Memory as InMemory, Source};
use benchleaf::{Checked, Memory, check_again, check_sources, read_shop};
use common::root;

type Files = BTreeMap<String, Vec<u8>>;

/// A shop's sources.
fn sources(folder: &Path) -> Files {
    let folder = Folder { root: folder.to_path_buf() };
    let read = |path: String| (path.clone(), folder.read(&path).expect("a source"));
    folder.list().0.into_iter().map(read).collect()
}

/// Numbers that look like chance and are the same in each run (Knuth's 64-bit linear congruence, MMIX).
struct Chance(u64);

impl Chance {
    fn below(&mut self, count: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).expect("small") % count.max(1)
    }

    fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }
}

/// The folders whose files are changed, one as often as another.
const PLACES: [&str; 9] = [
    "specs/forks/",
    "specs/forks/",
    "specs/families/",
    "specs/oils/",
    "specs/tools/",
    "specs/jobs/",
    "procedures/",
    "procedures/services/",
    "specs/shop.yaml",
];

/// Exchanges that change what is said, or how.
const EXCHANGES: [(&str, &str); 10] = [
    (" mm", " in"),
    ("N·m", "lbf·ft"),
    ("published", "draft"),
    ("left", "right"),
    ("a", "b"),
    ("\n", "\n\n"),
    (": ", ": unknown # "),
    ("](spec:", "](reading:"),
    ("caution:", "tool:"),
    ("for:", "form:"),
];

/// One change of one file: its path, and its text after it; none where the file goes.
fn change(files: &Files, chance: &mut Chance) -> (String, Option<Vec<u8>>) {
    loop {
        let place = *chance.one(&PLACES);
        let here: Vec<&String> = files.keys().filter(|path| path.starts_with(place)).collect();
        if here.is_empty() {
            continue;
        }
        let path = (*chance.one(&here)).clone();
        let Ok(text) = String::from_utf8(files[&path].clone()) else { continue };
        let kind = chance.below(12);
        let changed = match kind {
            0 => return (path, None),
            // A line goes, or stands twice, or there is one more.
            1..=3 => {
                let mut lines: Vec<&str> = text.lines().collect();
                let at = chance.below(lines.len());
                match kind {
                    1 => drop(lines.remove(at)),
                    2 => lines.insert(at, lines[at]),
                    _ => lines.insert(0, "# looked at again"),
                }
                lines.join("\n") + "\n"
            }
            // Another digit.
            4..=8 => {
                let digits: Vec<usize> = text
                    .bytes()
                    .enumerate()
                    .filter(|(_, byte)| byte.is_ascii_digit())
                    .map(|(at, _)| at)
                    .collect();
                if digits.is_empty() {
                    continue;
                }
                let at = *chance.one(&digits);
                format!("{}{}{}", &text[..at], chance.below(10), &text[at + 1..])
            }
            _ => {
                let (old, new) = *chance.one(&EXCHANGES);
                let found: Vec<usize> = text.match_indices(old).map(|(at, _)| at).collect();
                if found.is_empty() {
                    continue;
                }
                let at = *chance.one(&found);
                format!("{}{new}{}", &text[..at], &text[at + old.len()..])
            }
        };
        return (path, Some(changed.into_bytes()));
    }
}

/// Some pages: the list of reviews, the first page, and those that a file tells of.
fn pages(checked: &Checked, path: &str) -> Vec<(String, Vec<u8>)> {
    let book = Book::working_copy(checked);
    let press = Press::new(&book, Templates::new(&BTreeMap::new()).expect("the templates"));
    let id = path.rsplit('/').next().unwrap_or_default().split('.').next().unwrap_or_default();
    let shown = |path: &str| {
        path == "index.html" || path == "review.html" || path.split(['/', '.']).any(|part| part == id)
    };
    let shown: Vec<_> = press.list().iter().filter(|page| shown(&page.path)).take(6).collect();
    shown.into_iter().filter_map(|page| Some((page.path.clone(), press.render(page).ok()?))).collect()
}

/// Saves so many changes in turn, some of which are taken back later, and compares after each.
fn saved_in_turn(first: &Files, seed: u64, turns: usize) {
    let mut chance = Chance(seed);
    let mut files = first.clone();
    let mut changed: Vec<String> = Vec::new();
    let mut memory = Memory::default();
    let mut with_pages = 0;
    for turn in 0..turns {
        let what = if changed.len() > 2 || turn % 3 == 2 && !changed.is_empty() {
            let path = changed.remove(chance.below(changed.len()));
            files.insert(path.clone(), first[&path].clone());
            path
        } else {
            let (path, text) = change(&files, &mut chance);
            match text {
                Some(text) => drop(files.insert(path.clone(), text)),
                None => drop(files.remove(&path)),
            }
            if !changed.contains(&path) {
                changed.push(path.clone());
            }
            path
        };
        let source = InMemory::new(files.clone());
        let again = check_again(read_shop(&source, None), &mut memory);
        let anew = check_sources(read_shop(&source, None));
        assert!(
            again.findings == anew.findings,
            "seed {seed}, turn {turn}, {what}: {}",
            apart(&again, &anew)
        );
        assert!(
            format!("{:?}", again.forks) == format!("{:?}", anew.forks),
            "seed {seed}, turn {turn}, {what}"
        );
        if !anew.has_errors() {
            with_pages += 1;
            assert!(pages(&again, &what) == pages(&anew, &what), "seed {seed}, turn {turn}, {what}: pages");
        }
    }
    assert!(with_pages > 0, "no state of the shop had pages to compare");
}

/// The findings that only one of two checks has.
fn apart(again: &Checked, anew: &Checked) -> String {
    let only = |these: &Checked, those: &Checked| -> Vec<String> {
        let mine = these.findings.iter().filter(|finding| !those.findings.contains(finding));
        mine.take(5).map(|finding| format!("{finding:?}")).collect()
    };
    format!("only again {:#?}, only anew {:#?}", only(again, anew), only(anew, again))
}

#[test]
fn a_save_in_the_demo_shop_shows_what_a_shop_read_from_nothing_shows() {
    saved_in_turn(&sources(root()), 1, 24);
}

#[test]
fn a_save_in_a_shop_of_many_like_forks_shows_what_a_shop_read_from_nothing_shows() {
    let room = tempfile::tempdir().expect("a room");
    let made = room.path().join("shop");
    shop::make_shop(root(), 72, &made).expect("a shop");
    saved_in_turn(&sources(&made), 2, 24);
}
