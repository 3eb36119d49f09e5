//! The house, for whoever takes it over: which room may take from which, that files form no rings, that functions
//! can be read on one screen, and that public functions of the inner rooms show how they are used.
//!
//! The order of the rooms is the picture in DEVELOPERS.md and stands nowhere else.

mod code;

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use code::{Code, FileName};

/// More lines than this in one function need a reason, beside its name below.
const LONG: usize = 60;

/// Functions that are longer, each with its reason.
const LONG_FOR_A_REASON: &[(&str, &str)] = &[
    ("catalogue/field make", "one literal: a line for each property of a field"),
    ("output/obstacle fmt", "one match: a sentence for each obstacle"),
];

/// The rooms whose public functions each have a running example.
const SHOWN: [&str; 4] = ["quantity/", "bench/", "calc/convert", "diagnostic/"];

fn root() -> PathBuf {
    PathBuf::from(std::env::var_os("CARGO_MANIFEST_DIR").expect("cargo says where the project is"))
}

fn read_code() -> Code {
    Code::read(&root().join("src"))
}

/// The rooms from the lowest up: the first words of the lines of the picture in DEVELOPERS.md.
fn rooms() -> Vec<String> {
    let text = std::fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let picture = text.split("```text").nth(1).and_then(|rest| rest.split("```").next());
    let picture = picture.expect("DEVELOPERS.md shows the rooms in a block of text");
    // Drawn as a house: the top floor comes first.
    let mut rooms: Vec<String> = picture.lines().filter_map(room_of_line).collect();
    rooms.reverse();
    rooms
}

fn room_of_line(line: &str) -> Option<String> {
    let word = line.split_whitespace().next()?;
    Some(word.trim_end_matches('/').trim_end_matches(".rs").to_owned())
}

#[test]
fn a_room_takes_only_from_rooms_below_it() {
    let rooms = rooms();
    let floor = |room: &str| rooms.iter().position(|known| known == room);
    let mut wrong = BTreeSet::new();
    for (from, to) in read_code().arrows() {
        let (Some(above), Some(below)) = (floor(&from.room()), floor(&to.room())) else {
            wrong.insert(format!("{from} or {to} is in no room of the picture"));
            continue;
        };
        if above < below {
            wrong.insert(format!("{from} takes from {to}, which is above it"));
        }
    }
    assert!(wrong.is_empty(), "{}", Vec::from_iter(wrong).join("\n"));
}

#[test]
fn every_room_of_the_picture_is_there() {
    let there: BTreeSet<String> = read_code().files().map(FileName::room).collect();
    let missing: Vec<String> = rooms().into_iter().filter(|room| !there.contains(room)).collect();
    assert!(missing.is_empty(), "in the picture of DEVELOPERS.md and not in src: {missing:?}");
}

#[test]
fn files_of_a_room_form_no_rings() {
    let code = read_code();
    let mut takes: BTreeMap<FileName, BTreeSet<FileName>> = BTreeMap::new();
    for (from, to) in code.arrows() {
        takes.entry(from).or_default().insert(to);
    }
    let rings: Vec<String> = code::rings(&takes).iter().map(|ring| code::tell(ring, &code)).collect();
    assert!(rings.is_empty(), "{} rings:\n{}", rings.len(), rings.join("\n"));
}

#[test]
fn a_function_can_be_read_on_one_screen() {
    let long: Vec<String> = read_code()
        .functions()
        .filter(|function| function.lines > LONG)
        .filter(|function| {
            let name = format!("{} {}", function.file, function.name);
            !LONG_FOR_A_REASON.iter().any(|(known, _)| *known == name)
        })
        .map(|function| format!("{}: {} has {} lines", function.file, function.name, function.lines))
        .collect();
    assert!(long.is_empty(), "more than {LONG} lines:\n{}", long.join("\n"));
}

#[test]
fn public_functions_of_the_inner_rooms_show_how_they_are_used() {
    let silent: Vec<String> = read_code()
        .functions()
        .filter(|function| SHOWN.iter().any(|room| function.file.to_string().starts_with(room)))
        .filter(|function| function.public && !function.example)
        .map(|function| format!("{}: {}", function.file, function.name))
        .collect();
    assert!(silent.is_empty(), "{} have no example:\n{}", silent.len(), silent.join("\n"));
}
