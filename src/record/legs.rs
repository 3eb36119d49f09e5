//! The legs that work is done on.

use super::text::words;

/// The legs that a procedure is done on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum OnLegs {
    /// Both, one after the other.
    #[default]
    Both,
    /// The one with the spring; both where both have one.
    Spring,
    /// The one with the damper; both where both have one.
    Damper,
    /// The left one, as seen from the saddle.
    Left,
    /// The right one.
    Right,
}

impl OnLegs {
    /// The words as sources write them.
    pub const ALL: [(&'static str, OnLegs); 5] = [
        ("both", OnLegs::Both),
        ("spring", OnLegs::Spring),
        ("damper", OnLegs::Damper),
        ("left", OnLegs::Left),
        ("right", OnLegs::Right),
    ];
}

words!(OnLegs, OnLegs::ALL, OnLegs::Both);
