//! Who vouches for which values: digests of what a review covers, and how each value stands.
//!
//! Pure: records in, standings and new texts out. Files are written by the command alone.

mod approve;
pub mod code;
mod digest;
mod edit;
mod lookup;
mod standing;

pub use approve::{Approval, CardNow, Refused, Request, approve, released_text};
pub use digest::{CHOICES, GONE, MACHINES};
pub use edit::{Item, append};
pub use lookup::{Answer, Fate, fates, look_up};
pub use standing::{Gone, RecordReview, Standing, Vouch, of_fork, of_record};

pub(crate) use approve::later_source;
pub(crate) use edit::scalar;
pub(crate) use standing::{counts, is_approver, is_estimate, is_sealed, lines};
