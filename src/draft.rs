//! Drafts of new records: the right fields for a fork's choices, values blank rather than copied, and beside
//! each how it is measured. Pure: texts by path; nothing is written here.

use crate::catalogue::{Catalogue, Field, FieldId, Owner};
use crate::check::sample::BLANK;
use crate::plan::{Effect, Vocabulary, effect, is_for, on_legs};
use crate::quantity::Kind;
use crate::quantity::blank;
use crate::record::{PHASES, Procedure};
use crate::resolve::{ResolvedFork, Shop};

/// What a draft says until somebody writes what it is. None of it may reach a page as if it were so.
pub const PLACEHOLDERS: [&str; 7] = [MAKER, OIL_MAKER, CALLED, WHAT_IT_IS, SHEET, DATA_SHEET, LABEL];
const MAKER: &str = "Who made it";
const OIL_MAKER: &str = "Who makes it";
const CALLED: &str = "What it is called";
const WHAT_IT_IS: &str = "What it is";
const SHEET: &str = "The sheet's name and issue";
const DATA_SHEET: &str = "The data sheet's name and issue";
const LABEL: &str = "The text on the bottle";

/// What a draft of a procedure says in its one step, and as that step's reason.
pub const STEP_PLACEHOLDERS: [&str; 2] =
    ["Say what to do, one step an item.", "Say why, so that whoever does it knows what must not happen."];

/// A file to be written: its path inside the shop, and its text.
pub type Draft = (String, String);

/// Whether a text can be a record's id: small letters, digits and hyphens, as in a file's name.
pub fn is_id(text: &str) -> bool {
    let fits = text.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-');
    fits && !text.is_empty() && text.len() <= 60 && !text.starts_with('-') && !text.ends_with('-')
}

const WIDTH: usize = 100;

/// Adds a comment, wrapped, each line behind `lead`.
fn comment(out: &mut String, lead: &str, text: &str) {
    for line in
        textwrap::wrap(text, textwrap::Options::new(WIDTH).initial_indent(lead).subsequent_indent(lead))
    {
        out.push_str(line.trim_end());
        out.push('\n');
    }
}

/// A text as a YAML scalar in quotes.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

/// The commented-out lines of fields, by group.
fn blanks(out: &mut String, catalogue: &Catalogue, fields: &[(FieldId, &Field, bool)]) {
    let mut group = "";
    for (_, field, required) in fields {
        if field.group != group {
            group = &field.group;
            let title =
                catalogue.groups.iter().find(|known| known.key == *group).map_or(group, |known| &known.title);
            out.push_str(&format!("\n# {}\n# {group}:\n", title.to_uppercase()));
        }
        let mut about = field.title.clone();
        if field.safety {
            about.push_str(", SAFETY-CRITICAL: say it in two units or from two sources");
        }
        about.push_str(if *required { ". Must be given. " } else { ". " });
        about.push_str(&field.measured);
        if !field.state.is_empty() {
            about.push_str(&format!(" Its state must be said: {}.", field.state.join(", ")));
        }
        comment(out, "#   # ", about.trim_end());
        // A torque says in which state its thread is.
        let torque = field.attributes.iter().any(|key| key == "thread_state");
        let words = matches!(field.kind, Kind::Choice(_) | Kind::Reference(_) | Kind::Text);
        let example =
            field.examples.first().filter(|_| !words).map_or_else(String::new, |example| match torque {
                true => format!("   # in the form {{value: {}, thread_state: {BLANK}}}", blank(example)),
                false => format!("   # in the form {}", blank(example)),
            });
        out.push_str(&format!("#   {}:{example}\n", field.name));
    }
}

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
    let own = like.choices.iter().filter(|(key, chosen)| {
        family.and_then(|family| family.choices.get(*key)).is_none_or(|text| text.text != **chosen)
    });
    let own: Vec<String> = own.map(|(key, chosen)| format!("  {key}: {chosen}\n")).collect();
    if !own.is_empty() {
        out.push_str(&format!("choices:\n{}", own.concat()));
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

/// A draft of an oil.
pub fn oil(shop: &Shop, id: &str) -> Draft {
    let mut out = "# yaml-language-server: $schema=../schema/oil.schema.json\n".to_owned();
    comment(
        &mut out,
        "# ",
        "A draft. Write each value with its unit and take away the `# ` in front of it and of its group's name. \
         Set the status to published when nothing is missing.",
    );
    out.push_str(&format!("id: {id}\nmaker: \"{OIL_MAKER}\"\nproduct: \"{CALLED}\"\nstatus: draft\n"));
    out.push_str(&format!("# label: \"{LABEL}\"\n"));
    out.push_str(&format!(
        "sources:\n  data: {{kind: maker-sheet, title: \"{DATA_SHEET}\"}}\nsource: data\n"
    ));
    let none = crate::catalogue::Choices::new();
    let fields: Vec<(FieldId, &Field, bool)> =
        shop.catalogue.of(Owner::Oil).map(|(id, field)| (id, field, field.required.holds(&none))).collect();
    blanks(&mut out, &shop.catalogue, &fields);
    (format!("specs/oils/{id}.yaml"), out)
}

/// A draft of a procedure.
pub fn procedure(id: &str) -> Draft {
    let phases: Vec<&str> = PHASES.iter().map(|(id, _)| *id).collect();
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

/// A draft of a service for forks of one kind: every procedure that is for them, in order as far as that can be told.
pub fn service(shop: &Shop, like: &ResolvedFork, id: &str) -> Draft {
    let mut out = "# yaml-language-server: $schema=../../specs/schema/service.schema.json\n".to_owned();
    comment(
        &mut out,
        "# ",
        &format!(
            "A draft: every procedure that is for forks like `{}`. Remove what this service leaves out; `check` says where the order does not hold.",
            like.id
        ),
    );
    let chosen = |key: &str| like.choices.get(key).map(|option| format!("{key}: [{option}]"));
    let kind: Vec<String> =
        ["orientation", "damping", "springing"].iter().filter_map(|key| chosen(key)).collect();
    out.push_str(&format!(
        "id: {id}\ntitle: {}\nfor: [{{{}}}]\ntime: 1 h\nprocedures:\n",
        quoted(&title(id)),
        kind.join(", ")
    ));
    for procedure in in_order(shop, like) {
        let id = &procedure.id.text;
        // Others of the service's forks may be without the part.
        match procedure.fitted.is_empty() {
            true => out.push_str(&format!("  - {id}\n")),
            false => out.push_str(&format!("  - where_fitted: [{id}]\n")),
        }
    }
    (format!("procedures/services/{id}.yaml"), out)
}

/// The procedures for a fork in an order in which each finds what it needs, as far as there is one: of those that can
/// be done next, one that takes nothing away from what is still to be done, then by phase. Where none can be done,
/// that which lacks least comes next, and `check` tells of it.
fn in_order<'s>(shop: &'s Shop, like: &ResolvedFork) -> Vec<&'s Procedure> {
    let vocabulary = Vocabulary::of(shop);
    let meant = vocabulary.meant(like);
    let mut rest: Vec<(usize, &Procedure, Effect)> = Vec::new();
    for (phase, (name, _)) in PHASES.iter().enumerate() {
        let of_phase = shop.procedures.iter().filter(|procedure| procedure.phase == *name);
        rest.extend(of_phase.filter(|procedure| is_for(shop, procedure, like)).map(|procedure| {
            let legs = on_legs(shop, procedure, None, like);
            (phase, procedure, effect(&vocabulary, procedure, legs, &meant))
        }));
    }
    let mut held = vocabulary.with_implied(&vocabulary.slots(&shop.conditions.start, [true; 2], &meant));
    let mut out = Vec::with_capacity(rest.len());
    while !rest.is_empty() {
        let cost = |at: usize| {
            let (phase, _, own) = &rest[at];
            let lacks = own.needs.without(&held).iter().count();
            let taken = own.ends.and(&held);
            // What a later phase needs again, something between may bring about again.
            let spoilt = rest.iter().enumerate().filter(|(other, (later, _, effect))| {
                *other != at && later <= phase && !effect.needs.and(&taken).is_empty()
            });
            (lacks, spoilt.count(), *phase, at)
        };
        let Some(next) = (0..rest.len()).min_by_key(|at| cost(*at)) else { break };
        let (_, procedure, effect) = rest.remove(next);
        held.drop(&effect.ends);
        held.join(&effect.brings);
        out.push(procedure);
    }
    out
}

fn title(id: &str) -> String {
    let words = id.replace('-', " ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}", first.to_uppercase(), letters.as_str()))
}

macro_rules! starter {
    ($($path:literal),* $(,)?) => { [$(($path, include_str!(concat!("../tests/shops/plain/", $path)))),*] };
}

/// The small shop a new shop begins with. It is one of the clean shops the rules are tested with.
const STARTER: [(&str, &str); 12] = starter!(
    "procedures/cautions/trapped-air.md",
    "procedures/close-leg.md",
    "procedures/services/full-service.yaml",
    "procedures/set-air-gap.md",
    "specs/families/tarn-road.yaml",
    "specs/forks/tarn-41.yaml",
    "specs/forks/tarn-45.yaml",
    "specs/oils/ember-15.yaml",
    "specs/shop.yaml",
    "specs/tools/fork-oil.yaml",
    "specs/tools/gap-gauge.yaml",
    "specs/tools/torque-wrench.yaml",
);

/// The files of a new shop: a small invented one that checks clean and builds, its forks marked as drafts, and
/// the schemas for editors.
pub fn shop(catalogue: &Catalogue) -> Vec<Draft> {
    let mut out: Vec<Draft> =
        STARTER.iter().map(|(path, text)| ((*path).to_owned(), example(path, text))).collect();
    for (kind, name) in crate::schema::FILES {
        out.push((format!("specs/schema/{name}"), crate::schema::file_text(catalogue, kind)));
    }
    out
}

fn example(path: &str, text: &str) -> String {
    if path == "specs/shop.yaml" {
        let own = text.lines().filter(|line| !line.starts_with("place:") && !line.starts_with("approvers:"));
        let own = own.map(|line| if line.starts_with("name:") { "name: Our fork bench" } else { line });
        return format!(
            "# yaml-language-server: $schema=schema/shop.schema.json\n{}\n",
            own.collect::<Vec<_>>().join("\n")
        );
    }
    match path.rsplit_once('.') {
        // An invented fork must not be worked from.
        Some((_, "yaml")) => format!(
            "# An invented example: replace it.\n{}",
            text.replace("status: published", "status: draft")
        ),
        _ => text.to_owned(),
    }
}
