//! A fork's page.

use crate::book::due::due;
use crate::book::facts::tables;
use crate::book::figure::years;
use crate::book::links::{card_href, fork_href, service_href};
use crate::book::reading::is_number;
use crate::book::view::{Link, Row};
use crate::book::{Book, keys, vouch};
use crate::catalogue::{Owner, Role};
use crate::check::CheckedFork;
use crate::diagnostic::Severity;
use crate::resolve::{ResolvedFork, Side};
use crate::site::figure::{self, Drawing};
use crate::site::shelf;
use crate::site::view::{ChoiceRow, ForkView, GroupView, MachineRow, ServiceRow, SharedPart};
use crate::words::count;

/// A fork's page.
pub fn fork(book: &Book, at: usize) -> ForkView {
    let shop = book.shop;
    let fork = &book.forks[at];
    let (record, review) = (&fork.record, &fork.review);
    let told = book.texts(fork);
    let marked = |id| {
        let mut row = told.row(id)?;
        vouch::mark(book, review, std::slice::from_mut(&mut row));
        Some(row)
    };
    let rows: Vec<(&str, Row)> = shop
        .catalogue
        .of(Owner::Fork)
        .filter_map(|(id, field)| marked(id).map(|row| (field.group.as_str(), row)))
        .collect();
    let numbers = shop
        .catalogue
        .of(Owner::Fork)
        .filter(|(_, field)| field.role == Role::Set && is_number(&field.kind) && field.group != "torque")
        .filter_map(|(id, _)| marked(id))
        .filter(|row| row.figures.iter().any(|figure| !figure.not_fitted));
    let groups = shop.catalogue.groups.iter().filter(|group| group.of == Owner::Fork).filter_map(|group| {
        let rows: Vec<Row> =
            rows.iter().filter(|(key, _)| *key == group.key).map(|(_, row)| row.clone()).collect();
        (!rows.is_empty()).then(|| GroupView { key: group.key.clone(), title: group.title.clone(), rows })
    });
    let plans = book.plans.of(fork);
    let services = plans.iter().map(|plan| {
        let id = &plan.service.id.text;
        ServiceRow {
            href: service_href(&fork.id, id),
            title: plan.service.title.clone(),
            time: shelf::time_allowed(plan),
            notes: plan.service.notes.clone().unwrap_or_default(),
            steps: count(plan.steps().count(), "step", "steps"),
            card: (!record.draft).then(|| Link::new(card_href(&fork.id, id), "Bench card")),
        }
    });
    let facts = told.facts();
    let warnings = book
        .findings
        .iter()
        .filter(|finding| finding.severity == Severity::Warning)
        .filter(|finding| finding.span.file == record.file || finding.reaches.contains(&fork.id))
        .map(|finding| format!("{}.", keys::plain(shop, &finding.message)));
    ForkView {
        id: fork.id.clone(),
        maker: record.maker.clone(),
        model: record.model.clone(),
        title: record.title(),
        draft: record.draft,
        family: record
            .family
            .as_ref()
            .and_then(|id| shop.family(&id.text))
            .map(|family| family.model.clone()),
        machines: record
            .machines
            .iter()
            .map(|machine| MachineRow {
                name: format!("{} {}", machine.maker, machine.model),
                years: years(machine.years),
                href: book.maker_href(&machine.maker),
            })
            .collect(),
        choices: shop
            .catalogue
            .choices
            .iter()
            .filter_map(|choice| {
                let option = fork.choices.get(&choice.key)?;
                let value = shop.catalogue.option_title(&choice.key, option).to_owned();
                Some(ChoiceRow { title: choice.title.clone(), value })
            })
            .collect(),
        numbers: numbers.collect(),
        groups: groups.collect(),
        services: services.collect(),
        due: due(shop, fork, None),
        shared: shared(book, fork),
        review: vouch::view(book, review, &fork_href(&fork.id)),
        notes: record.notes.clone().unwrap_or_default(),
        tables: tables(fork),
        figures: figures(book, fork),
        not_made: facts.not_made.clone(),
        warnings: warnings.collect(),
        binder: if !record.draft && plans.len() > 1 {
            format!("cards/fork/{}.html", fork.id)
        } else {
            String::new()
        },
    }
}

/// Charts and drawings: for both legs at once where they are alike, else for each.
fn figures(book: &Book, fork: &CheckedFork) -> Vec<Drawing> {
    let derived = &fork.derived;
    let limit = book.shop.settings.air_force_limit();
    let of_leg = |side: Side| {
        let leg = derived.leg(side);
        let id = |name: &str| format!("{name}-{}", side.word());
        let all = [
            figure::drawing(&id("drawing"), book.shop, fork, side),
            figure::air_force(&id("air"), leg, limit),
            figure::leg_force(&id("force"), derived, leg),
        ];
        all.into_iter().flatten().collect::<Vec<Drawing>>()
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
        let Some(forks) = book.parts.get(&key) else { continue };
        let others: Vec<Link> = forks
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
