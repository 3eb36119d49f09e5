//! Adjusters: clicks counted either way, preload by turns, rings showing.

use super::range::{self, MM, OutOfRange};
use super::units::{Length, length};

/// How a shop counts the first click out from fully closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counting {
    /// Fully closed is click zero.
    FirstIsZero,
    /// The click felt at fully closed is click one.
    FirstIsOne,
}

impl Counting {
    fn first(self) -> u32 {
        match self {
            Counting::FirstIsZero => 0,
            Counting::FirstIsOne => 1,
        }
    }
}

/// The most clicks an adjuster may be said to have.
const MOST_CLICKS: u32 = 200;

/// A setting in clicks out from fully closed, from one way of counting into the other.
///
/// Range: from the first click of its counting up to 200.
///
/// ```
/// use benchleaf::bench::adjusters::{Counting, recount};
///
/// // Where the first click felt is click one, the same setting has one click more.
/// assert_eq!(recount(12, Counting::FirstIsZero, Counting::FirstIsOne), Ok(13));
/// ```
pub fn recount(clicks: u32, said_in: Counting, wanted_in: Counting) -> Result<u32, OutOfRange> {
    Ok(detents(clicks, said_in)? + wanted_in.first())
}

fn detents(clicks: u32, counting: Counting) -> Result<u32, OutOfRange> {
    if clicks > MOST_CLICKS || clicks < counting.first() {
        return Err(OutOfRange::Beyond {
            what: "number of clicks",
            least: counting.first().to_string(),
            most: MOST_CLICKS.to_string(),
        });
    }
    Ok(clicks - counting.first())
}

/// The same setting counted in from fully open, when it is known counted out from fully closed (or the other
/// way round: the sum is the same).
///
/// Formula: other = first + (last − clicks), `last` being the count at the far end. Range: clicks between the
/// first and `last`.
///
/// ```
/// use benchleaf::bench::adjusters::{Counting, from_the_other_end};
///
/// assert_eq!(from_the_other_end(12, 20, Counting::FirstIsZero), Ok(8));
/// ```
pub fn from_the_other_end(clicks: u32, last: u32, counting: Counting) -> Result<u32, OutOfRange> {
    let (set, whole) = (detents(clicks, counting)?, detents(last, counting)?);
    if set > whole {
        return Err(OutOfRange::Contradiction { more: "adjuster's whole range", less: "setting on it" });
    }
    Ok(whole - set + counting.first())
}

/// How far turns of a preload adjuster move the spring's end.
///
/// Formula: change = turns × travel a turn. Range: −100 to 100 turns, travel a turn 0.1 to 10 mm.
///
/// ```
/// use benchleaf::bench::adjusters::preload_change;
/// use benchleaf::bench::units::millimetres;
///
/// let change = preload_change(3.0, millimetres(1.0)).unwrap();
/// assert!((change.value - 0.003).abs() < 1e-12);
/// ```
pub fn preload_change(turns: f64, per_turn: Length) -> Result<Length, OutOfRange> {
    let turns = range::within("number of turns", turns, range::PLAIN, -100.0, 100.0)?;
    let per_turn = range::within("travel a turn", per_turn.value, MM, 0.1, 10.0)?;
    Ok(length(turns * per_turn))
}

/// The turns that change the preload by a length: positive is in, more preload.
///
/// Range: change −100 to 100 mm, travel a turn 0.1 to 10 mm.
///
/// ```
/// use benchleaf::bench::adjusters::turns_for;
/// use benchleaf::bench::units::millimetres;
///
/// let turns = turns_for(millimetres(4.5), millimetres(1.5)).unwrap();
/// assert!((turns - 3.0).abs() < 1e-12);
/// ```
pub fn turns_for(change: Length, per_turn: Length) -> Result<f64, OutOfRange> {
    let change = range::within("change of preload", change.value, MM, -100.0, 100.0)?;
    let per_turn = range::within("travel a turn", per_turn.value, MM, 0.1, 10.0)?;
    Ok(change / per_turn)
}

/// The preload at a number of rings showing above the cap: each ring that goes under adds its spacing.
///
/// Formula: preload = least + (rings in all − rings showing) × spacing. Range: 0 to 20 rings, spacing 0.5 to
/// 10 mm, least preload 0 to 200 mm; halves of a ring may be said.
///
/// ```
/// use benchleaf::bench::adjusters::preload_from_rings;
/// use benchleaf::bench::units::millimetres;
///
/// // Two of seven rings have gone under the cap, 2 mm each.
/// let preload = preload_from_rings(millimetres(10.0), 7.0, 5.0, millimetres(2.0)).unwrap();
/// assert!((preload.value - 0.014).abs() < 1e-12);
/// ```
pub fn preload_from_rings(
    least: Length,
    rings_in_all: f64,
    showing: f64,
    spacing: Length,
) -> Result<Length, OutOfRange> {
    let least = range::not_negative("least preload", least.value, MM, 200.0)?;
    let all = range::within("number of rings", rings_in_all, range::PLAIN, 0.0, 20.0)?;
    let showing = range::within("number of rings showing", showing, range::PLAIN, 0.0, 20.0)?;
    let spacing = range::within("spacing of the rings", spacing.value, MM, 0.5, 10.0)?;
    if showing > all {
        return Err(OutOfRange::Contradiction {
            more: "number of rings in all",
            less: "number of rings showing",
        });
    }
    Ok(length(least + (all - showing) * spacing))
}
