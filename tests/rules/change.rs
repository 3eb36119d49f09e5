//! A case's blocks applied to its base shop: the wrong shop's files, and where findings must be.

use std::collections::BTreeMap;

use crate::page::{Block, Bytes, Case, Kind};

/// The files of a shop by path.
pub type Shop = BTreeMap<String, Vec<u8>>;

/// A finding that must be there. Columns count from one, in code points.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Expected {
    /// The file.
    pub path: String,
    /// The line, from one.
    pub line: usize,
    /// The first column.
    pub column: usize,
    /// How many columns are underlined; one also stands for an empty place.
    pub width: usize,
    /// error, warning or note.
    pub severity: String,
    /// The finding's code.
    pub code: String,
    /// A part of its message.
    pub part: String,
    /// What it says of the bench, word for word; none where the page does not say.
    pub bench: Option<String>,
    /// What it says to write instead.
    pub instead: Option<String>,
    /// The line of the page where it is expected.
    pub page_line: usize,
}

/// The wrong shop of a case and what is expected of it.
pub fn apply(case: &Case, base: &Shop) -> Result<(Shop, Vec<Expected>), String> {
    let mut shop = base.clone();
    let mut pending = Vec::new();
    for block in &case.blocks {
        match block.kind {
            Kind::Change => change(block, &mut shop, &mut pending)?,
            Kind::File => file(block, &mut shop, &mut pending)?,
            Kind::Expect => {}
            Kind::Remove => {
                shop.remove(&block.path)
                    .ok_or_else(|| format!("`{}` is not in the base shop", block.path))?;
            }
        }
    }
    // Places in other files are looked up last, in the files as they are then.
    for block in case.blocks.iter().filter(|block| block.kind == Kind::Expect) {
        expect(block, &shop, &mut pending)?;
    }
    Ok((shop, pending))
}

/// A line with the markers below it; `indent` is how many columns stand before the line's own text, `first` is the
/// line of the page that the first line is.
fn marked(lines: &[String], indent: usize, first: usize) -> Result<Vec<(String, Vec<Mark>)>, String> {
    let mut out: Vec<(String, Vec<Mark>)> = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        let text = line.trim();
        let marks = out.last_mut().map(|(_, marks)| marks);
        if text.starts_with('^') {
            let mark = Mark { page_line: first + at, ..mark(line, indent)? };
            marks.ok_or("a marker stands below no line")?.push(mark);
        } else if let Some(mark) = marks.and_then(|marks| marks.last_mut())
            && let Some(bench) = text.strip_prefix(BENCH)
        {
            mark.bench = Some(bench.to_owned());
        } else if let Some(mark) = out.last_mut().and_then(|(_, marks)| marks.last_mut())
            && let Some(instead) = text.strip_prefix(INSTEAD)
        {
            mark.instead = Some(instead.to_owned());
        } else {
            out.push((line.clone(), Vec::new()));
        }
    }
    Ok(out)
}

/// How the line below a marker begins that says what the finding says of the bench.
pub const BENCH: &str = "= at the bench: ";

/// How the line below it begins that says what to write instead.
pub const INSTEAD: &str = "= write instead: ";

#[derive(Debug, Clone)]
struct Mark {
    column: usize,
    width: usize,
    severity: String,
    code: String,
    part: String,
    bench: Option<String>,
    instead: Option<String>,
    page_line: usize,
}

impl Mark {
    fn at(&self, path: &str, line: usize) -> Expected {
        Expected {
            path: path.to_owned(),
            line,
            column: self.column,
            width: self.width,
            severity: self.severity.clone(),
            code: self.code.clone(),
            part: self.part.clone(),
            bench: self.bench.clone(),
            instead: self.instead.clone(),
            page_line: self.page_line,
        }
    }
}

/// Reads `   ^^^ error code "part of the message"`.
fn mark(line: &str, indent: usize) -> Result<Mark, String> {
    let wrong =
        || format!("a marker is `^^^ error code \"part of the message\"`, and this is `{}`", line.trim());
    let before = line.chars().take_while(|c| *c != '^').count();
    let width = line.trim().chars().take_while(|c| *c == '^').count();
    let rest = line.trim().trim_start_matches('^').trim();
    let (severity, rest) = rest.split_once(' ').ok_or_else(wrong)?;
    let (code, part) = rest.split_once(' ').ok_or_else(wrong)?;
    let part = part.trim().strip_prefix('"').and_then(|part| part.strip_suffix('"')).ok_or_else(wrong)?;
    if part.is_empty() || !matches!(severity, "error" | "warning" | "note") {
        return Err(wrong());
    }
    let column = (before + 1).checked_sub(indent).filter(|column| *column > 0).ok_or_else(wrong)?;
    Ok(Mark {
        column,
        width,
        severity: severity.to_owned(),
        code: code.to_owned(),
        part: part.to_owned(),
        bench: None,
        instead: None,
        page_line: 0,
    })
}

/// Hunks are parted by a line `...`. In a hunk, `- ` lines go, `+ ` lines come, and lines with two spaces
/// stay. A marker belongs to the line above it that comes or stays.
fn change(block: &Block, shop: &mut Shop, pending: &mut Vec<Expected>) -> Result<(), String> {
    let path = &block.path;
    let bytes = shop.get(path).ok_or_else(|| format!("`{path}` is not in the base shop"))?;
    let text = String::from_utf8(bytes.clone()).map_err(|_| format!("`{path}` is not UTF-8"))?;
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let mut from = 0;
    let mut first = block.line;
    for hunk in block.lines.split(|line| line == "...") {
        let (mut old, mut new) = (Vec::new(), Vec::new());
        let lines_of_hunk = marked(hunk, 2, first)?;
        first += hunk.len() + 1;
        for (line, marks) in lines_of_hunk {
            // An empty line that goes, comes or stays may lack the space after its sign.
            let line = if line.len() < 2 { format!("{line:<2}") } else { line };
            let (sign, rest) = line.split_at_checked(2).unwrap_or(("", ""));
            match sign {
                "- " if marks.is_empty() => old.push(rest.to_owned()),
                "+ " => new.push((rest.to_owned(), marks)),
                "  " => {
                    old.push(rest.to_owned());
                    new.push((rest.to_owned(), marks));
                }
                _ => return Err(format!("`{line}` begins with neither `- ` nor `+ ` nor two spaces")),
            }
        }
        if old.is_empty() {
            return Err(format!("a change to `{path}` names no line that is there"));
        }
        let at = find(&lines, &old, from).map_err(|text| format!("`{path}`: {text}"))?;
        for (n, (_, marks)) in new.iter().enumerate() {
            pending.extend(marks.iter().map(|mark| mark.at(path, at + n + 1)));
        }
        from = at + new.len();
        lines.splice(at..at + old.len(), new.into_iter().map(|(line, _)| line));
    }
    shop.insert(path.clone(), written(&lines, block.bytes)?);
    Ok(())
}

/// Where a run of lines stands; it must be there once.
fn find(lines: &[String], run: &[String], from: usize) -> Result<usize, String> {
    let mut places = (from..lines.len()).filter(|&at| lines[at..].starts_with(run));
    match (places.next(), places.next()) {
        (Some(at), None) => Ok(at),
        (Some(_), Some(_)) => {
            Err(format!("these lines are there more than once, give more of them: {run:?}"))
        }
        (None, _) => Err(format!("these lines are not there: {run:?}")),
    }
}

fn file(block: &Block, shop: &mut Shop, pending: &mut Vec<Expected>) -> Result<(), String> {
    let lines = marked(&block.lines, 0, block.line)?;
    for (n, (_, marks)) in lines.iter().enumerate() {
        pending.extend(marks.iter().map(|mark| mark.at(&block.path, n + 1)));
    }
    let lines: Vec<String> = lines.into_iter().map(|(line, _)| line).collect();
    shop.insert(block.path.clone(), written(&lines, block.bytes)?);
    Ok(())
}

fn expect(block: &Block, shop: &Shop, pending: &mut Vec<Expected>) -> Result<(), String> {
    // A folder, a picture, or a file that is missing, is shown as an empty text.
    let is_text = ![".png", ".jpg"].iter().any(|ending| block.path.ends_with(ending));
    let bytes = shop.get(&block.path).filter(|_| is_text).map_or(&[][..], Vec::as_slice);
    let text = String::from_utf8_lossy(bytes);
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    if lines.is_empty() {
        lines.push(String::new());
    }
    let mut first = block.line;
    for lines_of_part in block.lines.split(|line| line == "...") {
        let part = marked(lines_of_part, 0, first)?;
        first += lines_of_part.len() + 1;
        let run: Vec<String> = part.iter().map(|(line, _)| line.clone()).collect();
        let at = find(&lines, &run, 0).map_err(|text| format!("`{}`: {text}", block.path))?;
        for (n, (_, marks)) in part.iter().enumerate() {
            pending.extend(marks.iter().map(|mark| mark.at(&block.path, at + n + 1)));
        }
    }
    Ok(())
}

/// Lines as bytes.
fn written(lines: &[String], how: Bytes) -> Result<Vec<u8>, String> {
    let end = if how.crlf { "\r\n" } else { "\n" };
    let mut text: String = lines.iter().flat_map(|line| [line.as_str(), end]).collect();
    if how.cut {
        text.truncate(text.len() - end.len().min(text.len()));
    }
    if how.bom {
        text.insert(0, '\u{feff}');
    }
    if how.hex {
        let digits: Vec<u32> = text.chars().filter_map(|c| c.to_digit(16)).collect();
        return Ok(digits
            .chunks(2)
            .map(|pair| pair.iter().fold(0, |byte, digit| byte * 16 + *digit as u8))
            .collect());
    }
    if how.latin1 {
        return text
            .chars()
            .map(|c| u8::try_from(u32::from(c)).map_err(|_| format!("`{c}` is not in Latin-1")))
            .collect();
    }
    Ok(text.into_bytes())
}
