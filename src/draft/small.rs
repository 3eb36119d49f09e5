//! Drafts of a tool, a caution, a condition and a complaint.

use super::write::{Draft, comment, quoted, title};
use crate::record::{BLANK, CAUTION_SAYS, COMPLAINT_SAYS, CONDITION_SAYS, TOOL_USE};

/// A draft of a tool or a consumable.
pub fn tool(id: &str) -> Draft {
    let mut out = "# yaml-language-server: $schema=../schema/tool.schema.json\n".to_owned();
    out.push_str(&format!("id: {id}\ntitle: {}\n", quoted(&title(id))));
    comment(&mut out, "# ", "`consumable` is what the job uses up.");
    out.push_str(&format!("kind: tool\nuse: {}\n", quoted(TOOL_USE)));
    comment(&mut out, "# ", "Its size, where it matters; for a wrench the torques it reads well at.");
    out.push_str(&format!("# size: {BLANK} mm\n# torques: {BLANK} N·m\n"));
    comment(&mut out, "# ", "Words by which steps speak of it, besides its title.");
    out.push_str("# called: []\n");
    (format!("specs/tools/{id}.yaml"), out)
}

/// A draft of a caution.
pub fn caution(id: &str) -> Draft {
    let mut out = format!("---\nid: {id}\ntitle: {}\n", quoted(&title(id)));
    comment(
        &mut out,
        "# ",
        "How grave it is: danger will kill or seriously injure, warning could, caution could cause minor or moderate \
         injury, notice is damage alone.",
    );
    out.push_str("signal: warning\n");
    comment(&mut out, "# ", "The forks that have the hazard; without this line, every fork.");
    out.push_str(&format!("# for: [{{damping: [open-cartridge]}}]\n---\n\n{CAUTION_SAYS}\n"));
    (format!("procedures/cautions/{id}.md"), out)
}

/// The entry of a new condition in `procedures/conditions.yaml`.
pub fn condition(id: &str) -> String {
    let mut out = String::new();
    comment(
        &mut out,
        "  # ",
        "What a mechanic says when it holds; of each `leg` for itself, or of the `machine`.",
    );
    out.push_str(&format!("  {id}:\n    says: {}\n    per: leg\n", quoted(CONDITION_SAYS)));
    comment(&mut out, "    # ", "What happens where it is needed and does not hold.");
    out.push_str(&format!("    # otherwise: {BLANK}\n"));
    comment(
        &mut out,
        "    # ",
        "Cautions that a procedure must carry which brings it about, and values it must link.",
    );
    out.push_str("    # cautions: []\n    # evidence: []\n");
    out
}

/// A draft of a complaint.
pub fn complaint(id: &str) -> Draft {
    let [said, reproduce, cause] = COMPLAINT_SAYS;
    let mut out = format!("---\nid: {id}\ntitle: {}\n", quoted(&title(id)));
    comment(&mut out, "# ", "In the riders' own words, several of them; a search finds each.");
    out.push_str(&format!("says: [{}]\n", quoted(said)));
    comment(&mut out, "# ", "The forks that can have it; without this line, every fork.");
    out.push_str("# for: [{damping: [open-cartridge]}]\n");
    comment(
        &mut out,
        "# ",
        "Below: how it is reproduced and what is read, `[rebound](spec:adjusters.rebound)`; then the causes, one an item, \
         in the order in which they are looked for. Each links the work that mends it, \
         `[set the rebound](procedure:set-rebound)`, or begins with `Not the fork:`.",
    );
    out.push_str(&format!("---\n\n{reproduce}\n\n1. Not the fork: {}.\n", cause));
    (format!("procedures/complaints/{id}.md"), out)
}
