//! The files of a new shop.

use std::collections::BTreeMap;

use super::write::Draft;
use crate::catalogue::Catalogue;
use crate::library::{EXAMPLE, LEDGER, Ledger, Stock, follow, without};
use crate::record::RecordKind;
use crate::schema::{Names, file_text};

/// The settings of a shop.
const SETTINGS: &str = "specs/shop.yaml";

/// Files that belong to a repository and to no record.
const BESIDE: [(&str, &str); 3] = [
    (".gitignore", "# Built from the sources; published by the workflow.\n/site\n/.benchleaf-tool\n"),
    (
        ".gitattributes",
        "# Sources are the same bytes on every machine.\n* text=auto eol=lf\nspecs/schema/*.json linguist-generated\n",
    ),
    (".github/workflows/shop.yml", include_str!("../../.github/workflows/shop.yml")),
];

/// The files of a new shop: the whole library, what it took of it, its settings to fill in, the schemas for editors,
/// and a repository's own files. `demo`: also the demo's invented forks, marked as drafts. Reviews go along in no
/// case: they are worth nothing in another shop.
pub fn shop(catalogue: &Catalogue, stock: &Stock, version: &str, demo: bool) -> Vec<Draft> {
    let begun = follow(&BTreeMap::new(), &Ledger::default(), (version, &stock.library), &BTreeMap::new());
    let mut out: Vec<Draft> =
        begun.files.into_iter().filter_map(|(path, text)| text.map(|text| (path, text))).collect();
    out.push((LEDGER.to_owned(), begun.ledger.write()));
    for (path, text) in &stock.demo {
        match path.as_str() {
            SETTINGS => out.push((path.clone(), settings(text, demo))),
            // What the demo has not finished is no example of a record.
            _ if demo && !text.contains("\nstatus: draft\n") => out.push((path.clone(), example(path, text))),
            _ => {}
        }
    }
    for kind in RecordKind::ALL {
        let text = file_text(catalogue, &Names::default(), kind);
        out.push((format!("specs/schema/{}", kind.schema_file()), text));
    }
    out.extend(BESIDE.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())));
    out
}

/// The demo's settings as another shop's: what only a person can say is left to be filled in.
fn settings(text: &str, demo: bool) -> String {
    let drops: &[&str] =
        if demo { &["place", "site", "public"] } else { &["place", "site", "public", "approvers", "fields"] };
    let mut out = without(text, drops).replace(
        &format!("name: {}\n", top_value(text, "name")),
        "name: Our fork bench\n# Where it is; stands on every card.\n# place: …\n# Makers' figures may have owners: only where an approver answers for it are pages published for everybody.\n# public: {by: \"…\", reason: \"…\"}\n",
    );
    if demo {
        out = out.replace("approvers:", "# The demo's; put those of your shop.\napprovers:");
    } else {
        out.push_str(
            "# Who may let a finding stand, and whose review counts: names as they sign.\n# approvers: [\"…\", \"…\"]\n",
        );
    }
    out
}

/// What stands behind a key at the top of a record.
fn top_value<'t>(text: &'t str, key: &str) -> &'t str {
    let of_key = |line: &'t str| line.strip_prefix(key)?.strip_prefix(':').map(str::trim);
    text.lines().find_map(of_key).unwrap_or("")
}

/// A record of the demo: invented, reviewed by nobody here, and so not to be worked from; without its pictures, which
/// are no texts.
fn example(path: &str, text: &str) -> String {
    let text = without(text, &["reviewed", "pictures"]).replace("status: published", "status: draft");
    let note = format!("{EXAMPLE}\n");
    match text.split_once('\n').filter(|(first, _)| first.contains("yaml-language-server")) {
        _ if !path.ends_with(".yaml") => text,
        Some((first, rest)) => format!("{first}\n{note}{rest}"),
        None => format!("{note}{text}"),
    }
}
