//! Shim stacks: each shim is one, and the stack stays as thick as it was.

use crate::check::CheckedFork;
use crate::check::shop::links::dangling;
use crate::diagnostic::{Finding, rules};
use crate::quantity::Size;
use crate::record::{Arrangement, RecordKind, Shim};
use crate::resolve::Shop;

/// dangling-reference: a valving is of a fork that is there.
pub(crate) fn forks(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    for valving in shop.valvings.iter().filter(|valving| !valving.fork.text.is_empty()) {
        dangling(shop, RecordKind::Fork, &valving.fork.text, valving.fork.span, findings);
    }
}

fn arrangements(shop: &Shop) -> impl Iterator<Item = &Arrangement> {
    let stacks = shop.valvings.iter().flat_map(|valving| &valving.stacks);
    stacks.flat_map(|stack| std::iter::once(&stack.baseline).chain(&stack.changed))
}

/// The sizes that shims of forks have, mm: diameter, then thickness. Common practice, no source.
const SIZES: [(f64, f64); 2] = [(5.0, 50.0), (0.05, 0.6)];

/// valving-shim: a shim has the diameter and the thickness of one.
pub(crate) fn shims(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    for shim in arrangements(shop).flat_map(|arrangement| &arrangement.shims) {
        let Some([wide, thick]) = shim.size.as_ref().and_then(sizes) else { continue };
        let inside = |at: f64, (least, most): (f64, f64)| at >= least - 1e-9 && at <= most + 1e-9;
        if inside(wide, SIZES[0]) && inside(thick, SIZES[1]) {
            continue;
        }
        let turned = inside(thick, SIZES[0]) && inside(wide, SIZES[1]);
        let instead = if turned {
            "write the diameter first, then the thickness"
        } else {
            "measure it again, with a micrometer, and look where the point stands"
        };
        findings.push(
            rules::VALVING_SHIM
                .at(shim.text.span, format!("a shim {wide} mm wide and {thick} mm thick is none of a fork's"))
                .bench("the stack would be built from other shims than were meant, and damp otherwise")
                .instead(instead),
        );
    }
}

/// Diameter and thickness in mm.
fn sizes(size: &Size) -> Option<[f64; 2]> {
    match size.parts_si().as_slice() {
        [wide, thick] => Some([wide * 1e3, thick * 1e3].map(|mm| (mm * 1e6).round() / 1e6)),
        _ => None,
    }
}

/// The total thickness of a stack, mm; `None` where a shim cannot be read.
fn total(shims: &[Shim]) -> Option<f64> {
    shims.iter().try_fold(0.0, |sum, shim| {
        let [_, thick] = shim.size.as_ref().and_then(sizes)?;
        Some(sum + thick * f64::from(shim.count))
    })
}

/// How much thicker or thinner a stack may become before its nut has another grip, mm. Common practice, no source.
const SAME_GRIP: f64 = 0.25;

/// valving-thickness: a changed stack is about as thick as it was, else the nut has another grip; and it is changed.
pub(crate) fn thickness(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    for stack in shop.valvings.iter().flat_map(|valving| &valving.stacks) {
        let Some(changed) = &stack.changed else { continue };
        let (Some(was), Some(now)) = (total(&stack.baseline.shims), total(&changed.shims)) else { continue };
        if (now - was).abs() > SAME_GRIP + 1e-9 {
            let (more, bench) = if now > was {
                ("thicker", "the nut catches fewer threads, and may come off inside the leg")
            } else {
                ("thinner", "the nut runs out of thread before it holds the stack")
            };
            findings.push(
                rules::VALVING_THICKNESS
                    .at(changed.span, format!("the stack is {:.2} mm {more} than it was", (now - was).abs()))
                    .bench(bench)
                    .instead(
                        "even it out with washers on the clamp's side, and write them as shims of the stack",
                    )
                    .also(stack.baseline.span, "as it was"),
            );
        }
    }
}
