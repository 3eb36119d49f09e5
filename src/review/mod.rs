//! Who vouches for which values: digests of what a review covers, how each value stands, and what became of a card.

mod card;
pub mod code;
mod digest;
mod lookup;
mod standing;

pub use card::CardNow;
pub use digest::{CHOICES, GONE, MACHINES};
pub use lookup::{Answer, Fate, fates, look_up};
pub use standing::{Gone, RecordReview, Standing, Vouch, of_fork, of_record};

pub(crate) use digest::{choices_code, machines_code, seal, value_code};
pub(crate) use standing::{counts, is_approver, is_estimate, is_sealed, later_source, lines, own_choices};
