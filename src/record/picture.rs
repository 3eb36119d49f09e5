//! Pictures beside a record.

use borsh::{BorshDeserialize, BorshSerialize};
use schemars::JsonSchema;
use serde::Deserialize;

use super::text::Text;

/// A picture of the shop's own, beside the record.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema, BorshSerialize, BorshDeserialize)]
#[serde(deny_unknown_fields)]
pub struct PictureNote {
    /// The image file, in the same folder as the record: a PNG for a drawing, a JPEG for a photograph.
    pub file: Text,
    /// What it shows, in words, for whoever cannot see it.
    pub shows: String,
    /// Whether it stands on the bench card as well.
    #[serde(default)]
    pub card: bool,
}
