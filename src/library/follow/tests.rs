//! A shop lead edits, takes out and renames what came with the library, and then takes a later version of it.

use super::*;
use crate::library::CONDITIONS;

fn texts(list: &[(&str, &str)]) -> BTreeMap<String, String> {
    list.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect()
}

const OLD: &[(&str, &str)] = &[("a.md", "a1\n"), ("b.md", "b1\n"), ("c.md", "c1\n"), ("d.md", "d1\n")];

/// What becomes of a shop that began with [`OLD`] and was then changed, when the library changes.
fn after(shop: &[(&str, &str)], library: &[(&str, &str)], wishes: &[(&str, Wish)]) -> Following {
    let begun = follow(&BTreeMap::new(), &Ledger::default(), ("1", &texts(OLD)), &BTreeMap::new());
    let wishes = wishes.iter().map(|(name, wish)| ((*name).to_owned(), *wish)).collect();
    follow(&texts(shop), &begun.ledger, ("2", &texts(library)), &wishes)
}

#[test]
fn what_was_not_changed_follows_and_what_was_stays() {
    let shop =
        [("a.md", "a1\n"), ("b.md", "b own\n"), ("c.md", "c1\r\n"), ("own.md", "own\n"), ("d.md", "d1\n")];
    let library = [("a.md", "a2\n"), ("b.md", "b1\n"), ("c.md", "c2\n"), ("new.md", "new\n")];
    let done = after(&shop, &library, &[]);
    let expected: BTreeMap<String, Option<String>> = [
        ("a.md", Some("a2\n")),
        // Only its lines ended otherwise: a checkout on another system does that.
        ("c.md", Some("c2\n")),
        ("d.md", None),
        ("new.md", Some("new\n")),
    ]
    .map(|(path, text)| (path.to_owned(), text.map(str::to_owned)))
    .into();
    assert_eq!(done.files, expected);
    assert_eq!((done.followed, done.added), (vec!["a.md".into(), "c.md".into()], vec!["new.md".to_owned()]));
    assert_eq!((done.removed, done.own), (vec!["d.md".to_owned()], vec!["b.md".to_owned()]));
    assert!(done.conflicts.is_empty() && done.ledger.version == "2");
}

#[test]
fn a_second_time_there_is_nothing_to_do() {
    let first = after(OLD, &[("a.md", "a2\n"), ("b.md", "b1\n")], &[]);
    let shop = texts(&[("a.md", "a2\n"), ("b.md", "b1\n")]);
    let again = follow(&shop, &first.ledger, ("2", &shop), &BTreeMap::new());
    assert!(again.files.is_empty() && again.own.is_empty(), "{again:?}");
    assert_eq!(again.ledger, first.ledger);
    // The ledger says the same when it is read from its file.
    assert_eq!(Ledger::read(&first.ledger.write()), first.ledger);
}

#[test]
fn what_both_changed_is_told_with_both_texts_until_somebody_decides() {
    let shop = [("a.md", "a own\n"), ("c.md", "c1\n"), ("d.md", "d1\n")];
    let library = [("a.md", "a2\n"), ("b.md", "b2\n"), ("c.md", "c1\n"), ("d.md", "d1\n")];
    let done = after(&shop, &library, &[]);
    assert!(done.files.is_empty(), "{:?}", done.files);
    let both = |name: &str, own: Option<&str>, library: &str| Conflict {
        name: name.to_owned(),
        own: own.map(str::to_owned),
        library: Some(library.to_owned()),
    };
    // The second was taken out by the shop.
    assert_eq!(done.conflicts, [both("a.md", Some("a own\n"), "a2\n"), both("b.md", None, "b2\n")]);
    // Told again the next time.
    let again = follow(&texts(&shop), &done.ledger, ("2", &texts(&library)), &BTreeMap::new());
    assert_eq!(again.conflicts, done.conflicts);
    let kept = after(&shop, &library, &[("a.md", Wish::Keep), ("b.md", Wish::Take), ("x.md", Wish::Keep)]);
    assert!(kept.conflicts.is_empty());
    assert_eq!(kept.files, BTreeMap::from([("b.md".to_owned(), Some("b2\n".to_owned()))]));
    assert_eq!(kept.unmet, ["x.md"]);
    let mut shop = texts(&shop);
    shop.insert("b.md".to_owned(), "b2\n".to_owned());
    let quiet = follow(&shop, &kept.ledger, ("2", &texts(&library)), &BTreeMap::new());
    assert!(quiet.conflicts.is_empty() && quiet.files.is_empty(), "{quiet:?}");
}

#[test]
fn what_was_taken_out_stays_out_and_a_renamed_file_is_the_shops_own() {
    let shop = [("b2.md", "b1\n"), ("c.md", "c1\n"), ("d.md", "d1\n")];
    let done = after(&shop, OLD, &[]);
    assert!(done.files.is_empty(), "{done:?}");
    assert_eq!(done.left_out, ["a.md", "b.md"]);
    assert!(done.own.is_empty(), "{done:?}");
    // Of a file that the library takes away, an edited copy stays.
    let shop = [("a.md", "a own\n"), ("b.md", "b1\n"), ("c.md", "c1\n"), ("d.md", "d1\n")];
    let done = after(&shop, &OLD[1..], &[]);
    assert!(done.files.is_empty() && done.conflicts.is_empty(), "{done:?}");
    assert!(!done.ledger.has("a.md"));
    // A file of the shop's own that the library now has a namesake of.
    let shop = [("a.md", "a1\n"), ("b.md", "b1\n"), ("c.md", "c1\n"), ("d.md", "d1\n"), ("e.md", "own\n")];
    let library = [OLD, &[("e.md", "e\n")]].concat();
    let done = after(&shop, &library, &[]);
    assert_eq!(done.conflicts.len(), 1);
    assert!(done.files.is_empty());
}

#[test]
fn each_condition_is_followed_by_itself() {
    let old = "conditions:\n  a:\n    says: a\n  b:\n    says: b\nstart: [a]\n";
    let new = "conditions:\n  a:\n    says: a now\n  n:\n    says: n\n  b:\n    says: b\nstart: [a]\n";
    let own = "conditions:\n  a:\n    says: a\n  b:\n    says: b, here\n  mine:\n    says: m\nstart: [a]\n";
    let begun =
        follow(&BTreeMap::new(), &Ledger::default(), ("1", &texts(&[(CONDITIONS, old)])), &BTreeMap::new());
    assert_eq!(begun.files[CONDITIONS].as_deref(), Some(old));
    let done = follow(
        &texts(&[(CONDITIONS, own)]),
        &begun.ledger,
        ("2", &texts(&[(CONDITIONS, new)])),
        &BTreeMap::new(),
    );
    let merged = "conditions:\n  a:\n    says: a now\n  n:\n    says: n\n  b:\n    says: b, here\n  mine:\n    says: m\nstart: [a]\n";
    assert_eq!(done.files[CONDITIONS].as_deref(), Some(merged));
    assert_eq!(done.own, ["procedures/conditions.yaml#b"]);
}
