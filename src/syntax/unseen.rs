//! Characters that nobody sees and that still make one word another.

use crate::diagnostic::{Finding, rules};
use crate::text::{FileId, Span, is_unseen};

/// The most that are told of one file; a file full of them is not a text.
const MOST: usize = 5;

/// unseen-character: a character without a width, one that turns the direction of writing, or a control
/// character. Returns whether there is none. A byte order mark at the file's start is none.
pub fn none_unseen(file: FileId, text: &str, findings: &mut Vec<Finding>) -> bool {
    let start = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let unseen = text[start..].char_indices().filter(|(_, c)| is_unseen(*c));
    let before = findings.len();
    for (at, c) in unseen.take(MOST) {
        let at = start + at;
        findings.push(
            rules::UNSEEN_CHARACTER.at(Span::new(file, at, at + c.len_utf8()),
                format!("a character that cannot be seen stands here (U+{:04X}, {})", u32::from(c), name(c)),
            )
            .bench("a word or number that looks right would be another one, so nothing of this file was read")
            .instead("delete it: type the word or number again instead of copying it"),
        );
    }
    findings.len() == before
}

/// The same of a text that a reader of YAML or Markdown has taken the escapes out of: `"\u202e"` is seen in the source
/// and not on the page. `span` is where it is written, `count` how many were found in this file before. Returns
/// whether there is none.
pub(super) fn none_escaped(span: Span, text: &str, count: &mut usize, findings: &mut Vec<Finding>) -> bool {
    let Some(c) = text.chars().find(|c| is_unseen(*c)) else { return true };
    *count += 1;
    if *count <= MOST {
        findings.push(
            rules::UNSEEN_CHARACTER
                .at(
                    span,
                    format!(
                        "an escape here stands for a character that cannot be seen (U+{:04X}, {})",
                        u32::from(c),
                        name(c)
                    ),
                )
                .bench("a word or number that looks right would be another one, so it is not taken over")
                .instead("delete the escape"),
        );
    }
    false
}

fn name(c: char) -> &'static str {
    match c {
        '\u{ad}' => "a soft hyphen",
        '\u{200b}' => "a space without width",
        '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
            "a turn in the direction of writing"
        }
        '\u{2028}' | '\u{2029}' => "a line or paragraph separator",
        '\u{feff}' => "a byte order mark inside the text",
        c if c.is_control() => "a control character",
        _ => "a sign without width",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Vec<(u32, u32)> {
        let mut findings = Vec::new();
        let none = none_unseen(FileId(0), text, &mut findings);
        assert_eq!(none, findings.is_empty());
        findings.iter().map(|finding| (finding.span.start, finding.span.end)).collect()
    }

    #[test]
    fn what_nobody_sees_is_told_at_its_place() {
        assert_eq!(told("free_\u{200b}length"), [(5, 8)]);
        assert_eq!(told("a\0b\u{202e}"), [(1, 2), (3, 6)]);
        assert_eq!(told("\u{feff}a\u{feff}"), [(4, 7)]);
        assert_eq!(told(&"\u{ad}".repeat(99)).len(), MOST);
    }

    #[test]
    fn what_a_text_is_made_of_is_left_alone() {
        // A joiner is part of how some scripts are written.
        assert_eq!(told("\u{feff}a:\tb\r\n20\u{a0}°C ± 2 山田 نام\u{200c}ها 👩\u{200d}🔧"), []);
    }
}
