//! Findings for a person at a terminal: the place, the sentence, the line with a mark under it, and what to do.
//!
//! The place comes first, as `path:line:column`, so that an editor can jump to it. Notes come first and errors
//! last, where the prompt is. Notes of one rule stand together.

use std::collections::BTreeMap;

use anstyle::{AnsiColor, Style};
use textwrap::core::display_width;
use textwrap::{Options, WordSeparator, WordSplitter};

use super::finding::{Count, Finding};
use super::place::{Places, first_line};
use super::severity::Severity;
use crate::text::{Files, Span, visible_line};

/// The narrowest width that is written for.
const NARROWEST: usize = 40;

/// Prose is wrapped here even where the terminal is wider: longer lines are hard to read.
const WIDEST_PROSE: usize = 80;

/// The blanks before a sentence and before the name of a paragraph.
const INDENT: &str = "  ";

/// The blanks before a line of a source.
const SOURCE_INDENT: usize = 6;

/// The names of the paragraphs stand in a column of this width.
const NAME_WIDTH: usize = 15;

/// Writes the findings, notes first and errors last, and a closing count. Within a severity the order given
/// stays. `width` is the terminal's, in columns; lines of a source are cut to it, prose is wrapped at 80 or
/// less. With `colour`, ANSI escapes are in the text.
///
/// ```
/// use benchleaf::diagnostic::text;
/// use benchleaf::text::Files;
///
/// assert_eq!(text(&[], &Files::default(), 80, false), "No findings in 0 files.\n");
/// ```
pub fn text(findings: &[Finding], files: &Files, width: usize, colour: bool) -> String {
    let mut writer = Writer::new(files, width, colour);
    for group in groups(findings) {
        match group.as_slice() {
            [finding] => writer.finding(finding),
            several => writer.notes(several),
        }
        writer.out.push('\n');
    }
    writer.line(&summary(findings, files.iter().count()));
    writer.out
}

/// Writes each finding in one line, errors last, and a closing count: place, severity, rule, sentence.
pub(crate) fn short(findings: &[Finding], files: &Files) -> String {
    let mut places = Places::new(files);
    let mut out = String::new();
    for finding in most_serious_last(findings) {
        let place = place(&mut places, finding.span);
        let severity = finding.severity.word();
        out.push_str(&format!(
            "{place}: {severity} {}: {}\n",
            finding.code(),
            visible_line(&finding.message)
        ));
    }
    out.push_str(&format!("{}\n", summary(findings, files.iter().count())));
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

pub(super) fn counted(number: usize, word: &str) -> String {
    if number == 1 { format!("1 {word}") } else { format!("{number} {word}s") }
}

/// Notes, then warnings, then errors; else in the order given.
fn most_serious_last(findings: &[Finding]) -> Vec<&Finding> {
    let mut sorted: Vec<&Finding> = findings.iter().collect();
    sorted.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    sorted
}

/// The findings in the order in which they are written. Notes of one rule that say nothing but a sentence and
/// what to do stand in one group, at the place of the first.
fn groups(findings: &[Finding]) -> Vec<Vec<&Finding>> {
    let mut groups: Vec<Vec<&Finding>> = Vec::new();
    let mut of_rule: BTreeMap<&str, usize> = BTreeMap::new();
    for finding in most_serious_last(findings) {
        if is_plain_note(finding) {
            let at = *of_rule.entry(finding.code()).or_insert(groups.len());
            if let Some(group) = groups.get_mut(at) {
                group.push(finding);
                continue;
            }
        }
        groups.push(vec![finding]);
    }
    groups
}

fn is_plain_note(finding: &Finding) -> bool {
    finding.severity == Severity::Note
        && finding.also.is_empty()
        && finding.lines.is_empty()
        && finding.reaches.is_empty()
}

/// The text that all of these findings share; none where they differ.
fn shared<'f>(findings: &[&'f Finding], part: impl Fn(&'f Finding) -> &'f str) -> Option<&'f str> {
    let first = part(findings[0]);
    findings.iter().all(|finding| part(finding) == first).then_some(first)
}

/// `path:line:column`, as an editor reads it.
fn place(places: &mut Places<'_>, span: Span) -> String {
    let (at, _) = places.underlined(span);
    format!("{}:{}:{}", visible_line(places.path(span.file)), at.line, at.column)
}

fn severity_style(severity: Severity) -> Style {
    let colour = match severity {
        Severity::Error => AnsiColor::Red,
        Severity::Warning => AnsiColor::Yellow,
        Severity::Note => AnsiColor::Cyan,
    };
    colour.on_default().bold()
}

/// Writes for a terminal.
pub(super) struct Writer<'f> {
    places: Places<'f>,
    width: usize,
    prose: usize,
    colour: bool,
    /// What was written.
    pub(super) out: String,
}

impl<'f> Writer<'f> {
    pub(super) fn new(files: &'f Files, width: usize, colour: bool) -> Self {
        let width = width.max(NARROWEST);
        Writer {
            places: Places::new(files),
            width,
            prose: width.min(WIDEST_PROSE),
            colour,
            out: String::new(),
        }
    }

    /// `path:line:column`.
    pub(super) fn place(&mut self, span: Span) -> String {
        place(&mut self.places, span)
    }

    /// A sentence, wrapped.
    pub(super) fn sentence(&mut self, text: &str) {
        let text = self.wrapped(text, "", "");
        self.line(&text);
    }

    /// A sentence behind its severity.
    pub(super) fn headed(&mut self, severity: Severity, text: &str) {
        let word = severity.word().to_uppercase();
        let text = self.wrapped(&format!("{word} {text}"), "", INDENT);
        let word = self.styled(severity_style(severity), &word) + &text[word.len()..];
        self.line(&word);
    }

    /// One finding in full.
    pub(super) fn finding(&mut self, finding: &Finding) {
        let place = place(&mut self.places, finding.span);
        let severity = self.styled(severity_style(finding.severity), &finding.severity.word().to_uppercase());
        self.line(&format!("{place}: {severity}"));
        let sentence = self.wrapped(&finding.message, INDENT, INDENT);
        self.line(&self.styled(Style::new().bold(), &sentence));
        self.source(finding.span, severity_style(finding.severity));
        for label in &finding.also {
            let place = self::place(&mut self.places, label.span);
            self.paragraph("See also", &format!("{place}: {}", label.text));
            self.source(label.span, Style::new().bold());
        }
        self.paragraph("At the bench", &finding.bench);
        self.paragraph("Write instead", &finding.instead);
        self.lines(&finding.lines);
        self.paragraph("Reaches", &finding.reaches.join(", "));
        self.paragraph("Rule", finding.code());
    }

    /// Several notes of one rule: their places, and once what they share.
    fn notes(&mut self, findings: &[&Finding]) {
        let severity = findings[0].severity;
        let word = self.styled(severity_style(severity), &severity.word().to_uppercase());
        self.line(&format!("{word}, {} times", findings.len()));
        let bench = shared(findings, |finding| &finding.bench);
        let instead = shared(findings, |finding| &finding.instead);
        for finding in findings {
            let place = place(&mut self.places, finding.span);
            let sentence = self.wrapped(&format!("{place}: {}", finding.message), "", INDENT);
            self.line(&sentence);
            if bench.is_none() {
                self.paragraph("At the bench", &finding.bench);
            }
            if instead.is_none() {
                self.paragraph("Write instead", &finding.instead);
            }
        }
        self.paragraph("At the bench", bench.unwrap_or(""));
        self.paragraph("Write instead", instead.unwrap_or(""));
        self.paragraph("Rule", findings[0].code());
    }

    /// A named paragraph; nothing where it is empty.
    fn paragraph(&mut self, name: &str, text: &str) {
        if text.is_empty() {
            return;
        }
        let blanks = " ".repeat(INDENT.len() + NAME_WIDTH);
        let wrapped = self.wrapped(text, &blanks, &blanks);
        let name = format!("{name:<NAME_WIDTH$}");
        let name = self.styled(Style::new().bold(), &name);
        self.line(&format!("{INDENT}{name}{}", &wrapped[blanks.len()..]));
    }

    /// Lines of a record: they are not wrapped, so that they can be copied.
    fn lines(&mut self, lines: &[String]) {
        if lines.is_empty() {
            return;
        }
        self.line(&format!("{INDENT}{}", self.styled(Style::new().bold(), "Add")));
        for line in lines {
            self.line(format!("{}{}", " ".repeat(SOURCE_INDENT), visible_line(line)).trim_end());
        }
    }

    /// The line of a source, with a mark under the place; nothing where the line is empty.
    fn source(&mut self, span: Span, style: Style) {
        let Some(marked) = marked_line(&mut self.places, span, self.width - SOURCE_INDENT) else { return };
        let mark = self.styled(style, &"~".repeat(marked.columns));
        let blanks = " ".repeat(SOURCE_INDENT);
        self.line("");
        self.line(&format!("{blanks}{}", marked.text));
        self.line(&format!("{blanks}{}{mark}", " ".repeat(marked.from)));
        self.line("");
    }

    pub(super) fn line(&mut self, text: &str) {
        self.out.push_str(text);
        self.out.push('\n');
    }

    fn styled(&self, style: Style, text: &str) -> String {
        if self.colour { format!("{style}{text}{style:#}") } else { text.to_owned() }
    }

    fn wrapped(&self, text: &str, first: &str, rest: &str) -> String {
        let options = Options::new(self.prose)
            .initial_indent(first)
            .subsequent_indent(rest)
            .word_separator(WordSeparator::AsciiSpace)
            .word_splitter(WordSplitter::NoHyphenation);
        textwrap::fill(&visible_line(text), options)
    }
}

/// A line of a source and the part of it to be marked, in columns.
struct MarkedLine {
    text: String,
    from: usize,
    columns: usize,
}

/// The line that holds a place, cut to `room` columns around it; none where there is nothing to show.
fn marked_line(places: &mut Places<'_>, span: Span, room: usize) -> Option<MarkedLine> {
    let text = places.text(span.file);
    let part = first_line(text, span);
    let (start, end) = (part.start as usize, part.end as usize);
    let line_start = places.line_start(span.file, start);
    let line_end = text[start..].find('\n').map_or(text.len(), |length| start + length);
    let before = last(text[line_start..start].trim_start_matches('\u{feff}'));
    let inside = first(text[start..end].trim_start_matches('\u{feff}'));
    let after = first(text[end..line_end.max(end)].trim_end());
    if before.trim().is_empty() && inside.is_empty() && after.is_empty() {
        return None;
    }
    let [before, inside, after] =
        [before, inside, after].map(|piece| visible_line(&piece.replace('\t', "    ")).into_owned());
    let whole = display_width(&before) + display_width(&inside) + display_width(&after);
    // Two thirds of the room go to the place and what follows it.
    let before = if whole > room { end_of(&before, room / 3) } else { before };
    let inside = start_of(&inside, room - display_width(&before));
    let after = start_of(&after, room - display_width(&before) - display_width(&inside));
    Some(MarkedLine {
        from: display_width(&before),
        columns: display_width(&inside).max(1),
        text: format!("{before}{inside}{after}").trim_end().to_owned(),
    })
}

/// No more letters of a line are looked at on either side of a place: it may be as long as its file.
const LONGEST_LOOK: usize = 1_000;

fn first(text: &str) -> &str {
    text.char_indices().nth(LONGEST_LOOK).map_or(text, |(end, _)| &text[..end])
}

fn last(text: &str) -> &str {
    text.char_indices().rev().nth(LONGEST_LOOK).map_or(text, |(start, _)| &text[start..])
}

/// The start of a text, cut to so many columns.
fn start_of(text: &str, room: usize) -> String {
    if display_width(text) <= room {
        return text.to_owned();
    }
    let mut width = 1;
    let kept = text.chars().take_while(|letter| {
        width += display_width(letter.encode_utf8(&mut [0; 4]));
        width <= room
    });
    let kept: String = kept.collect();
    if room == 0 { kept } else { kept + "…" }
}

/// The end of a text, cut to so many columns.
fn end_of(text: &str, room: usize) -> String {
    if display_width(text) <= room {
        return text.to_owned();
    }
    let mut width = 1;
    let kept = text.char_indices().rev().take_while(|(_, letter)| {
        width += display_width(letter.encode_utf8(&mut [0; 4]));
        width <= room
    });
    let from = kept.last().map_or(text.len(), |(at, _)| at);
    format!("…{}", &text[from..])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Rule;
    use crate::text::FileId;

    fn files(path: &str, source: &str) -> (Files, FileId) {
        let mut files = Files::default();
        let id = files.add(path, source);
        (files, id)
    }

    fn at(file: FileId, source: &str, part: &str) -> Span {
        let start = source.find(part).unwrap();
        Span::new(file, start, start + part.len())
    }

    fn finding(severity: Severity, span: Span, message: &str) -> Finding {
        Rule::invented("code").graded(severity, span, message)
    }

    /// The report of an error at a part of a file.
    fn report(source: &str, part: &str) -> String {
        let (files, id) = files("specs/forks/a.yaml", source);
        text(&[finding(Severity::Error, at(id, source, part), "message")], &files, 80, false)
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
        let finding = Rule::invented("bare-number")
            .graded(
                Severity::Error,
                at(id, source, "50"),
                "`50` has no unit, and a gap may be written in millimetres or in inches by whoever copied it last",
            )
            .bench("a gap read in the wrong unit is 25 times too large, and nobody sees it before the fork is ridden")
            .instead("write `50 mm` or `1.97 in`")
            .lines(vec!["  air_gap:".to_owned(), "    value: … mm".to_owned()])
            .also(at(family, other, "96 mm"), "the family says it with a unit")
            .reaches(vec!["a".to_owned(), "b".to_owned()]);
        let shown = text(&[finding], &files, 80, false);
        assert!(widest(&shown) <= 80, "{shown}");
        insta::assert_snapshot!(shown, @r#"
        specs/forks/a.yaml:3:12: ERROR
          `50` has no unit, and a gap may be written in millimetres or in inches by
          whoever copied it last

                air_gap: 50
                         ~~

          See also       specs/families/road.yaml:3:12: the family says it with a unit

                air_gap: 96 mm
                         ~~~~~

          At the bench   a gap read in the wrong unit is 25 times too large, and nobody
                         sees it before the fork is ridden
          Write instead  write `50 mm` or `1.97 in`
          Add
                air_gap:
                  value: … mm
          Reaches        a, b
          Rule           bare-number

        1 error in 2 files.
        "#);
    }

    #[test]
    fn errors_come_last_and_notes_of_one_rule_stand_together() {
        let source = "a: 22 Nm\nb: 5\nc: 23 Nm\nd: 7\n";
        let (files, id) = files("specs/forks/a.yaml", source);
        let spelling = Rule::invented("unit-spelling");
        let note = |part: &str, instead: &str| {
            spelling
                .graded(Severity::Note, at(id, source, part), format!("`{part}` is understood"))
                .bench("nothing is wrong")
                .instead(instead)
        };
        let findings = [
            note("22 Nm", "write `22 N·m`"),
            finding(Severity::Error, at(id, source, "5"), "no unit"),
            note("23 Nm", "write `23 N·m`"),
            finding(Severity::Warning, at(id, source, "7"), "odd"),
        ];
        insta::assert_snapshot!(text(&findings, &files, 80, false), @r#"
        NOTE, 2 times
        specs/forks/a.yaml:1:4: `22 Nm` is understood
          Write instead  write `22 N·m`
        specs/forks/a.yaml:3:4: `23 Nm` is understood
          Write instead  write `23 N·m`
          At the bench   nothing is wrong
          Rule           unit-spelling

        specs/forks/a.yaml:4:4: WARNING
          odd

              d: 7
                 ~

          Rule           code

        specs/forks/a.yaml:2:4: ERROR
          no unit

              b: 5
                 ~

          Rule           code

        1 error, 1 warning, 2 notes in 1 file.
        "#);
        insta::assert_snapshot!(short(&findings, &files), @r#"
        specs/forks/a.yaml:1:4: note unit-spelling: `22 Nm` is understood
        specs/forks/a.yaml:3:4: note unit-spelling: `23 Nm` is understood
        specs/forks/a.yaml:4:4: warning code: odd
        specs/forks/a.yaml:2:4: error code: no unit
        1 error, 1 warning, 2 notes in 1 file.
        "#);
    }

    /// The lines of a report between its sentence and its rule.
    fn source_lines(report: &str) -> Vec<&str> {
        report
            .lines()
            .skip(2)
            .take_while(|line| !line.contains("Rule "))
            .filter(|line| !line.is_empty())
            .collect()
    }

    #[test]
    fn the_mark_stands_under_the_place() {
        for (source, part, place, line, mark) in [
            (
                "maker: 山田\tfork 5 x\n",
                "5",
                "1:16",
                "      maker: 山田    fork 5 x",
                "                          ~",
            ),
            ("id: a\r\ngap: 5\r\nend: b\r\n", "5\r\n", "2:6", "      gap: 5", "           ~"),
            ("\u{feff}id: a\n", "id", "1:1", "      id: a", "      ~~"),
            ("\u{feff}id: a\n", "\u{feff}", "1:1", "      id: a", "      ~"),
            ("oil:\n  a: 1\n  b: 2\n", "oil:\n  a: 1\n  b: 2", "1:1", "      oil:", "      ~~~~"),
        ] {
            let report = report(source, part);
            assert!(report.starts_with(&format!("specs/forks/a.yaml:{place}: ERROR\n")), "{report}");
            assert_eq!(source_lines(&report), [line, mark], "{report}");
        }
    }

    #[test]
    fn where_there_is_no_line_only_the_place_is_named() {
        assert_eq!(
            report("", ""),
            "specs/forks/a.yaml:1:1: ERROR\n  message\n  Rule           code\n\n1 error in 1 file.\n"
        );
        let source = "id: a\n";
        let (files, id) = files("specs/forks/a.yaml", source);
        let report = |start, end| {
            text(&[finding(Severity::Warning, Span::new(id, start, end), "message")], &files, 80, false)
        };
        assert!(report(6, 6).starts_with("specs/forks/a.yaml:2:1: WARNING\n  message\n  Rule"));
        for end in [6, 99] {
            assert_eq!(source_lines(&report(4, end)), ["      id: a", "          ~"]);
        }
    }

    #[test]
    fn a_very_long_line_is_cut_around_its_place() {
        let source = format!("a: {}here{}\n", "x".repeat(100_000), "y".repeat(100_000));
        let shown = report(&source, "here");
        assert!(widest(&shown) <= 80, "{}", widest(&shown));
        let lines = source_lines(&shown);
        assert_eq!(lines[0].find("here").map(|at| lines[0][..at].chars().count()), lines[1].find('~'));
        assert!(lines[1].ends_with(" ~~~~") && shown.contains("a.yaml:1:100004"), "{shown}");
    }

    #[test]
    fn long_words_and_lists_stay_within_80_columns() {
        let source = "id: a\nname: b\n";
        let (files, id) = files("specs/forks/a.yaml", source);
        let finding = finding(Severity::Note, at(id, source, "b"), &"m".repeat(200))
            .also(
                at(id, source, "id"),
                "a label that is longer than what stands beside a place, and is wrapped",
            )
            .bench("w ".repeat(100))
            .reaches((0..40).map(|n| format!("tarn-{n}")).collect());
        let shown = text(&[finding], &files, 80, false);
        assert!(widest(&shown) <= 80, "{shown}");
        assert!(shown.contains("See also       specs/forks/a.yaml:1:1: a label"), "{shown}");
    }

    #[test]
    fn what_a_source_holds_cannot_steer_the_terminal() {
        let source = "na\u{1b}[2Jme: \u{202e}a\n";
        let (files, id) = files("specs/forks/\u{1b}[31m.yaml", source);
        let findings = [finding(Severity::Note, at(id, source, "me"), "key `na\u{1b}[2Jme`")
            .bench("b\u{1b}]0;x\u{7}")
            .lines(vec!["l\u{1b}c".to_owned()])
            .also(at(id, source, "a\n"), "l\u{1b}c")];
        for shown in [text(&findings, &files, 80, false), short(&findings, &files)] {
            assert!(
                !shown.contains('\u{1b}') && !shown.contains('\u{7}') && !shown.contains('\u{202e}'),
                "{shown:?}"
            );
            assert!(shown.contains("key `na<U+001B>[2Jme`"), "{shown}");
        }
    }

    #[test]
    fn colour_only_when_asked() {
        let (files, id) = files("a.yaml", "id: a\n");
        let finding = [finding(Severity::Error, Span::new(id, 0, 2), "message")];
        assert!(text(&finding, &files, 80, true).contains("\u{1b}["));
        assert!(!text(&finding, &files, 80, false).contains('\u{1b}'));
    }

    #[test]
    fn the_summary_counts() {
        let (_, id) = files("a.yaml", "");
        let of = |severity| finding(severity, Span::new(id, 0, 0), "m");
        let (error, warning, note) = (of(Severity::Error), of(Severity::Warning), of(Severity::Note));
        let all = [error.clone(), error.clone(), error, warning.clone(), note.clone(), note];
        assert_eq!(summary(&all, 14), "3 errors, 1 warning, 2 notes in 14 files.");
        assert_eq!(summary(&[warning], 1), "1 warning in 1 file.");
        assert_eq!(summary(&[], 0), "No findings in 0 files.");
    }
}
