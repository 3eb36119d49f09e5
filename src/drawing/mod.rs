//! Drawings of where a number is read, from a record's own values: for cards and pages alike. Lines and greys alone,
//! in the ink of what they stand on, so that light, dark and grey paper show the same.

mod clamp;
mod gap;
mod nut;
mod plate;
mod runout;
mod sag;
mod scene;
mod seals;
mod shims;
mod stanchion;
mod svg;
mod torques;

use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{FieldId, Key, key};
use crate::check::CheckedFork;
use crate::resolve::{Resolved, Shop, Side};
use crate::syntax::Scheme;
use crate::words::lower_first;

use scene::Scene;

pub use gap::{Shape, gap};
pub use nut::nut;
pub use shims::shims;
pub use svg::{Coordinate, Drawing, c};

/// A drawing of work: what a step names for it to stand there, what it is drawn from, the first of which it cannot do
/// without, and how.
struct Work {
    named: (Scheme, &'static str),
    from: &'static [Key],
    draw: fn(&Scene<'_>) -> Option<Drawing>,
}

/// A drawing, or why there is none.
pub type Drawn = Result<Drawing, String>;

/// Drawings of work, in no order that matters. One that shows where a reading is read is named by its box.
const WORK: [Work; 5] = [
    Work { named: (Scheme::Spec, key::SEALS_OIL_SEAL.name()), from: &seals::FROM, draw: seals::seals },
    Work { named: (Scheme::Caution, "tube-clamping"), from: &clamp::ZONE_FROM, draw: clamp::zone },
    Work {
        named: (Scheme::Spec, key::SETUP_HEIGHT_ABOVE_CLAMP.name()),
        from: &clamp::HEIGHT_FROM,
        draw: clamp::height,
    },
    Work {
        named: (Scheme::Reading, key::TUBES_STANCHION_LIMIT.name()),
        from: &stanchion::FROM,
        draw: stanchion::places,
    },
    Work { named: (Scheme::Tool, "fork-plate"), from: &[], draw: plate::plate },
];

/// What is drawn of work where a step names this, or which value is missing for it; `None` where there is no drawing of
/// it.
pub fn of_work(shop: &Shop, fork: &CheckedFork, side: Side, named: (Scheme, &str)) -> Option<Drawn> {
    let scene = Scene { shop, fork, side };
    let Some(work) = WORK.iter().find(|work| work.named == named) else {
        let torque = |id: &FieldId| shop.catalogue.field(*id).group == "torque";
        let id = shop.catalogue.find(named.1).filter(torque).filter(|_| named.0 == Scheme::Reading)?;
        return torques::order(&scene, id).map(Ok);
    };
    // A part that is not fitted is not drawn, and nothing is missing.
    let lacks = |key: &&Key| fork.on(side, key.id()).is_none_or(Resolved::is_unknown);
    match (work.draw)(&scene) {
        Some(drawing) => Some(Ok(drawing)),
        None => {
            let key = work.from.first().filter(lacks)?;
            let title = lower_first(&shop.catalogue.field(key.id()).title);
            Some(Err(format!("Not drawn: the record does not say “{title}”.")))
        }
    }
}

/// The values that the drawings of work at this name are made from, beside the one that is named.
pub fn rests_on(shop: &Shop, fork: &CheckedFork, named: (Scheme, &str)) -> Vec<FieldId> {
    if let Some(work) = WORK.iter().find(|work| work.named == named) {
        return work.from.iter().map(|key| key.id()).collect();
    }
    match named {
        (Scheme::Reading, key) if key.starts_with("torque.") => {
            torques::from(&Scene { shop, fork, side: Side::Left })
        }
        _ => Vec::new(),
    }
}
/// Whether there is a low drawing without words of how this is read.
pub fn is_sketched(shop: &Shop, id: FieldId) -> bool {
    SAGS.contains(&shop.catalogue.field(id).key.as_str()) || id == key::TUBES_RUNOUT_LIMIT.id()
}

/// How a value is read, low and without words, to stand at its box on a card: finished SVG. `row` are the names of the
/// boxes below it. `None` where there is no such drawing.
pub fn sketch(shop: &Shop, fork: &CheckedFork, id: FieldId, row: &[String]) -> Option<String> {
    if SAGS.contains(&shop.catalogue.field(id).key.as_str()) {
        return Some(sag::over_boxes(row));
    }
    (id == key::TUBES_RUNOUT_LIMIT.id() && fork.any(id).and_then(Resolved::quantity).is_some())
        .then(runout::sketch)
}

/// The two sags: of the machine alone, and with its rider.
const SAGS: [&str; 2] = ["setup.sag_static", "setup.sag_rider"];

/// Where and how a value is read on a leg of a fork; `None` where there is no drawing of it, or the record says too
/// little for one.
pub fn where_read(shop: &Shop, fork: &CheckedFork, side: Side, id: FieldId) -> Option<Drawing> {
    let name = shop.catalogue.field(id).key.as_str();
    let quantity = || fork.on(side, id).and_then(|value| value.quantity());
    match name {
        _ if OilSetBy::is_height(name) => gap(fork, side, Shape::Tall),
        _ if name == key::ROD_NUT_HEIGHT.name() => nut(fork, side),
        _ if SAGS.contains(&name) => Some(sag::sag(quantity()?)),
        "tubes.runout_limit" => {
            let spacing = shop.catalogue.find("tubes.support_spacing");
            let spacing = spacing.and_then(|id| fork.on(side, id)).and_then(|value| value.quantity());
            Some(runout::run_out(quantity()?, spacing))
        }
        _ => None,
    }
}
