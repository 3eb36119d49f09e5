//! Who vouches for which values and texts: digests of what a review covers, how each stands, and what became of a card.

mod card;
pub mod code;
mod differs;
mod digest;
mod former;
mod guards;
mod library;
mod limits;
mod lookup;
mod rests;
mod seen;
mod standing;
mod texts;

pub use card::{CardNow, HANG};
pub use differs::differences;
pub use digest::{BUILT, CHOICE, CHOICES, GONE, MACHINES, PARTS};
pub(crate) use former::called_as_in;
pub(crate) use guards::{CARRIED, STEP_ORDER, WORD_ORDER};
pub use guards::{Change, changes};
pub use library::{Lost, library_of, lost, written};
pub use lookup::{Answer, Fate, fates, look_up};
pub use rests::rests_on;
pub use seen::{Seen, TextKey, TextKind, of_caution, of_condition, of_procedure, of_service, of_shop};
pub use standing::{
    Comparison, Gone, Inherited, RecordReview, Standing, Vouch, counted, inherited, of_build, of_fork,
    of_record,
};

pub use texts::{GONE_PART, GoneText, TextReviews, TextStanding, of_texts};

pub(crate) use digest::{build_code, choice_code, choices_code, machines_code, parts_code, seal, value_code};
pub(crate) use standing::{
    compared_with, counts, inherited_choices, is_approver, is_estimate, is_sealed, later_source, lines,
    own_choices,
};
pub(crate) use texts::{is_of_shop, named, text_counts, text_is_sealed, text_seal};
