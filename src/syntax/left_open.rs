//! A quote or a bracket that was opened and not closed, in a text that cannot be read as YAML: the reader of YAML says
//! where it could go on no more, which may be many lines below.

/// Where a quote or a bracket was opened that is not closed where it should be, and which.
///
/// `upto` is the byte at which the reader gave up; nothing that begins below it is looked at.
pub(super) fn left_open(source: &str, upto: usize) -> Option<(usize, char)> {
    let mut block: Option<usize> = None;
    let mut at = 0;
    while at < source.len() && at <= upto {
        let end = line_end(source, at);
        let line = &source[at..end];
        let indent = indent(line);
        let inside = block.is_some_and(|outer| indent > outer);
        if line.trim().is_empty() || line.trim_start().starts_with('#') || inside {
            at = end + 1;
            continue;
        }
        let value = value(line);
        let first = line[value..].chars().next().unwrap_or(' ');
        block = matches!(first, '|' | '>').then_some(indent);
        at = match first {
            '"' | '\'' | '{' | '[' => match closed(source, at + value, indent) {
                Ok(behind) => line_end(source, behind) + 1,
                Err(open) => return Some(open),
            },
            _ => end + 1,
        };
    }
    None
}

fn line_end(source: &str, at: usize) -> usize {
    source[at..].find('\n').map_or(source.len(), |n| at + n)
}

fn indent(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}

/// Where the value of a line begins: behind its dashes and its key.
fn value(line: &str) -> usize {
    let mut at = indent(line);
    while let Some(rest) = line[at..].strip_prefix("- ") {
        at = line.len() - rest.trim_start().len();
    }
    if line[at..].starts_with(['"', '\'', '{', '[']) {
        return at;
    }
    let behind = line[at..].find(": ").map_or(line.len(), |colon| at + colon + 2);
    line.len() - line[behind..].trim_start().len()
}

/// Whether a line begins with a key, as a line of a record does.
fn begins_with_key(line: &str) -> bool {
    let line = line.trim_start().trim_start_matches("- ");
    let key = line.trim_start_matches(|c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-');
    key.len() < line.len() && key.starts_with(':') && key[1..].chars().next().is_none_or(char::is_whitespace)
}

/// Follows what begins at `start`, on a line with this indentation, to its end: the place behind it, or what is open
/// where the next key of the record stands.
fn closed(source: &str, start: usize, indented: usize) -> Result<usize, (usize, char)> {
    let mut open: Vec<(usize, char)> = Vec::new();
    let (mut before, mut comment, mut escaped) = (',', false, false);
    for (offset, c) in source[start..].char_indices() {
        let at = start + offset;
        let quote = open.last().copied().filter(|(_, mark)| matches!(mark, '"' | '\''));
        if c == '\n' {
            comment = false;
            let next = &source[at + 1..line_end(source, at + 1)];
            // Inside brackets, lines further in may well begin with a key.
            if begins_with_key(next) && (quote.is_some() || indent(next) <= indented) {
                return Err(quote.or(open.first().copied()).unwrap_or((start, c)));
            }
        }
        match (quote, c) {
            _ if comment || escaped => escaped = false,
            (Some((_, '"')), '\\') => escaped = true,
            (Some((_, mark)), _) if c == mark => drop(open.pop()),
            (Some(_), _) => {}
            (None, '#') if source[..at].ends_with(char::is_whitespace) => comment = true,
            (None, '"' | '\'') if matches!(before, '{' | '[' | ',' | ':') => open.push((at, c)),
            (None, '{' | '[') => open.push((at, c)),
            (None, '}' | ']') => match open.pop() {
                Some((_, '{')) if c == '}' => {}
                Some((_, '[')) if c == ']' => {}
                Some(other) => return Err(other),
                None => {}
            },
            _ => {}
        }
        if open.is_empty() {
            return Ok(at + c.len_utf8());
        }
        if !c.is_whitespace() && !comment {
            before = c;
        }
    }
    Err(open.first().copied().unwrap_or((start, ' ')))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(source: &str) -> Option<(usize, char)> {
        left_open(source, source.len()).map(|(at, mark)| (source[..at].matches('\n').count() + 1, mark))
    }

    #[test]
    fn what_was_opened_and_not_closed_is_found_on_its_line() {
        for (source, line, mark) in [
            ("id: a\nmodel: \"K43 R\nstatus: draft\ntitle: \"Sheet\"\n", 2, '"'),
            ("a:\n  axle: {value: 65 N·m, dry: yes\n  cap: {value: 2 N·m}\n", 2, '{'),
            ("a: {b: [1, 2}\nc: 3\n", 1, '['),
            ("a: [1, 2\n", 1, '['),
            ("notes: >-\n  it's \"so\n  b: {c\nd: 'e\nf: g\n", 4, '\''),
            ("- {a: 1, b: \"c}\n- {a: 2}\nd: e\n", 1, '"'),
        ] {
            assert_eq!(told(source), Some((line, mark)), "{source}");
        }
    }

    #[test]
    fn what_is_closed_is_passed_over() {
        for source in [
            "a: \"b: {c\"\nd: it's\n",
            "a: {b: 'it''s', c: \"\\\"\"} # { \"\nd: e\n",
            "a: {\n  b: 1,\n  c: 2}\nd: e\n",
            "a: \"b\n  c\"\nd: e\n",
            "a: b {c\nd: |\n  {\n",
        ] {
            assert_eq!(told(source), None, "{source}");
        }
    }
}
