//! Findings for a person at a terminal: the line they stand in, underlined, and what to do about it.

use annotate_snippets::{Annotation, AnnotationKind, Element, Group, Level, Origin, Renderer, Snippet};
use textwrap::core::display_width;
use textwrap::{Options, WordSeparator, WordSplitter};

use super::finding::{Count, Finding};
use super::place::{Places, first_line};
use super::severity::Severity;
use crate::text::{FileId, Files, Span, visible_line};

/// The narrowest width that is written for.
const NARROWEST: usize = 40;

/// Prose is wrapped here even where the terminal is wider: longer lines are hard to read.
const WIDEST_PROSE: usize = 80;

/// The names of the notes below a snippet.
const BENCH: &str = "at the bench";
const INSTEAD: &str = "write instead";
const LINES: &str = "add";
const REACHES: &str = "reaches";
const ALSO: &str = "see also";

/// Writes the findings in the order given, and a closing summary. `width` is the terminal's, in columns;
/// source lines are cut to it, prose is wrapped at 80 or less. With `colour`, ANSI escapes are in the text.
pub fn text(findings: &[Finding], files: &Files, width: usize, colour: bool) -> String {
    let width = width.max(NARROWEST);
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() }.term_width(width);
    let mut writer = Writer { places: Places::new(files), width, prose: width.min(WIDEST_PROSE) };
    let mut out = String::new();
    for finding in findings {
        out.push_str(renderer.render(&[writer.group(finding)]).trim_end());
        out.push_str("\n\n");
    }
    out.push_str(&summary(findings, files.iter().count()));
    out.push('\n');
    out
}

/// "3 errors, 1 warning, 2 notes in 14 files."
pub(crate) fn summary(findings: &[Finding], files: usize) -> String {
    let count = Count::of(findings);
    let parts: Vec<String> = [(count.errors, "error"), (count.warnings, "warning"), (count.notes, "note")]
        .iter()
        .filter(|(number, _)| *number > 0)
        .map(|(number, word)| counted(*number, word))
        .collect();
    let what = if parts.is_empty() { "No findings".to_owned() } else { parts.join(", ") };
    format!("{what} in {}.", counted(files, "file"))
}

fn counted(number: usize, word: &str) -> String {
    if number == 1 { format!("1 {word}") } else { format!("{number} {word}s") }
}

struct Writer<'f> {
    places: Places<'f>,
    width: usize,
    prose: usize,
}

/// A part of a file whose lines are shown, and the places to underline in it.
struct Shown<'a> {
    file: FileId,
    marks: Vec<(Span, Option<&'a str>, AnnotationKind)>,
}

impl Writer<'_> {
    fn group<'a>(&mut self, finding: &'a Finding) -> Group<'a> {
        let level = match finding.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
            Severity::Note => Level::NOTE,
        };
        // "error[code]: "
        let lead = finding.severity.word().len() + finding.code().len() + 4;
        let title = self.wrapped(&finding.message, lead);
        let mut group = Group::with_title(level.primary_title(title).id(finding.code()));

        let mut shown = vec![Shown {
            file: finding.span.file,
            marks: vec![(finding.span, None, AnnotationKind::Primary)],
        }];
        for label in &finding.also {
            let mark = (label.span, Some(label.text.as_str()), AnnotationKind::Context);
            match shown.iter_mut().find(|part| part.file == label.span.file) {
                Some(part) => part.marks.push(mark),
                None => shown.push(Shown { file: label.span.file, marks: vec![mark] }),
            }
        }
        let mut notes = Vec::new();
        for part in shown {
            group = group.element(self.snippet(part, &mut notes));
        }
        for text in notes {
            group = group.element(self.note(ALSO, &text));
        }
        for (name, text) in [(BENCH, finding.bench.as_str()), (INSTEAD, finding.instead.as_str())] {
            if !text.is_empty() {
                group = group.element(self.note(name, text));
            }
        }
        if !finding.lines.is_empty() {
            group = group.element(self.lines(&finding.lines));
        }
        if !finding.reaches.is_empty() {
            group = group.element(self.note(REACHES, &finding.reaches.join(", ")));
        }
        group
    }

    /// The lines of one file with their places underlined. Only these lines are handed on, so that a big
    /// file costs no more than a small one. A label too long to stand beside its place becomes a note.
    fn snippet<'a>(&mut self, part: Shown<'a>, notes: &mut Vec<String>) -> Element<'a> {
        let (text, path) = (self.places.text(part.file), self.places.path(part.file).to_owned());
        let spans: Vec<Span> = part.marks.iter().map(|(span, ..)| first_line(text, *span)).collect();
        let first = spans.iter().map(|span| span.start as usize).min().unwrap_or(0);
        let last = spans.iter().map(|span| span.end as usize).max().unwrap_or(0);
        let window = self.places.line_start(part.file, first);
        let window =
            if text[window..].starts_with('\u{feff}') { window + '\u{feff}'.len_utf8() } else { window };
        let stop = text[last..].find('\n').map_or(text.len(), |n| last + n);
        if window >= stop && spans.len() == 1 {
            // Nothing to show: an empty file, an empty line, the place after the last line.
            let place = self.places.at(part.file, first);
            return Origin::path(visible_line(&path).into_owned())
                .line(place.line)
                .char_column(place.column)
                .into();
        }
        let line = self.places.at(part.file, window).line;
        let source = text[window.min(stop)..stop].trim_end_matches('\r').to_owned();
        let mut marks: Vec<Annotation<'a>> = Vec::new();
        for ((_, label, kind), span) in part.marks.into_iter().zip(spans) {
            let clamp = |byte: u32| (byte as usize).max(window) - window;
            let (start, end) = (clamp(span.start).min(source.len()), clamp(span.end).min(source.len()));
            let mut mark = kind.span(start..end.max(start));
            if let Some(label) = label {
                let line_start = source[..start].rfind('\n').map_or(0, |n| n + 1);
                // The gutter and the space beside the underline take about ten columns.
                let column = display_width(&source[line_start..end.max(start)]) + 10;
                if column + display_width(label) <= self.width {
                    mark = mark.label(visible_line(label).into_owned());
                } else {
                    let place = self.places.at(part.file, span.start as usize);
                    notes.push(format!("{path}:{}:{}: {label}", place.line, place.column));
                }
            }
            marks.push(mark);
        }
        Snippet::source(source)
            .path(visible_line(&path).into_owned())
            .line_start(line)
            .annotations(marks)
            .into()
    }

    fn note<'a>(&self, name: &'static str, text: &str) -> Element<'a> {
        // "   = name: ", with room for a line number of three digits.
        let text = self.wrapped(text, name.len() + 8);
        Level::NOTE.with_name(name).message(text).into()
    }

    /// Lines of a record: they are not wrapped, so that they can be copied.
    fn lines<'a>(&self, lines: &[String]) -> Element<'a> {
        let lines: Vec<String> = lines.iter().map(|line| visible_line(line).into_owned()).collect();
        Level::NOTE.with_name(LINES).message(lines.join("\n")).into()
    }

    fn wrapped(&self, text: &str, lead: usize) -> String {
        let room = self.prose.saturating_sub(lead).max(NARROWEST / 2);
        let options = Options::new(room)
            .word_separator(WordSeparator::AsciiSpace)
            .word_splitter(WordSplitter::NoHyphenation);
        textwrap::fill(&visible_line(text), options)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Rule;

    fn files(path: &str, source: &str) -> (Files, FileId) {
        let mut files = Files::default();
        let id = files.add(path, source);
        (files, id)
    }

    fn at(file: FileId, source: &str, part: &str) -> Span {
        let start = source.find(part).unwrap();
        Span::new(file, start, start + part.len())
    }

    fn told(source: &str, part: &str) -> String {
        let (files, id) = files("specs/forks/a.yaml", source);
        text(
            &[Rule::invented("code").graded(Severity::Error, at(id, source, part), "message")],
            &files,
            80,
            false,
        )
    }

    fn widest(text: &str) -> usize {
        text.lines().map(display_width).max().unwrap_or(0)
    }

    #[test]
    fn a_finding_in_full() {
        let source = "id: a\noil:\n  air_gap: 50\n";
        let (mut files, id) = files("specs/forks/a.yaml", source);
        let other = "title: Road\noil:\n  air_gap: 96 mm\n";
        let family = files.add("specs/families/road.yaml", other);
        let finding = Rule::invented("bare-number").graded(Severity::Error, at(id, source, "50"),
            "`50` has no unit, and a gap may be written in millimetres or in inches by whoever copied it last",
        )
        .bench("A gap read in the wrong unit is 25 times too large, and nobody sees it before the fork is ridden.")
        .instead("write `50 mm` or `1.97 in`")
        .also(at(id, source, "oil"), "in this section")
        .also(at(family, other, "96 mm"), "the family says it with a unit")
        .reaches(vec!["a".to_owned(), "b".to_owned()]);
        let shown = text(&[finding], &files, 80, false);
        assert!(widest(&shown) <= 80, "{shown}");
        insta::assert_snapshot!(shown, @r#"
        error[bare-number]: `50` has no unit, and a gap may be written in millimetres or
                            in inches by whoever copied it last
         --> specs/forks/a.yaml:3:12
          |
        2 | oil:
          | --- in this section
        3 |   air_gap: 50
          |            ^^
          |
         ::: specs/families/road.yaml:3:12
          |
        3 |   air_gap: 96 mm
          |            ----- the family says it with a unit
          |
          = at the bench: A gap read in the wrong unit is 25 times too large, and
                          nobody sees it before the fork is ridden.
          = write instead: write `50 mm` or `1.97 in`
          = reaches: a, b

        1 error in 2 files.
        "#);
    }

    #[test]
    fn wide_characters_and_tabs_are_underlined_where_they_stand() {
        insta::assert_snapshot!(told("maker: 山田\tfork 5 x\n", "5"), @r#"
        error[code]: message
         --> specs/forks/a.yaml:1:16
          |
        1 | maker: 山田    fork 5 x
          |                     ^

        1 error in 1 file.
        "#);
    }

    #[test]
    fn line_ends_of_both_kinds() {
        insta::assert_snapshot!(told("id: a\r\ngap: 5\r\nend: b\r\n", "5\r\n"), @r#"
        error[code]: message
         --> specs/forks/a.yaml:2:6
          |
        2 | gap: 5
          |      ^

        1 error in 1 file.
        "#);
    }

    #[test]
    fn a_byte_order_mark_takes_no_column() {
        insta::assert_snapshot!(told("\u{feff}id: a\n", "id"), @r#"
        error[code]: message
         --> specs/forks/a.yaml:1:1
          |
        1 | id: a
          | ^^

        1 error in 1 file.
        "#);
        insta::assert_snapshot!(told("\u{feff}id: a\n", "\u{feff}"), @r#"
        error[code]: message
         --> specs/forks/a.yaml:1:1
          |
        1 | id: a
          | ^

        1 error in 1 file.
        "#);
    }

    #[test]
    fn an_empty_file_is_named() {
        insta::assert_snapshot!(told("", ""), @r#"
        error[code]: message
        --> specs/forks/a.yaml:1:1

        1 error in 1 file.
        "#);
    }

    #[test]
    fn a_span_at_the_end_of_the_file() {
        let source = "id: a\n";
        let (files, id) = files("specs/forks/a.yaml", source);
        let end = |start, end| {
            Rule::invented("code").graded(Severity::Warning, Span::new(id, start, end), "message")
        };
        insta::assert_snapshot!(text(&[end(6, 6), end(4, 6), end(4, 99)], &files, 80, false), @r#"
        warning[code]: message
        --> specs/forks/a.yaml:2:1

        warning[code]: message
         --> specs/forks/a.yaml:1:5
          |
        1 | id: a
          |     ^

        warning[code]: message
         --> specs/forks/a.yaml:1:5
          |
        1 | id: a
          |     ^

        3 warnings in 1 file.
        "#);
    }

    #[test]
    fn a_span_over_several_lines_is_shown_by_its_first() {
        insta::assert_snapshot!(told("oil:\n  a: 1\n  b: 2\n", "oil:\n  a: 1\n  b: 2"), @r#"
        error[code]: message
         --> specs/forks/a.yaml:1:1
          |
        1 | oil:
          | ^^^^

        1 error in 1 file.
        "#);
    }

    #[test]
    fn a_very_long_line_is_cut_around_its_place() {
        let source = format!("a: {}here{}\n", "x".repeat(100_000), "y".repeat(100_000));
        let shown = told(&source, "here");
        assert!(widest(&shown) <= 80, "{}", widest(&shown));
        assert!(shown.contains("here") && shown.contains("^^^^") && shown.contains("a.yaml:1:100004"));
    }

    #[test]
    fn a_long_label_and_long_words_stay_within_80_columns() {
        let source = "id: a\nname: b\n";
        let (files, id) = files("specs/forks/a.yaml", source);
        let finding = Rule::invented("code")
            .graded(Severity::Note, at(id, source, "b"), "m".repeat(200))
            .also(
                at(id, source, "id"),
                "a label so long that it does not fit beside the place it is about, not at all",
            )
            .bench("w ".repeat(100))
            .reaches((0..40).map(|n| format!("tarn-{n}")).collect());
        let shown = text(&[finding], &files, 80, false);
        assert!(widest(&shown) <= 80, "{shown}");
        assert!(shown.contains("see also: specs/forks/a.yaml:1:1: a label so long"), "{shown}");
    }

    #[test]
    fn what_a_source_holds_cannot_steer_the_terminal() {
        let source = "na\u{1b}[2Jme: \u{202e}a\n";
        let (files, id) = files("specs/forks/\u{1b}[31m.yaml", source);
        let finding = Rule::invented("code")
            .graded(Severity::Note, at(id, source, "me"), "key `na\u{1b}[2Jme`")
            .bench("b\u{1b}]0;x\u{7}")
            .also(at(id, source, "a\n"), "l\u{1b}c");
        let shown = text(&[finding], &files, 80, false);
        assert!(
            !shown.contains('\u{1b}') && !shown.contains('\u{7}') && !shown.contains('\u{202e}'),
            "{shown:?}"
        );
        assert!(shown.contains("key `na<U+001B>[2Jme`"), "{shown}");
    }

    #[test]
    fn colour_only_when_asked() {
        let (files, id) = files("a.yaml", "id: a\n");
        let finding = || [Rule::invented("code").graded(Severity::Error, Span::new(id, 0, 2), "message")];
        assert!(text(&finding(), &files, 80, true).contains("\u{1b}["));
        assert!(!text(&finding(), &files, 80, false).contains('\u{1b}'));
    }

    #[test]
    fn the_summary_counts() {
        let (_, id) = files("a.yaml", "");
        let span = Span::new(id, 0, 0);
        let error = || Rule::invented("e").graded(Severity::Error, span, "m");
        let warning = || Rule::invented("w").graded(Severity::Warning, span, "m");
        let note = || Rule::invented("n").graded(Severity::Note, span, "m");
        assert_eq!(
            summary(&[error(), error(), error(), warning(), note(), note()], 14),
            "3 errors, 1 warning, 2 notes in 14 files."
        );
        assert_eq!(summary(&[warning()], 1), "1 warning in 1 file.");
        assert_eq!(summary(&[], 0), "No findings in 0 files.");
    }
}
