//! Cautions, and the signal words they begin with.

use schemars::JsonSchema;
use serde::Deserialize;

use super::constant::Constant;
use super::front::head;
use super::id::check_id;
use super::template::CAUTION_SAYS;
use super::text::{Text, applies_schema, texts, words};
use crate::catalogue::When;
use crate::diagnostic::{Finding, rules};
use crate::syntax::{from_tree, markdown, markdown::Body, yaml::Node};
use crate::text::{FileId, Files};

/// The signal words of ANSI Z535.6 and ISO 3864, worst first.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Signal {
    /// Will kill or seriously injure if not avoided.
    Danger,
    /// Could kill or seriously injure.
    #[default]
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

words!(Signal, Signal::ALL, Signal::Warning);

/// A caution.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// The record's id: lower case letters, digits and hyphens; the file has the same name.
    pub id: Text,
    /// The hazard in a few words.
    pub title: String,
    /// The forks that have the hazard at all; on the others a step that names it goes without.
    #[serde(rename = "for", default)]
    #[schemars(schema_with = "applies_schema")]
    pub applies: When,
    /// How grave it is: danger will kill or seriously injure, warning could, caution could cause minor or moderate
    /// injury, notice is damage alone.
    pub signal: Signal,
    /// Conditions whose bringing about it warns of, by id: each names it under `cautions:`, and it is for every fork
    /// for which one of them means anything.
    #[serde(default, deserialize_with = "texts")]
    pub warns_at: Vec<Text>,
    /// The same, for conditions that mean something on other forks too.
    #[serde(default, deserialize_with = "texts")]
    pub warns_also_at: Vec<Text>,
    /// Conditions whose end it warns of: a procedure that ends one carries it.
    #[serde(default, deserialize_with = "texts")]
    pub warns_at_end_of: Vec<Text>,
    /// Tools, consumables and values, by id: a procedure that uses or links one carries it.
    #[serde(default, deserialize_with = "texts")]
    pub warns_with: Vec<Text>,
    /// The hazard in a word or two, as it stands on a card at the line where it is met: spring. Left out: the title.
    pub word: Option<String>,
    /// What somebody does about it for the whole job, in a sentence or two at the head of a card.
    pub whole_job: Option<String>,
    /// Numbers in its text that are the same on every fork, each with why. Every other one is linked.
    #[serde(default)]
    pub constants: Vec<Constant>,
    /// Hazard, consequence and how to avoid it.
    #[serde(skip)]
    pub body: Body,
    /// Whether it still says what its template says.
    #[serde(skip)]
    pub placeholder: bool,
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
    let caution = Caution { id, body, placeholder: text.contains(CAUTION_SAYS), ..from_tree(&root) };
    Some((root, caution))
}
