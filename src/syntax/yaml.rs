//! A YAML document as a tree in which every key and value knows where it stands.
//!
//! Records are kept plain: one document, no anchors, aliases, merge keys or tags, no duplicate keys,
//! bounded size and depth. What another YAML reader would take differently is a finding.

use std::borrow::Cow;

use granit_parser::{Event, Parser, Placement, ScalarStyle, ScanError, StructureStyle, options};
use serde_json::{Map, Number, Value as Json};

use super::left_open::left_open;
use super::unseen::none_escaped;
use crate::diagnostic::{Finding, rules};
use crate::text::{FileId, Span};

/// The deepest nesting a record may have.
const DEPTH: usize = 24;

/// The most keys of one mapping: more than the catalogue has fields.
const MOST_KEYS: usize = 500;

/// The most items of one list: more cards than a shop of a thousand models releases in ten years.
const MOST_ITEMS: usize = 50_000;

/// A value in the tree.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Where the value stands, quotes included.
    pub span: Span,
    /// What it holds.
    pub value: Tree,
}

/// What a [`Node`] holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Tree {
    /// A scalar: its text after YAML's own unescaping, and whether it was written without quotes.
    Scalar {
        /// The text.
        text: String,
        /// Written without quotes or block marks.
        plain: bool,
    },
    /// A sequence.
    List(Vec<Node>),
    /// A mapping, in the order written.
    Map(Vec<Entry>),
}

/// One entry of a mapping.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The key's text.
    pub key: String,
    /// Where the key stands.
    pub key_span: Span,
    /// The value.
    pub value: Node,
}

impl Node {
    /// The scalar's text; `None` for lists, maps and for an empty value.
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Tree::Scalar { text, plain } if !(*plain && is_null(text)) => Some(text),
            _ => None,
        }
    }

    /// Whether nothing was written (`key:` alone, `~`, `null`).
    pub fn is_empty(&self) -> bool {
        matches!(&self.value, Tree::Scalar { text, plain: true } if is_null(text))
    }

    /// The entries of a mapping; none for anything else.
    pub fn entries(&self) -> &[Entry] {
        match &self.value {
            Tree::Map(entries) => entries,
            _ => &[],
        }
    }

    /// The items of a list; none for anything else.
    pub fn items(&self) -> &[Node] {
        match &self.value {
            Tree::List(items) => items,
            _ => &[],
        }
    }

    /// The entry with a key.
    pub fn entry(&self, key: &str) -> Option<&Entry> {
        self.entries().iter().find(|entry| entry.key == key)
    }

    /// The value of a key.
    pub fn get(&self, key: &str) -> Option<&Node> {
        self.entry(key).map(|entry| &entry.value)
    }

    /// The text of a key's value.
    pub fn text_of(&self, key: &str) -> Option<&str> {
        self.get(key).and_then(Node::text)
    }

    /// The part of a scalar's source that holds `range` of its text. The whole scalar where the text
    /// is not a straight copy of the source (escapes, folded lines).
    pub fn part(&self, range: std::ops::Range<usize>, source: &str) -> Span {
        let Tree::Scalar { text, .. } = &self.value else { return self.span };
        let raw = source.get(self.span.range()).unwrap_or("");
        let lead = usize::from(raw.starts_with(['"', '\'']));
        if raw.get(lead..).is_some_and(|rest| rest.starts_with(text.as_str())) {
            self.span.part(range.start + lead..range.end + lead)
        } else {
            self.span
        }
    }

    /// The place of a JSON pointer's target, and of the key that holds it where there is one. A
    /// pointer that leads nowhere gives the deepest node on its way.
    pub fn at_pointer(&self, pointer: &str) -> (Span, Option<Span>) {
        let (mut node, mut key_span) = (self, None);
        for raw in pointer.split('/').skip(1) {
            let token: Cow<'_, str> =
                if raw.contains('~') { raw.replace("~1", "/").replace("~0", "~").into() } else { raw.into() };
            let next = match &node.value {
                Tree::Map(entries) => entries
                    .iter()
                    .find(|entry| entry.key == token)
                    .map(|entry| (&entry.value, Some(entry.key_span))),
                Tree::List(items) => {
                    token.parse::<usize>().ok().and_then(|n| items.get(n)).map(|item| (item, None))
                }
                Tree::Scalar { .. } => None,
            };
            let Some((inner, key)) = next else { break };
            (node, key_span) = (inner, key);
        }
        (node.span, key_span)
    }

    /// The tree as JSON, plain scalars typed as YAML 1.2's core schema types them.
    pub fn json(&self) -> Json {
        match &self.value {
            Tree::Scalar { text, plain } => {
                if *plain {
                    core_scalar(text)
                } else {
                    Json::String(text.clone())
                }
            }
            Tree::List(items) => Json::Array(items.iter().map(Node::json).collect()),
            Tree::Map(entries) => Json::Object(
                entries
                    .iter()
                    .map(|entry| (entry.key.clone(), entry.value.json()))
                    .collect::<Map<String, Json>>(),
            ),
        }
    }
}

fn is_null(text: &str) -> bool {
    matches!(text, "" | "~" | "null" | "Null" | "NULL")
}

/// A plain scalar as the core schema of YAML 1.2 reads it.
fn core_scalar(text: &str) -> Json {
    if is_null(text) {
        return Json::Null;
    }
    match text {
        "true" | "True" | "TRUE" => return Json::Bool(true),
        "false" | "False" | "FALSE" => return Json::Bool(false),
        _ => {}
    }
    let digits = text.strip_prefix(['-', '+']).unwrap_or(text);
    if !digits.is_empty()
        && digits.bytes().all(|b| b.is_ascii_digit())
        && let Ok(number) = text.trim_start_matches('+').parse::<i64>()
    {
        return Json::Number(number.into());
    }
    let looks_float = digits.bytes().next().is_some_and(|b| b.is_ascii_digit() || b == b'.')
        && digits.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'e' | b'E' | b'+' | b'-'));
    if looks_float
        && let Some(number) = text.trim_start_matches('+').parse::<f64>().ok().and_then(Number::from_f64)
    {
        return Json::Number(number);
    }
    Json::String(text.to_owned())
}

/// Whether a plain scalar is one that readers of older YAML take for something else: a truth value, a
/// number in base 8 or 60, a date.
pub fn other_readers_differ(text: &str) -> bool {
    let word = matches!(
        text.to_ascii_lowercase().as_str(),
        "y" | "n" | "yes" | "no" | "on" | "off" | "true" | "false" | "null" | "~"
    );
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let octal = text.len() > 1 && text.starts_with('0') && digits(text);
    let underscored = text.contains('_') && digits(&text.replace('_', ""));
    let sixty = text.contains(':') && text.split(':').all(digits);
    let date = text.len() >= 8 && text.matches('-').count() == 2 && text.split('-').all(digits);
    word || octal || underscored || sixty || date
}

/// Reads one YAML document. `None` with an error finding where it cannot be read at all.
pub fn read(file: FileId, source: &str, findings: &mut Vec<Finding>) -> Option<Node> {
    if let Some(finding) = unreadable(file, source) {
        findings.push(finding);
        return None;
    }
    let options = options! { emit_unresolved_aliases: true, emit_anchor_events: true };
    let mut reader = Reader {
        file,
        length: source.len(),
        documents: 0,
        stack: Vec::new(),
        root: None,
        findings,
        refused: false,
        escaped: 0,
        last_plain_end: None,
    };
    for next in Parser::new_from_str_with_options(source, options) {
        let stop = match next {
            Ok((event, span)) => {
                let place = reader.at(span.byte_range());
                let tag = reader.at(span.tag_span().and_then(|tag| tag.byte_range()));
                reader.event(event, place, tag, source).or_else(|| reader.too_much(place))
            }
            Err(error) => Some(scan_finding(&error, source, |offset| line_span(file, source, offset))),
        };
        if let Some(finding) = stop {
            reader.findings.push(finding);
            return None;
        }
    }
    let refused = reader.refused;
    let root = reader.root.take();
    if refused {
        return None;
    }
    if root.as_ref().is_none_or(Node::is_empty) {
        findings.push(
            rules::RECORD_EMPTY
                .at(Span::new(file, 0, 0), "the file holds no record")
                .bench("whoever looks for it finds a file and no figures")
                .instead("begin with `id:`, in specs/shop.yaml with `name:`, or remove the file"),
        );
        return None;
    }
    root
}

/// What keeps a text from being read as YAML at all, seen before it is tried.
fn unreadable(file: FileId, source: &str) -> Option<Finding> {
    if let Some(at) = merge_mark(source) {
        return Some(
            rules::YAML_UNREADABLE
                .at(line_span(file, source, at), "a merge was not finished here")
                .bench("two versions of the record stand in one file, so nothing of it was checked")
                .instead("keep the lines that hold, from each side, and take out those with `<<<<<<<`, `=======` and `>>>>>>>`"),
        );
    }
    odd_indent(file, source).map(|(span, c)| match c {
        '\t' => rules::YAML_UNREADABLE
            .at(span, "a tab stands in the indentation")
            .bench("readers disagree on what a tab belongs to; nothing of this file was checked")
            .instead("indent with spaces, never with a tab"),
        _ => rules::YAML_UNREADABLE
            .at(span, format!("a space of another kind stands in the indentation (U+{:04X})", u32::from(c)))
            .bench("it looks like a space and is read as a letter; nothing of this file was checked")
            .instead("delete the blanks before the text of this line, and type plain spaces"),
    })
}

/// Where git has left two versions of a place for a person to decide.
fn merge_mark(source: &str) -> Option<usize> {
    const MARK: &str = "<<<<<<< ";
    if source.starts_with(MARK) { Some(0) } else { source.find(&format!("\n{MARK}")).map(|at| at + 1) }
}

/// The first tab, or space of another kind, that stands before a line's text.
fn odd_indent(file: FileId, source: &str) -> Option<(Span, char)> {
    let mut offset = 0;
    for line in source.split_inclusive('\n') {
        let indent = line.len() - line.trim_start().len();
        if let Some((at, c)) = line[..indent].char_indices().find(|(_, c)| *c != ' ')
            && !line.trim().is_empty()
        {
            return Some((Span::new(file, offset + at, offset + at + c.len_utf8()), c));
        }
        offset += line.len();
    }
    None
}

fn second_document(place: Span) -> Finding {
    rules::YAML_NOT_PLAIN
        .at(place, "a second document begins here")
        .bench("only the first would be read, and what follows would be lost without a word")
        .instead("keep one record in each file")
}

enum Open {
    List(Vec<Node>),
    Map { entries: Vec<Entry>, key: Option<(String, Span)>, flow: bool },
}

struct Reader<'f> {
    file: FileId,
    /// How long the text is, in bytes.
    length: usize,
    /// How many documents have begun.
    documents: usize,
    stack: Vec<(Span, Open)>,
    root: Option<Node>,
    findings: &'f mut Vec<Finding>,
    refused: bool,
    /// How many values were written with an escape for something unseen.
    escaped: usize,
    last_plain_end: Option<u32>,
}

impl Reader<'_> {
    fn refuse(&mut self, span: Span, message: &str, instead: &str) {
        self.refused = true;
        self.findings.push(
            rules::YAML_NOT_PLAIN
                .at(span, message)
                .bench("a number that stands elsewhere cannot be checked where it is read")
                .instead(instead),
        );
    }

    fn at(&self, range: Option<std::ops::Range<usize>>) -> Span {
        let range = range.unwrap_or(0..0);
        Span::new(self.file, range.start.min(self.length), range.end.min(self.length))
    }

    /// Takes one event of the parser. Returns what ends the reading.
    fn event(&mut self, event: Event<'_>, place: Span, tag_place: Span, source: &str) -> Option<Finding> {
        match event {
            Event::DocumentStart(..) => {
                self.documents += 1;
                return (self.documents > 1).then(|| second_document(place));
            }
            Event::Alias(_) | Event::UnresolvedAlias(_) => {
                self.refuse(
                    place,
                    "an alias (`*name`) stands here",
                    "write the value out, or put what models share in a family record",
                );
                self.push(Node { span: place, value: Tree::Scalar { text: String::new(), plain: true } });
            }
            Event::Anchor(..) => self.refuse(
                place,
                "an anchor (`&name`) stands here",
                "put what models share in a family record",
            ),
            Event::Comment(text, placement) => self.comment(place, &text, placement, source),
            Event::Scalar(text, style, _, tag) => {
                if tag.is_some() {
                    self.refuse(
                        tag_place,
                        "a tag (`!name`) stands here",
                        "write the value as plain text with its unit",
                    );
                }
                if !none_escaped(place, &text, &mut self.escaped, self.findings) {
                    self.refused = true;
                }
                let plain = style == ScalarStyle::Plain;
                if plain {
                    self.quotes(place, &text);
                }
                self.last_plain_end = plain.then_some(place.end);
                self.push(Node { span: place, value: Tree::Scalar { text: text.into_owned(), plain } });
            }
            Event::SequenceStart(_, _, tag) => {
                if tag.is_some() {
                    self.refuse(place, "a tag (`!name`) stands here", "leave the tag out");
                }
                self.open(place, Open::List(Vec::new()));
            }
            Event::MappingStart(style, _, tag) => {
                if tag.is_some() {
                    self.refuse(place, "a tag (`!name`) stands here", "leave the tag out");
                }
                let flow = style == StructureStyle::Flow;
                self.open(place, Open::Map { entries: Vec::new(), key: None, flow });
            }
            Event::SequenceEnd | Event::MappingEnd => self.close(place),
            _ => {}
        }
        None
    }

    /// Quotes as they are printed are letters to YAML.
    fn quotes(&mut self, place: Span, text: &str) {
        const MARKS: [char; 8] = ['“', '”', '„', '‟', '«', '»', '‘', '’'];
        let Some(inside) = text.strip_prefix(MARKS).and_then(|rest| rest.strip_suffix(MARKS)) else { return };
        if inside.contains(MARKS) {
            return;
        }
        self.findings.push(
            rules::YAML_AMBIGUOUS
                .at(place, format!("the quotes of `{text}` are letters of the text"))
                .bench("they are printed with it, and whoever looks for it without them does not find it")
                .instead(format!("write plain quotes: `\"{inside}\"`")),
        );
    }

    /// More than a record can need, in the mapping or list that is being read.
    fn too_much(&self, place: Span) -> Option<Finding> {
        if self.stack.len() > DEPTH {
            return Some(
                rules::YAML_NOT_PLAIN
                    .at(place, format!("values are nested more than {DEPTH} deep"))
                    .bench("nothing of this file was checked")
                    .instead("a record needs three or four levels; check the indentation or the brackets"),
            );
        }
        let (what, most) = match &self.stack.last()?.1 {
            Open::Map { entries, .. } if entries.len() > MOST_KEYS => ("keys stand", MOST_KEYS),
            Open::List(items) if items.len() > MOST_ITEMS => ("items stand", MOST_ITEMS),
            _ => return None,
        };
        Some(
            rules::TOO_MUCH
                .at(place, format!("more than {most} {what} in one place"))
                .bench("nothing of this file was checked")
                .instead("look at what made the file: no record needs so many"),
        )
    }

    fn open(&mut self, span: Span, open: Open) {
        self.last_plain_end = None;
        self.stack.push((span, open));
    }

    fn close(&mut self, end: Span) {
        self.last_plain_end = None;
        let Some((start, open)) = self.stack.pop() else { return };
        let value = match open {
            Open::List(items) => Tree::List(items),
            Open::Map { entries, .. } => Tree::Map(entries),
        };
        // A block collection's end event stands where the next thing begins: end at the last child instead.
        let last = match &value {
            Tree::List(items) => items.last().map(|item| item.span.end),
            Tree::Map(entries) => entries.last().map(|entry| entry.value.span.end.max(entry.key_span.end)),
            Tree::Scalar { .. } => None,
        };
        let stop = if end.end > end.start { end.end } else { last.unwrap_or(start.end) };
        let span = Span { file: self.file, start: start.start, end: stop.max(start.start) };
        self.push(Node { span, value });
    }

    fn push(&mut self, node: Node) {
        match self.stack.last_mut() {
            None => self.root = Some(node),
            Some((_, Open::List(items))) => items.push(node),
            Some((_, Open::Map { entries, key, flow })) => match key.take() {
                None => {
                    let text = match &node.value {
                        Tree::Scalar { text, .. } => text.clone(),
                        _ => {
                            self.refused = true;
                            self.findings.push(
                                rules::YAML_NOT_PLAIN
                                    .at(node.span, "a key is a list or a mapping")
                                    .bench("what stands under it would not reach the page or the card")
                                    .instead("write a plain word as the key"),
                            );
                            String::new()
                        }
                    };
                    if text == "<<" {
                        self.refused = true;
                        self.findings.push(
                            rules::YAML_NOT_PLAIN
                                .at(node.span, "a merge key (`<<`) stands here")
                                .bench("a value that is merged in cannot be seen where it is read")
                                .instead(
                                    "put what models share in a family record and name it with `family:`",
                                ),
                        );
                    }
                    *key = Some((text, node.span));
                }
                Some((text, key_span)) => {
                    if let Some(first) = entries.iter().find(|entry| entry.key == text) {
                        self.refused = true;
                        self.findings.push(
                            rules::DUPLICATE_KEY.at(key_span, format!("`{text}` is written twice"))
                                .bench("most readers would keep one of the two and drop the other without a word")
                                .instead("keep the right one and remove the other")
                                .also(first.key_span, "first written here"),
                        );
                    }
                    let swallowed = *flow && node.is_empty() && node.span.start == node.span.end;
                    if swallowed {
                        self.findings.push(flow_comma(&text, key_span, entries.last()));
                        self.refused = true;
                    }
                    entries.push(Entry { key: text, key_span, value: node });
                }
            },
        }
    }

    /// A comment glued to its text right after a plain value is most likely part of the value.
    fn comment(&mut self, span: Span, text: &str, placement: Placement, source: &str) {
        let _ = placement;
        let Some(end) = self.last_plain_end.take() else { return };
        let between = source.get(end as usize..span.start as usize).unwrap_or("\n");
        let glued = text.chars().next().is_some_and(|c| !c.is_whitespace() && c != '#' && c != '!');
        if between.contains('\n') || !glued {
            return;
        }
        self.findings.push(
            rules::YAML_TEXT_LOST
                .at(span, format!("`#{text}` is read as a comment and dropped"))
                .bench("the rest of the value would be missing from the page and the card")
                .instead("put the whole value in double quotes, or put a space after `#` if it is a comment"),
        );
    }
}

fn flow_comma(key: &str, key_span: Span, before: Option<&Entry>) -> Finding {
    let digits = key.chars().next().is_some_and(|c| c.is_ascii_digit());
    let earlier = before.and_then(|entry| entry.value.text().map(|text| (text, entry.value.span)));
    match earlier {
        Some((text, span)) if digits && text.chars().last().is_some_and(|c| c.is_ascii_digit()) => {
            rules::DECIMAL_COMMA
                .at(Span { end: key_span.end, ..span }, format!("the comma cuts `{text},{key}` in two"))
                .bench(format!("the card would show {text}, and the rest would be lost"))
                .instead(format!("write `{text}.{key}` with a point, in quotes"))
        }
        _ => rules::YAML_TEXT_LOST
            .at(key_span, format!("`{key}` has no value: the comma before it ended the last one"))
            .bench("the text after the comma would be lost without a word")
            .instead("put a value that holds a comma in double quotes"),
    }
}

fn line_span(file: FileId, source: &str, offset: usize) -> Span {
    let mut offset = offset.min(source.len());
    while !source.is_char_boundary(offset) {
        offset -= 1;
    }
    let start = source[..offset].rfind('\n').map_or(0, |n| n + 1);
    let end = source[offset..].find('\n').map_or(source.len(), |n| offset + n);
    let line = source[start..end].trim_end();
    let lead = line.len() - line.trim_start().len();
    if line.trim().is_empty() {
        return Span::new(file, offset, offset);
    }
    Span::new(file, start + lead, start + line.len())
}

/// A key with its value glued to the colon, as in `surface:coated`.
fn glued_colon(line: &str) -> bool {
    let word = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
    let key = line.trim_start_matches(word);
    key.len() < line.len()
        && key.starts_with(':')
        && !key[1..].is_empty()
        && !key[1..].starts_with([' ', '\t'])
}

/// A quote or a bracket that nothing closes.
fn not_closed(span: Span, mark: char) -> Finding {
    let instead = match mark {
        '{' => "close it on its line: `}` behind the last value",
        '[' => "close it on its line: `]` behind the last item",
        '"' => "close the quote: `\"` behind the last word of the text",
        _ => "close the quote: `'` behind the last word of the text",
    };
    rules::YAML_UNREADABLE
        .at(span, format!("`{mark}` is opened here and not closed"))
        .bench("nothing of this file was checked")
        .instead(instead)
}

fn scan_finding(error: &ScanError, source: &str, line: impl Fn(usize) -> Span) -> Finding {
    let offset = error.marker().byte_offset().unwrap_or(source.len());
    if let Some((at, mark)) = left_open(source, offset) {
        return not_closed(Span { start: at as u32, ..line(at) }, mark);
    }
    let span = line(offset);
    let text = source.get(span.range()).unwrap_or("");
    let before = source.get(..offset.min(source.len())).unwrap_or("");
    let line_start = before.rfind('\n').map_or(0, |n| n + 1);
    let indent =
        source.get(line_start..).unwrap_or("").split(|c: char| !c.is_whitespace()).next().unwrap_or("");
    let instead = if indent.contains('\t') {
        "indent with spaces, never with a tab"
    } else if text.matches(": ").count() > 1 {
        "put a value that holds a colon and a space in double quotes"
    } else if glued_colon(text) {
        "put a space after the colon: `key: value`"
    } else if !text.contains(':') && !text.starts_with('-') && text.contains('=') {
        "write `key: value`, with a colon and a space"
    } else if text.matches('"').count() % 2 == 1 || text.matches('\'').count() % 2 == 1 {
        "close the quote that was opened"
    } else if text.contains('\t') {
        "use spaces, not tabs"
    } else {
        "check the indentation, the colons and the brackets of this line and the one above"
    };
    rules::YAML_UNREADABLE
        .at(span, format!("this cannot be read as YAML: {}", error.info()))
        .bench("nothing of this file was checked")
        .instead(instead)
}
