//! Cautions, and the signal words they begin with.

use super::front::head;
use super::id::check_id;
use super::text::{Text, applies};
use crate::catalogue::When;
use crate::diagnostic::{Finding, rules};
use crate::syntax::{markdown, markdown::Body, yaml::Node};
use crate::text::{FileId, Files};

/// The signal words of ANSI Z535.6 and ISO 3864, worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Signal {
    /// Will kill or seriously injure if not avoided.
    Danger,
    /// Could kill or seriously injure.
    Warning,
    /// Could injure slightly or moderately.
    Caution,
    /// Damage to things, not to people.
    Notice,
}

impl Signal {
    /// The words as sources write them.
    pub const ALL: [(&'static str, Signal); 4] = [
        ("danger", Signal::Danger),
        ("warning", Signal::Warning),
        ("caution", Signal::Caution),
        ("notice", Signal::Notice),
    ];

    /// The word as it is printed.
    pub fn word(self) -> &'static str {
        match self {
            Signal::Danger => "DANGER",
            Signal::Warning => "WARNING",
            Signal::Caution => "CAUTION",
            Signal::Notice => "NOTICE",
        }
    }
}

/// A caution.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// Its id.
    pub id: Text,
    /// What it is called.
    pub title: String,
    /// How grave it is.
    pub signal: Signal,
    /// The forks that have the hazard at all; on the others a step that names it goes without.
    pub applies: When,
    /// Hazard, consequence and how to avoid it.
    pub body: Body,
}

/// Reads a caution.
pub(crate) fn read_caution(
    file: FileId,
    files: &Files,
    findings: &mut Vec<Finding>,
) -> Option<(Node, Caution)> {
    let text = &files.get(file).text;
    let (root, from) = head(file, text, "caution", findings)?;
    let id = check_id(&root, file, files, findings);
    let body = markdown::read(file, text, from, findings);
    if body.parts.is_empty() {
        findings.push(
            rules::CAUTION_EMPTY
                .at(id.span, "this caution says nothing")
                .bench("the hazard would stand on the card without a word on how to avoid it")
                .instead("write the hazard, what it does, and how to avoid it"),
        );
    }
    let signal = root.text_of("signal").and_then(|word| Signal::ALL.iter().find(|(id, _)| *id == word));
    let caution = Caution {
        id,
        title: root.text_of("title").unwrap_or_default().to_owned(),
        signal: signal.map_or(Signal::Warning, |(_, signal)| *signal),
        applies: applies(&root),
        body,
    };
    Some((root, caution))
}
