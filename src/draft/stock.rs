//! Drafts of a spring, a build and a valving.

use super::write::{Draft, blanks, comment, quoted, title};
use crate::catalogue::{Choices, Field, FieldId, Owner};
use crate::record::{BLANK, MARKING, OIL_MAKER, WHY};
use crate::resolve::{ResolvedFork, Shop};

/// A draft of a spring.
pub fn spring(shop: &Shop, id: &str) -> Draft {
    let mut out = "# yaml-language-server: $schema=../schema/spring.schema.json\n".to_owned();
    comment(
        &mut out,
        "# ",
        "A draft. Measure each value on the bench, write it with its unit, and take away the `# ` in front of it and of \
         its group's name. Set the status to published when nothing is missing.",
    );
    out.push_str(&format!("id: {id}\nmaker: \"{OIL_MAKER}\"\nmarking: \"{MARKING}\"\nstatus: draft\n"));
    comment(
        &mut out,
        "# ",
        "Its number to order it by, and how many lie on the shelf; 0 for one that is ordered.",
    );
    out.push_str(&format!("# part_number: \"{BLANK}\"\n# in_stock: {BLANK}\n"));
    out.push_str("sources:\n  bench: {kind: measured, title: \"Spring tester\"}\nsource: bench\n");
    let none = Choices::new();
    let fields: Vec<(FieldId, &Field, bool)> = shop
        .catalogue
        .of(Owner::Spring)
        .map(|(id, field)| (id, field, field.required.holds(&none)))
        .collect();
    blanks(&mut out, &shop.catalogue, &fields);
    (format!("specs/springs/{id}.yaml"), out)
}

/// A draft of a build over a fork.
pub fn build(shop: &Shop, fork: &ResolvedFork, id: &str) -> Draft {
    let mut out = "# yaml-language-server: $schema=../schema/build.schema.json\n".to_owned();
    comment(
        &mut out,
        "# ",
        "A draft. Write down only what is another value than the fork's, each with its change: what the fork says, why, \
         and since when. Set the status to published when it is as it is ridden; then it gets cards of its own.",
    );
    let over = fork.record.build().map_or(&fork.id, |build| &build.fork.text);
    let machine = shop.fork(over).and_then(|record| record.machines.first());
    let (maker, model) = machine.map_or((BLANK, BLANK), |one| (&one.maker, &one.model));
    out.push_str(&format!("id: {id}\ntitle: {}\nfork: {over}\nstatus: draft\n", quoted(&title(id))));
    out.push_str(&format!("machine: {{maker: {}, model: {}}}\n", quoted(maker), quoted(model)));
    comment(&mut out, "# ", "What it is ridden for, and the rider's mass with gear. No name.");
    out.push_str(&format!("# use: {BLANK}\n# rider: {BLANK} kg\n"));
    let springs: Vec<&str> = shop.springs.iter().map(|spring| spring.id.text.as_str()).collect();
    let springs = if springs.is_empty() { String::new() } else { format!("   # {}", springs.join(", ")) };
    comment(&mut out, "# ", "The spring and the valving that are fitted, by id.");
    out.push_str(&format!("# fitted_spring: {BLANK}{springs}\n# valving: {BLANK}\n"));
    out.push_str("sources:\n  bench: {kind: measured, title: \"Set on the machine\"}\nsource: bench\n");
    out.push_str(&format!(
        "# changes:\n#   oil.air_gap: {{instead_of: {BLANK} mm, why: {}, date: \"{BLANK}\"}}\n# oil:\n#   air_gap: {BLANK} mm\n",
        quoted(WHY)
    ));
    (format!("specs/builds/{id}.yaml"), out)
}

/// A draft of a valving of a fork.
pub fn valving(fork: &ResolvedFork, id: &str) -> Draft {
    let mut out = "# yaml-language-server: $schema=../schema/valving.schema.json\n".to_owned();
    let over = fork.record.build().map_or(&fork.id, |build| &build.fork.text);
    out.push_str(&format!("id: {id}\ntitle: {}\nfork: {over}\n", quoted(&title(id))));
    out.push_str(&format!("date: \"{BLANK}\"\nwhy: {}\nstacks: []\n", quoted(WHY)));
    comment(
        &mut out,
        "# ",
        "In place of `[]`, from the piston's face outward: diameter and thickness of each shim, and how many lie on each other. `changed:` \
         has the same form; without it the stack went back as found.",
    );
    out.push_str(&format!("#  - piston: \"{BLANK}\"\n#    damps: compression\n#    baseline:\n"));
    out.push_str(&format!("#      shims: [{{size: {BLANK} × {BLANK} mm, count: 1}}]\n"));
    out.push_str(&format!("#      bleed: {BLANK} mm\n#      float: {BLANK} mm\n#      clamp: {BLANK} mm\n"));
    (format!("specs/valvings/{id}.yaml"), out)
}
