//! What is fuzzed, each target with what must hold whatever goes in.

use std::collections::BTreeMap;

use benchleaf::approve::{Request, approve};
use benchleaf::catalogue::{Catalogue, builtin};
use benchleaf::check_shop;
use benchleaf::compare::{compare, json, markdown, text};
use benchleaf::diagnostic::Finding;
use benchleaf::picture::Picture;
use benchleaf::quantity::{every_reading, read_value, write_value};
use benchleaf::review::code::{is_code, typed};
use benchleaf::review::look_up;
use benchleaf::syntax::yaml::{self, Node, Tree};
use benchleaf::syntax::{markdown as reader, none_unseen};
use benchleaf::text::{Files, Memory, is_unseen};

use crate::shops::{check_with, errors, root, small, sources};

type Shop = BTreeMap<String, Vec<u8>>;

/// One target: its name, what it starts from besides its corpus, and what is done with an input.
pub struct Target {
    pub name: &'static str,
    pub seeds: fn() -> Vec<String>,
    pub run: fn(&World, &str),
}

/// What the targets need, made once.
pub struct World {
    catalogue: Catalogue,
    plain: Shop,
    order: Shop,
}

impl World {
    pub fn new() -> World {
        World {
            catalogue: builtin().expect("the built-in catalogue"),
            plain: small("plain"),
            order: small("order"),
        }
    }
}

const FORK: &str = "specs/forks/tarn-41.yaml";

pub const TARGETS: [Target; 12] = [
    Target { name: "quantity", seeds: values, run: quantity },
    Target { name: "yaml", seeds: || all("yaml"), run: yaml_tree },
    Target { name: "markdown", seeds: || all("md"), run: markdown_body },
    Target { name: "references", seeds: references, run: in_a_procedure },
    Target { name: "codes", seeds: || vec!["7H2K-9QWD".to_owned(), "o0il 1234".to_owned()], run: codes },
    Target {
        name: "shop",
        seeds: || one(FORK),
        run: |world, text| drop(check_with(&world.plain, FORK, text, true)),
    },
    Target {
        name: "settings",
        seeds: || one("specs/shop.yaml"),
        run: |world, text| drop(check_with(&world.plain, "specs/shop.yaml", text, true)),
    },
    Target {
        name: "conditions",
        seeds: conditions_seeds,
        run: |world, text| drop(check_with(&world.order, "procedures/conditions.yaml", text, false)),
    },
    Target { name: "approve", seeds: || one(FORK), run: approving },
    Target { name: "compare", seeds: || one(FORK), run: comparing },
    Target { name: "pictures", seeds: || Vec::new(), run: pictures },
    Target {
        name: "jobs",
        seeds: jobs_seeds,
        run: |world, text| drop(check_with(&world.plain, "specs/jobs/2026/0007.yaml", text, true)),
    },
];

fn one(path: &str) -> Vec<String> {
    small("plain")
        .remove(path)
        .map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
        .into_iter()
        .collect()
}

fn conditions_seeds() -> Vec<String> {
    let of = |shop: &mut Shop| shop.remove("procedures/conditions.yaml");
    [small("order"), sources(&root())]
        .iter_mut()
        .filter_map(of)
        .map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
        .collect()
}

/// The demo shop's jobs.
fn jobs_seeds() -> Vec<String> {
    let of = |(path, bytes): (String, Vec<u8>)| {
        path.starts_with("specs/jobs/").then(|| String::from_utf8_lossy(&bytes).into_owned())
    };
    sources(&root()).into_iter().filter_map(of).collect()
}

/// Every source of the demo shop with this ending.
fn all(ending: &str) -> Vec<String> {
    let of = |(path, bytes): (String, Vec<u8>)| {
        path.ends_with(&format!(".{ending}")).then(|| String::from_utf8_lossy(&bytes).into_owned())
    };
    sources(&root()).into_iter().filter_map(of).collect()
}

/// Every value of the demo shop, as it is written.
fn values() -> Vec<String> {
    let mut out = Vec::new();
    for text in all("yaml") {
        let file = Files::default().add("a.yaml", text.as_str());
        if let Some(node) = yaml::read(file, &text, &mut Vec::new()) {
            scalars(&node, &mut out);
        }
    }
    out.retain(|text| text.len() < 60);
    out.sort();
    out.dedup();
    out
}

fn scalars(node: &Node, out: &mut Vec<String>) {
    match &node.value {
        Tree::Scalar { text, .. } => out.push(text.clone()),
        Tree::List(items) => items.iter().for_each(|item| scalars(item, out)),
        Tree::Map(entries) => entries.iter().for_each(|entry| scalars(&entry.value, out)),
    }
}

fn references() -> Vec<String> {
    let world = World::new();
    let keys = world
        .catalogue
        .iter()
        .map(|(_, field)| format!("1. Set [it](spec:{}) to <reading:{}>.\n", field.key, field.key));
    keys.chain(["1. [a](caution:trapped-air) b [c](tool:gap-gauge) [d](oil:ember-15)\n".to_owned()]).collect()
}

/// A value that is read is written in its canonical form, and that is read as the same; places lie inside the text.
fn quantity(world: &World, text: &str) {
    let fields: Vec<_> = world.catalogue.iter().map(|(_, field)| field).collect();
    let field = fields[text.len().wrapping_mul(31) % fields.len()];
    let (value, troubles) = read_value(text, &field.spec());
    for trouble in &troubles {
        assert!(text.get(trouble.range.clone()).is_some(), "{:?} in {text:?}", trouble.range);
        assert!(!trouble.message.is_empty());
    }
    if let Some(value) = value {
        let written = write_value(&value);
        let (again, _) = read_value(&written, &field.spec());
        let again = again.unwrap_or_else(|| panic!("{text:?} is written {written:?}, and that is not read"));
        assert_eq!(write_value(&again), written, "{text:?} for {}", field.key);
    }
    let _ = every_reading(text);
}

/// Every place of the tree and of the findings lies inside the text, and a child's inside its parent's.
fn yaml_tree(_: &World, text: &str) {
    let (mut files, mut findings) = (Files::default(), Vec::new());
    let file = files.add("a.yaml", text);
    if !none_unseen(file, text, &mut findings) {
        return;
    }
    if let Some(node) = yaml::read(file, text, &mut findings) {
        inside(&node, text);
        let _ = node.json();
    }
    spans(&findings, text);
}

fn inside(node: &Node, text: &str) {
    assert!(text.get(node.span.range()).is_some(), "{:?}", node.span);
    match &node.value {
        Tree::Scalar { text, .. } => assert!(!text.contains(is_unseen), "{text:?}"),
        Tree::List(items) => items.iter().for_each(|item| inside(item, text)),
        Tree::Map(entries) => {
            for entry in entries {
                assert!(text.get(entry.key_span.range()).is_some(), "{:?}", entry.key_span);
                inside(&entry.value, text);
            }
        }
    }
}

fn spans(findings: &[Finding], text: &str) {
    for finding in findings {
        assert!(text.get(finding.span.range()).is_some(), "{}: {:?}", finding.code(), finding.span);
    }
}

/// Places lie inside the text, and the HTML holds no element but those that Markdown makes.
fn markdown_body(_: &World, text: &str) {
    let (mut files, mut findings) = (Files::default(), Vec::new());
    let file = files.add("a.md", text);
    let from = reader::split(text).map_or(0, |(_, from)| from);
    let body = reader::read(file, text, from, &mut findings);
    spans(&findings, text);
    for reference in &body.references {
        assert!(text.get(reference.span.range()).is_some(), "{:?}", reference.span);
    }
    for step in body.steps() {
        assert!(text.get(step.span.range()).is_some(), "{:?}", step.span);
        let html = step.action.html(|_| String::new()).to_lowercase();
        for never in [
            "<script",
            "<img",
            "<svg",
            "<iframe",
            "<style",
            "javascript:\"",
            "href=\"javascript",
            "href=\"data",
        ] {
            assert!(!html.contains(never), "{never}: {html}");
        }
    }
}

/// A procedure's body in a shop.
fn in_a_procedure(world: &World, text: &str) {
    let head = "---\nid: close-leg\ntitle: Close the leg\nphase: rebuild\ntime: 10 min\ntools: [torque-wrench]\n---\n";
    check_with(&world.plain, "procedures/close-leg.md", &format!("{head}{text}"), true);
}

/// An image file, in hexadecimal digits: what is published of it is a picture again, without anything beside it.
fn pictures(_: &World, text: &str) {
    let digits: Vec<u8> = text.chars().filter_map(|c| c.to_digit(16)).map(|digit| digit as u8).collect();
    let bytes: Vec<u8> = digits.chunks_exact(2).map(|pair| pair[0] * 16 + pair[1]).collect();
    for name in ["cap.png", "cap.jpg"] {
        let Ok(picture) = Picture::read(name, bytes.clone()) else { continue };
        let again = Picture::read(name, picture.bytes.clone()).expect("what is published is a picture");
        assert!(!again.tells_place && again.bytes == picture.bytes, "{text:?}");
        assert_eq!((again.width, again.height), (picture.width, picture.height), "{text:?}");
    }
}

/// What is a code is printed in one way, and typed again it is the same.
fn codes(_: &World, text: &str) {
    if let Some(code) = typed(text) {
        assert!(is_code(&code) && typed(&code).as_deref() == Some(&code), "{text:?}: {code:?}");
    }
    let _ = look_up(text, &[], &[]);
}

/// A review is added in one place: all other bytes stay, and the shop is no worse.
fn approving(world: &World, text: &str) {
    let checked = check_with(&world.plain, FORK, text, false);
    for date in ["2026-05-04", "1899-01-01"] {
        let request =
            Request { id: "tarn-41", by: "A. Wren", date, values: &[], again: false, compared: None };
        let Ok(approval) = approve(&checked, &request) else { continue };
        let Some(new) = &approval.text else { continue };
        let same_start = text.bytes().zip(new.bytes()).take_while(|(a, b)| a == b).count();
        let same_end = text.bytes().rev().zip(new.bytes().rev()).take_while(|(a, b)| a == b).count();
        assert!(same_start + same_end >= text.len(), "bytes changed: {text:?} became {new:?}");
        let after = check_with(&world.plain, FORK, new, false);
        assert!(errors(&after) <= errors(&checked), "a review brought an error: {new:?}");
    }
}

/// A comparison can be read in every form, and lets nothing unseen out.
fn comparing(world: &World, text_of_fork: &str) {
    let old = check_shop(&Memory { files: world.plain.clone() });
    let new = check_with(&world.plain, FORK, text_of_fork, false);
    for (a, b) in [(&old, &new), (&new, &old)] {
        let told = compare(a, b);
        let forms = [json(&told, "old", "new"), markdown(&told, "old", "new")];
        for form in &forms {
            assert!(!form.contains(is_unseen), "what nobody sees comes out: {form}");
        }
        serde_json::from_str::<serde_json::Value>(&forms[0]).expect("JSON");
        let _ = text(&told, "old", "new", 80);
    }
}
