//! A card of a fork and a service, by its codes.

/// A card as it is now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardNow {
    /// The fork.
    pub fork: String,
    /// The service.
    pub service: String,
    /// The code of the fork's values.
    pub values: String,
    /// The code of the card.
    pub card: String,
}
