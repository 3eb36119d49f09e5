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

/// A line with the markers below it; `indent` is how many columns stand before the line's own text.
fn marked(lines: &[String], indent: usize) -> Result<Vec<(String, Vec<Mark>)>, String> {
    let mut out: Vec<(String, Vec<Mark>)> = Vec::new();
    for line in lines {
        if line.trim().starts_with('^') {
            let (_, marks) = out.last_mut().ok_or("a marker stands below no line")?;
            marks.push(mark(line, indent)?);
        } else {
            out.push((line.clone(), Vec::new()));
        }
    }
    Ok(out)
}

#[derive(Debug, Clone)]
struct Mark {
    column: usize,
    width: usize,
    severity: String,
    code: String,
    part: String,
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
    Ok(Mark { column, width, severity: severity.to_owned(), code: code.to_owned(), part: part.to_owned() })
}

/// Hunks are parted by a line `...`. In a hunk, `- ` lines go, `+ ` lines come, and lines with two spaces
/// stay. A marker belongs to the line above it that comes or stays.
fn change(block: &Block, shop: &mut Shop, pending: &mut Vec<Expected>) -> Result<(), String> {
    let path = &block.path;
    let bytes = shop.get(path).ok_or_else(|| format!("`{path}` is not in the base shop"))?;
    let text = String::from_utf8(bytes.clone()).map_err(|_| format!("`{path}` is not UTF-8"))?;
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let mut from = 0;
    for hunk in block.lines.split(|line| line == "...") {
        let (mut old, mut new) = (Vec::new(), Vec::new());
        for (line, marks) in marked(hunk, 2)? {
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
    let lines = marked(&block.lines, 0)?;
    for (n, (_, marks)) in lines.iter().enumerate() {
        pending.extend(marks.iter().map(|mark| mark.at(&block.path, n + 1)));
    }
    let lines: Vec<String> = lines.into_iter().map(|(line, _)| line).collect();
    shop.insert(block.path.clone(), written(&lines, block.bytes)?);
    Ok(())
}

fn expect(block: &Block, shop: &Shop, pending: &mut Vec<Expected>) -> Result<(), String> {
    // A folder, or a file that is missing, is shown as an empty text.
    let text = String::from_utf8_lossy(shop.get(&block.path).map_or(&[][..], Vec::as_slice));
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    if lines.is_empty() {
        lines.push(String::new());
    }
    for part in block.lines.split(|line| line == "...") {
        let part = marked(part, 0)?;
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
    if how.latin1 {
        return text
            .chars()
            .map(|c| u8::try_from(u32::from(c)).map_err(|_| format!("`{c}` is not in Latin-1")))
            .collect();
    }
    Ok(text.into_bytes())
}
