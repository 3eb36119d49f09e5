//! A bore lies inside its tube, with a wall between them that tubes have.

use crate::catalogue::choice::Orientation;
use crate::catalogue::{Key, MadeChoice, key};
use crate::check::look::weight;
use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::{Quantity, Value};
use crate::resolve::{Resolved, ResolvedFork, Side};

/// The wall of a stanchion, m (common practice, no source: 1.2 to 3.5 mm).
const WALL: (f64, f64) = (0.000_8, 0.005);

/// tube-wall: the bore of a conventional stanchion leaves it a wall of its usual thickness. Of an inverted leg the
/// same holds for what lies below the end of the inner tube.
pub(super) fn tube_wall(fork: &ResolvedFork, side: Side, findings: &mut Vec<Finding>) {
    let look = |key: Key| fork.on(side, key.id());
    let (Some(bore), Some(tube)) = (look(key::TUBES_BORE), look(key::TUBES_STANCHION_DIAMETER)) else {
        return;
    };
    let Some(outside) = tube.quantity().map(Quantity::middle_si) else { return };
    let conventional = Orientation::of(&fork.choices) == Some(Orientation::Conventional);
    let inside: Vec<f64> =
        diameters(bore).into_iter().filter(|bore| conventional || *bore < outside).collect();
    let wall = |bore: f64| (outside - bore) / 2.0;
    let Some(odd) = inside.into_iter().find(|bore| !(WALL.0..=WALL.1).contains(&wall(*bore))) else { return };
    let severity = if wall(odd) <= 0.0 { weight(fork) } else { Severity::Warning };
    let how = if wall(odd) <= 0.0 {
        "leaves no wall in".to_owned()
    } else {
        format!("leaves a wall of {:.1} mm in", wall(odd) * 1000.0)
    };
    findings.push(
        rules::TUBE_WALL
            .graded(
                severity,
                bore.entry.span,
                format!("a bore of {} {how} a stanchion of {}", bore.entry.text, tube.entry.text),
            )
            .bench("the surface of the oil is computed wrong, and with it every correction of the gap")
            .instead("measure the bore again, and the tube outside where the seal runs")
            .also(tube.entry.span, "the tube"),
    );
}

/// The diameters of a value that may be given in stretches, m.
fn diameters(value: &Resolved) -> Vec<f64> {
    match value.value() {
        Some(Value::Sections(sections)) => sections.iter().map(|section| section.value.middle_si()).collect(),
        Some(Value::Quantity(quantity)) => vec![quantity.middle_si()],
        _ => Vec::new(),
    }
}
