//! Complaints: what a rider says, how it is reproduced, what is read, and the causes in the order in which they are
//! looked for.

use schemars::JsonSchema;
use serde::Deserialize;

use super::front::head;
use super::id::check_id;
use super::template::COMPLAINT_SAYS;
use super::text::{Text, applies_schema};
use crate::catalogue::When;
use crate::diagnostic::Finding;
use crate::syntax::{from_tree, markdown, markdown::Body, yaml::Node};
use crate::text::{FileId, Files};

/// A complaint.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Complaint {
    /// The record's id: lower case letters, digits and hyphens; the file has the same name.
    pub id: Text,
    /// Its file.
    #[serde(skip)]
    pub file: FileId,
    /// What it is called at the counter.
    pub title: String,
    /// How riders say it, in their own words; a search finds each.
    pub says: Vec<String>,
    /// The forks that can have it: any of these; inside one, all must hold. Left out: every fork.
    #[serde(rename = "for", default)]
    #[schemars(schema_with = "applies_schema")]
    pub applies: When,
    /// How to reproduce it and what to read; then its causes, as the items of an ordered list.
    #[serde(skip)]
    pub body: Body,
    /// Whether it still says what its template says.
    #[serde(skip)]
    pub placeholder: bool,
}

/// Reads a complaint.
pub(crate) fn read_complaint(
    file: FileId,
    files: &Files,
    findings: &mut Vec<Finding>,
) -> Option<(Node, Complaint)> {
    let text = &files.get(file).text;
    let (root, from) = head(file, text, "complaint", findings)?;
    let id = check_id(&root, file, files, findings);
    let body = markdown::read(file, text, from, findings);
    let placeholder = COMPLAINT_SAYS.iter().any(|said| text.contains(said));
    Some((root.clone(), Complaint { id, file, body, placeholder, ..from_tree(&root) }))
}
