//! Recording that somebody reviewed values: which, whether that is possible, and the record's new text.
//!
//! Pure: a checked shop in, new texts out. Files are written by the command alone.

mod approval;
mod candidates;
mod cards_left;
mod compared;
mod edit;
mod record;
mod released;
mod request;
mod texts;

pub use approval::{Approval, approve};
pub use cards_left::{CardsLeft, cards_left};
pub use compared::{ToCompare, figure_of, to_compare, with_title};
pub use edit::{CannotAdd, Item, append};
pub use released::released_text;
pub use request::{NotRecorded, Request};
pub use texts::{REVIEWS, TextApproval, TextRequest, approve_texts, is_text};
