//! A card of a fork and a service, by its codes.

/// The name under which a fork's hang card stands among its cards. No service has it.
pub const HANG: &str = "hang-card";

/// A card as it is now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardNow {
    /// The fork.
    pub fork: String,
    /// The service, or [`HANG`].
    pub service: String,
    /// The code of the fork's values.
    pub values: String,
    /// The code of the card.
    pub card: String,
}
