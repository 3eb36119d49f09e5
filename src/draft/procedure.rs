//! A draft of a procedure.

use super::write::{Draft, comment, quoted, title};
use crate::record::{Phase, STEP_PLACEHOLDERS};

/// A draft of a procedure.
pub fn procedure(id: &str) -> Draft {
    let phases: Vec<&str> = Phase::ALL.into_iter().map(Phase::id).collect();
    let mut out = format!("---\nid: {id}\ntitle: {}\n", quoted(&title(id)));
    comment(&mut out, "# ", &format!("The part of the job it belongs to: {}.", phases.join(", ")));
    out.push_str("phase: inspect\n");
    comment(&mut out, "# ", "The forks it is for; without this line, every fork.");
    out.push_str("# for: [{damping: [open-cartridge]}]\ntime: 10 min\ntools: []\nconsumables: []\n");
    comment(
        &mut out,
        "# ",
        "What must hold before it, what holds after it and what no longer does, in the conditions of \
         procedures/conditions.yaml; and the intervals that begin anew with it.",
    );
    out.push_str("# needs: []\n# brings: []\n# ends: []\n# renews: [intervals.oil]\n---\n\n");
    let [step, reason] = STEP_PLACEHOLDERS;
    out.push_str(&format!("1. {step} A value: `[air gap](spec:oil.air_gap)`. A hazard, before the step:\n"));
    out.push_str("   `[stored force](caution:ID)`. A box to write in: `<reading:oil.air_gap>`.\n\n");
    out.push_str(&format!("   > {reason}\n"));
    (format!("procedures/{id}.md"), out)
}
