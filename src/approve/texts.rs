//! Working out a review of procedures, cautions, conditions and services.

use std::collections::{BTreeMap, BTreeSet};

use super::approval::{day, reviewer};
use super::edit::{Item, append};
use super::request::{NotRecorded, tame};
use crate::date::Date;
use crate::diagnostic::{Finding, Severity, did_you_mean, rules};
use crate::pipeline::Checked;
use crate::record::RecordKind;
use crate::resolve::Shop;
use crate::review::{GONE_PART, Seen, TextKey, TextKind, named, of_shop, rests_on, text_counts, text_seal};
use crate::syntax::scalar;

/// Where the reviews of texts are kept.
pub const REVIEWS: &str = "specs/reviews.yaml";

/// What a new file of reviews begins with.
const START: &str = "# yaml-language-server: $schema=schema/reviews.schema.json\n\
    # Who reviewed which procedures, cautions, conditions and services. `benchleaf approve` adds to it; nothing is\n\
    # ever taken out.\n\
    reviews:\n";

/// What is asked for.
#[derive(Debug, Clone, Copy)]
pub struct TextRequest<'r> {
    /// The texts, each by its id or as `procedure:ID`, `caution:ID`, `condition:ID`, `service:ID`.
    pub ids: &'r [String],
    /// Who reviewed.
    pub by: &'r str,
    /// The day, as `2026-03-02`.
    pub date: &'r str,
    /// Also all that these rest on: a service's procedures, their cautions and conditions.
    pub whole: bool,
    /// Also those that somebody vouches for already.
    pub again: bool,
}

/// A review of texts as it will stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextApproval {
    /// The new text of [`REVIEWS`]; `None` where there is nothing to record that is not recorded already.
    pub text: Option<String>,
    /// What it vouches for, a line for each text.
    pub covered: Vec<String>,
    /// The same by kind and id.
    pub keys: BTreeSet<TextKey>,
}

/// Whether an id means a text and no fork, family or oil.
pub fn is_text(checked: &Checked, id: &str) -> bool {
    let shop = &checked.shop;
    if let Some((kind, _)) = id.split_once(':') {
        return TextKind::ALL.iter().any(|text| text.word() == kind);
    }
    let values = shop.fork(id).is_none() && shop.family(id).is_none() && shop.oil(id).is_none();
    values && !meant(checked, id).is_empty()
}

/// Works out the review.
///
/// # Errors
/// See [`NotRecorded`].
pub fn approve_texts(checked: &Checked, request: &TextRequest<'_>) -> Result<TextApproval, NotRecorded> {
    let shop = &checked.shop;
    let by = reviewer(shop, request.by)?;
    let date = day(checked, request.date)?;
    let mut keys: BTreeSet<TextKey> = BTreeSet::new();
    for id in request.ids {
        let key = one(checked, id)?;
        if request.whole {
            keys.extend(rests_on(shop, &key));
        }
        keys.insert(key);
    }
    let errors = errors_of(checked, &keys);
    if !errors.is_empty() {
        return Err(NotRecorded::Findings(errors));
    }
    let there = of_shop(shop);
    let vouched =
        |key: &TextKey| checked.texts.texts.get(key).is_some_and(|text| text.standing.is_reviewed());
    let chosen: BTreeMap<TextKey, Seen> = keys
        .into_iter()
        .filter(|key| request.again || !vouched(key))
        .map(|key| {
            let gone = || Seen::from([(GONE_PART.to_owned(), vec!["seen".to_owned()])]);
            let seen = there.get(&key).cloned().unwrap_or_else(gone);
            (key, seen)
        })
        .collect();
    against_others(shop, date, &chosen)?;
    let text = if chosen.is_empty() { None } else { Some(new_text(checked, by, date, &chosen)?) };
    let keys = chosen.keys().cloned().collect();
    Ok(TextApproval { text, covered: chosen.iter().map(in_words).collect(), keys })
}

/// The texts that an id may mean, those that are gone too.
fn meant(checked: &Checked, id: &str) -> Vec<TextKey> {
    let (kind, id) = id.split_once(':').map_or((None, id), |(kind, id)| (Some(kind), id));
    let fits = |key: &&TextKey| key.1 == id && kind.is_none_or(|kind| kind == key.0.word());
    let there = of_shop(&checked.shop);
    let gone = checked.texts.gone.iter().map(|gone| &gone.key);
    there.keys().chain(gone).filter(fits).cloned().collect()
}

/// The one text that an id means.
fn one(checked: &Checked, name: &str) -> Result<TextKey, NotRecorded> {
    let mut all = meant(checked, name);
    match all.len() {
        1 => Ok(all.remove(0)),
        0 => {
            let there = of_shop(&checked.shop);
            let id = name.split_once(':').map_or(name, |(_, id)| id);
            let hint = did_you_mean(id, there.keys().map(|(_, id)| id.as_str()), || {
                "name a procedure, a caution, a condition or a service by its id".to_owned()
            });
            Err(NotRecorded::Sentence(format!("there is no text `{}` here: {hint}", tame(name))))
        }
        _ => {
            let names: Vec<String> = all.iter().map(|(kind, id)| format!("`{}:{id}`", kind.word())).collect();
            Err(NotRecorded::Sentence(format!(
                "`{}` is the name of several texts: say {}",
                tame(name),
                names.join(" or ")
            )))
        }
    }
}

/// The errors in the files of these texts. That a guard is gone is what a review settles.
fn errors_of(checked: &Checked, keys: &BTreeSet<TextKey>) -> Vec<Finding> {
    let path = |(kind, id): &TextKey| match kind {
        TextKind::Procedure => RecordKind::Procedure.path(id),
        TextKind::Caution => RecordKind::Caution.path(id),
        TextKind::Condition => RecordKind::Conditions.path(id),
        TextKind::Service => RecordKind::Service.path(id),
    };
    let paths: BTreeSet<String> = keys.iter().map(path).chain([REVIEWS.to_owned()]).collect();
    let concerns = |finding: &&Finding| {
        finding.severity == Severity::Error
            && ![&rules::GUARD_TAKEN_AWAY, &rules::LIBRARY_GUARD_GONE].contains(&finding.rule)
            && paths.contains(&checked.files.get(finding.span.file).path)
    };
    checked.findings.iter().filter(concerns).cloned().collect()
}

/// A review that others have overtaken would not count. One of the same day is overtaken by this one, which stands
/// behind it.
fn against_others(shop: &Shop, date: Date, chosen: &BTreeMap<TextKey, Seen>) -> Result<(), NotRecorded> {
    for review in &shop.reviews.list {
        let Some(day) = text_counts(shop, review) else { continue };
        for (kind, (id, _)) in named(review) {
            if day > date && chosen.contains_key(&(kind, id.text.clone())) {
                return Err(NotRecorded::Sentence(format!(
                    "{} reviewed {} `{}` on {day}, after {date}, and the last review decides",
                    review.by.text,
                    kind.word(),
                    id.text
                )));
            }
        }
    }
    Ok(())
}

/// The file of reviews with this one added.
fn new_text(
    checked: &Checked,
    by: &str,
    date: Date,
    chosen: &BTreeMap<TextKey, Seen>,
) -> Result<String, NotRecorded> {
    let old = checked.files.iter().find(|(_, file)| file.path == REVIEWS).map(|(_, file)| file.text.as_str());
    let texts = chosen.iter().map(|((kind, id), seen)| (*kind, id.as_str(), seen));
    let digest = text_seal(&checked.shop.settings.name, by, &date.to_string(), texts);
    append(old.unwrap_or(START), "reviews", &[item(&checked.shop, by, date, chosen, &digest)]).map_err(
        |why| {
            NotRecorded::Sentence(format!(
                "{REVIEWS} cannot be added to: {why}; write it line by line, with `reviews:` as a list"
            ))
        },
    )
}

fn item(shop: &Shop, by: &str, date: Date, chosen: &BTreeMap<TextKey, Seen>, digest: &str) -> Item {
    let name = format!("shop: {}", scalar(&shop.settings.name));
    let mut lines = vec![name, format!("by: {}", scalar(by)), format!("date: \"{date}\"")];
    let mut flow = lines.clone();
    for kind in TextKind::ALL {
        let texts: Vec<String> = chosen
            .iter()
            .filter(|((of, _), _)| *of == kind)
            .map(|((_, id), seen)| format!("{}: {}", scalar(id), parts(seen)))
            .collect();
        if !texts.is_empty() {
            let key = format!("{}s:", kind.word());
            flow.push(format!("{key} {{{}}}", texts.join(", ")));
            lines.push(key);
            lines.extend(texts.into_iter().map(|text| format!("  {text}")));
        }
    }
    lines.push(format!("digest: {digest}"));
    flow.push(format!("digest: {digest}"));
    Item { lines, flow: format!("{{{}}}", flow.join(", ")) }
}

fn parts(seen: &Seen) -> String {
    let list =
        |words: &[String]| words.iter().map(|word| scalar(word).to_string()).collect::<Vec<_>>().join(", ");
    let parts: Vec<String> = seen.iter().map(|(part, words)| format!("{part}: [{}]", list(words))).collect();
    format!("{{{}}}", parts.join(", "))
}

/// What the review vouches for of one text, in a line.
fn in_words(((kind, id), seen): (&TextKey, &Seen)) -> String {
    const NAMED: [(&str, &str); 13] = [
        ("signal", "signal word"),
        ("needs", "needs"),
        ("only_after", "only after"),
        ("brings", "brings"),
        ("ends", "ends"),
        ("implies", "implies"),
        ("excludes", "excludes"),
        ("cautions", "cautions"),
        ("evidence", "evidence"),
        ("sets", "values"),
        ("writes", "boxes"),
        ("start", "begins with"),
        ("hand_back", "at hand-back"),
    ];
    let mut said: Vec<String> = Vec::new();
    if seen.contains_key(GONE_PART) {
        said.push("it is gone".to_owned());
    }
    if let Some(steps) = seen.get("steps") {
        said.push(crate::words::count(steps.len(), "step", "steps"));
    }
    if let Some(procedures) = seen.get("procedures") {
        said.push(crate::words::count(procedures.len(), "procedure", "procedures"));
    }
    let of_part = |(part, word): &(&str, &str)| Some(format!("{word} {}", seen.get(*part)?.join(", ")));
    said.extend(NAMED.iter().filter_map(of_part));
    let said = if said.is_empty() { "its text".to_owned() } else { said.join("; ") };
    format!("{} {id}: {said}", kind.word())
}
