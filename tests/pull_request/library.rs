//! A shop that began with the library takes a later version of it.

use std::fs;
use std::path::{Path, PathBuf};

use benchleaf::library::{LEDGER, Ledger};

use super::support::{edit, run};

const FLUSH: &str = "procedures/flush-leg.md";
const BOUNCE: &str = "procedures/bounce-fork.md";
const GAUGE: &str = "specs/tools/gap-gauge.yaml";

fn begin(dir: &Path) -> PathBuf {
    let ran = run(dir, &["new", "shop", "shop"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    dir.join("shop")
}

fn text(shop: &Path, path: &str) -> String {
    fs::read_to_string(shop.join(path)).unwrap()
}

/// Lets a text of the shop be one that an earlier version of the library brought.
fn came_earlier(shop: &Path, path: &str, old: &str, new: &str) {
    edit(shop, path, old, new);
    let mut ledger = Ledger::read(&text(shop, LEDGER));
    "0.0.9".clone_into(&mut ledger.version);
    ledger.take(path, &text(shop, path));
    fs::write(shop.join(LEDGER), ledger.write()).unwrap();
}

/// Every file of the shop with its text.
fn all(shop: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let files = walkdir::WalkDir::new(shop).sort_by_file_name().into_iter().map(Result::unwrap);
    let files = files.filter(|item| item.file_type().is_file());
    files.map(|item| (item.path().to_owned(), fs::read(item.path()).unwrap())).collect()
}

#[test]
fn a_shop_that_has_just_begun_has_nothing_to_take() {
    let dir = tempfile::tempdir().unwrap();
    let shop = begin(dir.path());
    let before = all(&shop);
    let ran = run(&shop, &["library", "update"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.contains("0 new, 0 followed, 0 gone"), "{}", ran.out);
    assert_eq!(all(&shop), before);
}

#[test]
fn what_the_shop_left_alone_follows_and_its_own_words_stay() {
    let dir = tempfile::tempdir().unwrap();
    let shop = begin(dir.path());
    let (flush, bounce) = (text(&shop, FLUSH), text(&shop, BOUNCE));
    came_earlier(&shop, FLUSH, "title: ", "title: Older ");
    edit(&shop, BOUNCE, "title: ", "title: Our ");
    fs::remove_file(shop.join("procedures/complaints/wallows.md")).unwrap();
    let dry = run(&shop, &["library", "update", "--dry-run"]);
    assert!(dry.out.contains(&format!("follows: {FLUSH}")), "{}", dry.out);
    assert_ne!(text(&shop, FLUSH), flush, "only asked");
    let ran = run(&shop, &["library", "update"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert_eq!(text(&shop, FLUSH), flush);
    assert_ne!(text(&shop, BOUNCE), bounce);
    assert!(!shop.join("procedures/complaints/wallows.md").exists(), "what was taken out stays out");
    assert!(
        ran.out.contains("0 new, 1 followed, 0 gone, 1 the shop's own, 1 taken out, 0 to decide"),
        "{}",
        ran.out
    );
    assert!(text(&shop, LEDGER).contains(&format!("# version {}\n", env!("CARGO_PKG_VERSION"))));
}

#[test]
fn what_both_changed_is_shown_with_both_texts_and_decided_by_a_person() {
    let dir = tempfile::tempdir().unwrap();
    let shop = begin(dir.path());
    let library = text(&shop, GAUGE);
    came_earlier(&shop, GAUGE, "title: ", "title: Older ");
    edit(&shop, GAUGE, "title: Older ", "title: Our ");
    let ours = text(&shop, GAUGE);
    let ran = run(&shop, &["library", "update"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    for part in [GAUGE, "    | title: Our Gap gauge\n", "    | title: Gap gauge\n", "--keep"] {
        assert!(ran.out.contains(part), "{part}: {}", ran.out);
    }
    assert_eq!(text(&shop, GAUGE), ours);
    assert_eq!(run(&shop, &["library", "update", "--keep", "specs/tools/gap.yaml"]).code, 2);
    let kept = run(&shop, &["library", "update", "--keep", GAUGE]);
    assert_eq!((kept.code, text(&shop, GAUGE)), (0, ours), "{kept:?}");
    assert_eq!(run(&shop, &["library", "update"]).code, 0, "it is not told of again");
    came_earlier(&shop, GAUGE, "title: Our ", "title: Older ");
    edit(&shop, GAUGE, "title: Older ", "title: Our ");
    assert_eq!(run(&shop, &["library", "update", "--take", GAUGE]).code, 0);
    assert_eq!(text(&shop, GAUGE), library);
}

/// A procedure of the shop's own links a tool that the library has no more: with it gone, the card would ask for
/// nothing.
#[test]
fn an_update_that_would_break_the_shop_is_refused_whole() {
    let dir = tempfile::tempdir().unwrap();
    let shop = begin(dir.path());
    let old = "specs/tools/old-gauge.yaml";
    fs::write(shop.join(old), text(&shop, GAUGE).replace("gap-gauge", "old-gauge")).unwrap();
    came_earlier(&shop, old, "title: ", "title: Old ");
    came_earlier(&shop, FLUSH, "title: ", "title: Older ");
    edit(&shop, BOUNCE, "time: 1 min\n", "time: 1 min\ntools: [old-gauge]\n");
    let before = all(&shop);
    let ran = run(&shop, &["library", "update"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(ran.out.contains("Nothing was changed") && ran.out.contains("old-gauge"), "{}", ran.out);
    assert_eq!(all(&shop), before);
    assert_eq!(run(&shop, &["library", "update", "--anyway"]).code, 0);
    assert!(!shop.join(old).exists());
}

#[test]
fn an_older_program_and_a_folder_that_is_no_shop_are_refused() {
    let dir = tempfile::tempdir().unwrap();
    let shop = begin(dir.path());
    let ledger = text(&shop, LEDGER).replace("# version 0.", "# version 10.");
    fs::write(shop.join(LEDGER), ledger).unwrap();
    let ran = run(&shop, &["library", "update"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("use the later program"), "{}", ran.err);
    fs::create_dir(dir.path().join("empty")).unwrap();
    let ran = run(dir.path(), &["library", "update", "empty"]);
    assert!(ran.code == 2 && ran.err.contains("holds no shop"), "{ran:?}");
    assert!(all(&dir.path().join("empty")).is_empty());
}

/// A condition is added without touching the others, and what nobody has written yet is told.
#[test]
fn a_new_condition_a_caution_and_a_tool_are_told_until_they_are_written() {
    let dir = tempfile::tempdir().unwrap();
    let shop = begin(dir.path());
    for words in [
        ["new", "condition", "dust-seal-dry"],
        ["new", "caution", "cold-oil"],
        ["new", "tool", "clip-stretcher"],
    ] {
        assert_eq!(run(&shop, &words).code, 0, "{words:?}");
        assert_eq!(run(&shop, &words).code, 2, "{words:?} a second time");
    }
    let checked = run(&shop, &["check", "--format", "short"]);
    assert_eq!(checked.code, 0, "{}", checked.out);
    for id in ["dust-seal-dry", "cold-oil", "clip-stretcher"] {
        let told = format!("warning placeholder: `{id}` still says what its template says");
        assert!(checked.out.contains(&told), "{told}: {}", checked.out);
    }
    edit(&shop, FLUSH, "brings: [", "brings: [dust-seal-dry, ");
    let checked = run(&shop, &["check", "--format", "short"]);
    assert!(checked.out.contains("error placeholder: `dust-seal-dry`"), "{}", checked.out);
}
