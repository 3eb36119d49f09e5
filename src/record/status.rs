//! Whether a record is finished.

use super::text::words;

/// Whether a record is finished.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Status {
    #[default]
    Published,
    Draft,
}

/// The words as sources write them.
const STATUSES: [(&str, Status); 2] = [("published", Status::Published), ("draft", Status::Draft)];

words!(Status, STATUSES, Status::Published);
