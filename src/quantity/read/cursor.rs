//! A place in a text, and the numbers that stand there.

use crate::quantity::refuse;
use crate::quantity::trouble::Trouble;
use crate::quantity::value::{Decimal, MOST_DIGITS};
use std::ops::Range;

/// A place in the text, moving forward. Positions are bytes, always on character boundaries.
#[derive(Debug)]
pub(super) struct Cursor<'a> {
    pub text: &'a str,
    pub at: usize,
    /// From the first to the last near miss that was understood.
    pub near: Option<Range<usize>>,
}

impl<'a> Cursor<'a> {
    pub(crate) fn new(text: &'a str) -> Cursor<'a> {
        let mut cursor = Cursor { text, at: 0, near: None };
        cursor.blank();
        cursor
    }

    pub(crate) fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    pub(crate) fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    pub(crate) fn done(&self) -> bool {
        self.at == self.text.len()
    }

    /// Skips blanks of every kind; says whether there was one.
    pub(crate) fn blank(&mut self) -> bool {
        let rest = self.rest();
        let skipped = rest.len() - rest.trim_start().len();
        self.at += skipped;
        skipped > 0
    }

    /// Takes this text if it stands here.
    pub(crate) fn eat(&mut self, word: &str) -> bool {
        let there = self.rest().starts_with(word);
        if there {
            self.at += word.len();
        }
        there
    }

    /// Takes this word, in any capitals, if it stands here and ends here.
    pub(crate) fn eat_word(&mut self, word: &str) -> bool {
        let there = starts_with_word(self.rest(), word);
        if there {
            self.at += word.len();
        }
        there
    }

    /// Remembers that something between `from` and here was a near miss.
    pub(crate) fn near_since(&mut self, from: usize) {
        let (from, to) = match &self.near {
            Some(near) => (near.start.min(from), near.end.max(self.at)),
            None => (from, self.at),
        };
        self.near = Some(from..to);
    }

    fn digits(&mut self) -> &'a str {
        let rest = self.rest();
        let end = rest.bytes().position(|byte| !byte.is_ascii_digit()).unwrap_or(rest.len());
        self.at += end;
        &rest[..end]
    }

    /// A number here, with its sign. None where no number begins.
    pub(crate) fn number(&mut self) -> Result<Option<Decimal>, Trouble> {
        let start = self.at;
        let negative = self.sign()?;
        let whole_at = self.at;
        let whole = self.digits();
        if let Some((over, under)) = self.peek().and_then(vulgar) {
            self.at += self.peek().map_or(0, char::len_utf8);
            self.near_since(whole_at);
            return self.made_fraction(start, negative, whole, over, under);
        }
        if whole.is_empty() && !self.point_and_digit() {
            if self.at > start {
                return Err(refuse::not_a_number(self.text, start..self.at, "a sign without a number"));
            }
            return Ok(None);
        }
        if let Some((over, under, whole)) = self.fraction(whole)? {
            return self.made_fraction(start, negative, whole, over, under);
        }
        let mut digits = whole.to_owned();
        let mut scale = 0;
        self.thousands(whole_at, &mut digits);
        if self.rest().starts_with('.') && !self.rest().starts_with("..") {
            self.at += 1;
            let after = self.digits();
            if after.is_empty() || whole.is_empty() {
                self.near_since(whole_at);
            }
            scale = after.len();
            digits.push_str(after);
        }
        self.comma(start)?;
        let significant = digits.trim_start_matches('0');
        if significant.len() > MOST_DIGITS || scale > MOST_DIGITS {
            return Err(refuse::not_a_number(self.text, start..self.at, "more digits than any gauge shows"));
        }
        // At most fifteen digits, so it is a number and fits.
        let value = significant.parse().unwrap_or(0);
        let scale = u8::try_from(scale).unwrap_or(u8::MAX);
        Ok(Decimal::new(negative, value, scale))
    }

    /// `1,000.5`, `10,5`: a comma inside a number.
    fn comma(&self, start: usize) -> Result<(), Trouble> {
        let rest = self.rest();
        let digit_after =
            rest.strip_prefix(',').is_some_and(|after| after.starts_with(|c: char| c.is_ascii_digit()));
        if !digit_after {
            return Ok(());
        }
        let end =
            rest.bytes().position(|b| !(b.is_ascii_digit() || b == b',' || b == b'.')).unwrap_or(rest.len());
        Err(refuse::decimal_comma(self.text, start..self.at + end))
    }

    fn sign(&mut self) -> Result<bool, Trouble> {
        let start = self.at;
        let mut signs = 0;
        let mut negative = false;
        loop {
            match self.peek() {
                Some('-' | '−') => negative = true,
                Some('+') => {}
                _ => break,
            }
            signs += 1;
            self.at += self.peek().map_or(0, char::len_utf8);
            self.blank();
        }
        if signs > 1 {
            return Err(refuse::not_a_number(self.text, start..self.at, "two signs in a row"));
        }
        Ok(negative)
    }

    fn point_and_digit(&self) -> bool {
        self.rest().strip_prefix('.').is_some_and(|after| after.starts_with(|c: char| c.is_ascii_digit()))
    }

    /// `10 000`: groups of three digits after a blank.
    fn thousands(&mut self, from: usize, digits: &mut String) {
        let mut grouped = false;
        while (1..=3).contains(&digits.len()) || grouped {
            let rest = self.rest();
            let Some(blank) =
                rest.chars().next().filter(|c| matches!(c, ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}'))
            else {
                break;
            };
            let after = &rest[blank.len_utf8()..];
            let group = after.bytes().take_while(u8::is_ascii_digit).count();
            if group != 3 || digits == "0" {
                break;
            }
            digits.push_str(&after[..3]);
            self.at += blank.len_utf8() + 3;
            grouped = true;
        }
        if grouped {
            self.near_since(from);
        }
    }

    /// What follows `whole` as a fraction: `/4`, `-1/4`, ` 1/4`. Gives numerator, denominator, whole part.
    fn fraction(&mut self, whole: &'a str) -> Result<Option<(u32, u32, &'a str)>, Trouble> {
        if whole.is_empty() {
            return Ok(None);
        }
        let (start, at) = (self.at - whole.len(), self.at);
        let under = |cursor: &mut Cursor<'a>| {
            if !cursor.eat("/") {
                return "";
            }
            cursor.digits()
        };
        let below = under(self);
        let (over, below, whole, near) = if below.is_empty() {
            self.at = at;
            let dash = self.eat("-");
            if !dash && !self.blank() {
                return Ok(None);
            }
            let over = self.digits();
            let below = under(self);
            if over.is_empty() || below.is_empty() {
                self.at = at;
                return Ok(None);
            }
            (over, below, whole, !dash)
        } else {
            (whole, below, "", false)
        };
        match (over.parse(), below.parse()) {
            (Ok(over), Ok(below)) => {
                if near {
                    self.near_since(start);
                }
                Ok(Some((over, below, whole)))
            }
            _ => Err(refuse::not_a_number(self.text, start..self.at, "a fraction with too many digits")),
        }
    }

    fn made_fraction(
        &self,
        start: usize,
        negative: bool,
        whole: &str,
        over: u32,
        under: u32,
    ) -> Result<Option<Decimal>, Trouble> {
        let whole = if whole.is_empty() { Ok(0) } else { whole.parse() };
        let made = whole.ok().and_then(|whole| Decimal::with_fraction(negative, whole, over, under));
        made.map(Some).ok_or_else(|| {
            refuse::not_a_number(self.text, start..self.at, "a fraction that is no part of one, as on a rule")
        })
    }
}

/// Whether `text` begins with this word (in any capitals) and the word ends there.
pub(super) fn starts_with_word(text: &str, word: &str) -> bool {
    let Some(head) = text.get(..word.len()) else { return false };
    head.eq_ignore_ascii_case(word) && !text[word.len()..].starts_with(|c: char| c.is_alphabetic())
}

fn vulgar(c: char) -> Option<(u32, u32)> {
    Some(match c {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(text: &str) -> (String, &str, bool) {
        let mut cursor = Cursor::new(text);
        let number = cursor.number().unwrap().map_or_else(String::new, |number| number.text());
        (number, cursor.rest(), cursor.near.is_some())
    }

    #[test]
    fn numbers_as_a_mechanic_writes_them() {
        for (text, read, rest, near) in [
            ("10.50 mm", "10.50", " mm", false),
            ("1-1/4 in", "1-1/4", " in", false),
            ("1 1/4 in", "1-1/4", " in", true),
            ("3/8 in", "3/8", " in", false),
            ("2½ turns", "2-1/2", " turns", true),
            ("-5 °C", "-5", " °C", false),
            ("−5 °C", "-5", " °C", false),
            (".5 mm", "0.5", " mm", true),
            ("5. mm", "5", " mm", true),
            ("10 000 km", "10000", " km", true),
            ("1\u{a0}200\u{a0}500 km", "1200500", " km", true),
            ("100..120", "100", "..120", false),
            ("1-2 mm", "1", "-2 mm", false),
            ("007", "7", "", false),
            ("mm", "", "mm", false),
        ] {
            assert_eq!(number(text), (read.to_owned(), rest, near), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_says_why() {
        for (text, code) in [
            ("10,5", "decimal-comma"),
            ("1,000.5", "decimal-comma"),
            ("--5", "not-a-number"),
            ("+-5", "not-a-number"),
            ("-", "not-a-number"),
            ("5/4", "not-a-number"),
            ("1/0", "not-a-number"),
            ("12345678901234567890", "not-a-number"),
            ("1/99999999999", "not-a-number"),
        ] {
            assert_eq!(Cursor::new(text).number().unwrap_err().rule.code, code, "{text}");
        }
    }
}
