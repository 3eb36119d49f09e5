//! Drawings of where a number is read, from a record's own values: for cards and pages alike. Lines and greys alone,
//! in the ink of what they stand on, so that light, dark and grey paper show the same.

mod gap;
mod nut;
mod runout;
mod sag;
mod svg;

use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{FieldId, key};
use crate::check::CheckedFork;
use crate::resolve::{Shop, Side};

pub use gap::{Shape, gap};
pub use nut::nut;
pub use svg::{Coordinate, Drawing, c};

/// Where and how a value is read on a leg of a fork; `None` where there is no drawing of it, or the record says too
/// little for one.
pub fn where_read(shop: &Shop, fork: &CheckedFork, side: Side, id: FieldId) -> Option<Drawing> {
    let name = shop.catalogue.field(id).key.as_str();
    let quantity = || fork.on(side, id).and_then(|value| value.quantity());
    match name {
        _ if OilSetBy::is_height(name) => gap(fork, side, Shape::Tall),
        _ if name == key::ROD_NUT_HEIGHT.name() => nut(fork, side),
        "setup.sag_static" | "setup.sag_rider" => Some(sag::sag(quantity()?)),
        "tubes.runout_limit" => {
            let spacing = shop.catalogue.find("tubes.support_spacing");
            let spacing = spacing.and_then(|id| fork.on(side, id)).and_then(|value| value.quantity());
            Some(runout::run_out(quantity()?, spacing))
        }
        _ => None,
    }
}
