//! The page to work from.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use serde::Serialize;

use super::kind::{Heading, Page, Subject};
use crate::book::doubt::IN_DOUBT;
use crate::book::due::due;
use crate::book::figure::{machines_line, time, usual_units};
use crate::book::gaps::GAP;
use crate::book::held::Held;
use crate::book::inherited::taken_over;
use crate::book::links::{card_href, fork_href, procedure_href, sequence_href, service_href};
use crate::book::reading::is_meant;
use crate::book::short::UNKNOWN;
use crate::book::sign::signed;
use crate::book::texts::ForkTexts;
use crate::book::view::{DueView, Link, TakenOver};
use crate::book::{Book, build, text_review, vouch};
use crate::card::content::codes_of;
use crate::catalogue::{Field, FieldId, Role};
use crate::check::CheckedFork;
use crate::judge::{Tables, boxes};
use crate::plan::{Plan, Planned, legs_word};
use crate::quantity::Dimension;
use crate::record::{JobMachine, Phase, Procedure, Signal};
use crate::site::desk::Desk;
use crate::site::glossary::Linked;
use crate::site::printed;
use crate::site::prose::{Setting, cautions_of};
use crate::site::sections::{Place, SectionKey, steps};
use crate::site::shelf;
use crate::site::templates::TemplateProblem;
use crate::site::view::{PullView, Section};

/// Where a procedure stands on the page, with its text.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SectionText {
    /// Its place in the service, from 1.
    pub number: usize,
    /// Its fragment identifier.
    pub anchor: String,
    /// What it is called.
    pub title: String,
    /// The section: finished HTML, made from `section.html`.
    pub section_html: Held,
}

/// A part of the job: its procedures in order.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct PhaseView {
    /// Its fragment identifier.
    pub anchor: String,
    /// What it is called; empty where its procedures name none.
    pub title: String,
    /// How many steps it has.
    pub steps: usize,
    /// Its procedures.
    pub sections: Vec<SectionText>,
}

/// A number to set with the state it belongs to.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SetTo {
    /// What it is.
    pub name: String,
    /// What warns of it: `BUILD` where it is no figure of the fork’s maker, `UNKNOWN`, `ESTIMATE`, `IN DOUBT`, `CHANGED` or `UNREVIEWED`, each once; may be empty.
    pub marks: Vec<String>,
    /// The number with its unit and tolerance, left and right where they differ.
    pub value: String,
    /// The state it is read in; may be empty.
    pub state: String,
}

/// An oil that may go in.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct JobOilChoice {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub title: String,
}

/// What the page's script needs to keep a job and to write its file.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct JobForm {
    /// Fork, service, card and so on as JSON.
    pub facts: String,
    /// The machines on record, each in one line.
    pub machines: Vec<String>,
    /// The unit of the machine's distance.
    pub distance: String,
    /// The oils of the shop, this fork's own first.
    pub oils: Vec<JobOilChoice>,
}

/// The page to work from, `service.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ServiceView {
    /// The fork's page.
    pub fork: Link,
    /// The machines it is fitted to, in one line.
    pub machines: String,
    /// What the service is called.
    pub service: String,
    /// How long it takes; may be empty.
    pub time: String,
    /// The fork is a draft.
    pub draft: bool,
    /// `CHANGED` or `UNREVIEWED`, to stand before what is said of the review; empty where nothing is.
    pub review_word: String,
    /// What is to be said of values that nobody vouches for as they are, one sentence; empty where there is
    /// nothing, or where the shop does not review.
    pub review: String,
    /// `CHANGED` or `UNREVIEWED`, to stand before what is said of the review of the steps; empty where nothing is.
    pub steps_word: String,
    /// What is to be said of procedures, cautions and conditions that nobody vouches for as they are, one sentence;
    /// may be empty.
    pub steps_review: String,
    /// What the fork takes over from its family and nobody compared with a sheet of this fork.
    pub taken_over: TakenOver,
    /// Which values `check` has a finding open on, one sentence; empty where there is none.
    pub doubt: String,
    /// The bench card; a draft has none.
    pub card: Option<Link>,
    /// Under which name ticks and readings are remembered on the device.
    pub memory: String,
    /// How many steps there are.
    pub steps: usize,
    /// What to take from the shelf.
    pub pull: PullView,
    /// How many things that is.
    pub pull_count: usize,
    /// When oil, seals and so on are next due.
    pub due: DueView,
    /// The page of its sequence chart; none in a shop without conditions.
    pub chart: Option<Link>,
    /// The numbers to set, for the bar at the top.
    pub numbers: Vec<SetTo>,
    /// What is asked of each reading of this page, as JSON: the script judges by it what is typed.
    pub asked: String,
    /// The job that the page is worked for.
    pub job: JobForm,
    /// Checks that could not be made, and why.
    pub not_made: Vec<String>,
    /// Its parts in order, each with its procedures.
    pub phases: Vec<PhaseView>,
}

/// The page of a fork and one of its services.
pub struct ServicePage<'s> {
    fork: &'s CheckedFork,
    /// The service, as its place among the fork's plans.
    at: usize,
    path: String,
}

/// One for each fork and each of its services.
pub fn all<'s>(desk: &Desk<'_, 's>) -> Vec<ServicePage<'s>> {
    let of_fork = |fork: &'s CheckedFork| {
        let path = |plan: &Plan<'_>| service_href(&fork.id, &plan.service.id.text);
        let paths = desk.book.plans.of(fork).iter().map(path).enumerate();
        paths.map(|(at, path)| ServicePage { fork, at, path }).collect::<Vec<_>>()
    };
    desk.book.forks.iter().flat_map(of_fork).collect()
}

impl<'s> Page<'s> for ServicePage<'s> {
    type View = ServiceView;

    const TEMPLATE: &'static str = "service";

    fn path(&self) -> String {
        self.path.clone()
    }

    fn subject(&self) -> Subject<'s> {
        Subject::Fork(self.fork)
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<ServiceView, TemplateProblem> {
        let (book, fork) = (desk.book, self.fork);
        let plan = &book.plans.of(fork)[self.at];
        let texts = book.texts(fork);
        let mut view = view(book, &texts, plan);
        view.job = job_form(book, fork, plan, (&view.due.units, &view.pull), self.at);
        view.phases = phases(desk, &texts, plan, &self.root(desk))?;
        Ok(view)
    }

    fn heading(&self, _: &Desk<'_, 's>, view: &ServiceView) -> Heading {
        let about = format!("{} of the {}, step by step with its numbers.", view.service, view.fork.text);
        Heading::new(view.service.clone(), about).under_fork(self.fork)
    }

    fn printed(&self, desk: &Desk<'_, 's>, title: &str) -> String {
        printed::of_service(desk.book, self.fork, title, self.at)
    }
}

/// The page without its sections: they are made first, and their HTML goes in.
fn view<'s>(book: &Book<'s>, texts: &ForkTexts<'s>, plan: &Plan<'s>) -> ServiceView {
    let (shop, fork) = (book.shop, texts.fork);
    let record = &fork.record;
    let (review_word, review) = vouch::warning(book, fork);
    let pull = shelf::pull(shop, fork, plan);
    let (steps_word, steps_review) = text_review::warning(book, fork, plan);
    ServiceView {
        fork: Link::new(fork_href(&fork.id), record.title()),
        machines: machines_line(record),
        service: plan.service.title.clone(),
        time: shelf::time_allowed(plan),
        draft: record.draft,
        review_word,
        review,
        steps_word,
        steps_review,
        taken_over: taken_over(book, fork, &fork_href(&fork.id)),
        doubt: texts.doubt_sentence(),
        card: (!record.draft).then(|| Link::new(card_href(&fork.id, &plan.service.id.text), "Bench card")),
        memory: format!("{}/{}", fork.id, plan.service.id.text),
        steps: plan.steps().count(),
        pull_count: pull.groups.iter().map(|group| group.items.len()).sum(),
        pull,
        due: due(shop, fork, Some(&plan.renewed())),
        chart: (!shop.conditions.list.is_empty())
            .then(|| Link::new(sequence_href(&plan.service.id.text), "Sequence chart")),
        numbers: numbers(book, texts, plan),
        asked: asked_of(book, texts, plan),
        job: JobForm::default(),
        not_made: texts.facts().not_made.clone(),
        phases: Vec::new(),
    }
}

/// What is asked of each reading that the service has a box for, as JSON by key.
fn asked_of(book: &Book, texts: &ForkTexts<'_>, plan: &Plan<'_>) -> String {
    let catalogue = &book.shop.catalogue;
    let mut tables = Tables::default();
    for reading in boxes(catalogue, texts.fork, plan) {
        let field = catalogue.field(reading.field);
        tables.add(&field.key, texts.asked(reading.field));
    }
    // Nothing in it can fail to be written.
    tables.json().unwrap_or_default()
}

/// What a job is begun and written with.
fn job_form<'s>(
    book: &Book<'s>,
    fork: &'s CheckedFork,
    plan: &Plan<'_>,
    (due, pull): (&[String], &PullView),
    at: usize,
) -> JobForm {
    let usual =
        || usual_units(book.shop, None, Dimension::Distance).first().map(|unit| unit.symbol.to_owned());
    let distance =
        due.iter().find(|unit| *unit != "h").cloned().or_else(usual).unwrap_or_else(|| "km".to_owned());
    let code = codes_of(book, fork).get(at).filter(|_| !fork.record.draft).map(|codes| &codes.card);
    let released = |code: &&String| {
        !book.working || book.shop.released.cards.iter().any(|card| &card.card.text == *code)
    };
    let built = fork.record.build().map(|build| (build.machine.maker.clone(), build.machine.model.clone()));
    let fitted = fork.record.machines.iter().map(|machine| (machine.maker.clone(), machine.model.clone()));
    let machines = fitted.chain(built);
    let own = fork.oils();
    let parts = pull.fitted.iter().map(
        |part| serde_json::json!({"keep": part.keep, "part": part.part, "size": part.size, "number": part.number}),
    );
    let facts = serde_json::json!({
        "fork": fork.id, "service": plan.service.id.text, "card": code.filter(released), "distance": distance,
        "machines": machines.clone().map(|(maker, model)| serde_json::json!({"maker": maker, "model": model})).collect::<Vec<_>>(),
        "was": fork.record.was.iter().map(|was| &was.text).collect::<Vec<_>>(), "oils": own,
        "parts": parts.collect::<Vec<_>>(),
        "procedures": plan.items.iter().map(|item| (item.procedure.id.text.as_str(), item.procedure.title.as_str())).collect::<BTreeMap<_, _>>(),
        "unnamed": JobMachine::UNNAMED, "lacks": JobMachine::SAID.into_iter().collect::<BTreeMap<_, _>>(),
    });
    let mut oils: Vec<_> = book.shop.oils.iter().collect();
    oils.sort_by_key(|oil| !own.contains(&oil.id.text.as_str()));
    JobForm {
        facts: facts.to_string(),
        machines: machines.map(|(maker, model)| format!("{maker} {model}")).collect(),
        distance,
        oils: oils
            .into_iter()
            .map(|oil| JobOilChoice { id: oil.id.text.clone(), title: oil.title() })
            .collect(),
    }
}

/// The procedures in order, each with its steps, in the parts of the job.
fn phases<'s>(
    desk: &Desk<'_, 's>,
    texts: &ForkTexts<'s>,
    plan: &Plan<'s>,
    root: &str,
) -> Result<Vec<PhaseView>, TemplateProblem> {
    let here: Vec<&str> = plan.items.iter().map(|item| item.procedure.id.text.as_str()).collect();
    let fork: Arc<str> = texts.fork.id.as_str().into();
    let (mut first, mut linked, mut said) = (1, 0, BTreeSet::new());
    let mut phases: Vec<PhaseView> = Vec::new();
    for (at, item) in plan.items.iter().enumerate() {
        let procedure = item.procedure;
        let before = at.checked_sub(1).map(|before| plan.items[before].procedure.phase);
        let place = Place {
            numbers: [at + 1, first],
            depth: root.matches('/').count(),
            linked,
            again: here[..at].contains(&here[at]),
            opens_phase: procedure.phase != before.flatten(),
            here: &here,
        };
        if place.opens_phase || phases.is_empty() {
            phases.push(PhaseView {
                anchor: format!("phase-{}", phases.len() + 1),
                title: procedure.phase.map_or("", Phase::title).to_owned(),
                ..PhaseView::default()
            });
        }
        let brief = brief(desk.book, texts, item, &mut said);
        let key = SectionKey::of(desk.book.shop, texts, item, &place, brief.clone());
        let make = || section(desk.book, texts, item, &place, root, &brief);
        let (section_html, after) = desk.section(key, &fork, make)?;
        (first, linked) = (first + steps(procedure), after);
        let Some(phase) = phases.last_mut() else { continue };
        phase.steps += steps(procedure);
        phase.sections.push(SectionText {
            number: at + 1,
            anchor: anchor(procedure, &place),
            title: procedure.title.clone(),
            section_html,
        });
    }
    Ok(phases)
}

/// The fragment identifier of a procedure.
fn anchor(procedure: &Procedure, place: &Place<'_>) -> String {
    let again = if place.again { format!("-{}", place.numbers[0]) } else { String::new() };
    format!("proc-{}{again}", procedure.id.text)
}

/// A procedure with its steps, and the terms linked after it.
fn section(
    book: &Book<'_>,
    texts: &ForkTexts<'_>,
    item: &Planned<'_>,
    place: &Place<'_>,
    root: &str,
    brief: &[bool],
) -> (Section, u64) {
    let procedure = item.procedure;
    let terms = Linked::default();
    terms.set(place.linked);
    let setting = Setting {
        shop: book.shop,
        fork: Some(texts),
        // Forks with the same numbers have the same sections: their links name the fork by a gap.
        fork_id: GAP,
        written: Some(&book.memo.written),
        terms: Some(&terms),
        root,
        here: place.here,
        facts: &texts.facts().cautions,
        legs: item.legs,
        day: book.last_release(),
    };
    let [number, first] = place.numbers;
    let mut section = Section {
        number,
        anchor: anchor(procedure, place),
        title: procedure.title.clone(),
        phase: procedure.phase.map_or("", Phase::title).to_owned(),
        opens_phase: place.opens_phase,
        time: time(procedure),
        legs: legs_word(item.legs).to_owned(),
        href: procedure_href(&procedure.id.text),
        was: procedure.was.iter().map(|was| procedure_href(&was.text)).collect::<Vec<_>>().join(" "),
        root: root.to_owned(),
        items: setting.items(procedure, first),
    };
    let made = section.items.iter_mut().filter_map(|item| item.step.as_mut());
    for (caution, brief) in made.flat_map(|step| &mut step.cautions).zip(brief) {
        caution.brief = *brief;
    }
    (section, terms.bits())
}

/// For each caution before the steps of a procedure, whether it is told in brief. A caution is read in full where it
/// first stands, and again where the work goes to another leg; after that its signal word, its title and this fork's
/// figures say it again. A danger is always read in full.
fn brief<'s>(
    book: &Book<'s>,
    texts: &ForkTexts<'_>,
    item: &Planned<'_>,
    said: &mut BTreeSet<(&'s str, &'static str)>,
) -> Vec<bool> {
    let cautions = item.procedure.body.steps().flat_map(|step| cautions_of(book.shop, Some(texts), step));
    cautions
        .map(|caution| {
            let first = said.insert((caution.id.text.as_str(), legs_word(item.legs)));
            !first && caution.signal != Signal::Danger
        })
        .collect()
}

/// What is set, with its figures and the state they hold in.
fn numbers(book: &Book, texts: &ForkTexts<'_>, plan: &Plan<'_>) -> Vec<SetTo> {
    let all = book.shop.catalogue.iter();
    let set = all.filter(|(_, field)| field.role == Role::Set && is_meant(plan, field));
    let rows = set.filter_map(|(id, field)| {
        let figures = texts.figures(id).iter().filter(|figure| !figure.not_fitted);
        let (mut values, mut states): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
        for figure in figures {
            values.push(format!("{} {}", figure.side, figure.main).trim().to_owned());
            if !figure.state.is_empty() && !states.contains(&figure.state) {
                states.push(figure.state.clone());
            }
        }
        (!values.is_empty()).then(|| SetTo {
            name: field.title.clone(),
            marks: marks(book, texts, id, field),
            value: signed(&values.join(", "), texts.fork.is_uncompared(id)),
            state: states.join("; "),
        })
    });
    rows.collect()
}

/// What warns of a number, in the words of the card.
fn marks(book: &Book, texts: &ForkTexts<'_>, id: FieldId, field: &Field) -> Vec<String> {
    let estimate = texts.figures(id).iter().any(|figure| figure.estimate);
    let doubt = texts.in_doubt(id);
    let review = vouch::card_mark(book, texts.fork, field, estimate);
    let unknown = texts.figures(id).iter().any(|figure| !figure.unknown.is_empty());
    let words = [
        if build::is_built(texts.fork, id) { build::BUILD } else { "" },
        if unknown { UNKNOWN } else { "" },
        if estimate { "ESTIMATE" } else { "" },
        if doubt { IN_DOUBT } else { "" },
        review,
    ];
    words.into_iter().filter(|word| !word.is_empty()).map(str::to_owned).collect()
}
