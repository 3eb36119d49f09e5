//! What the program says goes through here, so that no text of a shop, no path and no argument can steer a terminal
//! or a workflow's runner.

use std::io::{self, Write};

use crate::text::visible;

/// Standard output for a person: characters that nobody sees are written out as their numbers, and no line is a
/// command to the runner of a workflow.
pub(super) fn out() -> Plain<io::StdoutLock<'static>> {
    Plain { to: io::stdout().lock(), line: Vec::new() }
}

/// Standard error for a person, in the same way.
pub(super) fn err() -> Plain<io::StderrLock<'static>> {
    Plain { to: io::stderr().lock(), line: Vec::new() }
}

/// Writes text in a form of its own to standard output as it is: JSON, CSV, a shell's words. Whoever makes such a
/// text sees to what nobody sees in it.
pub(super) fn exact(text: &str) -> io::Result<()> {
    let mut out = exactly();
    out.write_all(text.as_bytes())?;
    out.flush()
}

/// Standard output for a text in a form of its own that is written piece by piece. Whoever writes it flushes it.
pub(super) fn exactly() -> io::BufWriter<io::StdoutLock<'static>> {
    io::BufWriter::with_capacity(1 << 16, io::stdout().lock())
}

/// A writer of plain text, line by line.
pub(super) struct Plain<W: Write> {
    to: W,
    /// What was written of a line that has not ended.
    line: Vec<u8>,
}

impl<W: Write> Plain<W> {
    fn end_line(&mut self) -> io::Result<()> {
        let line = std::mem::take(&mut self.line);
        self.to.write_all(harmless(&String::from_utf8_lossy(&line)).as_bytes())
    }
}

impl<W: Write> Write for Plain<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        for piece in bytes.split_inclusive(|byte| *byte == b'\n') {
            self.line.extend_from_slice(piece);
            if piece.ends_with(b"\n") {
                self.end_line()?;
            }
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.end_line()?;
        self.to.flush()
    }
}

impl<W: Write> Drop for Plain<W> {
    fn drop(&mut self) {
        // Whoever read it has gone, or all of it is written already.
        let _ = self.flush();
    }
}

/// One line that is shown and does nothing. A runner takes a line that begins with `::` for a command, and one that
/// holds `##[`; a blank more, and it is none.
fn harmless(line: &str) -> String {
    let line = visible(line).replace("##[", "## [");
    let text = line.trim_start();
    match text.strip_prefix("::") {
        Some(rest) => format!("{}: :{rest}", &line[..line.len() - text.len()]),
        None => line,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(pieces: &[&str]) -> String {
        let mut plain = Plain { to: Vec::new(), line: Vec::new() };
        for piece in pieces {
            plain.write_all(piece.as_bytes()).unwrap();
        }
        plain.flush().unwrap();
        std::mem::take(&mut plain.to).into_iter().map(char::from).collect()
    }

    #[test]
    fn no_line_steers_a_terminal_or_a_runner() {
        assert_eq!(written(&["a:", ":b ::c\n"]), "a::b ::c\n");
        assert_eq!(written(&[":", ":error::x\n  ::stop\n"]), ": :error::x\n  : :stop\n");
        assert_eq!(written(&["a ##[group]b"]), "a ## [group]b");
        assert_eq!(written(&["\u{1b}[31m", "\u{9b}1m\rb"]), "<U+001B>[31m<U+009B>1m<U+000D>b");
        // Letters that stand in two pieces.
        let mut plain = Plain { to: Vec::new(), line: Vec::new() };
        for byte in "20 °C\n".bytes() {
            plain.write_all(&[byte]).unwrap();
        }
        assert_eq!(plain.to, "20 °C\n".as_bytes());
    }
}
