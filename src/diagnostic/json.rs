//! Findings as JSON, for programs.
//!
//! Schema `benchleaf-findings/1`; a change that a reader could trip over makes it `/2`:
//!
//! ```json
//! {
//!   "schema": "benchleaf-findings/1",
//!   "files": 14, "errors": 1, "warnings": 0, "notes": 0,
//!   "findings": [{
//!     "code": "bare-number", "severity": "error",
//!     "message": "…", "bench": "…", "instead": "…", "lines": ["…"],
//!     "path": "specs/forks/a.yaml",
//!     "start": {"line": 3, "column": 8, "byte": 41}, "end": {"line": 3, "column": 10, "byte": 43},
//!     "also": [{"path": "…", "start": {}, "end": {}, "text": "…"}],
//!     "reaches": ["fork id", "…"]
//!   }]
//! }
//! ```
//!
//! `severity` is `error`, `warning` or `note`. `bench` and `instead` may be empty. `lines` are lines of the
//! record to be filled in, mostly none. Lines and columns count from one, a column is one Unicode code point,
//! a byte order mark has no column; bytes count from zero in the file as UTF-8. `end` is the place after the
//! last character. `path` is inside the shop, with forward slashes. Findings are in the order they were given.

use std::cell::RefCell;
use std::io::{self, Write};

use serde::Serialize;
use serde_json::{Value, json};

use super::finding::{Count, Finding};
use super::place::{Place, Places};
use super::stream::{Each, in_memory, write_indented};
use crate::text::{Files, Span};

/// The name and version of the form.
pub const SCHEMA: &str = "benchleaf-findings/1";

/// The whole of the form, its members in their order.
#[derive(Serialize)]
struct Whole<L> {
    schema: &'static str,
    files: usize,
    errors: usize,
    warnings: usize,
    notes: usize,
    findings: L,
}

/// The findings as one JSON text, indented, with a line feed at its end.
///
/// ```
/// use benchleaf::diagnostic::json;
/// use benchleaf::text::Files;
///
/// assert!(json(&[], &Files::default()).contains("\"schema\": \"benchleaf-findings/1\""));
/// ```
pub fn json(findings: &[Finding], files: &Files) -> String {
    in_memory(|to| write_json(to, findings, files))
}

/// Writes the same text, one finding after the other, so that memory does not grow with their number.
///
/// # Errors
/// It cannot be written there.
///
/// ```
/// use benchleaf::diagnostic::{json, write_json};
/// use benchleaf::text::Files;
///
/// let mut written = Vec::new();
/// write_json(&mut written, &[], &Files::default())?;
/// assert_eq!(written, json(&[], &Files::default()).as_bytes());
/// # Ok::<(), std::io::Error>(())
/// ```
pub fn write_json(to: &mut dyn Write, findings: &[Finding], files: &Files) -> io::Result<()> {
    let places = RefCell::new(Places::new(files));
    let count = Count::of(findings);
    let whole = Whole {
        schema: SCHEMA,
        files: files.iter().count(),
        errors: count.errors,
        warnings: count.warnings,
        notes: count.notes,
        findings: Each(findings, |finding: &Finding| told(&mut places.borrow_mut(), finding)),
    };
    write_indented(to, &whole)
}

/// One finding.
fn told(places: &mut Places<'_>, finding: &Finding) -> Value {
    let (path, start, end) = where_it_is(places, finding.span);
    let also: Vec<Value> = finding
        .also
        .iter()
        .map(|label| {
            let (path, start, end) = where_it_is(places, label.span);
            json!({"path": path, "start": start, "end": end, "text": label.text})
        })
        .collect();
    json!({
        "code": finding.code(),
        "severity": finding.severity.word(),
        "message": finding.message,
        "bench": finding.bench,
        "instead": finding.instead,
        "lines": finding.lines,
        "path": path,
        "start": start,
        "end": end,
        "also": also,
        "reaches": finding.reaches,
    })
}

fn where_it_is<'f>(places: &mut Places<'f>, span: Span) -> (&'f str, Value, Value) {
    let (start, end) = places.ends(span);
    (places.path(span.file), place(start), place(end))
}

fn place(place: Place) -> Value {
    json!({"line": place.line, "column": place.column, "byte": place.byte})
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::{Rule, Severity};

    #[test]
    fn a_finding_carries_its_lines_columns_and_bytes() {
        let mut files = Files::default();
        let fork = files.add("specs/forks/a.yaml", "id: a\nat: 20 °C 5\n");
        let family = files.add("specs/families/b.yaml", "\u{feff}id: b\n");
        let finding = Rule::invented("bare-number")
            .graded(Severity::Error, Span::new(fork, 17, 18), "`5` has no unit")
            .bench("Nobody can set it.")
            .instead("write the unit")
            .lines(vec!["  gap: … mm".to_owned()])
            .also(Span::new(family, 3, 5), "the family says \"2\" here")
            .reaches(vec!["a".to_owned()]);
        insta::assert_snapshot!(json(&[finding], &files), @r#"
        {
          "schema": "benchleaf-findings/1",
          "files": 2,
          "errors": 1,
          "warnings": 0,
          "notes": 0,
          "findings": [
            {
              "code": "bare-number",
              "severity": "error",
              "message": "`5` has no unit",
              "bench": "Nobody can set it.",
              "instead": "write the unit",
              "lines": [
                "  gap: … mm"
              ],
              "path": "specs/forks/a.yaml",
              "start": {
                "line": 2,
                "column": 11,
                "byte": 17
              },
              "end": {
                "line": 2,
                "column": 12,
                "byte": 18
              },
              "also": [
                {
                  "path": "specs/families/b.yaml",
                  "start": {
                    "line": 1,
                    "column": 1,
                    "byte": 3
                  },
                  "end": {
                    "line": 1,
                    "column": 3,
                    "byte": 5
                  },
                  "text": "the family says \"2\" here"
                }
              ],
              "reaches": [
                "a"
              ]
            }
          ]
        }
        "#);
    }

    #[test]
    fn no_finding_is_an_empty_list() {
        let text = json(&[], &Files::default());
        let value: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(value["findings"], json!([]));
        assert_eq!(value["files"], json!(0));
    }
}
