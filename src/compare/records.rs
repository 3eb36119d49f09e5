//! Records that came, went, were renamed, or changed in what is not a value.

use std::collections::BTreeSet;

use super::change::RecordChange;
use super::pairs::Pairs;
use crate::pipeline::Checked;
use crate::record::{Machine, Part, RecordKind, STILL_MADE, SpecRecord};
use crate::resolve::ResolvedFork;
use crate::words::count;

pub(super) fn records(old: &Checked, new: &Checked, pairs: &Pairs<'_>) -> Vec<RecordChange> {
    let mut out = Vec::new();
    for (before, after) in &pairs.both {
        fork((old, before), (new, after), &mut out);
    }
    for fork in &pairs.added {
        let all = || fork.whole.values().chain(fork.legs.iter().flat_map(|leg| leg.values.values()));
        let count = all().map(|value| value.field).collect::<BTreeSet<_>>().len();
        let guessed =
            all().filter(|value| value.is_estimate()).map(|value| value.field).collect::<BTreeSet<_>>().len();
        let guessed = if guessed == 0 { String::new() } else { format!(", {guessed} of them estimates") };
        let title = fork.record.title();
        out.push(RecordChange {
            record: format!("fork {}", fork.id),
            what: format!("is new: {title}, {count} values{guessed}"),
        });
    }
    for fork in &pairs.removed {
        let title = fork.record.title();
        out.push(RecordChange { record: format!("fork {}", fork.id), what: format!("is gone: {title}") });
    }
    reviews(old, new, pairs, &mut out);
    text_reviews(old, new, &mut out);
    let none = BTreeSet::new();
    // Released cards are told by what became of them.
    let alone = |kind: &RecordKind| {
        !matches!(kind, RecordKind::Fork | RecordKind::Build | RecordKind::Released | RecordKind::Reviews)
    };
    for kind in RecordKind::ALL.into_iter().filter(alone) {
        let before = old.shop.known.get(&kind).unwrap_or(&none);
        let after = new.shop.known.get(&kind).unwrap_or(&none);
        let mut say = |id: &str, what: &str| {
            out.push(RecordChange { record: format!("{} {id}", kind.word()), what: what.to_owned() });
        };
        after.difference(before).for_each(|id| say(id, "is new"));
        before.difference(after).for_each(|id| say(id, "is gone"));
    }
    for (_, file) in new.files.iter() {
        let kind = RecordKind::of(&file.path);
        let compared_as_text =
            matches!(kind, Some(RecordKind::Shop | RecordKind::Tool)) || file.path.starts_with("templates/");
        let before = old.files.iter().find(|(_, was)| was.path == file.path);
        if let Some((_, was)) = before.filter(|_| compared_as_text)
            && was.text != file.text
        {
            out.push(RecordChange { record: file.path.clone(), what: "reads differently".to_owned() });
        }
    }
    out.sort();
    out
}

/// Reviews that were recorded or taken out, record by record.
fn reviews(old: &Checked, new: &Checked, pairs: &Pairs<'_>, out: &mut Vec<RecordChange>) {
    let forks = pairs.both.iter().map(|(was, is)| (was.record.as_ref(), is.record.as_ref()));
    let families =
        new.shop.families.iter().filter_map(|is| Some((old.shop.family(&is.id.text)?.as_ref(), is.as_ref())));
    let oils = new.shop.oils.iter().filter_map(|is| Some((old.shop.oil(&is.id.text)?, is.as_ref())));
    for (was, is) in forks.chain(families).chain(oils) {
        for (here, there, what) in [(is, was, "is new"), (was, is, "was taken out")] {
            for review in &here.reviewed {
                if there.reviewed.iter().all(|other| other.digest.text != review.digest.text) {
                    let count = review.values.len();
                    let values = if count == 1 { "1 value".to_owned() } else { format!("{count} values") };
                    out.push(RecordChange {
                        record: is.name(),
                        what: match &review.compared {
                            None => format!(
                                "the review of {values} by {} on {} {what}",
                                review.by.text, review.date.text
                            ),
                            Some(source) => format!(
                                "the comparison of {values} of the family with `{}` by {} on {} {what}",
                                source.text, review.by.text, review.date.text
                            ),
                        },
                    });
                }
            }
        }
    }
}

/// Reviews of procedures, cautions, conditions and services that were recorded or taken out.
fn text_reviews(old: &Checked, new: &Checked, out: &mut Vec<RecordChange>) {
    let (was, is) = (&old.shop.reviews.list, &new.shop.reviews.list);
    for (here, there, what) in [(is, was, "is new"), (was, is, "was taken out")] {
        for review in here {
            if there.iter().all(|other| other.digest.text != review.digest.text) {
                let lists = [&review.procedures, &review.cautions, &review.conditions, &review.services];
                let texts = count(lists.iter().map(|list| list.len()).sum(), "text", "texts");
                out.push(RecordChange {
                    record: "reviews".to_owned(),
                    what: format!(
                        "the review of {texts} by {} on {} {what}",
                        review.by.text, review.date.text
                    ),
                });
            }
        }
    }
}

fn fork(
    (old, was): (&Checked, &ResolvedFork),
    (new, is): (&Checked, &ResolvedFork),
    out: &mut Vec<RecordChange>,
) {
    let mut say = |what: String| out.push(RecordChange { record: format!("fork {}", is.id), what });
    if was.id != is.id {
        say(format!("was called {}", was.id));
    }
    let (from, to) = (&was.record, &is.record);
    let mut heads = |title: &str, a: String, b: String| {
        if a != b {
            say(otherwise(title, &a, &b));
        }
    };
    heads("maker", from.maker.clone(), to.maker.clone());
    heads("model", from.model.clone(), to.model.clone());
    heads("status", status(from), status(to));
    heads("family", family(from), family(to));
    heads("machines", machines(from), machines(to));
    heads("parts", parts(from), parts(to));
    heads("notes", from.notes.clone().unwrap_or_default(), to.notes.clone().unwrap_or_default());
    for key in was.choices.keys().chain(is.choices.keys()).collect::<BTreeSet<_>>() {
        let of = |checked: &Checked, fork: &ResolvedFork| {
            let chosen = fork.choices.get(key);
            chosen
                .map(|chosen| checked.shop.catalogue.option_title(key, chosen).to_owned())
                .unwrap_or_default()
        };
        let title = new.shop.catalogue.choice(key).map_or(key.as_str(), |choice| choice.title.as_str());
        heads(title, of(old, was), of(new, is));
    }
}

fn status(record: &SpecRecord) -> String {
    if record.draft { "draft" } else { "published" }.to_owned()
}

fn family(record: &SpecRecord) -> String {
    record.family.as_ref().map(|text| text.text.clone()).unwrap_or_default()
}

fn machines(record: &SpecRecord) -> String {
    let in_words = |machine: &Machine| {
        let (first, last) = machine.years;
        let last = if last == STILL_MADE { String::new() } else { last.to_string() };
        let seen = if machine.seen.is_empty() { String::new() } else { format!(" ({})", machine.seen) };
        format!("{} {} {first}..{last}{seen}", machine.maker, machine.model)
    };
    record.machines.iter().map(in_words).collect::<Vec<_>>().join("; ")
}

fn parts(record: &SpecRecord) -> String {
    let in_words = |part: &Part| {
        let services: Vec<&str> = part.services.iter().map(|id| id.text.as_str()).collect();
        let of = if services.is_empty() { String::new() } else { format!(" for {}", services.join(" and ")) };
        format!("{} × {} {}{of}", part.count, part.title.text, part.number.text)
    };
    record.parts.iter().map(in_words).collect::<Vec<_>>().join("; ")
}

/// What of a head came, went or is otherwise, in plain words.
fn otherwise(title: &str, was: &str, is: &str) -> String {
    match (was, is) {
        ("", is) => format!("{title}: {is} was added"),
        (was, "") => format!("{title}: {was} was taken out"),
        (was, is) => format!("{title}: {was} before, {is} now"),
    }
}
