//! A draft of a fork: like another, or the first of its kind.

use super::write::{Draft, blanks, comment, quoted};
use crate::catalogue::{Catalogue, Field, FieldId, Owner};
use crate::record::{CALLED, MAKER, SHEET, WHAT_IT_IS};
use crate::resolve::{ResolvedFork, Shop};

/// A draft of a fork with the choices of another: what its family says is left to the family.
pub fn fork(shop: &Shop, like: &ResolvedFork, id: &str) -> Draft {
    let record = &like.record;
    let mut out = "# yaml-language-server: $schema=../schema/fork.schema.json\n".to_owned();
    comment(
        &mut out,
        "# ",
        &format!(
            "A draft with the choices of `{}`; no value is copied. Write each value with its unit after its key, \
             take away the `# ` in front of it and of its group's name, and remove what this fork does not have. \
             Set the status to published when nothing is missing.",
            like.id
        ),
    );
    out.push_str(&format!(
        "id: {id}\nmaker: {}\nmodel: {}\nstatus: draft\n",
        quoted(&record.maker),
        quoted(CALLED)
    ));
    let family = record.family.as_ref().and_then(|family| shop.family(&family.text));
    if let Some(family) = family {
        out.push_str(&format!("family: {}\n", family.id.text));
    }
    out.push_str(&format!("# machines:\n#   - {{maker: {MAKER}, model: {WHAT_IT_IS}, years: …}}\n"));
    let chosen_here = like.choices.iter().filter(|(key, chosen)| {
        family.and_then(|family| family.choices.get(*key)).is_none_or(|text| text.text != **chosen)
    });
    let chosen_here: Vec<String> = chosen_here.map(|(key, chosen)| format!("  {key}: {chosen}\n")).collect();
    if !chosen_here.is_empty() {
        out.push_str(&format!("choices:\n{}", chosen_here.concat()));
    }
    out.push_str(&format!("sources:\n  sheet: {{kind: maker-sheet, title: \"{SHEET}\"}}\nsource: sheet\n"));
    let given =
        |field: FieldId| family.is_some_and(|family| family.values.iter().any(|line| line.field == field));
    let fields: Vec<(FieldId, &Field, bool)> = shop
        .catalogue
        .of(Owner::Fork)
        .filter(|(id, field)| field.applies.holds(&like.choices) && !given(*id))
        .map(|(id, field)| (id, field, field.required.holds(&like.choices)))
        .collect();
    blanks(&mut out, &shop.catalogue, &fields);
    (format!("specs/forks/{id}.yaml"), out)
}

/// A draft of a fork like no other: the choices to be made, each with its options. Which values it needs hangs on
/// them, so `check` names those once they are made.
pub fn first_of_its_kind(catalogue: &Catalogue, id: &str) -> Draft {
    let mut out = "# yaml-language-server: $schema=../schema/fork.schema.json\n".to_owned();
    comment(
        &mut out,
        "# ",
        "A draft. Make the choices: take away the `# ` in front of `choices:` and of each that this fork calls for, and keep \
         one of its options. Then `benchleaf check` names every value the fork needs, and the editor says how each is measured. \
         Set the status to published when nothing is missing.",
    );
    out.push_str(&format!("id: {id}\nmaker: \"{MAKER}\"\nmodel: \"{CALLED}\"\nstatus: draft\n"));
    out.push_str(&format!(
        "# machines:\n#   - {{maker: {MAKER}, model: {WHAT_IT_IS}, years: …}}\n# choices:\n"
    ));
    for choice in &catalogue.choices {
        comment(&mut out, "#   # ", &format!("{}. {}", choice.title, choice.help));
        let options: Vec<&str> = choice.options.iter().map(|(id, _)| id.as_str()).collect();
        out.push_str(&format!("#   {}: {}\n", choice.key, options.join(" | ")));
    }
    out.push_str(&format!("sources:\n  sheet: {{kind: maker-sheet, title: \"{SHEET}\"}}\nsource: sheet\n"));
    (format!("specs/forks/{id}.yaml"), out)
}
