//! What goes from a card for want of room, in this order, and nothing else. No value, limit, state, hazard word or box
//! is among them: where a card does not fit without these, the build says so.

use std::cell::Cell;
use std::ops::RangeInclusive;

thread_local! {
    /// The least and the last of [`Goes::ORDER`] for which all that was asked since was answered as it was.
    static ALIKE: Cell<(usize, usize)> = const { Cell::new((0, usize::MAX)) };
}

/// What `make` makes of a card from which so much went, and for which of [`Goes::ORDER`] it makes the same: for all
/// that answer alike what it asks. It hears on its own thread of all that [`Goes::keeps`] is asked.
pub(super) fn alike<T>(make: impl FnOnce() -> T) -> (T, RangeInclusive<usize>) {
    ALIKE.set((0, usize::MAX));
    let made = make();
    let (least, last) = ALIKE.get();
    (made, least..=last)
}

/// What went, and with it all before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Goes {
    /// Nothing.
    Nothing,
    /// Why a check could not be made: that it was not is still said. The page's address, which the picture has.
    Reasons,
    /// The record's notes at numbers, and what a fill weighs.
    Notes,
    /// The procedure's title beside its numbers, and the sizes of new parts that nothing is judged by.
    Titles,
    /// The drawing of how run-out is read, without words, at its boxes.
    RunOutSketch,
    /// The same of sag.
    SagSketch,
    /// The second units.
    SecondUnits,
    /// The drawing of the nut.
    SmallDrawings,
    /// The table of a pressure for a leg of other temperatures: ten degrees less and more are still said.
    Temperatures,
    /// How far to turn the nut for a reading.
    NutTable,
    /// The pictures of the shop's own.
    Pictures,
    /// The drawing of where the gap is read.
    Drawings,
    /// All numbers for oil and leg of other temperatures.
    Warmth,
    /// What to draw off or add for a reading.
    Tables,
}

/// How a card calls its line of parts by number.
pub(super) const PARTS_BY_NUMBER: &str = "parts by number";

/// How a card calls the pictures of the shop's own.
pub(super) const PICTURES: &str = "pictures";

impl Goes {
    /// All, in the order in which they go.
    pub const ORDER: [Goes; 14] = [
        Goes::Nothing,
        Goes::Reasons,
        Goes::Notes,
        Goes::Titles,
        Goes::RunOutSketch,
        Goes::SagSketch,
        Goes::SecondUnits,
        Goes::SmallDrawings,
        Goes::Temperatures,
        Goes::NutTable,
        Goes::Pictures,
        Goes::Drawings,
        Goes::Warmth,
        Goes::Tables,
    ];

    /// Whether something is still there: all that goes later is.
    pub fn keeps(self, what: Goes) -> bool {
        let (least, last) = ALIKE.get();
        let (kept, what_at) = (self < what, what as usize);
        ALIKE.set(if kept { (least, last.min(what_at - 1)) } else { (least.max(what_at), last) });
        kept
    }

    /// What it is called on a card from which it went; empty where the card says it in another place.
    fn name(self) -> &'static str {
        match self {
            Goes::Nothing | Goes::Reasons => "",
            Goes::Notes => "notes",
            Goes::Titles => "titles",
            Goes::SecondUnits => "second units",
            Goes::RunOutSketch | Goes::SagSketch | Goes::SmallDrawings | Goes::Drawings => "drawings",
            Goes::Temperatures | Goes::NutTable | Goes::Tables => "tables",
            Goes::Pictures => "",
            Goes::Warmth => "warm oil",
        }
    }

    /// What a card says of what went from it. `beside`: what went as well and stands on no line, such as `parts by
    /// number`.
    pub fn said(went: &[Goes], beside: &[&'static str]) -> String {
        let names = went.iter().map(|one| one.name()).filter(|name| !name.is_empty());
        let mut seen = std::collections::BTreeSet::new();
        let names = names.chain(beside.iter().copied());
        let names: Vec<&str> = names.filter(|name| seen.insert(*name)).collect();
        if names.is_empty() { String::new() } else { format!("On the page alone: {}.", names.join(", ")) }
    }
}
