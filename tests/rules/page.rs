//! A rule's page: its documentation and its wrong shops, read from Markdown.
//!
//! The form is described in `src/check/rules/README.md`.

/// The sections a page must have, in order, each with a text.
const SECTIONS: [&str; 3] = ["What it finds", "At the bench", "Write instead"];

/// One rule's page.
#[derive(Debug)]
pub struct Page {
    /// The finding's code.
    pub code: String,
    /// The severities it may have.
    pub severities: Vec<String>,
    /// Its wrong shops.
    pub cases: Vec<Case>,
}

/// One wrong shop: a base shop, what is changed in it, and the findings expected.
#[derive(Debug)]
pub struct Case {
    /// The sentence that names the mistake.
    pub title: String,
    /// The line of the page it begins on.
    pub line: usize,
    /// The folder of the base shop below `tests/shops`.
    pub base: String,
    /// The day of the commit the shop is read at; none: it is not in git.
    pub day: Option<String>,
    /// True where the page says `No finding.`: a near miss that must stay silent.
    pub clean: bool,
    /// The blocks in order.
    pub blocks: Vec<Block>,
}

/// What a block does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Changes lines of a file of the base.
    Change,
    /// Puts a whole file there.
    File,
    /// Only marks places in a file.
    Expect,
    /// Takes a file away.
    Remove,
}

/// A fenced block.
#[derive(Debug)]
pub struct Block {
    /// What it does.
    pub kind: Kind,
    /// The file it is about.
    pub path: String,
    /// How the file's bytes are written.
    pub bytes: Bytes,
    /// Its lines.
    pub lines: Vec<String>,
    /// The line of the page that its first line is.
    pub line: usize,
}

/// How a `file` block's text becomes bytes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Bytes {
    /// Lines end with a carriage return and a line feed.
    pub crlf: bool,
    /// A byte order mark stands before the first character.
    pub bom: bool,
    /// The last line has no line end.
    pub cut: bool,
    /// Written in Latin-1, which is not UTF-8.
    pub latin1: bool,
    /// Each two letters are a byte, in hexadecimal digits: a file that is no text.
    pub hex: bool,
}

impl Page {
    /// Reads a page; the error says what is malformed, and in which line.
    pub fn parse(text: &str) -> Result<Page, String> {
        let lines: Vec<&str> = text.lines().collect();
        let code = lines
            .first()
            .and_then(|line| line.strip_prefix("# "))
            .ok_or("line 1: a page begins with `# ` and the finding's code")?
            .to_owned();
        let severities = lines
            .iter()
            .skip(1)
            .find(|line| !line.is_empty())
            .and_then(|line| line.strip_prefix("Severity: "))
            .ok_or("the first line of a page is `Severity: error`, `warning` or `note`")?;
        let severities: Vec<String> = severities.split(" or ").map(str::to_owned).collect();
        if let Some(odd) =
            severities.iter().find(|word| !matches!(word.as_str(), "error" | "warning" | "note"))
        {
            return Err(format!("`{odd}` is no severity"));
        }
        let headings: Vec<&str> = lines.iter().filter_map(|line| line.strip_prefix("## ")).collect();
        let wanted: Vec<&str> = SECTIONS.into_iter().chain(["Examples"]).collect();
        if headings != wanted {
            return Err(format!("the sections are {headings:?}, and should be {wanted:?}"));
        }
        for section in SECTIONS {
            let heading = format!("## {section}");
            let body = lines
                .iter()
                .skip_while(|line| **line != heading)
                .skip(1)
                .take_while(|line| !line.starts_with("## "));
            if body.filter(|line| !line.trim().is_empty()).count() == 0 {
                return Err(format!("the section `{section}` says nothing"));
            }
        }
        let start = lines.iter().position(|line| *line == "## Examples").unwrap_or(0) + 1;
        let cases = cases(&lines, start)?;
        if cases.is_empty() {
            return Err("there is no example".to_owned());
        }
        let page = Page { code, severities, cases };
        page.cases.iter().try_for_each(|case| page.judge(case))?;
        Ok(page)
    }

    /// A case must be able to fail: it expects its page's finding, or says that it expects none.
    fn judge(&self, case: &Case) -> Result<(), String> {
        let wrong = |text: String| Err(format!("line {}: {text}", case.line));
        let marks: Vec<&str> = case.blocks.iter().flat_map(|block| block.marks()).collect();
        if case.blocks.is_empty() {
            return wrong("the example changes nothing".to_owned());
        }
        if case.clean != marks.is_empty() {
            return wrong("an example marks its findings, or says `No finding.`, and never both".to_owned());
        }
        let own = |mark: &&str| {
            let mut words = mark.trim_start_matches('^').split_whitespace();
            words.next().is_some_and(|word| self.severities.iter().any(|s| s == word))
                && words.next() == Some(self.code.as_str())
        };
        if !case.clean && !marks.iter().any(own) {
            return wrong(format!("no mark expects `{}` with a severity of this page", self.code));
        }
        Ok(())
    }
}

impl Block {
    /// The text of the marker lines, from the first caret.
    pub fn marks(&self) -> impl Iterator<Item = &str> {
        self.lines.iter().map(|line| line.trim()).filter(|line| line.starts_with('^'))
    }
}

fn cases(lines: &[&str], start: usize) -> Result<Vec<Case>, String> {
    let mut cases: Vec<Case> = Vec::new();
    let mut at = start;
    while at < lines.len() {
        let line = lines[at];
        let wrong = |text: String| Err(format!("line {}: {text}", at + 1));
        if let Some(title) = line.strip_prefix("### ") {
            cases.push(Case {
                title: title.to_owned(),
                line: at + 1,
                base: String::new(),
                day: None,
                clean: false,
                blocks: Vec::new(),
            });
        } else if let Some(case) = cases.last_mut() {
            if let Some(base) = line.strip_prefix("Base: ") {
                case.base = base.to_owned();
            } else if let Some(day) = line.strip_prefix("Day: ") {
                case.day = Some(day.to_owned());
            } else if line == "No finding." {
                case.clean = true;
            } else if line.starts_with("```") {
                let fence: String = line.chars().take_while(|c| *c == '`').collect();
                let end = (at + 1..lines.len()).find(|&n| lines[n] == fence);
                let Some(end) = end else { return wrong("the block is never closed".to_owned()) };
                if case.base.is_empty() {
                    return wrong("`Base: ` and the base shop's name come before the first block".to_owned());
                }
                let inner = lines[at + 1..end].iter().map(|line| (*line).to_owned()).collect();
                match block(line.trim_start_matches('`'), inner, at + 2) {
                    Ok(block) => case.blocks.push(block),
                    Err(text) => return wrong(text),
                }
                at = end;
            } else if line.starts_with('^') || line.starts_with("+ ") || line.starts_with("- ") {
                return wrong("a change or a marker stands outside of a block".to_owned());
            }
        } else if !line.trim().is_empty() {
            return wrong("an example begins with `### ` and a sentence that names the mistake".to_owned());
        }
        at += 1;
    }
    Ok(cases)
}

fn block(head: &str, lines: Vec<String>, line: usize) -> Result<Block, String> {
    let mut words = head.split_whitespace();
    let kind = match words.next().unwrap_or("") {
        "change" => Kind::Change,
        "file" => Kind::File,
        "expect" => Kind::Expect,
        "remove" => Kind::Remove,
        other => return Err(format!("`{other}` is no kind of block: change, file, expect or remove")),
    };
    let path = words.next().ok_or("a block names its file")?.to_owned();
    let mut bytes = Bytes::default();
    for word in words {
        match word {
            "crlf" => bytes.crlf = true,
            "bom" => bytes.bom = true,
            "cut" => bytes.cut = true,
            "latin-1" => bytes.latin1 = true,
            "hex" => bytes.hex = true,
            other => return Err(format!("`{other}` is not known: crlf, bom, cut, latin-1 or hex")),
        }
    }
    if kind == Kind::Remove && !lines.is_empty() {
        return Err("a block that takes a file away is empty".to_owned());
    }
    if bytes != Bytes::default() && matches!(kind, Kind::Expect | Kind::Remove) {
        return Err("only a block that writes can say how".to_owned());
    }
    Ok(Block { kind, path, bytes, lines, line })
}
