//! What goes from a card for want of room, in this order, and nothing else. No value, limit, state, hazard word or box
//! is among them: where a card does not fit without these, the build says so.

/// What went, and with it all before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Goes {
    /// Nothing.
    Nothing,
    /// Why a check could not be made: that it was not is still said. The page's address, which the picture has.
    Reasons,
    /// The record's notes at numbers.
    Notes,
    /// The procedure's title beside its numbers, and the sizes of new parts that nothing is judged by.
    Titles,
    /// The second units.
    SecondUnits,
    /// The drawings of nut and sag.
    SmallDrawings,
    /// How far to turn the nut for a reading.
    NutTable,
    /// The drawing of where the gap is read.
    Drawings,
    /// The numbers for oil and leg of other temperatures.
    Temperatures,
    /// What to draw off or add for a reading.
    Tables,
}

impl Goes {
    /// All, in the order in which they go.
    pub const ORDER: [Goes; 10] = [
        Goes::Nothing,
        Goes::Reasons,
        Goes::Notes,
        Goes::Titles,
        Goes::SecondUnits,
        Goes::SmallDrawings,
        Goes::NutTable,
        Goes::Drawings,
        Goes::Temperatures,
        Goes::Tables,
    ];

    pub fn keeps_reasons(self) -> bool {
        self < Goes::Reasons
    }

    pub fn keeps_notes(self) -> bool {
        self < Goes::Notes
    }

    pub fn keeps_titles(self) -> bool {
        self < Goes::Titles
    }

    pub fn keeps_second_units(self) -> bool {
        self < Goes::SecondUnits
    }

    pub fn keeps_small_drawings(self) -> bool {
        self < Goes::SmallDrawings
    }

    pub fn keeps_temperatures(self) -> bool {
        self < Goes::Temperatures
    }

    pub fn keeps_nut_table(self) -> bool {
        self < Goes::NutTable
    }

    pub fn keeps_drawings(self) -> bool {
        self < Goes::Drawings
    }

    pub fn keeps_tables(self) -> bool {
        self < Goes::Tables
    }

    /// What a card says of it: what a hand at the bench would look for.
    pub fn said(self) -> &'static str {
        match self {
            Goes::Nothing => "",
            Goes::Tables => "What to draw off, add or turn, and targets by temperature, are on the service page.",
            Goes::Temperatures => "Turns of the nut and targets by temperature are on the service page.",
            Goes::NutTable | Goes::Drawings => "Turns of the nut are on the service page.",
            _ => "Notes and second units are on the service page.",
        }
    }
}
