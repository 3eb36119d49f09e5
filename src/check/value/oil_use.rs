//! An oil goes where it is made to go: not one for the inside of cartridges onto bushings, nor one for air legs into a
//! damper.

use crate::catalogue::{FieldId, Key, Works, key};
use crate::check::look::weight;
use crate::derive::{Serves, serves};
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// Where an oil is poured in.
const OILS: [Key; 2] = [key::OIL_OIL, key::OIL_OUTER_OIL];

/// oil-for-another-use: what the oil's sheet says that it serves is what the leg does.
pub(crate) fn oils(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for field in OILS {
        for side in Side::BOTH {
            findings.extend(of_leg(shop, fork, side, field));
        }
    }
    findings.dedup_by(|a, b| a.rule.code == b.rule.code && a.span == b.span && a.message == b.message);
}

fn of_leg(shop: &Shop, fork: &ResolvedFork, side: Side, oil: Key) -> Option<Finding> {
    let value = fork.on(side, FieldId::from(oil))?;
    let made_for = serves(shop.oil(&value.entry.text)?)?;
    let damps = fork.leg(side).work.holds(Works::Damper);
    let closed = fork.choices.get("damping").is_some_and(|made| made == "closed-cartridge");
    let inside = oil == key::OIL_OIL && damps && closed;
    let leg = match (inside, damps) {
        (true, _) => "fills a closed cartridge",
        (false, true) => "runs over bushings",
        (false, false) => "only lubricates a leg without a damper",
    };
    let fits = match made_for {
        Serves::Cartridge => inside,
        Serves::AirLeg => !damps,
        Serves::Damping => true,
    };
    (!fits).then(|| {
        let field = shop.catalogue.field(FieldId::from(oil));
        rules::OIL_FOR_ANOTHER_USE
            .graded(
                weight(fork),
                value.entry.span,
                format!(
                    "{} of the {} leg {leg}, and `{}` is {}",
                    lower_first(&field.title),
                    side.word(),
                    value.entry.text,
                    made_for.reason()
                ),
            )
            .bench(lower_first(&field.wrong))
            .instead("read which leg takes which oil; left and right may be exchanged")
    })
}
