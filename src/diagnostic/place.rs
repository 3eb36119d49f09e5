//! Byte offsets to lines and columns as an editor counts them.

use std::collections::BTreeMap;

use crate::text::{FileId, Files, Span};

/// The mark that some editors put before the first character; it has no column of its own.
const BYTE_ORDER_MARK: char = '\u{feff}';

/// A place in a file: line and column count from one, a column is one code point, a byte counts from zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// The line, from one. A line ends with a line feed, alone or after a carriage return.
    pub line: usize,
    /// The column, from one, in code points; a tab is one column.
    pub column: usize,
    /// The byte, from zero.
    pub byte: usize,
}

/// Looks up places; the line starts of a file are found once, however many findings it has.
#[derive(Debug)]
pub struct Places<'f> {
    files: &'f Files,
    starts: BTreeMap<FileId, Vec<usize>>,
}

impl<'f> Places<'f> {
    /// A look-up in these files.
    ///
    /// ```
    /// use benchleaf::diagnostic::Places;
    /// use benchleaf::text::{Files, Span};
    ///
    /// let mut files = Files::default();
    /// let file = files.add("specs/forks/a.yaml", "id: a\nmodel: \"B\"\n");
    /// let (place, columns) = Places::new(&files).underlined(Span::new(file, 13, 16));
    /// assert_eq!((place.line, place.column, columns), (2, 8, 3));
    /// ```
    pub fn new(files: &'f Files) -> Self {
        Places { files, starts: BTreeMap::new() }
    }

    /// The text of a file.
    ///
    /// ```
    /// use benchleaf::diagnostic::Places;
    /// use benchleaf::text::Files;
    ///
    /// let mut files = Files::default();
    /// let file = files.add("specs/forks/a.yaml", "id: a\n");
    /// assert_eq!(Places::new(&files).text(file), "id: a\n");
    /// ```
    pub fn text(&self, file: FileId) -> &'f str {
        &self.files.get(file).text
    }

    /// The path of a file inside the shop.
    ///
    /// ```
    /// use benchleaf::diagnostic::Places;
    /// use benchleaf::text::Files;
    ///
    /// let mut files = Files::default();
    /// let file = files.add("specs/forks/a.yaml", "id: a\n");
    /// assert_eq!(Places::new(&files).path(file), "specs/forks/a.yaml");
    /// ```
    pub fn path(&self, file: FileId) -> &'f str {
        &self.files.get(file).path
    }

    /// Where a span begins and ends. A span that reaches past its file ends where the file ends.
    pub(crate) fn ends(&mut self, span: Span) -> (Place, Place) {
        (self.at(span.file, span.start as usize), self.at(span.file, span.end as usize))
    }

    /// Where the part of a span begins that a report underlines, and how many columns it has: what stands on
    /// its first line, without the space at the end of the line. An empty span has none.
    ///
    /// ```
    /// use benchleaf::diagnostic::Places;
    /// use benchleaf::text::{Files, Span};
    ///
    /// let mut files = Files::default();
    /// let file = files.add("specs/forks/a.yaml", "oil:\n  air_gap: 96\n");
    /// let (place, columns) = Places::new(&files).underlined(Span::new(file, 16, 18));
    /// assert_eq!((place.line, place.column, columns), (2, 12, 2));
    /// ```
    pub fn underlined(&mut self, span: Span) -> (Place, usize) {
        let part = first_line(self.text(span.file), span);
        let text = self.text(span.file).get(part.range()).unwrap_or("");
        (self.at(span.file, part.start as usize), text.trim_start_matches(BYTE_ORDER_MARK).chars().count())
    }

    /// The place of a byte; one inside a character is moved to the character's first byte.
    pub(crate) fn at(&mut self, file: FileId, byte: usize) -> Place {
        let text = self.text(file);
        let byte = boundary(text, byte);
        let start = self.line_start(file, byte);
        let line = self.starts(file).partition_point(|&first| first <= byte);
        let before = text[start..byte].trim_start_matches(BYTE_ORDER_MARK);
        Place { line, column: before.chars().count() + 1, byte }
    }

    /// The first byte of the line that holds a byte.
    pub(crate) fn line_start(&mut self, file: FileId, byte: usize) -> usize {
        let starts = self.starts(file);
        let line = starts.partition_point(|&first| first <= byte);
        starts.get(line.saturating_sub(1)).copied().unwrap_or(0)
    }

    fn starts(&mut self, file: FileId) -> &[usize] {
        let text = self.text(file);
        self.starts.entry(file).or_insert_with(|| {
            std::iter::once(0).chain(text.match_indices('\n').map(|(byte, _)| byte + 1)).collect()
        })
    }
}

/// A span of several lines is underlined on its first line only, without the space at its end.
pub(super) fn first_line(text: &str, span: Span) -> Span {
    let range = span.range();
    let (start, end) = (range.start.min(text.len()), range.end.min(text.len()));
    let (start, end) = (boundary(text, start), boundary(text, end));
    let end = text[start..end].find('\n').map_or(end, |n| start + n);
    let end = start + text[start..end].trim_end().len();
    Span::new(span.file, start, end.max(start))
}

/// The byte itself, or where it is inside a character the character's first byte; never past the end.
fn boundary(text: &str, byte: usize) -> usize {
    let mut byte = byte.min(text.len());
    while !text.is_char_boundary(byte) {
        byte -= 1;
    }
    byte
}

/// A path inside the shop as a path inside the repository that holds the shop in `folder`.
pub(super) fn in_folder(folder: &str, path: &str) -> String {
    let folder = folder.trim_end_matches('/');
    if folder.is_empty() || folder == "." { path.to_owned() } else { format!("{folder}/{path}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(text: &str, byte: usize) -> (usize, usize) {
        let mut files = Files::default();
        let id = files.add("specs/forks/a.yaml", text);
        let place = Places::new(&files).at(id, byte);
        (place.line, place.column)
    }

    #[test]
    fn columns_count_code_points_and_lines_count_line_feeds() {
        assert_eq!(place("", 0), (1, 1));
        assert_eq!(place("a: 1\nb: 2\n", 5), (2, 1));
        assert_eq!(place("a: 1\r\nb: 2", 9), (2, 4));
        assert_eq!(place("20 °C x", 6), (1, 6), "a degree sign is two bytes and one column");
        assert_eq!(place("\tx", 1), (1, 2));
        assert_eq!(place("a\n", 2), (2, 1), "the place after the last line feed is a line of its own");
    }

    #[test]
    fn a_byte_order_mark_has_no_column() {
        assert_eq!(place("\u{feff}id: a", 3), (1, 1));
        assert_eq!(place("\u{feff}id: a", 7), (1, 5));
    }

    #[test]
    fn a_byte_past_the_end_is_the_end() {
        assert_eq!(place("ab", 99), (1, 3));
    }

    #[test]
    fn a_byte_inside_a_character_is_its_first_byte() {
        assert_eq!(place("é1", 1), (1, 1));
    }
}
