//! Findings as SARIF 2.1.0, the OASIS standard form for the results of a checker.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::io::{self, Write};

use serde::Serialize;
use serde_json::{Value, json};

use super::finding::Finding;
use super::place::Places;
use super::rule::Rule;
use super::severity::Severity;
use super::stream::{Each, in_memory, write_indented};
use crate::text::{Files, Span};

/// The whole log, its members in their order.
#[derive(Serialize)]
struct Log<L> {
    #[serde(rename = "$schema")]
    schema: &'static str,
    version: &'static str,
    runs: [Run<L>; 1],
}

/// What one run of the checker found.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Run<L> {
    tool: Value,
    column_kind: &'static str,
    results: L,
}

/// The findings as one SARIF log with one run. `folder` is the shop's folder inside the repository, `""`
/// when it is the repository itself; `page` gives a rule's page as Markdown. Columns count Unicode code points.
///
/// ```
/// use benchleaf::diagnostic::sarif;
/// use benchleaf::text::Files;
///
/// let log = sarif(&[], &Files::default(), "", |_| String::new());
/// assert!(log.contains("\"version\": \"2.1.0\""));
/// ```
pub fn sarif(findings: &[Finding], files: &Files, folder: &str, page: impl Fn(&Rule) -> String) -> String {
    in_memory(|to| write_sarif(to, findings, files, folder, page))
}

/// Writes the same log, one finding after the other, so that memory does not grow with their number.
///
/// # Errors
/// It cannot be written there.
///
/// ```
/// use benchleaf::diagnostic::{sarif, write_sarif};
/// use benchleaf::text::Files;
///
/// let mut written = Vec::new();
/// write_sarif(&mut written, &[], &Files::default(), "", |_| String::new())?;
/// assert_eq!(written, sarif(&[], &Files::default(), "", |_| String::new()).as_bytes());
/// # Ok::<(), std::io::Error>(())
/// ```
pub fn write_sarif(
    to: &mut dyn Write,
    findings: &[Finding],
    files: &Files,
    folder: &str,
    page: impl Fn(&Rule) -> String,
) -> io::Result<()> {
    let places = RefCell::new(Places::new(files));
    let used: BTreeMap<&str, &Rule> = findings.iter().map(|finding| (finding.code(), finding.rule)).collect();
    let codes: Vec<&str> = used.keys().copied().collect();
    let rules: Vec<Value> = used.values().map(|rule| described(rule, &page(rule))).collect();
    let result = |finding: &Finding| {
        let index = codes.binary_search(&finding.code()).unwrap_or(0);
        result(&mut places.borrow_mut(), finding, index, folder)
    };
    let run = Run {
        tool: json!({"driver": {"name": "benchleaf", "version": env!("CARGO_PKG_VERSION"), "rules": rules}}),
        column_kind: "unicodeCodePoints",
        results: Each(findings, result),
    };
    let schema = "https://json.schemastore.org/sarif-2.1.0.json";
    write_indented(to, &Log { schema, version: "2.1.0", runs: [run] })
}

/// One finding. `index` is its rule's place in the list of rules.
fn result(places: &mut Places<'_>, finding: &Finding, index: usize, folder: &str) -> Value {
    let related: Vec<Value> = finding
        .also
        .iter()
        .map(|label| {
            let mut location = location(places, label.span, folder);
            location["message"] = json!({"text": label.text});
            location
        })
        .collect();
    let mut result = json!({
        "ruleId": finding.code(),
        "ruleIndex": index,
        "level": match finding.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        },
        "message": {"text": sentences(finding)},
        "locations": [location(places, finding.span, folder)],
    });
    if !related.is_empty() {
        result["relatedLocations"] = Value::Array(related);
    }
    result
}

/// A rule with its help: the page as Markdown and as plain text, and what it finds as its description.
fn described(rule: &Rule, page: &str) -> Value {
    let plain: Vec<&str> = page.lines().map(|line| line.trim_start_matches('#').trim_start()).collect();
    let finds = page.split("## What it finds").nth(1).and_then(|rest| rest.split("\n## ").next());
    let finds = finds.unwrap_or(page).trim();
    let mut described = json!({
        "id": rule.code,
        "shortDescription": {"text": rule.title},
        "fullDescription": {"text": finds},
        "help": {"text": plain.join("\n"), "markdown": page},
    });
    // So that what was dismissed under a former code stays dismissed (SARIF 2.1.0, 3.49.5).
    if !rule.former.is_empty() {
        described["deprecatedIds"] = json!(rule.former);
    }
    described
}

/// Message, bench and instead as sentences of one text.
fn sentences(finding: &Finding) -> String {
    let mut text = finding.message.clone();
    if !finding.bench.is_empty() {
        text.push_str(&format!(". At the bench: {}", finding.bench));
    }
    if !finding.instead.is_empty() {
        text.push_str(&format!(". Write instead: {}", finding.instead));
    }
    if !finding.lines.is_empty() {
        text.push_str(&format!(":\n{}\n", finding.lines.join("\n")));
    }
    if !finding.reaches.is_empty() {
        text.push_str(&format!(". Reaches: {}", finding.reaches.join(", ")));
    }
    text
}

fn location(places: &mut Places<'_>, span: Span, folder: &str) -> Value {
    let (start, end) = places.ends(span);
    let path = super::place::in_folder(folder, places.path(span.file));
    json!({"physicalLocation": {
        "artifactLocation": {"uri": uri(&path)},
        "region": {
            "startLine": start.line,
            "startColumn": start.column,
            "endLine": end.line,
            "endColumn": end.column,
        },
    }})
}

/// A relative path as a URI reference (RFC 3986): every byte that is not unreserved or a slash is escaped.
fn uri(path: &str) -> String {
    let mut out = String::with_capacity(path.len());
    for byte in path.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_' | b'~' | b'/') {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::rules;

    #[test]
    fn a_log_names_rules_places_and_related_places() {
        let mut files = Files::default();
        let id = files.add("specs/oils/n°5 a.yaml", "id: 20 °C 5\n");
        let findings = [
            rules::OUTSIDE_BAND
                .graded(Severity::Warning, Span::new(id, 11, 12), "odd")
                .bench("b")
                .instead("c"),
            rules::BARE_NUMBER.at(Span::new(id, 11, 12), "no unit").also(Span::new(id, 0, 2), "here"),
        ];
        let page = |rule: &Rule| {
            format!(
                "# {}\n\n## What it finds\nA number. It has no unit.\n\n## At the bench\nGuesses.",
                rule.code
            )
        };
        let log: Value = serde_json::from_str(&sarif(&findings, &files, "shop", page)).unwrap();
        let run = &log["runs"][0];
        let help = &run["tool"]["driver"]["rules"][0];
        assert_eq!(help["fullDescription"]["text"], "A number. It has no unit.");
        assert_eq!(help["shortDescription"]["text"], rules::BARE_NUMBER.title);
        assert_eq!(
            help["help"]["text"],
            "bare-number\n\nWhat it finds\nA number. It has no unit.\n\nAt the bench\nGuesses."
        );
        assert_eq!(run["columnKind"], "unicodeCodePoints");
        assert_eq!(run["tool"]["driver"]["rules"][1]["id"], "outside-band");
        assert_eq!(run["results"][0]["ruleIndex"], 1);
        assert_eq!(run["results"][0]["message"]["text"], "odd. At the bench: b. Write instead: c");
        let place = &run["results"][1]["locations"][0]["physicalLocation"];
        assert_eq!(place["artifactLocation"]["uri"], "shop/specs/oils/n%C2%B05%20a.yaml");
        assert_eq!(
            place["region"],
            json!({"startLine": 1, "startColumn": 11, "endLine": 1, "endColumn": 12})
        );
        assert_eq!(run["results"][1]["relatedLocations"][0]["message"]["text"], "here");
    }
}
