//! A draft of a family: what several forks share.

use super::write::{Draft, blanks, comment, quoted, title};
use crate::catalogue::{Field, FieldId, made};
use crate::record::SHEET;
use crate::resolve::{ResolvedFork, Shop};

/// A draft of a family with the choices of a fork, and a line for each value that the fork itself gives.
pub fn family(shop: &Shop, from: &ResolvedFork, id: &str) -> Draft {
    let record = &from.record;
    let mut out = "# yaml-language-server: $schema=../schema/family.schema.json\n".to_owned();
    comment(
        &mut out,
        "# ",
        &format!(
            "A draft of a family, with the choices of `{}`; no value is copied. Keep what its forks share. Write each \
             value with its unit after its key, take away the `# ` in front of it and of its group's name, and \
             remove the others. Then write `family: {id}` into the record of each fork, and take out of it what it \
             has from here: what a fork says itself counts before what its family says.",
            from.id
        ),
    );
    let maker = record.maker.split_whitespace().collect::<Vec<_>>().join(" ");
    out.push_str(&format!("id: {id}\ntitle: {}\nmaker: {}\n", quoted(&title(id)), quoted(&maker)));
    let choices: Vec<String> =
        made(&from.choices).map(|(key, chosen)| format!("  {key}: {chosen}\n")).collect();
    if !choices.is_empty() {
        out.push_str(&format!("choices:\n{}", choices.concat()));
    }
    comment(&mut out, "# ", "Where the values come from.");
    out.push_str(&format!(
        "# sources:\n#   sheet: {{kind: maker-sheet, title: \"{SHEET}\"}}\n# source: sheet\n"
    ));
    let own = |field: FieldId| record.values.iter().any(|line| line.field == field);
    let fields: Vec<(FieldId, &Field, bool)> =
        shop.catalogue.iter().filter(|(id, _)| own(*id)).map(|(id, field)| (id, field, false)).collect();
    blanks(&mut out, &shop.catalogue, &fields);
    (format!("specs/families/{id}.yaml"), out)
}
