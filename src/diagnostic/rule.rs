//! What is known of a rule, in one value.

use super::severity::Severity;
use crate::words::capital;

/// A rule: every finding is made from one, so that what can be found has a page that explains it.
///
/// The values stand in [`rules`]. They are made from the heads of the rules' pages when the program is built.
pub struct Rule {
    /// Its code, lower case with hyphens.
    pub code: &'static str,
    /// What it finds, in one sentence.
    pub title: &'static str,
    /// How bad its findings are; several where that depends on the record, the usual one first.
    pub severities: &'static [Severity],
    /// Whether an approver may let its finding stand. A value that cannot be read must be mended.
    pub acceptable: bool,
    /// Whether it speaks of the number at its place. Who looked at a value, or how its source is dated, says
    /// nothing of the number.
    pub of_the_number: bool,
    /// What a card calls its finding, where that is not the code in words.
    pub(crate) called: Option<&'static str>,
    /// The codes it had before. They stay understood, and are answered with the one it has now.
    pub(crate) former: &'static [&'static str],
    /// Its page as Markdown, without the examples it is tested by.
    pub(crate) page: &'static str,
}

impl Rule {
    /// The rule with this code.
    ///
    /// ```
    /// use benchleaf::diagnostic::Rule;
    ///
    /// assert!(Rule::of("bare-number").is_some());
    /// assert!(Rule::of("no-such-rule").is_none());
    /// ```
    pub fn of(code: &str) -> Option<&'static Rule> {
        let at = rules::ALL.binary_search_by_key(&code, |rule| rule.code).ok()?;
        Some(rules::ALL[at])
    }

    /// The rule with this code, or that had it before.
    pub(crate) fn named(code: &str) -> Option<&'static Rule> {
        let had = |rule: &&&Rule| rule.former.contains(&code);
        Rule::of(code).or_else(|| rules::ALL.iter().find(had).copied())
    }

    /// A rule that no page declares, for tests of how findings are written.
    #[cfg(test)]
    pub(crate) fn invented(code: &'static str) -> &'static Rule {
        let severities = &[Severity::Error, Severity::Warning, Severity::Note];
        let (acceptable, of_the_number) = (false, true);
        Box::leak(Box::new(Rule {
            code,
            title: "",
            severities,
            acceptable,
            of_the_number,
            called: None,
            former: &[],
            page: "",
        }))
    }

    /// What a card or a page calls its finding: `outside-band` is `Outside the usual band`.
    pub(crate) fn words(&self) -> String {
        match self.called {
            Some(words) => words.to_owned(),
            None => in_words(self.code),
        }
    }
}

/// A code is of one rule.
impl PartialEq for Rule {
    fn eq(&self, other: &Rule) -> bool {
        self.code == other.code
    }
}

impl Eq for Rule {}

/// The code alone: a page in every finding of a failed test would hide the finding.
impl std::fmt::Debug for Rule {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.code)
    }
}

/// A code in words.
pub(crate) fn in_words(code: &str) -> String {
    capital(&code.replace('-', " "))
}

/// Every rule by its name in capitals; [`ALL`](rules::ALL) lists them.
pub mod rules {
    use super::{Rule, Severity};

    include!(concat!(env!("OUT_DIR"), "/rules.rs"));
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn a_code_is_of_one_rule_now_and_before() {
        let codes = rules::ALL.iter().flat_map(|rule| rule.former.iter().chain([&rule.code]));
        let mut seen = BTreeSet::new();
        for code in codes {
            assert!(seen.insert(code), "`{code}` is of two rules");
        }
    }

    #[test]
    fn a_rule_is_found_by_every_code_it_had() {
        for rule in rules::ALL {
            assert_eq!(Rule::of(rule.code), Some(*rule));
            for code in rule.former {
                assert_eq!((Rule::of(code), Rule::named(code)), (None, Some(*rule)), "{code}");
            }
        }
        assert_eq!(Rule::named("no-such-rule"), None);
    }
}
