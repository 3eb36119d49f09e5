//! JSON of many findings, written one finding after the other: what is held in memory does not grow with their number.

use std::io::{self, Write};

use serde::{Serialize, Serializer};
use serde_json::Value;

use super::finding::Finding;
use crate::text::in_json;

/// A list of findings, each made into JSON when its turn has come.
pub(super) struct Each<'a, F>(pub(super) &'a [Finding], pub(super) F);

impl<F: Fn(&Finding) -> Value> Serialize for Each<'_, F> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.0.iter().map(&self.1))
    }
}

/// Writes a value as indented JSON with a line feed at its end. What nobody sees is written as an escape.
pub(super) fn write_indented(to: &mut dyn Write, value: &impl Serialize) -> io::Result<()> {
    let mut lines = Lines { to, line: Vec::new() };
    serde_json::to_writer_pretty(&mut lines, value)?;
    lines.write_all(b"\n")?;
    lines.flush()
}

/// A text that is written to memory.
pub(super) fn in_memory(write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> String {
    let mut bytes = Vec::new();
    // Memory takes everything.
    let _ = write(&mut bytes);
    String::from_utf8(bytes).unwrap_or_default()
}

/// Hands on whole lines, with escapes for what nobody sees. A line of indented JSON holds one text at most.
struct Lines<'w> {
    to: &'w mut dyn Write,
    line: Vec<u8>,
}

impl Write for Lines<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.line.extend_from_slice(bytes);
        if bytes.ends_with(b"\n") {
            let line = std::mem::take(&mut self.line);
            self.to.write_all(in_json(&String::from_utf8_lossy(&line)).as_bytes())?;
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::{Rule, Severity, json, write_json, write_sarif};
    use crate::text::{Files, Span};

    /// What a reader of a pipe takes at once; the most that was handed over in one piece.
    #[derive(Default)]
    struct Largest {
        piece: usize,
        all: Vec<u8>,
    }

    impl Write for Largest {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            self.piece = self.piece.max(bytes.len());
            self.all.extend_from_slice(bytes);
            Ok(bytes.len())
        }

        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn no_piece_grows_with_the_number_of_findings() {
        let mut files = Files::default();
        let file = files.add("a.yaml", "id: a\n");
        let rule = Rule::invented("bare-number");
        let finding = |n| {
            rule.graded(Severity::Error, Span::new(file, 0, 2), format!("\u{202e}{n}"))
                .also(Span::new(file, 4, 5), "here")
        };
        let findings: Vec<Finding> = (0..2_000).map(finding).collect();
        let (mut plain, mut standard) = (Largest::default(), Largest::default());
        write_json(&mut plain, &findings, &files).unwrap();
        write_sarif(&mut standard, &findings, &files, "", |_| String::new()).unwrap();
        for (form, list) in [(&plain, "/findings"), (&standard, "/runs/0/results")] {
            assert!(form.all.len() > 100_000 && form.piece < 300, "{} of {}", form.piece, form.all.len());
            let value: Value = serde_json::from_slice(&form.all).unwrap();
            assert_eq!(value.pointer(list).unwrap().as_array().unwrap().len(), 2_000);
        }
        assert_eq!(json(&findings, &files).as_bytes(), plain.all);
        assert!(!String::from_utf8(plain.all).unwrap().contains('\u{202e}'));
    }

    #[test]
    fn who_reads_no_more_is_told_apart_from_what_cannot_be_written() {
        struct Gone;
        impl Write for Gone {
            fn write(&mut self, _: &[u8]) -> io::Result<usize> {
                Err(io::ErrorKind::BrokenPipe.into())
            }

            fn flush(&mut self) -> io::Result<()> {
                Ok(())
            }
        }
        let error = write_json(&mut Gone, &[], &Files::default()).unwrap_err();
        assert_eq!(error.kind(), io::ErrorKind::BrokenPipe);
    }
}
