//! The words of a Markdown body as they are read, block by block, each with its place in the source: for rules that
//! look at what a text says, however it is marked.

use std::ops::Range;

use pulldown_cmark::{Event, TagEnd};

use crate::text::{FileId, Span};

/// The words of one block: a paragraph, an item, a heading, a cell of a table, a block of code.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Running {
    /// The words, without marks; a line break of the source is a blank.
    pub text: String,
    /// In a cell of a table: what stands at the head of its column; else empty.
    pub column: String,
    /// In a cell of a table: all that its row says; else empty.
    pub row: String,
    pieces: Vec<Piece>,
}

/// A piece of the words.
#[derive(Debug, Clone, PartialEq)]
struct Piece {
    /// Where it begins in the words.
    at: usize,
    /// Its place in the source.
    span: Span,
    /// Whether it is written in the source byte for byte, and not as `&micro;`.
    literal: bool,
}

impl Piece {
    /// The place of a part of it, counted in the words.
    fn part(&self, inner: Range<usize>) -> Span {
        let inner = inner.start.saturating_sub(self.at)..inner.end.saturating_sub(self.at);
        if self.literal { self.span.part(inner) } else { self.span }
    }
}

impl Running {
    /// The place of a part of the words, from its first byte to its last. Nothing where there are no words.
    pub fn span(&self, part: Range<usize>) -> Span {
        let last = part.end.saturating_sub(1).max(part.start);
        let (Some(from), Some(to)) = (self.piece(part.start), self.piece(last)) else {
            return Span::default();
        };
        let (from, to) = (from.part(part.clone()), to.part(part));
        Span { end: to.end.max(from.start), ..from }
    }

    /// The piece in which a byte of the words stands.
    fn piece(&self, byte: usize) -> Option<&Piece> {
        let n = self.pieces.partition_point(|piece| piece.at <= byte).checked_sub(1)?;
        self.pieces.get(n)
    }

    fn push(&mut self, words: &str, span: Span, source: &str) {
        let literal = source == words;
        self.pieces.push(Piece { at: self.text.len(), span, literal });
        self.text.push_str(words);
    }
}

/// The words of a body whose events these are, block by block in order. `source` is the text of the file, in which
/// the body begins at byte `from`.
pub(super) fn running(
    file: FileId,
    source: &str,
    from: usize,
    events: &[(Event<'_>, Range<usize>)],
) -> Vec<Running> {
    let mut blocks: Vec<Running> = Vec::new();
    let mut open = Running::default();
    let mut columns: Vec<String> = Vec::new();
    let (mut column, mut row, mut in_head) = (0, 0, false);
    for (event, range) in events {
        let span = Span::new(file, from + range.start, from + range.end);
        let written = source.get(span.range()).unwrap_or("");
        match event {
            Event::Text(words) | Event::Html(words) | Event::InlineHtml(words) => {
                open.push(words, span, written);
            }
            Event::Code(words) => {
                // The marks of code stand around it.
                let at = written.find(&**words).unwrap_or(0);
                let inner = span.part(at..at + words.len());
                open.push(words, inner, source.get(inner.range()).unwrap_or(""));
            }
            Event::SoftBreak | Event::HardBreak => open.push(" ", span, written),
            Event::Start(tag) if is_block(&tag.to_end()) => close(&mut open, &mut blocks),
            Event::End(tag) if is_block(tag) => {
                match tag {
                    TagEnd::TableHead => in_head = false,
                    TagEnd::Table => columns.clear(),
                    TagEnd::TableRow => say_row(&mut blocks, row),
                    TagEnd::TableCell if in_head => columns.push(open.text.trim().to_owned()),
                    TagEnd::TableCell => {
                        open.column = columns.get(column).cloned().unwrap_or_default();
                        column += 1;
                    }
                    _ => {}
                }
                close(&mut open, &mut blocks);
            }
            _ => {}
        }
        match event {
            Event::Start(tag) if tag.to_end() == TagEnd::TableHead => in_head = true,
            Event::Start(tag) if tag.to_end() == TagEnd::TableRow => (column, row) = (0, blocks.len()),
            _ => {}
        }
    }
    close(&mut open, &mut blocks);
    blocks
}

/// Tells each cell from this one on what its row says.
fn say_row(blocks: &mut [Running], from: usize) {
    let cells = blocks.get_mut(from..).unwrap_or_default();
    let row = cells.iter().map(|cell| cell.text.as_str()).collect::<Vec<_>>().join(" ");
    cells.iter_mut().for_each(|cell| cell.row.clone_from(&row));
}

fn close(open: &mut Running, blocks: &mut Vec<Running>) {
    let block = std::mem::take(open);
    if !block.text.trim().is_empty() {
        blocks.push(block);
    }
}

/// Whether what closes here parts words from those behind it.
fn is_block(tag: &TagEnd) -> bool {
    !matches!(
        tag,
        TagEnd::Emphasis
            | TagEnd::Strong
            | TagEnd::Strikethrough
            | TagEnd::Superscript
            | TagEnd::Subscript
            | TagEnd::Link
            | TagEnd::Image
    )
}
