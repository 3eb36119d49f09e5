//! What a record says of a value that its source does not give.

use crate::check::CheckedFork;
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::quantity::{Value, names_a_figure};
use crate::record::{Entry, Instead, SpecRecord};
use crate::resolve::Shop;
use crate::review::is_approver;
use crate::syntax::Scheme;
use crate::text::{FileId, Span};
use crate::words::one_of;

fn entries_of<'s>(shop: &'s Shop, record: &'s SpecRecord) -> impl Iterator<Item = (&'s str, &'s Entry)> {
    record.values.iter().flat_map(|line| {
        let key = shop.catalogue.field(line.field).key.as_str();
        line.sides.entries().map(move |entry| (key, entry))
    })
}

/// What a record says is done without a figure, by key. Where both legs share it, it stands in one place.
fn instead<'s>(shop: &'s Shop, record: &'s SpecRecord) -> Vec<(&'s str, &'s Instead)> {
    let said = entries_of(shop, record).filter_map(|(key, entry)| Some((key, entry.instead.as_ref()?)));
    let mut all: Vec<(&str, &Instead)> = said.collect();
    all.sort_by_key(|(_, instead)| instead.what.span);
    all.dedup_by_key(|(_, instead)| instead.what.span);
    all
}

/// known-and-unknown: a value is known or it is not.
pub(crate) fn both(shop: &Shop, record: &SpecRecord, findings: &mut Vec<Finding>) {
    for (key, entry) in entries_of(shop, record) {
        let Some(value) = &entry.value else { continue };
        let known = *value != Value::Unknown;
        if let Some(instead) = entry.instead.as_ref().filter(|_| known) {
            let what = format!("`{key}` says what is done without it, and is `{}`", entry.text.trim());
            findings.push(
                contradiction(instead.what.span, what).instead(
                    "take `instead:` out where the source says the value, else write `value: unknown`",
                ),
            );
        }
        let says = |value: &Option<Value>| value.as_ref().is_some_and(|value| *value != Value::Unknown);
        if let Some(said) = entry.also_said.iter().find(|said| !known && says(&said.value)) {
            let source = &said.source.text;
            let what = format!("`{key}` is unknown, and `{source}` says `{}`", said.text.text);
            findings.push(contradiction(said.text.span, what).instead(format!(
                "make what `{source}` says the value, with `source: {source}`, or take it out"
            )));
        }
    }
}

fn contradiction(span: Span, what: String) -> Finding {
    rules::KNOWN_AND_UNKNOWN
        .at(span, what)
        .bench("one reader sets the figure, and another looks for it in vain")
}

/// instead-not-by-approver: only an approver decides what is done without a figure.
pub(crate) fn by_approver(shop: &Shop, record: &SpecRecord, findings: &mut Vec<Finding>) {
    for (key, instead) in instead(shop, record) {
        if is_approver(shop, &instead.by.text) {
            continue;
        }
        let approvers = shop.settings.approvers.iter().map(|name| name.text.as_str());
        let all: Vec<&str> = approvers.clone().collect();
        findings.push(
            rules::INSTEAD_NOT_BY_APPROVER
                .at(
                    instead.by.span,
                    format!(
                        "`{}` is not among the shop's approvers, and says what is done without `{key}`",
                        instead.by.text
                    ),
                )
                .bench("work without a figure that nobody answers for is guesswork on a card")
                .instead(did_you_mean(&instead.by.text, approvers, || {
                    format!("let {} decide, or add the name to `approvers:` in specs/shop.yaml", one_of(&all))
                })),
        );
    }
}

/// figure-instead: what is done without a figure brings no other one, and sends nobody to another fork's.
pub(crate) fn figures(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    let said = shop.records().flat_map(|record| instead(shop, record));
    let of_records = said.map(|(_, instead)| (&instead.what.text, instead.what.span));
    let references = shop.procedures.iter().flat_map(|procedure| &procedure.body.references);
    let of_steps = references.filter_map(|reference| Some((reference.otherwise.as_ref()?, reference.span)));
    for (words, span) in of_records.chain(of_steps) {
        let what = match (names_a_figure(words), another_fork(shop, words, span.file)) {
            (Some(figure), _) => {
                format!("what is done without the figure brings a figure of its own: `{figure}`")
            }
            (None, Some(fork)) => {
                format!("what is done without the figure sends the reader to another fork: `{fork}`")
            }
            (None, None) => continue,
        };
        findings.push(
            rules::FIGURE_INSTEAD
                .at(span, what)
                .bench("it would be set as if the source had said it")
                .instead("say what is done in words; a figure belongs into the record, with its source"),
        );
    }
}

/// The first fork of the shop that a text names, by its id or by a model with a number in it; not the one whose own
/// record it stands in.
fn another_fork<'s>(shop: &'s Shop, words: &str, file: FileId) -> Option<&'s str> {
    let has_digit = |name: &&str| name.bytes().any(|letter| letter.is_ascii_digit());
    // Most words have none, and then name no fork.
    if !has_digit(&words) {
        return None;
    }
    let others = shop.forks.iter().filter(|fork| fork.file != file);
    others
        .flat_map(|fork| [fork.model.as_str(), fork.id.text.as_str()])
        .filter(has_digit)
        .find(|name| names(words, name))
}

/// Whether a text has this name as a word of its own.
fn names(words: &str, name: &str) -> bool {
    let is_letter =
        |letter: Option<char>| letter.is_some_and(|letter| letter.is_alphanumeric() || letter == '-');
    words.match_indices(name).any(|(at, _)| {
        !is_letter(words[..at].chars().next_back()) && !is_letter(words[at + name.len()..].chars().next())
    })
}

/// otherwise-without-number: only a link that prints a number says what is done where there is none.
pub(crate) fn otherwise(shop: &Shop, findings: &mut Vec<Finding>) {
    let bodies = shop.procedures.iter().map(|procedure| &procedure.body);
    let all = bodies.chain(shop.cautions.iter().map(|caution| &caution.body));
    for reference in all.flat_map(|body| &body.references) {
        let Some(words) = &reference.otherwise else { continue };
        // Behind a picture stands where else it is shown.
        if !matches!(reference.scheme, Scheme::Spec | Scheme::Picture) {
            findings.push(
                rules::OTHERWISE_WITHOUT_NUMBER
                    .at(
                        reference.span,
                        format!("`{words}` stands at a `{}:` link, which prints no number", reference.scheme),
                    )
                    .bench("what is to be done without the number would not reach the step")
                    .instead("write it behind the `spec:` link of the number that may be missing"),
            );
        }
    }
}
