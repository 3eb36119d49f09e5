//! The order findings are told in: by path, place and code, each once.

use super::finding::Finding;
use crate::text::Files;

/// Sorts findings by path, place and code, and drops exact repeats.
///
/// ```
/// use benchleaf::diagnostic::order;
/// use benchleaf::text::Files;
///
/// assert!(order(Vec::new(), &Files::default()).is_empty());
/// ```
pub fn order(mut findings: Vec<Finding>, files: &Files) -> Vec<Finding> {
    findings.sort_by(|a, b| {
        let path = |finding: &Finding| files.get(finding.span.file).path.as_str();
        let place = |finding: &Finding| (finding.span.start, finding.span.end);
        path(a)
            .cmp(path(b))
            .then_with(|| place(a).cmp(&place(b)))
            .then_with(|| (a.code(), a.severity).cmp(&(b.code(), b.severity)))
            .then_with(|| (&a.message, &a.bench, &a.instead).cmp(&(&b.message, &b.bench, &b.instead)))
            .then_with(|| (&a.also, &a.reaches).cmp(&(&b.also, &b.reaches)))
    });
    findings.dedup();
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::{Rule, Severity};
    use crate::text::Span;

    #[test]
    fn findings_are_told_by_path_place_and_code_and_each_once() {
        let mut files = Files::default();
        // Read in another order than the paths sort.
        let late = files.add("specs/forks/b.yaml", "0123456789");
        let early = files.add("specs/forks/a.yaml", "0123456789");
        let ordered = order(
            vec![
                Rule::invented("unit-spelling").graded(Severity::Note, Span::new(late, 0, 2), "x"),
                Rule::invented("bare-number").graded(Severity::Error, Span::new(early, 4, 5), "x"),
                Rule::invented("unknown-unit").graded(Severity::Error, Span::new(early, 4, 5), "x"),
                Rule::invented("bare-number").graded(Severity::Error, Span::new(early, 4, 5), "x"),
                Rule::invented("bare-number").graded(
                    Severity::Error,
                    Span::new(early, 4, 5),
                    "another message is another finding",
                ),
                Rule::invented("unknown-unit").graded(Severity::Note, Span::new(early, 1, 9), "x"),
            ],
            &files,
        );
        let seen: Vec<_> = ordered.iter().map(|f| (f.span.file == early, f.span.start, f.code())).collect();
        assert_eq!(
            seen,
            [
                (true, 1, "unknown-unit"),
                (true, 4, "bare-number"),
                (true, 4, "bare-number"),
                (true, 4, "unknown-unit"),
                (false, 0, "unit-spelling"),
            ]
        );
    }
}
