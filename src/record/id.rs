//! A record's id, which is its file's name.

use super::kind::{RecordKind, stem};
use super::text::Text;
use crate::diagnostic::{Finding, rules};
use crate::syntax::yaml::Node;
use crate::text::{FileId, Files, Span};

/// Checks a record's id against its file's name. Returns the id the rest of the run knows it by:
/// the file's name.
pub(crate) fn check_id(root: &Node, file: FileId, files: &Files, findings: &mut Vec<Finding>) -> Text {
    let stem = stem(&files.get(file).path).to_owned();
    let fallback = Text { text: stem.clone(), span: Span { end: root.span.start, ..root.span } };
    let Some(id) = root.get("id") else { return fallback };
    let Some(text) = id.text() else { return fallback };
    let id = Text { text: text.to_owned(), span: id.span };
    // A file's name that can be no id is the one mistake: the id must be the same.
    if !is_id(&stem) {
        let ending = files.get(file).path.rsplit_once('.').map_or("yaml", |(_, ending)| ending);
        let name = if is_id(&id.text) { id.text.clone() } else { as_id(&stem) };
        findings.push(
            rules::ID_FORM
                .at(id.span, format!("the file is called `{stem}`, which cannot be an id"))
                .bench("an id becomes part of a page's address and must work on every machine")
                .instead(format!("rename the file to `{name}.{ending}`, and write `id: {name}`")),
        );
        return Text { text: stem, span: id.span };
    }
    if !is_id(&id.text) {
        let mended = as_id(&id.text);
        findings.push(
            rules::ID_FORM
                .at(id.span, format!("`{}` cannot be an id", id.text))
                .bench("an id becomes part of a page's address and must work on every machine")
                .instead(format!(
                    "use a to z, 0 to 9 and hyphens, such as `{mended}`, and name the file the same"
                )),
        );
    } else if let Some((other, _)) = namesake(&id.text, file, files) {
        findings.push(
            rules::DUPLICATE_ID
                .at(id.span, format!("the id `{}` belongs to another record", id.text))
                .bench("two records of one name end in the wrong card at the bench")
                .instead(format!("write `id: {stem}`, like the file's name"))
                .also(Span::new(other, 0, 0), "the record of that name"),
        );
    } else if id.text != stem {
        findings.push(
            rules::ID_NOT_FILE_NAME
                .at(id.span, format!("the id is `{}` but the file is called `{stem}`", id.text))
                .bench("two names for one record end in the wrong card at the bench")
                .instead(format!("write `id: {stem}`, or rename the file")),
        );
    }
    Text { text: stem, span: id.span }
}

/// Whether a text can be a record's id and its file's name: small letters, digits and hyphens.
pub fn is_id(text: &str) -> bool {
    !text.is_empty()
        && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
        && !text.starts_with('-')
        && !text.ends_with('-')
}

/// The id nearest to a name.
fn as_id(name: &str) -> String {
    let fits = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
    let mended: String = name.to_lowercase().chars().map(|c| if fits(c) { c } else { '-' }).collect();
    let mended = mended.trim_matches('-');
    if mended.is_empty() { "my-record".to_owned() } else { mended.to_owned() }
}

/// Another file of the same kind of record that has this id as its name.
fn namesake(id: &str, file: FileId, files: &Files) -> Option<(FileId, RecordKind)> {
    let file_here = files.get(file);
    let kind = RecordKind::of(&file_here.path)?;
    if stem(&file_here.path) == id {
        return None;
    }
    let same = |path: &str| RecordKind::of(path) == Some(kind) && stem(path) == id;
    files.iter().find(|(_, other)| same(&other.path)).map(|(other, _)| (other, kind))
}
