//! Findings as workflow command lines, which a repository host shows beside the changed lines.

use super::finding::Finding;
use super::place::Places;
use super::severity::Severity;
use crate::text::{Files, visible};

/// One line for each finding. `folder` is the shop's folder inside the repository, `""` when it is the
/// repository itself. In a span over several lines the columns are left out, as the form asks.
///
/// ```
/// use benchleaf::diagnostic::github;
/// use benchleaf::text::Files;
///
/// assert_eq!(github(&[], &Files::default(), ""), "");
/// ```
pub fn github(findings: &[Finding], files: &Files, folder: &str) -> String {
    let mut places = Places::new(files);
    let mut out = String::new();
    for finding in findings {
        let (start, end) = places.ends(finding.span);
        let command = match finding.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "notice",
        };
        let path = property(&super::place::in_folder(folder, places.path(finding.span.file)));
        out.push_str(&format!("::{command} file={path},line={}", start.line));
        // A span that ends before the first column of a line ends on the line above it.
        if end.line > start.line && !(end.line == start.line + 1 && end.column == 1) {
            out.push_str(&format!(",endLine={}", end.line));
        } else if end.line == start.line {
            // The last column is part of the place; an empty span still marks one column.
            let last = (end.column - 1).max(start.column);
            out.push_str(&format!(",endLine={},col={},endColumn={last}", end.line, start.column));
        }
        out.push_str(&format!(",title={}::{}\n", property(finding.code()), data(&sentences(finding))));
    }
    out
}

/// The message, what it does at the bench and what to write instead, a line each.
fn sentences(finding: &Finding) -> String {
    let mut lines = vec![finding.message.clone()];
    if !finding.bench.is_empty() {
        lines.push(format!("at the bench: {}", finding.bench));
    }
    if !finding.instead.is_empty() {
        lines.push(format!("write instead: {}", finding.instead));
    }
    lines.extend(finding.lines.iter().cloned());
    if !finding.reaches.is_empty() {
        lines.push(format!("reaches: {}", finding.reaches.join(", ")));
    }
    lines.join("\n")
}

/// Text after the `::`.
fn data(text: &str) -> String {
    visible(&text.replace('%', "%25").replace('\r', "%0D").replace('\n', "%0A")).into_owned()
}

/// A property, which besides must not hold a colon or a comma.
fn property(text: &str) -> String {
    data(text).replace(':', "%3A").replace(',', "%2C")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Rule;
    use crate::text::Span;

    #[test]
    fn a_line_is_escaped_so_that_it_cannot_become_a_command_of_its_own() {
        let mut files = Files::default();
        let id = files.add("specs/forks/a,b:c%.yaml", "id: a\nwaste: 5 %\n");
        let finding = Rule::invented("x:y")
            .graded(Severity::Error, Span::new(id, 13, 16), "5 %\n::error::no, `a: b`")
            .bench("100 % of it")
            .reaches(vec!["a".to_owned(), "b".to_owned()]);
        assert_eq!(
            github(&[finding], &files, "my shop/"),
            "::error file=my shop/specs/forks/a%2Cb%3Ac%25.yaml,line=2,endLine=2,col=8,endColumn=10,title=x%3Ay\
             ::5 %25%0A::error::no, `a: b`%0Aat the bench: 100 %25 of it%0Areaches: a, b\n"
        );
    }

    #[test]
    fn severities_and_spans() {
        let mut files = Files::default();
        let id = files.add("a.yaml", "one\ntwo\nthree\n");
        let told = github(
            &[
                Rule::invented("w").graded(Severity::Warning, Span::new(id, 0, 0), "empty"),
                Rule::invented("n").graded(Severity::Note, Span::new(id, 0, 6), "two lines"),
                Rule::invented("n").graded(Severity::Note, Span::new(id, 0, 4), "with its line feed"),
            ],
            &files,
            "",
        );
        assert_eq!(
            told,
            "::warning file=a.yaml,line=1,endLine=1,col=1,endColumn=1,title=w::empty\n\
             ::notice file=a.yaml,line=1,endLine=2,title=n::two lines\n\
             ::notice file=a.yaml,line=1,title=n::with its line feed\n"
        );
    }
}
