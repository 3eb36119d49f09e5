//! What a reader sees of a procedure, a caution, a condition or a service: part by part, so that a review can say
//! later which part is no longer as it was seen.
//!
//! Guards (what must hold, what is warned of, what is set) are kept by name. The words are kept as codes: a code
//! covers the words, the links and their order, and nothing of how they are wrapped into lines, numbered, indented,
//! emphasized or commented.

use std::collections::BTreeMap;

use serde_json::{Value as Json, json};

use super::code::short;
use super::limits;
use crate::catalogue::When;
use crate::quantity::Quantity;
use crate::record::{Caution, Condition, Constant, Holder, OnLegs, Procedure, Service, Signal, Text, WORKS};
use crate::resolve::Shop;
use crate::syntax::Scheme;
use crate::syntax::markdown::{Body, Part, Prose, Reference, Step};

/// The kinds of text that are reviewed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TextKind {
    /// A procedure.
    Procedure,
    /// A caution.
    Caution,
    /// A condition.
    Condition,
    /// A service.
    Service,
}

impl TextKind {
    /// Every kind, in the order of a review.
    pub const ALL: [TextKind; 4] =
        [TextKind::Procedure, TextKind::Caution, TextKind::Condition, TextKind::Service];

    /// What a person calls it.
    pub fn word(self) -> &'static str {
        match self {
            TextKind::Procedure => "procedure",
            TextKind::Caution => "caution",
            TextKind::Condition => "condition",
            TextKind::Service => "service",
        }
    }
}

/// A text by kind and id.
pub type TextKey = (TextKind, String);

/// What is seen of a text: the words of each part.
pub type Seen = BTreeMap<String, Vec<String>>;

/// The part under which the sentences of a caution are kept one by one.
pub(super) const SENTENCES: &str = "sentences";

/// The part under which the sentences that guard somebody are kept, in their own words.
pub(super) const SAYS: &str = "says";

/// The part under which the reasons of steps are kept: they explain, and hold nobody back.
pub(super) const REASONS: &str = "reasons";

/// What every code of this form begins with; another form gets another number.
const FORM: &str = "benchleaf text 1";

/// The sentences of a text, each as a code.
pub(super) fn sentences(body: &Body) -> Vec<String> {
    sentence_texts(body).iter().map(|text| short(text.as_bytes())).collect()
}

/// The sentences of a text: those beside its steps first, then those of each step and of its reason.
fn sentence_texts(body: &Body) -> Vec<String> {
    let steps = body.steps().flat_map(|step| {
        words(&step.action).into_iter().chain(step.reason.iter().flat_map(words)).collect::<Vec<_>>()
    });
    split(beside(body).into_iter().chain(steps))
}

/// What is done, sentence by sentence in the order of the steps, without reasons.
pub(super) fn acts(body: &Body) -> Vec<String> {
    split(body.steps().flat_map(|step| words(&step.action)))
}

fn split(texts: impl Iterator<Item = String>) -> Vec<String> {
    let sentences = |text: String| {
        text.split(". ").map(|one| one.trim().trim_end_matches('.').to_owned()).collect::<Vec<_>>()
    };
    texts.flat_map(sentences).collect()
}

/// The cautions of a text's steps, each as often as a step carries it.
pub(super) fn carried(body: &Body) -> Vec<String> {
    let mut all: Vec<String> =
        body.steps().flat_map(|step| &step.cautions).map(|caution| caution.target.clone()).collect();
    all.sort();
    all
}

fn coded(content: &Json) -> Vec<String> {
    vec![short(json!([FORM, content]).to_string().as_bytes())]
}

pub(super) fn words(prose: &Prose) -> Vec<String> {
    prose.paragraphs(Reference::seen)
}

/// Words in the order of the alphabet, each once.
fn names<'t>(names: impl IntoIterator<Item = &'t str>) -> Vec<String> {
    let mut out: Vec<String> = names.into_iter().map(str::to_owned).collect();
    out.sort();
    out.dedup();
    out
}

pub(super) fn ids(list: &[Text]) -> Vec<String> {
    names(list.iter().map(|text| text.text.as_str()))
}

fn linked(body: &Body, scheme: Scheme) -> Vec<String> {
    names(body.references.iter().filter(|link| link.scheme == scheme).map(|link| link.target.as_str()))
}

fn amount(quantity: &Option<Quantity>) -> String {
    quantity.as_ref().map(Quantity::canonical).unwrap_or_default()
}

fn when(when: &When) -> Json {
    let mut ways: Vec<Json> = when
        .0
        .iter()
        .map(|all| {
            json!(
                all.iter()
                    .map(|(choice, options)| (choice, names(options.iter().map(String::as_str))))
                    .collect::<Vec<_>>()
            )
        })
        .collect();
    ways.sort_by_key(Json::to_string);
    json!(ways)
}

/// The numbers that are the same on every fork, each with its reason, whatever their order: nothing where there are
/// none, so that the review of a text without them stays what it was.
fn constants(all: &[Constant]) -> Vec<String> {
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut said: Vec<[String; 2]> =
        all.iter().map(|one| [plain(&one.value.text), plain(&one.reason)]).collect();
    said.sort();
    if said.is_empty() { Vec::new() } else { coded(&json!(said)) }
}

/// The text that is in no step.
pub(super) fn beside(body: &Body) -> Vec<String> {
    let texts = body.parts.iter().filter_map(|part| match part {
        Part::Heading(prose) | Part::Prose(prose) => Some(words(prose)),
        Part::Step(_) => None,
    });
    texts.flatten().collect()
}

fn step(step: &Step) -> String {
    let cautions: Vec<&str> = step.cautions.iter().map(|caution| caution.target.as_str()).collect();
    coded(&json!([words(&step.action), Json::Null, cautions])).concat()
}

/// The reasons of a procedure's steps, in their order.
fn reasons(body: &Body) -> Vec<String> {
    let said: Vec<_> = body.steps().filter_map(|step| step.reason.as_ref()).map(words).collect();
    if said.is_empty() { Vec::new() } else { coded(&json!(said)) }
}

fn seen<const N: usize>(parts: [(&str, Vec<String>); N]) -> Seen {
    let said = parts.into_iter().filter(|(_, words)| !words.is_empty());
    said.map(|(part, words)| (part.to_owned(), words)).collect()
}

/// What is seen of a procedure.
pub fn of_procedure(procedure: &Procedure) -> Seen {
    let Procedure { applies, fitted, legs, body, .. } = procedure;
    let legs = OnLegs::ALL.iter().find(|(_, on)| on == legs).map_or("", |(word, _)| word);
    let head = json!([
        procedure.title,
        procedure.phase.map_or("", crate::record::Phase::id),
        [amount(&procedure.time), amount(&procedure.waiting), amount(&procedure.pours)],
        [ids(&procedure.tools), ids(&procedure.consumables), ids(&procedure.renews)],
    ]);
    seen([
        ("head", coded(&head)),
        ("for", coded(&json!([when(applies), ids(fitted), legs]))),
        ("constants", constants(&procedure.constants)),
        ("text", coded(&json!(beside(body)))),
        ("steps", body.steps().map(step).collect()),
        (REASONS, reasons(body)),
        (SAYS, limits::of_procedure(body)),
        ("needs", ids(&procedure.needs)),
        ("brings", ids(&procedure.brings)),
        ("ends", ids(&procedure.ends)),
        ("cautions", linked(body, Scheme::Caution)),
        ("sets", linked(body, Scheme::Spec)),
        ("writes", linked(body, Scheme::Reading)),
        ("sign_off", procedure.sign_off.iter().cloned().collect()),
        ("on_card", procedure.on_card.iter().cloned().collect()),
        ("again", ids(&procedure.again)),
        ("waits", procedure.waiting.iter().map(Quantity::canonical).collect()),
        ("pours", procedure.pours.iter().map(Quantity::canonical).collect()),
        ("renews", ids(&procedure.renews)),
        ("uses_up", ids(&procedure.consumables)),
    ])
}

/// What is worn for a procedure: a tool of its list that no step need name.
fn worn(shop: &Shop, procedure: &Procedure) -> Vec<String> {
    let is_worn = |id: &&Text| shop.tool(&id.text).is_some_and(|tool| tool.worn);
    names(procedure.tools.iter().chain(&procedure.consumables).filter(is_worn).map(|id| id.text.as_str()))
}

/// What is seen of a procedure, and of what it lays out.
fn of_procedure_in(shop: &Shop, procedure: &Procedure) -> Seen {
    let mut out = of_procedure(procedure);
    let worn = worn(shop, procedure);
    if !worn.is_empty() {
        out.insert("worn".to_owned(), worn);
    }
    out
}

/// What is seen of a caution.
pub fn of_caution(caution: &Caution) -> Seen {
    seen([
        ("head", coded(&json!(caution.title))),
        ("for", coded(&when(&caution.applies))),
        ("constants", constants(&caution.constants)),
        ("text", coded(&json!(beside(&caution.body)))),
        (SENTENCES, sentences(&caution.body)),
        (SAYS, limits::of_caution(&caution.body)),
        ("signal", vec![signal(caution.signal)]),
        (
            "warns_at",
            names([&caution.warns_at, &caution.warns_also_at].into_iter().flatten().map(|id| &*id.text)),
        ),
        ("warns_at_end_of", ids(&caution.warns_at_end_of)),
        ("warns_with", ids(&caution.warns_with)),
        ("whole_job", caution.whole_job.iter().cloned().collect()),
        ("called", std::iter::once(&caution.title).chain(&caution.word).cloned().collect()),
    ])
}

fn signal(signal: Signal) -> String {
    signal.word().to_lowercase()
}

/// What a condition says, and what happens at the bench where it does not hold, each as one text.
fn said_of(condition: &Condition) -> Vec<String> {
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let both = [plain(&condition.says), condition.otherwise.as_deref().map(plain).unwrap_or_default()];
    both.into_iter().filter(|text| !text.is_empty()).collect()
}

/// What is seen of a condition.
pub fn of_condition(condition: &Condition) -> Seen {
    let holder = Holder::ALL.iter().find(|(_, holder)| *holder == condition.per).map_or("", |(word, _)| word);
    let works = WORKS.iter().find(|(_, works)| *works == condition.works).map_or("", |(word, _)| word);
    let state = condition.state.iter().map(|(key, word)| format!("{}: {}", key.text, word.text));
    seen([
        ("text", coded(&json!([condition.says, condition.otherwise]))),
        (SAYS, said_of(condition)),
        ("for", coded(&json!([holder, works, when(&condition.applies), ids(&condition.fitted)]))),
        ("implies", ids(&condition.implies)),
        ("excludes", ids(&condition.excludes)),
        ("cautions", ids(&condition.cautions)),
        ("signal", condition.least_signal.map(signal).into_iter().collect()),
        ("evidence", ids(&condition.evidence)),
        ("only_after", ids(&condition.only_after)),
        ("ended_by", ids(&condition.ended_by)),
        ("handed_back", ids(&condition.hand_back)),
        ("only_then", ids(&condition.only_then)),
        ("not_then", ids(&condition.not_then)),
        ("not_said", ids(&condition.not_said)),
        ("state", names(state.collect::<Vec<_>>().iter().map(String::as_str))),
    ])
}

/// What is seen of a service. What holds for every service is seen in each of them.
pub fn of_service(shop: &Shop, service: &Service) -> Seen {
    let entries: Vec<Json> = service
        .entries
        .iter()
        .map(|entry| {
            let options: Vec<&str> = entry.options.iter().map(|id| id.text.as_str()).collect();
            json!([format!("{:?}", entry.pick), options, entry.legs.map(|legs| format!("{legs:?}"))])
        })
        .collect();
    let common = |of_all: &[Text], own: &[Text]| names(of_all.iter().chain(own).map(|id| id.text.as_str()));
    let head = json!([service.title, amount(&service.time), service.whole, service.notes]);
    seen([
        ("head", coded(&head)),
        ("for", coded(&when(&service.applies))),
        ("order", coded(&json!(entries))),
        ("procedures", ids(&service.procedures)),
        ("start", common(&shop.conditions.start, &service.start)),
        ("hand_back", common(&shop.conditions.hand_back, &service.hand_back)),
    ])
}

/// What is seen of every text of a shop.
pub fn of_shop(shop: &Shop) -> BTreeMap<TextKey, Seen> {
    let procedures =
        shop.procedures.iter().map(|one| ((TextKind::Procedure, &one.id), of_procedure_in(shop, one)));
    let cautions = shop.cautions.iter().map(|one| ((TextKind::Caution, &one.id), of_caution(one)));
    let conditions =
        shop.conditions.list.iter().map(|one| ((TextKind::Condition, &one.id), of_condition(one)));
    let services = shop.services.iter().map(|one| ((TextKind::Service, &one.id), of_service(shop, one)));
    let all = procedures.chain(cautions).chain(conditions).chain(services);
    all.map(|((kind, id), seen)| ((kind, id.text.clone()), seen)).collect()
}
