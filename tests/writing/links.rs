//! Links and named pipes wherever something is opened or written.

use std::fs;
use std::os::unix::fs::{FileTypeExt, symlink};

use crate::support::Shop;

/// Every file that a build opens or writes in its own folder.
const OF_A_BUILD: [&str; 12] = [
    "manifest.json",
    "manifest.json.new",
    "journal.json",
    "journal.json.new",
    "inputs.json",
    "inputs.json.new",
    "memory",
    "memory.new",
    "lock",
    ".gitignore",
    ".gitignore.new",
    "stage",
];

/// Runs `build` until nothing is left to do and returns whether it refused.
fn build_refuses(shop: &Shop) -> bool {
    let answer = shop.run(&["build"]);
    if answer.status == 0 {
        return false;
    }
    assert_eq!(answer.status, 2, "{}", answer.error);
    assert!(answer.error.contains(".benchleaf"), "says where: {}", answer.error);
    true
}

#[test]
fn a_build_writes_through_no_link_of_its_own_folder() {
    for built in [false, true] {
        for name in OF_A_BUILD {
            let shop = Shop::new();
            if built {
                assert_eq!(shop.run(&["build"]).status, 0);
                shop.change();
            }
            shop.link(&format!("site/.benchleaf/{name}"));
            let refused = build_refuses(&shop);
            shop.assert_outside_is_untouched(&format!("{name}, built before: {built}, refused: {refused}"));
        }
    }
}

#[test]
fn a_link_that_leads_nowhere_makes_no_file_outside() {
    for name in OF_A_BUILD {
        let shop = Shop::new();
        fs::remove_file(shop.outside()).unwrap();
        shop.link(&format!("site/.benchleaf/{name}"));
        let refused = build_refuses(&shop);
        assert!(!shop.outside().exists(), "{name}, refused: {refused}");
    }
}

#[test]
fn a_build_hangs_on_no_named_pipe() {
    for name in OF_A_BUILD {
        let shop = Shop::new();
        shop.pipe(&format!("site/.benchleaf/{name}"));
        if !build_refuses(&shop) {
            assert!(shop.at("site/index.html").is_file(), "{name}");
        }
    }
    let shop = Shop::new();
    shop.pipe("site/index.html");
    let answer = shop.run(&["build"]);
    assert_eq!(answer.status, 2, "{}", answer.error);
    assert!(answer.error.contains("index.html"), "{}", answer.error);
    assert!(fs::symlink_metadata(shop.at("site/index.html")).unwrap().file_type().is_fifo());
}

#[test]
fn a_page_that_became_a_pipe_is_refused_by_name() {
    let shop = Shop::new();
    assert_eq!(shop.run(&["build"]).status, 0);
    shop.pipe("site/index.html");
    let answer = shop.run(&["build"]);
    assert_eq!(answer.status, 2, "{}", answer.error);
    assert!(answer.error.contains("index.html"), "{}", answer.error);
}

#[test]
fn schema_writes_through_no_link() {
    let shop = Shop::new();
    assert_eq!(shop.run(&["schema"]).status, 0);
    let names: Vec<String> = fs::read_dir(shop.at("specs/schema"))
        .unwrap()
        .map(|item| item.unwrap().file_name().into_string().unwrap())
        .collect();
    assert!(names.len() > 3, "{names:?}");
    for name in &names {
        for place in [format!("specs/schema/{name}"), format!("specs/schema/.{name}.new")] {
            let shop = Shop::new();
            shop.link(&place);
            let answer = shop.run(&["schema"]);
            shop.assert_outside_is_untouched(&place);
            if !place.ends_with(".new") {
                assert_eq!(answer.status, 2, "{place}");
                assert!(answer.error.contains(name.as_str()), "{}", answer.error);
            }
            let shop = Shop::new();
            shop.pipe(&place);
            shop.run(&["schema"]);
        }
    }
    // The folder itself may not lead out of the shop either.
    let shop = Shop::new();
    let elsewhere = tempfile::tempdir().unwrap();
    shop.link("specs/schema");
    fs::remove_file(shop.at("specs/schema")).unwrap();
    symlink(elsewhere.path(), shop.at("specs/schema")).unwrap();
    let answer = shop.run(&["schema"]);
    assert_eq!(answer.status, 2, "{}", answer.error);
    assert_eq!(fs::read_dir(elsewhere.path()).unwrap().count(), 0);
}

#[test]
fn new_and_the_manual_write_through_no_link() {
    let elsewhere = tempfile::tempdir().unwrap();
    let shop = Shop::new();
    fs::remove_dir_all(shop.at("specs/tools")).unwrap();
    symlink(elsewhere.path(), shop.at("specs/tools")).unwrap();
    fs::remove_dir_all(shop.at("specs/oils")).unwrap();
    symlink(elsewhere.path(), shop.at("specs/oils")).unwrap();
    let answer = shop.run(&["new", "oil", "another"]);
    assert_eq!(answer.status, 2, "{}", answer.error);
    assert_eq!(fs::read_dir(elsewhere.path()).unwrap().count(), 0);

    let shop = Shop::new();
    shop.link("specs/oils/.another.yaml.new");
    assert_eq!(shop.run(&["new", "oil", "another"]).status, 0);
    shop.assert_outside_is_untouched("a new oil");
    assert!(fs::symlink_metadata(shop.at("specs/oils/another.yaml")).unwrap().is_file());

    let shop = Shop::new();
    shop.link("man/benchleaf.1");
    let answer = shop.run(&["man", "man"]);
    shop.assert_outside_is_untouched("the manual");
    assert_eq!(answer.status, 2, "{}", answer.error);
    shop.link("man/benchleaf.1");
    shop.pipe("man/benchleaf.1");
    assert_eq!(shop.run(&["man", "man"]).status, 2);
}
