//! A fork's page.

use serde::Serialize;

use super::hang::take_down;
use super::kind::{Heading, Page, Subject};
use crate::book::build::BuildView;
use crate::book::due::due;
use crate::book::facts::tables;
use crate::book::figure::years;
use crate::book::held::Shared;
use crate::book::inherited::taken_over;
use crate::book::links::{
    binder_href, card_href, fork_complaints_href, fork_href, service_href, valving_href,
};
use crate::book::pictures::{PictureView, of_fork};
use crate::book::reading::is_number;
use crate::book::sign::{SIGN, rests_on_family, signed};
use crate::book::texts::ForkTexts;
use crate::book::unknown::{Open, open_points};
use crate::book::view::{CardTable, DueView, Link, Row, TakenOver, VouchView};
use crate::book::{Book, build, keys, springs, vouch};
use crate::catalogue::{FieldId, Owner, Role};
use crate::check::CheckedFork;
use crate::diagnostic::Severity;
use crate::judge::Evidence;
use crate::plan::Plan;
use crate::record::{Machine, Part, Text};
use crate::resolve::{ResolvedFork, Side};
use crate::review::HANG;
use crate::site::desk::Desk;
use crate::site::figure::{self, Drawing};
use crate::site::printed;
use crate::site::shelf;
use crate::site::templates::TemplateProblem;
use crate::site::view::GroupView;
use crate::words::{capital, count};

/// A choice that makes up the fork.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ChoiceRow {
    /// What was to be chosen.
    pub title: String,
    /// What it is.
    pub value: String,
    /// `†` where the family chose it and nobody compared it with a sheet of this fork; else empty.
    pub sign: String,
}

/// A machine the fork is fitted to.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct MachineRow {
    /// Maker and model.
    pub name: String,
    /// The years, such as `2016–2019`.
    pub years: String,
    /// The page of its maker.
    pub href: String,
    /// What can be seen on the machine where another fork was fitted in the same years; may be empty.
    pub seen: String,
    /// The other forks that were fitted to it in these years.
    pub others: Vec<OtherFork>,
}

/// Another fork of the same machine and years.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct OtherFork {
    /// Its page.
    pub fork: Link,
    /// What can be seen on the machine that has it.
    pub seen: String,
}

/// A part that is ordered by number.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct PartRow {
    /// What it is called.
    pub title: String,
    /// Its number, as the maker writes it.
    pub number: String,
    /// How many the fork takes: `2 ×`.
    pub count: String,
    /// The services that take it; empty: every one.
    pub services: String,
}

/// What the shop's jobs found of a value.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct EvidenceRow {
    /// The value.
    pub value: Link,
    /// `fill needed` or `as found`.
    pub what: String,
    /// The median of the jobs, with its unit.
    pub median: String,
    /// The spread, with its unit.
    pub spread: String,
    /// How many jobs it rests on.
    pub jobs: String,
    /// What the record says.
    pub said: String,
    /// What is to be said where the record lies outside; else empty.
    pub note: String,
}

/// A service of this fork.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ServiceRow {
    /// The page to work from.
    pub href: String,
    /// What it is called.
    pub title: String,
    /// How long it takes; may be empty.
    pub time: String,
    /// What it is good for; may be empty.
    pub notes: String,
    /// How many steps, in words.
    pub steps: String,
    /// The bench card; a draft has none.
    pub card: Option<Link>,
}

/// Other forks that share an oil or a seal with this one.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SharedPart {
    /// What is shared: `Oil: Heron Fork 15`, `Oil seal 43 × 55 × 11 mm`.
    pub what: String,
    /// The other forks.
    pub forks: Vec<Link>,
}

/// A fork's page, `fork.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ForkView {
    /// The fork's id.
    pub id: String,
    /// Who made the fork.
    pub maker: String,
    /// Its model.
    pub model: String,
    /// Maker and model.
    pub title: String,
    /// A draft: values may be missing or wrong, there is no card.
    pub draft: bool,
    /// What it is as a build; `None` for a fork.
    pub build: Option<BuildView>,
    /// The builds over it, each with what it was made for.
    pub builds: Vec<(Link, String)>,
    /// Its shim stacks on record.
    pub valvings: Vec<Link>,
    /// The springs of the stock that it can take.
    pub springs: Vec<Link>,
    /// Which of them carries which load; `None` where the record does not cover it.
    pub riders: Option<CardTable>,
    /// Its family's title; `None` without a family.
    pub family: Option<String>,
    /// The machines it is fitted to.
    pub machines: Vec<MachineRow>,
    /// What makes it up.
    pub choices: Vec<ChoiceRow>,
    /// The numbers that are set at the bench, to be seen first.
    pub numbers: Vec<Row>,
    /// All values, by assembly.
    pub groups: Vec<GroupView<Shared<Row>>>,
    /// Parts that are ordered by number, beside those that values tell of.
    pub parts: Vec<PartRow>,
    /// Its services.
    pub services: Vec<ServiceRow>,
    /// When oil, seals and so on are next due.
    pub due: DueView,
    /// What else uses this oil or seal.
    pub shared: Vec<SharedPart>,
    /// What it takes over from its family and nobody compared with a sheet of this fork.
    pub taken_over: TakenOver,
    /// Who vouches for its values.
    pub review: VouchView,
    /// What the shop says about it; may be empty.
    pub notes: String,
    /// Pictures of the shop's own beside its record or its family's.
    pub pictures: Vec<PictureView>,
    /// Tables from a reading to what to do about it.
    pub tables: Vec<CardTable>,
    /// Charts and the drawing of the leg, as finished SVG.
    pub figures: Vec<Drawing>,
    /// Checks that could not be made, and why: one sentence each.
    pub not_made: Vec<String>,
    /// What its sources do not say: the value's line, and what is open.
    pub unknown: Vec<(Link, String)>,
    /// Warnings that concern this fork: one sentence each.
    pub warnings: Vec<String>,
    /// What the shop's jobs found: figures alone.
    pub evidence: Vec<EvidenceRow>,
    /// The page of the complaints about it; empty in a shop that keeps none.
    pub complaints: String,
    /// All bench cards of this fork to print in one go; empty where there are fewer than two.
    pub binder: String,
    /// The hang card; none for a draft.
    pub hang: Option<Link>,
    /// Copies of it that were released and say something else now.
    pub take_down: Vec<String>,
}

/// The page of this fork.
pub struct ForkPage<'s>(&'s CheckedFork);

/// One for each fork.
pub fn all<'s>(desk: &Desk<'_, 's>) -> impl Iterator<Item = ForkPage<'s>> + use<'s> {
    desk.book.forks.iter().map(ForkPage)
}

impl<'s> Page<'s> for ForkPage<'s> {
    type View = ForkView;

    const TEMPLATE: &'static str = "fork";

    fn path(&self) -> String {
        fork_href(&self.0.id)
    }

    fn subject(&self) -> Subject<'s> {
        Subject::Fork(self.0)
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<ForkView, TemplateProblem> {
        Ok(fork(desk.book, self.0))
    }

    fn heading(&self, _: &Desk<'_, 's>, view: &ForkView) -> Heading {
        let about = format!("{}: every value with unit, tolerance, state and source.", view.title);
        Heading::new(view.title.clone(), about)
    }

    fn printed(&self, desk: &Desk<'_, 's>, title: &str) -> String {
        printed::of_fork(desk.book, self.0, title)
    }
}

fn fork<'s>(book: &Book<'s>, fork: &'s CheckedFork) -> ForkView {
    let (record, review) = (&fork.record, &fork.review);
    let texts = book.texts(fork);
    let plans = book.plans.of(fork);
    let has_cards = !record.draft && !plans.is_empty();
    ForkView {
        id: fork.id.clone(),
        maker: record.maker.clone(),
        model: record.model.clone(),
        title: record.title(),
        draft: record.draft,
        build: build::view(book.shop, fork),
        builds: build::builds_of(book.shop, &fork.id),
        valvings: valvings(book, fork),
        springs: springs::links(book.shop, fork),
        riders: springs::for_riders(book.shop, fork),
        family: fork.family.as_ref().map(|family| family.model.clone()),
        machines: machines(book, fork),
        choices: choices(book, fork),
        numbers: numbers(book, &texts),
        groups: groups(book, &texts),
        parts: fork.parts().map(|part| part_row(book, part)).collect(),
        services: plans.iter().map(|plan| service_row(fork, plan)).collect(),
        due: due(book.shop, fork, None),
        shared: shared(book, fork),
        taken_over: taken_over(book, fork, &fork_href(&fork.id)),
        review: vouch::view(book, review, &fork_href(&fork.id)),
        notes: record.notes.clone().unwrap_or_default(),
        pictures: of_fork(book.shop, fork),
        tables: tables(book.shop, fork),
        figures: figures(book, fork),
        not_made: texts.facts().not_made.clone(),
        unknown: unknown(book, fork),
        warnings: warnings(book, fork),
        evidence: evidence_rows(book, fork),
        complaints: match book.shop.complaints.is_empty() {
            true => String::new(),
            false => fork_complaints_href(&fork.id),
        },
        binder: if !record.draft && plans.len() > 1 { binder_href(&fork.id) } else { String::new() },
        hang: has_cards.then(|| Link::new(card_href(&fork.id, HANG), "Hang card")),
        take_down: if has_cards { take_down(book, fork) } else { Vec::new() },
    }
}

/// A field's line, marked with how it stands.
fn marked(book: &Book, texts: &ForkTexts<'_>, id: FieldId) -> Option<Row> {
    let mut row = texts.row(id)?;
    vouch::mark(book, &texts.fork.review, std::slice::from_mut(&mut row));
    if row.mark.is_empty() && build::is_built(texts.fork, id) {
        row.mark = build::BUILD.to_owned();
    }
    Some(row)
}

/// The numbers to set, which stand first.
fn numbers(book: &Book, texts: &ForkTexts<'_>) -> Vec<Row> {
    let set =
        book.shop.catalogue.of(Owner::Fork).filter(|(_, field)| {
            field.role == Role::Set && is_number(&field.kind) && field.group != "torque"
        });
    let rows = set.filter_map(|(id, _)| marked(book, texts, id));
    rows.filter(|row| row.figures.iter().any(|figure| !figure.not_fitted)).collect()
}

/// Every value by assembly.
fn groups(book: &Book, texts: &ForkTexts<'_>) -> Vec<GroupView<Shared<Row>>> {
    let catalogue = &book.shop.catalogue;
    let groups = catalogue.groups.iter().filter(|group| group.of == Owner::Fork).filter_map(|group| {
        let fields = catalogue.of(Owner::Fork).filter(|(_, field)| field.group == group.key);
        let rows: Vec<_> = fields.filter_map(|(id, _)| marked(book, texts, id)).map(Shared::from).collect();
        (!rows.is_empty()).then(|| GroupView { key: group.key.clone(), title: group.title.clone(), rows })
    });
    groups.collect()
}

/// The shim stacks of a fork, or of the fork that a build is over.
fn valvings(book: &Book, fork: &CheckedFork) -> Vec<Link> {
    let of = fork.record.build().map_or(&fork.id, |build| &build.fork.text);
    let valvings = book.shop.valvings.iter().filter(|valving| valving.fork.text == *of);
    valvings.map(|valving| Link::new(valving_href(&valving.id.text), valving.title.clone())).collect()
}

fn part_row(book: &Book, part: &Part) -> PartRow {
    let title =
        |id: &Text| book.shop.service(&id.text).map_or_else(|| id.text.clone(), |one| one.title.clone());
    PartRow {
        title: part.title.text.clone(),
        number: part.number.text.clone(),
        count: format!("{} ×", part.count),
        services: part.services.iter().map(title).collect::<Vec<_>>().join(", "),
    }
}

fn machines(book: &Book, fork: &CheckedFork) -> Vec<MachineRow> {
    let row = |machine: &Machine| MachineRow {
        name: format!("{} {}", machine.maker, machine.model),
        years: years(machine.years),
        href: book.maker_href(&machine.maker),
        seen: machine.seen.clone(),
        others: others(book, fork, machine),
    };
    fork.record.machines.iter().map(row).collect()
}

/// The other forks of a machine in the same years. Where it does not say what can be seen, no other has it.
pub(in crate::site) fn others(book: &Book, fork: &CheckedFork, machine: &Machine) -> Vec<OtherFork> {
    if machine.seen.is_empty() {
        return Vec::new();
    }
    let same = |other: &&Machine| {
        (&other.maker, &other.model) == (&machine.maker, &machine.model)
            && other.years.0 <= machine.years.1
            && machine.years.0 <= other.years.1
    };
    let forks = book.shop.forks.iter().filter(|other| other.id.text != fork.id);
    let found =
        forks.flat_map(|other| other.machines.iter().filter(same).map(move |machine| (other, machine)));
    found
        .map(|(other, machine)| OtherFork {
            fork: Link::new(fork_href(&other.id.text), other.title()),
            seen: machine.seen.clone(),
        })
        .collect()
}

fn choices(book: &Book, fork: &CheckedFork) -> Vec<ChoiceRow> {
    let catalogue = &book.shop.catalogue;
    let rows = catalogue.choices.iter().filter_map(|choice| {
        let option = fork.choices.get(&choice.key)?;
        let value = catalogue.option_title(&choice.key, option).to_owned();
        let is_open = fork.inherited.open_choices().any(|key| key == choice.key);
        let sign = if is_open { SIGN } else { "" }.to_owned();
        Some(ChoiceRow { title: choice.title.clone(), value, sign })
    });
    rows.collect()
}

fn service_row(fork: &CheckedFork, plan: &Plan<'_>) -> ServiceRow {
    let id = &plan.service.id.text;
    ServiceRow {
        href: service_href(&fork.id, id),
        title: plan.service.title.clone(),
        time: shelf::time_allowed(plan),
        notes: plan.service.notes.clone().unwrap_or_default(),
        steps: count(plan.steps().count(), "step", "steps"),
        card: (!fork.record.draft).then(|| Link::new(card_href(&fork.id, id), "Bench card")),
    }
}

/// What its sources do not say.
fn unknown(book: &Book, fork: &CheckedFork) -> Vec<(Link, String)> {
    let line = |open: Open| {
        let field = book.shop.catalogue.field(open.field);
        let side = if open.side.is_empty() { String::new() } else { format!(", {}", open.side) };
        let (done, by) = open.instead;
        let done = if done.is_empty() { String::new() } else { format!(" {done} ({by})") };
        let what = format!("{}.{done}", capital(&open.what));
        (Link::new(format!("{}#{}", fork_href(&fork.id), field.key), format!("{}{side}", field.title)), what)
    };
    open_points(book.shop, fork).into_iter().map(line).collect()
}

/// The warnings that concern this fork.
fn warnings(book: &Book, fork: &CheckedFork) -> Vec<String> {
    let warnings = book.findings.iter().filter(|finding| finding.severity == Severity::Warning);
    let of_fork = warnings
        .filter(|finding| finding.span.file == fork.record.file || finding.reaches.contains(&fork.id));
    of_fork.map(|finding| format!("{}.", keys::plain(book.shop, &finding.message))).collect()
}

/// Charts and drawings: for both legs at once where they are alike, else for each.
fn figures(book: &Book, fork: &CheckedFork) -> Vec<Drawing> {
    let derived = &fork.derived;
    let limit = book.shop.settings.air_force_limit();
    let of_leg = |side: Side| {
        let leg = derived.leg(side);
        let id = |name: &str| format!("{name}-{}", side.word());
        let all = [
            figure::drawing(&id("drawing"), fork, side),
            figure::air_force(&id("air"), leg, limit),
            figure::leg_force(&id("force"), derived, leg),
        ];
        let height: Vec<String> = leg.height.iter().map(|key| key.name().to_owned()).collect();
        let drawn = [height, leg.drawn.rests_on().to_vec(), leg.nut.rests_on().to_vec()].concat();
        let rests = [&drawn[..], leg.air.rests_on(), leg.forces.rests_on()];
        let signed = |(figure, keys): (Option<Drawing>, &[String])| {
            let mut figure = figure?;
            figure.title = signed(&figure.title, rests_on_family(book.shop, fork, keys));
            Some(figure)
        };
        all.into_iter().zip(rests).filter_map(signed).collect::<Vec<Drawing>>()
    };
    let mut left = of_leg(Side::Left);
    // Legs that hold the same in everything are drawn once.
    let alike = fork.legs[0].work == fork.legs[1].work
        && book.shop.catalogue.of(Owner::Fork).all(|(id, _)| fork.alike(id));
    let mut right = if alike { Vec::new() } else { of_leg(Side::Right) };
    let same = |a: &Drawing, b: &Drawing| a.svg.replace("-left", "") == b.svg.replace("-right", "");
    right.retain(|figure| !left.iter().any(|other| same(other, figure)));
    if !right.is_empty() {
        for (figures, side) in [(&mut left, Side::Left), (&mut right, Side::Right)] {
            for figure in figures.iter_mut() {
                figure.title = format!("{} ({} leg)", figure.title, side.word());
            }
        }
    }
    left.extend(right);
    left
}

/// The parts of a fork that others have too, and which those are.
pub fn shared(book: &Book, fork: &ResolvedFork) -> Vec<SharedPart> {
    const MOST: usize = 24;
    let mut parts = Vec::new();
    for key in book.parts_of(fork) {
        let others: Vec<Link> = book
            .sharing(&key)
            .iter()
            .map(|at| &book.forks[*at])
            .filter(|other| other.id != fork.id)
            .take(MOST)
            .map(|other| Link::new(fork_href(&other.id), other.record.title()))
            .collect();
        if !others.is_empty() {
            parts.push(SharedPart { what: key.1, forks: others });
        }
    }
    parts
}

/// What the jobs found, value by value. A record that lies outside is told, and stays what its source says.
fn evidence_rows(book: &Book, fork: &CheckedFork) -> Vec<EvidenceRow> {
    let row = |one: &Evidence| EvidenceRow {
        value: Link::new(format!("#{}", book.shop.catalogue.field(one.field).key), one.title.clone()),
        what: one.what.to_owned(),
        median: one.shown(one.median),
        spread: one.shown(one.spread),
        jobs: one.jobs.to_string(),
        said: one.said.clone(),
        note: if one.contradicts {
            "The record lies outside: measure it again.".to_owned()
        } else {
            String::new()
        },
    };
    book.evidence(fork).iter().map(row).collect()
}
