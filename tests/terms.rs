//! Each thing has one name, for the apprentice who reads a card, a page and a message on one day: the table is
//! `src/site/terms.txt`, which the search reads as well. What a shop may write is another matter: other names are
//! read, and answered with ours.

use std::fmt::Write;
use std::path::Path;
use std::str::FromStr;

use proc_macro2::{TokenStream, TokenTree};

/// A name that is not used, in small letters, and ours.
struct Other {
    other: &'static str,
    ours: &'static str,
}

/// Files that have to know other names, and why.
const KNOW_OTHERS: [(&str, &str); 6] = [
    ("src/quantity/", "units are read as people spell them"),
    ("src/check/service/number_in_text.rs", "words of a text that is judged"),
    ("src/site/terms.txt", "the table itself"),
    ("src/site/asked.txt", "what people type into the search"),
    ("src/site/names.rs", "reads both"),
    ("src/card/", "its words are changed with its layout"),
];

/// The table.
fn others() -> Vec<Other> {
    let lines = include_str!("../src/site/terms.txt").lines().filter(|line| !line.starts_with('#'));
    let rows = lines.filter_map(|line| line.split_once(": "));
    rows.flat_map(|(ours, rest)| rest.split(", ").map(move |other| Other { other, ours })).collect()
}

/// Whether a text holds a name as words of their own.
fn holds(text: &str, other: &str) -> bool {
    let is_letter = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
    text.match_indices(other)
        .any(|(at, _)| !text[..at].ends_with(is_letter) && !text[at + other.len()..].starts_with(is_letter))
}

/// The texts that people read of a file: of code its strings, of a rule's page what comes before its examples, of the
/// catalogue what is printed.
fn read_by_people(path: &str, text: &str) -> Vec<String> {
    let whole = || vec![text.to_owned()];
    if path.ends_with(".rs") {
        let tokens = TokenStream::from_str(text).expect("Rust");
        let mut out = Vec::new();
        strings(tokens, &mut out);
        // What stands above an argument of a command is its help.
        let help =
            text.lines().filter(|line| path.starts_with("src/cli/") && line.trim_start().starts_with("///"));
        out.extend(help.map(str::to_owned));
        out
    } else if path.starts_with("src/check/rules/") {
        vec![text.split("## Examples").next().unwrap_or_default().to_owned()]
    } else if path.starts_with("src/catalogue/") {
        let printed = ["title:", "short:", "reading:", "measured:", "wrong:", "help:", "says:", "label:"];
        let is_printed = |line: &&str| printed.iter().any(|key| line.trim_start().starts_with(key));
        text.lines().filter(is_printed).map(str::to_owned).collect()
    } else {
        whole()
    }
}

/// The strings of code, without its comments and its tests.
fn strings(tokens: TokenStream, out: &mut Vec<String>) {
    let mut tokens = tokens.into_iter().peekable();
    let mut test = false;
    while let Some(token) = tokens.next() {
        match token {
            // An attribute: a comment, or what is only there in tests.
            TokenTree::Punct(mark) if mark.as_char() == '#' => {
                if let Some(TokenTree::Punct(_)) = tokens.peek() {
                    tokens.next();
                }
                let attribute = tokens.next().map(|group| group.to_string()).unwrap_or_default();
                test |= attribute.replace(' ', "").contains("cfg(test)");
            }
            TokenTree::Group(group) if !std::mem::take(&mut test) => {
                strings(group.stream(), out);
            }
            TokenTree::Literal(literal) => out.push(literal.to_string()),
            _ => {}
        }
    }
}

#[test]
fn each_thing_has_one_name_in_labels_messages_help_documents_procedures_and_rules() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let (others, mut wrong, mut read) = (others(), String::new(), 0);
    let tops = [
        "README.md",
        "DEVELOPERS.md",
        "SECURITY.md",
        "docs",
        "procedures",
        "specs/tools",
        "templates",
        "src",
    ];
    for top in tops {
        for entry in walkdir::WalkDir::new(root.join(top)).sort_by_file_name() {
            let entry = entry.expect("a file of the repository");
            let path = entry.path().strip_prefix(root).expect("inside").to_string_lossy().replace('\\', "/");
            let is_text =
                [".md", ".yaml", ".txt", ".html", ".js", ".rs"].iter().any(|end| path.ends_with(end));
            let card = path.starts_with("templates/card");
            if !is_text || card || KNOW_OTHERS.iter().any(|(known, _)| path.starts_with(known)) {
                continue;
            }
            let text = std::fs::read_to_string(entry.path()).expect("a text");
            for text in read_by_people(&path, &text) {
                read += 1;
                let small = text.to_lowercase();
                for Other { other, ours } in
                    others.iter().filter(|row| holds(&small, &row.other.to_lowercase()))
                {
                    writeln!(wrong, "{path}: “{other}” is called “{ours}” here").expect("a line");
                }
            }
        }
    }
    assert!(read > 3_000, "{read} texts");
    assert!(wrong.is_empty(), "{wrong}");
}

/// Our own name is no other name, and the glossary explains what it lists under no other.
#[test]
fn the_table_contradicts_neither_itself_nor_the_glossary() {
    let others = others();
    assert!(others.len() > 60);
    let glossary = include_str!("../src/site/glossary.txt").to_lowercase();
    for Other { other, .. } in &others {
        let other = other.to_lowercase();
        assert!(others.iter().all(|row| row.ours != other), "{other} is ours as well");
        assert!(
            !glossary.lines().any(|line| line.starts_with(&format!("{other}:"))),
            "{other} is in the glossary"
        );
    }
}

/// The net catches: words of their own, in strings, and not in comments or tests.
#[test]
fn another_name_is_found_where_people_read_it_and_nowhere_else() {
    assert!(holds("fit the snap ring.", "snap ring") && !holds("snap rings", "snap ring"));
    assert!(!holds("oil-height", "height") && holds("(spanner)", "spanner"));
    let code = "/// spanner\nfn a() { say(\"a spanner\"); }\n#[cfg(test)]\nmod tests { const A: &str = \"lock nut\"; }";
    let read = read_by_people("src/a.rs", code).join(" ");
    assert!(read.contains("a spanner") && !read.contains("lock nut"), "{read}");
}
