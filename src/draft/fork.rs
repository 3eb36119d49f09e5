//! A draft of a fork: like another, or the first of its kind.

use super::write::{Draft, blanks, comment, quoted};
use crate::approve::{figure_of, with_title};
use crate::catalogue::{Catalogue, Field, FieldId, Owner, made};
use crate::record::{CALLED, MAKER, SHEET, SpecRecord, WHAT_IT_IS};
use crate::resolve::{ResolvedFork, Shop};
use crate::review::lines;

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
        "id: {id}\nmaker: {}   # `{}` is by {}\nmodel: {}\nstatus: draft\n",
        quoted(MAKER),
        like.id,
        record.maker.split_whitespace().collect::<Vec<_>>().join(" "),
        quoted(CALLED)
    ));
    let family = record.family.as_ref().and_then(|family| shop.family(&family.text));
    if let Some(family) = family {
        out.push_str(&format!("family: {}\n", family.id.text));
    }
    out.push_str(&format!("# machines:\n#   - {{maker: {MAKER}, model: {WHAT_IT_IS}, years: …}}\n"));
    let chosen_here = made(&like.choices).filter(|(key, chosen)| {
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
    if let Some(family) = family {
        brought(&mut out, shop, like, family, id);
    }
    blanks(&mut out, &shop.catalogue, &fields);
    (format!("specs/forks/{id}.yaml"), out)
}

/// What the family brings, with its figures, as comments: each is to be compared with the sheet of the new fork.
fn brought(out: &mut String, shop: &Shop, like: &ResolvedFork, family: &SpecRecord, id: &str) {
    let all = lines(like);
    let catalogue = &shop.catalogue;
    let brought = |safety: bool| {
        family.values.iter().filter(move |line| catalogue.field(line.field).safety == safety).filter(|line| {
            // What the like fork says itself, the family brings to the new one all the same.
            all.contains_key(&line.field) || catalogue.field(line.field).applies.holds(&like.choices)
        })
    };
    let choices = taken_choices(shop, like, family);
    if choices.is_empty() && brought(true).chain(brought(false)).next().is_none() {
        return;
    }
    out.push('\n');
    comment(
        out,
        "# ",
        &format!(
            "The family `{}` brings these. They were said of other models: compare each with this fork's own sheet. \
             Where it says otherwise, write it below its group; what is the same is recorded with \
             `benchleaf approve {id} --compared sheet`. Until then a sign marks them wherever they are printed.",
            family.id.text
        ),
    );
    if !choices.is_empty() {
        out.push_str("# What it is made of; the steps hang on it. A choice of this fork's own goes under `choices:`.\n");
        out.push_str(&choices.concat());
    }
    for (safety, title) in [(true, "These can hurt somebody:"), (false, "The others:")] {
        let mut lines = brought(safety).peekable();
        if lines.peek().is_some() {
            out.push_str(&format!("# {title}\n"));
        }
        for line in lines {
            out.push_str(&format!("#   {}: {}\n", catalogue.field(line.field).key, figure_of(line)));
        }
    }
}

/// The choices that the family makes, each in a line with its words.
fn taken_choices(shop: &Shop, like: &ResolvedFork, family: &SpecRecord) -> Vec<String> {
    let made = shop.catalogue.choices.iter().filter_map(|choice| {
        let option = &family.choices.get(&choice.key)?.text;
        let same = like.choices.get(&choice.key) == Some(option);
        // What stands behind the option stays a remark when the `# ` in front is taken away.
        let told =
            with_title(option, shop.catalogue.option_title(&choice.key, option)).replacen(": ", "   # ", 1);
        same.then(|| format!("#   {}: {told}\n", choice.key))
    });
    made.collect()
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
