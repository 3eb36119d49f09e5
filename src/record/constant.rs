//! The numbers of a procedure or a caution that are the same on every fork.

use schemars::JsonSchema;
use serde::Deserialize;

use super::text::{Text, value_schema};

/// A number in the text that is no fork's own: the same wherever the work is done.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct Constant {
    /// The number with its unit, as in 10 mL.
    #[schemars(schema_with = "value_schema")]
    pub value: Text,
    /// Why it is the same on every fork.
    pub reason: String,
}
