//! The words that a draft says until somebody writes what is so. None of them may reach a page as if it were so.

/// Every such word of a record in YAML.
pub const PLACEHOLDERS: [&str; 9] =
    [MAKER, OIL_MAKER, CALLED, WHAT_IT_IS, SHEET, DATA_SHEET, LABEL, MARKING, WHY];

pub(crate) const MAKER: &str = "Who made it";

pub(crate) const OIL_MAKER: &str = "Who makes it";

pub(crate) const CALLED: &str = "What it is called";

pub(crate) const WHAT_IT_IS: &str = "What it is";

pub(crate) const SHEET: &str = "The sheet's name and issue";

pub(crate) const DATA_SHEET: &str = "The data sheet's name and issue";

pub(crate) const LABEL: &str = "The text on the bottle";

pub(crate) const MARKING: &str = "What stands on it";

/// What a draft of a build or a valving says of a change.
pub const WHY: &str = "Why it was changed";

/// What a draft of a procedure says in its one step, and as that step's reason.
pub const STEP_PLACEHOLDERS: [&str; 2] =
    ["Say what to do, one step an item.", "Say why, so that whoever does it knows what must not happen."];

/// What a draft of a tool says it is for.
pub const TOOL_USE: &str = "What it is for";

/// What a draft of a caution says.
pub const CAUTION_SAYS: &str = "Say what the hazard is, what it does, and how to avoid it.";

/// What a draft of a condition says.
pub const CONDITION_SAYS: &str = "What a mechanic says when it holds";

/// What a draft of a complaint says: how riders say it, how it is reproduced and what is read, and its one cause.
pub const COMPLAINT_SAYS: [&str; 3] = [
    "How riders say it",
    "Say how to reproduce it, and what to read before anything is taken apart.",
    "say what to look for first",
];

/// Where a person has to write.
pub const BLANK: &str = "…";

/// An acceptance, with the keys it must have; its reason is for a person to write.
pub fn acceptance(code: &str, by: &str) -> String {
    format!("accept: {{finding: {code}, reason: \"{BLANK}\", by: \"{by}\"}}")
}
