//! Names of pages that a file system refuses or mixes up: `check` finds them, so that no build is refused after it.

use std::fs;

use crate::support::{FORK, Shop};

/// Adds a copy of a record under another id.
fn copy(shop: &Shop, from: &str, id: &str) {
    let (folder, name) = from.rsplit_once('/').unwrap();
    let old = name.split('.').next().unwrap();
    let text =
        fs::read_to_string(shop.at(from)).unwrap().replacen(&format!("id: {old}"), &format!("id: {id}"), 1);
    // Two forks of one machine would be told of too.
    let text = text.replace("model: Kestrel", &format!("model: {}", id.replace('-', " ")));
    fs::write(shop.at(&format!("{folder}/{id}.yaml")), text).unwrap();
}

const OIL: &str = "specs/oils/ember-15.yaml";
const SERVICE: &str = "procedures/services/full-service.yaml";

#[test]
fn what_check_lets_pass_no_build_refuses() {
    let long = "a".repeat(195);
    let longer = "a".repeat(230);
    let cases: [(&str, &[(&str, &str)]); 7] = [
        ("a device", &[(FORK, "con")]),
        ("a device with a number", &[(OIL, "lpt1")]),
        ("the list's own name", &[(OIL, "index")]),
        ("too long", &[(FORK, &longer)]),
        ("too long with its service", &[(FORK, &long)]),
        ("a service that is too long", &[(SERVICE, &longer)]),
        (
            "two cards of one name",
            &[(FORK, "tarn-41--full"), (SERVICE, "full--service"), (SERVICE, "service")],
        ),
    ];
    for (name, copies) in cases {
        let shop = Shop::new();
        for (from, id) in copies {
            copy(&shop, from, id);
        }
        let check = shop.run(&["check"]);
        assert_eq!(check.status, 1, "{name}: {}", check.error);
        assert!(check.out.contains("page-name"), "{name}: {}", check.out);
        let build = shop.run(&["build"]);
        assert_eq!(build.status, 1, "{name}: {}", build.error);
        assert!(build.out.contains("page-name"), "{name}: {}", build.out);
        assert!(!shop.at("site/index.html").exists(), "{name}");
    }
}

#[test]
fn a_makers_name_gives_a_page_whatever_it_is() {
    let shop = Shop::new();
    let text = fs::read_to_string(shop.at(FORK)).unwrap();
    let (con, long) = ("Con", "Very Long ".repeat(40));
    for maker in [con, long.as_str(), "\"·\"", "CON.", "nul"] {
        fs::write(shop.at(FORK), text.replace("Ulm Motors", maker.trim())).unwrap();
        let build = shop.run(&["build"]);
        assert_eq!(build.status, 0, "{maker}: {}{}", build.out, build.error);
    }
}
