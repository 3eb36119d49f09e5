//! A Markdown file: front matter split off, references found with their places, steps and their reasons told apart.

use std::ops::Range;

use pulldown_cmark::{CowStr, Event, LinkType, Options, Parser, Tag, TagEnd, TextMergeWithOffset, html};

use super::running::{Running, running};
use super::scheme::Scheme;
use super::unseen::none_escaped;
use crate::diagnostic::{Finding, nearest, rules};
use crate::text::{FileId, Span};

/// The most steps of one procedure: a day's work in single movements.
const MOST_STEPS: usize = 1_000;

/// A link to a record or a value of the shop.
#[derive(Debug, Clone, PartialEq)]
pub struct Reference {
    /// What it leads to.
    pub scheme: Scheme,
    /// What stands behind the colon.
    pub target: String,
    /// The visible text; for an autolink the whole of it.
    pub text: String,
    /// What is done where the fork has no such number: the link's title.
    pub otherwise: Option<String>,
    /// The target in the source.
    pub span: Span,
}

impl Reference {
    /// As a reviewer reads it: text, target, and what is done where there is no such number.
    pub(crate) fn seen(&self) -> String {
        let otherwise = self.otherwise.as_ref().map_or_else(String::new, |words| format!(" \"{words}\""));
        format!("{} ({}:{}{otherwise})", self.text, self.scheme, self.target)
    }
}

/// A piece of running text.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// An event of the Markdown reader.
    Event(Event<'static>),
    /// A link to a record or a value.
    Reference(Reference),
}

/// Running text with its references.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Prose {
    /// The pieces in order.
    pub pieces: Vec<Piece>,
}

/// One step of a procedure.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The whole item in the source.
    pub span: Span,
    /// What to do.
    pub action: Prose,
    /// Why, where the source says so.
    pub reason: Option<Prose>,
    /// The cautions that stand before it.
    pub cautions: Vec<Reference>,
}

/// A part of a procedure's body.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// A heading that groups steps.
    Heading(Prose),
    /// Text between steps.
    Prose(Prose),
    /// A step.
    Step(Step),
}

/// A Markdown body.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Body {
    /// The parts in order.
    pub parts: Vec<Part>,
    /// Every reference in it, in order.
    pub references: Vec<Reference>,
    /// Its words, block by block.
    pub running: Vec<Running>,
}

impl Body {
    /// Gives every reference of a scheme another target, where `to` knows one.
    pub fn lead(&mut self, scheme: Scheme, to: impl Fn(&str) -> Option<String>) {
        let lead = |reference: &mut Reference| {
            if let Some(target) = to(&reference.target).filter(|_| reference.scheme == scheme) {
                reference.target = target;
            }
        };
        let in_prose = |prose: &mut Prose| {
            for piece in &mut prose.pieces {
                if let Piece::Reference(reference) = piece {
                    lead(reference);
                }
            }
        };
        for part in &mut self.parts {
            match part {
                Part::Heading(prose) | Part::Prose(prose) => in_prose(prose),
                Part::Step(step) => {
                    in_prose(&mut step.action);
                    step.reason.iter_mut().for_each(in_prose);
                    step.cautions.iter_mut().for_each(lead);
                }
            }
        }
        self.references.iter_mut().for_each(lead);
    }

    /// The steps in order.
    pub fn steps(&self) -> impl Iterator<Item = &Step> {
        self.parts.iter().filter_map(|part| match part {
            Part::Step(step) => Some(step),
            _ => None,
        })
    }
}

impl Prose {
    /// The text as HTML; each reference is written by `show`, which returns finished HTML.
    pub fn html(&self, mut show: impl FnMut(&Reference) -> String) -> String {
        let events = self.pieces.iter().map(|piece| match piece {
            Piece::Event(event) => event.clone(),
            Piece::Reference(reference) => Event::InlineHtml(CowStr::from(show(reference))),
        });
        let mut out = String::new();
        html::push_html(&mut out, events);
        out
    }

    /// The text without marks; each reference is written by `show`.
    pub fn plain(&self, show: impl FnMut(&Reference) -> String) -> String {
        plain(&self.pieces, show)
    }

    /// Its first paragraph: what a card says of a step. Empty where it begins with a table, a list or code.
    pub fn lead(&self) -> &[Piece] {
        let inline = |piece: &Piece| match piece {
            Piece::Event(Event::Start(tag)) => is_inline(tag),
            Piece::Event(Event::End(TagEnd::Paragraph) | Event::Rule) => false,
            _ => true,
        };
        let opened = matches!(self.pieces.first(), Some(Piece::Event(Event::Start(Tag::Paragraph))));
        let inner = &self.pieces[usize::from(opened)..];
        &inner[..inner.iter().position(|piece| !inline(piece)).unwrap_or(inner.len())]
    }

    /// The paragraphs, items and cells as texts with single blanks: how they are wrapped into lines and which marks
    /// stand around their words does not count. Each reference is written by `show`.
    pub fn paragraphs(&self, mut show: impl FnMut(&Reference) -> String) -> Vec<String> {
        let mut out = vec![String::new()];
        for piece in &self.pieces {
            let last = out.len() - 1;
            match piece {
                Piece::Reference(reference) => out[last].push_str(&show(reference)),
                Piece::Event(Event::Text(text) | Event::Code(text)) => out[last].push_str(text),
                Piece::Event(Event::SoftBreak | Event::HardBreak) => out[last].push(' '),
                Piece::Event(Event::End(
                    TagEnd::Paragraph
                    | TagEnd::Item
                    | TagEnd::TableCell
                    | TagEnd::CodeBlock
                    | TagEnd::Heading(_),
                )) => out.push(String::new()),
                Piece::Event(_) => {}
            }
        }
        let single = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
        out.into_iter().map(single).filter(|text| !text.is_empty()).collect()
    }

    /// Whether there are no words in it. A picture alone does not say what to do.
    fn says_nothing(&self) -> bool {
        !self.pieces.iter().any(|piece| match piece {
            Piece::Reference(reference) => reference.scheme != Scheme::Picture,
            Piece::Event(Event::Text(text) | Event::Code(text)) => !text.trim().is_empty(),
            Piece::Event(_) => false,
        })
    }

    fn is_blank(&self) -> bool {
        !self.pieces.iter().any(|piece| match piece {
            Piece::Reference(_) => true,
            Piece::Event(Event::Text(text) | Event::Code(text)) => !text.trim().is_empty(),
            Piece::Event(_) => false,
        })
    }

    /// Drops the paragraphs of which nothing but space is left.
    fn without_empty_paragraphs(self) -> Self {
        let mut out: Vec<Piece> = Vec::with_capacity(self.pieces.len());
        let mut open: Option<usize> = None;
        for piece in self.pieces {
            match &piece {
                Piece::Event(Event::Start(Tag::Paragraph)) => open = Some(out.len()),
                Piece::Event(Event::End(TagEnd::Paragraph)) => {
                    if let Some(start) = open.take() {
                        let inner = Prose { pieces: out[start..].to_vec() };
                        if inner.is_blank() {
                            out.truncate(start);
                            continue;
                        }
                    }
                }
                _ => {}
            }
            out.push(piece);
        }
        Prose { pieces: out }
    }
}

/// Pieces of running text without marks; each reference is written by `show`. Cells and lines stay apart.
pub fn plain(pieces: &[Piece], mut show: impl FnMut(&Reference) -> String) -> String {
    let mut out = String::new();
    for piece in pieces {
        match piece {
            Piece::Reference(reference) if reference.scheme == Scheme::Picture => {}
            Piece::Reference(reference) => out.push_str(&show(reference)),
            Piece::Event(Event::Text(text) | Event::Code(text)) => out.push_str(text),
            Piece::Event(Event::SoftBreak | Event::HardBreak) => out.push(' '),
            Piece::Event(Event::End(TagEnd::TableCell)) => out.push_str("; "),
            Piece::Event(Event::Start(tag)) if !is_inline(tag) && !out.is_empty() => part(&mut out),
            Piece::Event(Event::End(tag)) if *tag == TagEnd::Paragraph || *tag == TagEnd::Item => {
                part(&mut out);
            }
            Piece::Event(_) => {}
        }
    }
    out.trim().to_owned()
}

/// Parts what comes from what was said.
fn part(out: &mut String) {
    if !out.is_empty() && !out.ends_with(' ') {
        out.push(' ');
    }
}

/// Whether what opens here stands inside a line.
fn is_inline(tag: &Tag<'_>) -> bool {
    matches!(tag, Tag::Emphasis | Tag::Strong | Tag::Strikethrough | Tag::Link { .. } | Tag::Image { .. })
}

/// Where the front matter ends and the body begins. The front matter's range starts at byte 0 with
/// its `---` line, which YAML reads as the start of a document, so places need no shifting.
pub fn split(text: &str) -> Option<(Range<usize>, usize)> {
    // Some editors put a byte order mark before the first character.
    let mark = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let after = text[mark..].strip_prefix("---")?;
    let first = after.find('\n')?;
    if !after[..first].trim().is_empty() {
        return None;
    }
    let mut offset = mark + 3 + first + 1;
    for line in text[offset..].split_inclusive('\n') {
        if line.trim_end() == "---" {
            return Some((0..offset, offset + line.len()));
        }
        offset += line.len();
    }
    None
}

/// The longest body that is read, in bytes: a procedure of as many steps as may be, each with its reason.
const LONGEST: usize = 512 * 1024;

/// Reads a Markdown body that starts at byte `from` of the file's text.
pub fn read(file: FileId, text: &str, from: usize, findings: &mut Vec<Finding>) -> Body {
    let mut reader = Reader { file, from, text, findings, references: Vec::new() };
    let source = reader.bounded(text.get(from..).unwrap_or(""));
    let parser = Parser::new_ext(source, Options::ENABLE_TABLES).into_offset_iter();
    let events: Vec<(Event<'_>, Range<usize>)> = TextMergeWithOffset::new(parser).collect();
    reader.none_escaped(&events);
    let parts = reader.parts(&events);
    Body { parts, references: reader.references, running: running(file, text, from, &events) }
}

struct Reader<'a> {
    file: FileId,
    from: usize,
    text: &'a str,
    findings: &'a mut Vec<Finding>,
    references: Vec<Reference>,
}

type Offset<'e> = (Event<'e>, Range<usize>);

impl Reader<'_> {
    fn span(&self, range: &Range<usize>) -> Span {
        Span::new(self.file, self.from + range.start, self.from + range.end)
    }

    /// The lines of a body that are read: the tree of a text takes five hundred times its length where each letter
    /// opens something.
    fn bounded<'t>(&mut self, body: &'t str) -> &'t str {
        let Some(first) = body.as_bytes().get(..LONGEST) else { return body };
        let end = first.iter().rposition(|byte| *byte == b'\n').map_or(0, |at| at + 1);
        self.findings.push(
            rules::TOO_MUCH
                .at(
                    first_line(self.span(&(end..body.len())), self.text),
                    format!("more than {} KiB of text stand in one file", LONGEST / 1024),
                )
                .bench("the rest was not read, and would be missing from the page")
                .instead("split the text, or look at what made the file"),
        );
        &body[..end]
    }

    /// An entity such as `&#x202e;` is seen in the source and not on the page.
    fn none_escaped(&mut self, events: &[Offset<'_>]) {
        let mut count = 0;
        for (event, range) in events {
            let texts: [&str; 2] = match event {
                Event::Text(text) | Event::Code(text) => [text, ""],
                Event::Start(Tag::Link { dest_url, title, .. } | Tag::Image { dest_url, title, .. }) => {
                    [dest_url, title]
                }
                _ => continue,
            };
            for text in texts {
                none_escaped(self.span(range), text, &mut count, self.findings);
            }
        }
    }

    fn too_many_steps(&mut self, range: &Range<usize>) {
        self.findings.push(
            rules::TOO_MUCH
                .at(
                    first_line(self.span(range), self.text),
                    format!("more than {MOST_STEPS} steps stand in one procedure"),
                )
                .bench("the rest was not read, and would be missing from the page")
                .instead("split the procedure, or look at what made the file"),
        );
    }

    fn parts(&mut self, events: &[Offset<'_>]) -> Vec<Part> {
        let mut parts = Vec::new();
        let (mut at, mut steps) = (0, 0);
        while at < events.len() {
            let end = block_end(events, at);
            match &events[at].0 {
                Event::Start(Tag::List(Some(_))) => {
                    let mut inner = at + 1;
                    while inner + 1 < end {
                        let stop = block_end(events, inner);
                        if matches!(events[inner].0, Event::Start(Tag::Item)) {
                            steps += 1;
                            if steps > MOST_STEPS {
                                self.too_many_steps(&events[inner].1);
                                return parts;
                            }
                            let step = self.step(&events[inner..stop]);
                            parts.push(Part::Step(step));
                        }
                        inner = stop;
                    }
                }
                Event::Start(Tag::Heading { .. }) => {
                    let prose = self.prose(&events[at + 1..end.saturating_sub(1).max(at + 1)]);
                    parts.push(Part::Heading(prose));
                }
                _ => {
                    let prose = self.prose(&events[at..end]);
                    match parts.last_mut() {
                        Some(Part::Prose(last)) => last.pieces.extend(prose.pieces),
                        _ => parts.push(Part::Prose(prose)),
                    }
                }
            }
            at = end;
        }
        parts
    }

    /// A list item: everything but block quotes is what to do, block quotes are the reason.
    fn step(&mut self, events: &[Offset<'_>]) -> Step {
        let span = self.span(&events[0].1);
        let inner = &events[1..events.len().saturating_sub(1).max(1)];
        let (mut action, mut reason) = (Prose::default(), Prose::default());
        let first_reference = self.references.len();
        let mut at = 0;
        while at < inner.len() {
            let end = block_end(inner, at);
            if matches!(inner[at].0, Event::Start(Tag::BlockQuote(_))) {
                let quote = self.prose(&inner[at + 1..end.saturating_sub(1).max(at + 1)]);
                reason.pieces.extend(quote.pieces);
            } else {
                let prose = self.prose(&inner[at..end]);
                action.pieces.extend(prose.pieces);
            }
            at = end;
        }
        let cautions = self.references[first_reference..]
            .iter()
            .filter(|r| r.scheme == Scheme::Caution)
            .cloned()
            .collect();
        let action = drop_lone_cautions(action).without_empty_paragraphs();
        if action.says_nothing() {
            self.findings.push(
                rules::STEP_EMPTY
                    .at(span, "this step says nothing to do")
                    .bench("the card would show an empty line to tick")
                    .instead("write what to do, or remove the step"),
            );
        }
        let reason = (!reason.is_blank()).then_some(reason);
        Step { span, action, reason, cautions }
    }

    fn prose(&mut self, events: &[Offset<'_>]) -> Prose {
        let mut pieces = Vec::new();
        let mut at = 0;
        while at < events.len() {
            let (event, range) = &events[at];
            match event {
                Event::Start(Tag::Link { link_type, dest_url, title, .. }) => {
                    let end = block_end(events, at);
                    let inner = &events[at + 1..end.saturating_sub(1).max(at + 1)];
                    self.link((*link_type, dest_url, title), range, inner, &mut pieces);
                    at = end;
                    continue;
                }
                Event::Start(Tag::Image { dest_url, title, .. }) if is_file(dest_url) => {
                    let end = block_end(events, at);
                    pieces.push(self.picture((dest_url, title), range, &events[at + 1..end]));
                    at = end;
                    continue;
                }
                // What stands between its marks is read on as any other text: HTML, links, a picture in a picture.
                Event::Start(Tag::Image { .. }) => self.findings.push(
                    rules::IMAGE_LEFT_OUT
                        .at(self.span(range), "a picture from elsewhere stands here and is left out")
                        .bench("whoever needs the picture to do the step cannot do it from the page")
                        .instead("keep the picture beside this text, and name its file: `![what it shows](name.png)`"),
                ),
                Event::End(TagEnd::Image) => {}
                Event::Html(raw) | Event::InlineHtml(raw) => {
                    self.findings.push(
                        rules::HTML_AS_TEXT
                            .at(self.span(range), "HTML is shown as the text it is, not as a page element")
                            .bench("tags between the words make a step hard to read")
                            .instead("use Markdown; put code or angle brackets in backticks"),
                    );
                    pieces.push(Piece::Event(Event::Text(CowStr::from(raw.to_string()))));
                }
                Event::Text(text) => {
                    self.lost_link(text, range);
                    pieces.push(Piece::Event(event.clone().into_static()));
                }
                // The page owns the heading levels and the blocks that only HTML opens.
                Event::Start(Tag::HtmlBlock) | Event::End(TagEnd::HtmlBlock) => {}
                _ => pieces.push(Piece::Event(event.clone().into_static())),
            }
            at += 1;
        }
        Prose { pieces }
    }

    /// A picture of the shop's own, with what it shows in words.
    fn picture(&mut self, (file, title): (&str, &str), range: &Range<usize>, inner: &[Offset<'_>]) -> Piece {
        let whole = self.span(range);
        let words = inner.iter().filter_map(|(event, _)| match event {
            Event::Text(text) | Event::Code(text) | Event::Html(text) | Event::InlineHtml(text) => {
                Some(&**text)
            }
            Event::SoftBreak | Event::HardBreak => Some(" "),
            _ => None,
        });
        let text: String = words.collect();
        let source = self.text.get(whole.range()).unwrap_or("");
        let span = source.rfind(file).map_or(whole, |at| whole.part(at..at + file.len()));
        let otherwise = Some(title.trim().to_owned()).filter(|title| !title.is_empty());
        let reference = Reference { scheme: Scheme::Picture, target: file.to_owned(), text, otherwise, span };
        self.references.push(reference.clone());
        Piece::Reference(reference)
    }

    fn link(
        &mut self,
        (kind, target, title): (LinkType, &str, &str),
        range: &Range<usize>,
        inner: &[Offset<'_>],
        pieces: &mut Vec<Piece>,
    ) {
        let whole = self.span(range);
        let visible: String = inner
            .iter()
            .filter_map(|(event, _)| match event {
                Event::Text(text) | Event::Code(text) => Some(text.to_string()),
                Event::SoftBreak | Event::HardBreak => Some(" ".to_owned()),
                _ => None,
            })
            .collect();
        let source = self.text.get(whole.range()).unwrap_or("");
        let span = source.rfind(target).map_or(whole, |at| whole.part(at..at + target.len()));
        let (word, rest) = target.split_once(':').unwrap_or(("", target));
        let lower = word.to_ascii_lowercase();
        if let Some(scheme) = Scheme::of(word) {
            if visible.trim().is_empty() {
                self.findings.push(
                    rules::REFERENCE_WITHOUT_TEXT
                        .at(whole, "this reference has no text to show")
                        .bench("the number would stand on the card without a word on what it is")
                        .instead(format!("write `[what to call it]({target})`")),
                );
            }
            let otherwise = Some(title.trim().to_owned()).filter(|words| !words.is_empty());
            let reference = Reference { scheme, target: rest.to_owned(), text: visible, otherwise, span };
            self.references.push(reference.clone());
            pieces.push(Piece::Reference(reference));
            return;
        }
        let web = matches!(lower.as_str(), "http" | "https" | "mailto") || kind == LinkType::Email;
        if web {
            let tag = Tag::Link {
                link_type: LinkType::Inline,
                dest_url: CowStr::from(if kind == LinkType::Email {
                    format!("mailto:{target}")
                } else {
                    target.to_owned()
                }),
                title: CowStr::from(""),
                id: CowStr::from(""),
            };
            pieces.push(Piece::Event(Event::Start(tag)));
            pieces.push(Piece::Event(Event::Text(CowStr::from(visible))));
            pieces.push(Piece::Event(Event::End(TagEnd::Link)));
            return;
        }
        self.no_scheme(span, target);
        pieces.push(Piece::Event(Event::Text(CowStr::from(visible))));
    }

    /// A link to something that is neither of the shop nor of the web.
    fn no_scheme(&mut self, span: Span, target: &str) {
        let (scheme, rest) = target.split_once(':').unwrap_or(("", target));
        let nearest = nearest(&scheme.to_ascii_lowercase(), Scheme::ALL.map(Scheme::word));
        self.findings.push(
            rules::LINK_SCHEME
                .at(
                    span,
                    if scheme.is_empty() {
                        format!("`{target}` names no kind of thing to link to")
                    } else {
                        format!("`{scheme}:` is not a kind of link that can be followed safely")
                    },
                )
                .bench("what it should bring would be missing from the page and the card")
                .instead(match nearest {
                    Some(scheme) => format!("did you mean `{scheme}:{rest}`?"),
                    None => {
                        "link to spec:, procedure:, caution:, tool:, oil: or reading:, or to a web address"
                            .to_owned()
                    }
                }),
        );
    }

    /// CommonMark shows a link whose target holds a space, and a reference that is defined nowhere, as plain text.
    fn lost_link(&mut self, text: &str, range: &Range<usize>) {
        for scheme in Scheme::ALL {
            let Some(at) = text.find(&format!("]({scheme}:")) else { continue };
            let raw = self.text.get(self.span(range).range()).unwrap_or("");
            let inner = raw.find(&format!("]({scheme}:")).unwrap_or(at);
            let end = raw[inner..].find(')').map_or(raw.len(), |n| inner + n);
            self.findings.push(
                rules::LINK_LOST
                    .at(
                        self.span(range).part(inner + 2..end),
                        "this link would be shown as plain text: its target holds a space or is not closed",
                    )
                    .bench("the number it should bring would be missing from the step")
                    .instead("write the target without spaces, and close it with `)`"),
            );
            return;
        }
        if let Some(at) = text.find("][") {
            let raw = self.text.get(self.span(range).range()).unwrap_or("");
            let inner = raw.find("][").unwrap_or(at);
            self.findings.push(
                rules::LINK_LOST
                    .at(
                        self.span(range).part(inner..inner + 2),
                        "this link would be shown as plain text: what it points to is defined nowhere",
                    )
                    .bench("what it should bring would be missing from the step")
                    .instead("write the target in round brackets: `[text](spec:group.name)`"),
            );
        }
    }
}

/// A caution link that is a paragraph of its own, or leads one, is shown as the caution itself.
fn drop_lone_cautions(prose: Prose) -> Prose {
    let alone = |pieces: &[Piece], at: usize| {
        let before = at.checked_sub(1).map(|n| &pieces[n]);
        let after = pieces.get(at + 1);
        let starts = matches!(
            before,
            None | Some(Piece::Event(Event::Start(Tag::Paragraph) | Event::SoftBreak))
                | Some(Piece::Reference(_))
        );
        let ends = matches!(
            after,
            None | Some(Piece::Event(Event::End(TagEnd::Paragraph) | Event::SoftBreak | Event::Start(_)))
        );
        starts && ends
    };
    let keep: Vec<bool> = prose
        .pieces
        .iter()
        .enumerate()
        .map(|(at, piece)| match piece {
            Piece::Reference(reference) => !(reference.scheme == Scheme::Caution && alone(&prose.pieces, at)),
            Piece::Event(_) => true,
        })
        .collect();
    let pieces =
        prose.pieces.into_iter().zip(keep).filter_map(|(piece, keep)| keep.then_some(piece)).collect();
    Prose { pieces }
}

/// Whether a picture's target is a file and not an address.
fn is_file(target: &str) -> bool {
    !target.is_empty() && !target.contains(':') && !target.starts_with("//") && !target.starts_with('#')
}

/// A span without what follows its first line.
fn first_line(span: Span, text: &str) -> Span {
    let length = text.get(span.range()).and_then(|text| text.find('\n'));
    span.part(0..length.unwrap_or(span.range().len()))
}

/// One past the event that closes the block or inline element opened at `at`; `at + 1` for a single event.
fn block_end(events: &[Offset<'_>], at: usize) -> usize {
    let mut depth = 0usize;
    for (n, (event, _)) in events.iter().enumerate().skip(at) {
        match event {
            Event::Start(_) => depth += 1,
            Event::End(_) => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth == 0 {
            return n + 1;
        }
    }
    events.len()
}
