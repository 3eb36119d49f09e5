//! Two joints that clamp the same part with the same bolt are tightened in the same thread state.

use crate::catalogue::{FieldId, Key, key};
use crate::check::look::weight;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// Pairs of joints of one kind.
const PAIRS: [(Key, Key); 2] = [
    (key::TORQUE_CLAMP_UPPER, key::TORQUE_CLAMP_LOWER),
    (key::TORQUE_AXLE_PINCH, key::TORQUE_AXLE_PINCH_FIRST),
];

/// thread-states-differ: of two clamps with one bolt, one is not oiled and the other dry; nor is one leg's joint.
pub(crate) fn states(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for (one, other) in PAIRS {
        let on_left = |key: Key| fork.on(Side::Left, FieldId::from(key));
        let (Some(one), Some(other)) = (on_left(one), on_left(other)) else { continue };
        if said(one, "thread") == said(other, "thread") && said(one, "into") == said(other, "into") {
            let pair = if is_odd(fork, other, one) { (other, one) } else { (one, other) };
            findings.extend(differ(shop, fork, pair));
        }
    }
    for (field, right) in fork.legs[1].values.iter() {
        let Some(left) = fork.legs[0].values.get(field) else { continue };
        findings.extend(differ(shop, fork, (right, left)));
    }
}

/// Whether fewer joints of the fork have the state of the one than that of the other: it is told where the odd one
/// stands.
fn is_odd(fork: &ResolvedFork, one: &Resolved, other: &Resolved) -> bool {
    let state = |value| said(value, "thread_state");
    let with =
        |this: Option<&str>| crate::check::look::each(fork).filter(|value| state(value) == this).count();
    state(one) != state(other) && with(state(one)) < with(state(other))
}

fn said<'v>(value: &'v Resolved, key: &str) -> Option<&'v str> {
    Some(value.entry.attributes.get(key)?.text.text.as_str())
}

fn differ(shop: &Shop, fork: &ResolvedFork, (one, other): (&Resolved, &Resolved)) -> Option<Finding> {
    // What cannot be read has been refused, and says nothing here.
    let is_read = |value: &Resolved| Some(value.entry.attributes.get("thread_state")?.value.is_some());
    if !is_read(one)? || !is_read(other)? {
        return None;
    }
    let (here, there) = (said(one, "thread_state")?, said(other, "thread_state")?);
    let known = here != "unknown" && there != "unknown";
    let title = |value: &Resolved| lower_first(&shop.catalogue.field(value.field).title);
    (known && here != there).then(|| {
        let what = match one.field == other.field {
            true => {
                format!("the thread of {} is {here} in the right leg and {there} in the left", title(one))
            }
            false => format!("the thread of {} is {here}, and that of {} {there}", title(one), title(other)),
        };
        rules::THREAD_STATES_DIFFER
            .graded(weight(fork), one.entry.span, what)
            .bench("on an oiled thread the torque of a dry one stretches the bolt up to half as far again")
            .instead("read the thread state of both on the sheet again")
            .also(other.entry.span, "beside this")
    })
}
