//! Which values are in doubt: a rule has something open on the very number, and nobody let it stand.

use crate::diagnostic::{Finding, Rule, Severity};
use crate::record::{Entry, Sides, SpecLine, acceptance};
use crate::resolve::Shop;
use crate::syntax::scalar;

/// Whether a finding puts the number at its place in doubt. A rule does so unless its page says that it speaks of
/// something else.
pub fn puts_in_doubt(finding: &Finding) -> bool {
    finding.severity != Severity::Note && finding.rule.of_the_number
}

/// Whether a finding stands at a value, and means the fork; with no fork, any that takes the value over.
pub fn is_at(finding: &Finding, line: &SpecLine, fork: Option<&str>) -> bool {
    let (span, place) = (line.span, finding.span);
    let meant = finding.reaches.is_empty()
        || fork.is_none_or(|fork| finding.reaches.iter().any(|reached| reached == fork));
    meant && place.file == span.file && place.start >= span.start && place.end <= span.end.max(span.start)
}

/// Everything open on a value; `fork` is the one that is meant, where a family's value is judged.
pub fn open<'f>(
    findings: &'f [Finding],
    line: &SpecLine,
    fork: Option<&str>,
) -> impl Iterator<Item = &'f Finding> {
    findings.iter().filter(move |finding| puts_in_doubt(finding) && is_at(finding, line, fork))
}

/// How a finding at a value is let stand, as lines of its record; `None` for one that must be mended.
pub fn letting_stand(shop: &Shop, line: &SpecLine, code: &str, by: &str) -> Option<String> {
    if !Rule::of(code).is_some_and(|rule| rule.acceptable) {
        return None;
    }
    let field = shop.catalogue.field(line.field);
    let value = |key: &str, entry: &Entry| format!("    {key}: {}\n", scalar(&entry.text));
    let (values, more) = match &line.sides {
        Sides::Each(entry) => {
            let more = !(entry.state.is_empty() && entry.attributes.is_empty() && entry.sources.is_empty());
            (value("value", entry), more)
        }
        Sides::Legs(left, right) => (format!("{}{}", value("left", left), value("right", right)), true),
    };
    let rest = if more { "    # what else stands here stays\n" } else { "" };
    Some(format!("{}:\n  {}:\n{values}{rest}    {}\n", field.group, field.name, acceptance(code, by)))
}
