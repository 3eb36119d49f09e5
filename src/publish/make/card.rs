//! The bench card: what goes on it, and how it is made to fit.

use super::budget::{POINT, lines, lines_after, width};
use super::facts::Facts;
use super::show::{
    apart, attribute_text, fork_href, machines_line, main_said, service_href, state, two_units, value_text,
};
use super::{Book, code, fork::is_number, prose::lower};
use crate::catalogue::{Field, FieldId, Form, Owner, Per, Role};
use crate::diagnostic::Finding;
use crate::plan::Plan;
use crate::publish::view::{
    CardCaution, CardColumn, CardFigure, CardGroup, CardNumber, CardPart, CardTorque, CardView, FoundRow,
    JobBox, Link,
};
use crate::quantity::{Value, write_value};
use crate::record::{Procedure, Signal};
use crate::resolve::{Resolved, ResolvedFork, Side};
use crate::source::markdown::{Part, Piece, Step};

/// The height both A4 and Letter leave inside margins of 8 mm, less a little for rounding, in mm.
const HEIGHT: f64 = 262.6;
/// The width both leave, in mm.
const WIDTH: f64 = 194.0;
/// Room between blocks, in mm.
const GAP: f64 = 2.0;

/// A card with how far it goes over the sheet's edge.
#[derive(Debug, Clone)]
pub struct Card {
    /// What the template receives.
    pub view: CardView,
    /// Millimetres too many on the front; zero or less when it fits.
    pub front_over: f64,
    /// Millimetres too many on the back; zero or less when it fits.
    pub back_over: f64,
}

/// Makes the card of a fork and a service.
pub fn card(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>) -> Card {
    let shop = book.shop;
    let record = fork.record(shop);
    let id = &plan.service.id.text;
    let page = service_href(&fork.id, id);
    let site = shop
        .settings
        .site
        .as_ref()
        .map(|text| text.text.trim_end_matches('/').to_owned())
        .unwrap_or_default();
    let address = if site.is_empty() { String::new() } else { format!("{site}/{page}") };
    let mut view = CardView {
        fork: record.title(),
        service: plan.service.title.clone(),
        machines: machines_line(record),
        page: Link::new(page, format!("{}: page to work from", plan.service.title)),
        fork_page: Link::new(fork_href(&fork.id), record.title()),
        review: "none recorded".to_owned(),
        values_code: code::short(values_text(book, fork).as_bytes()),
        qr_html: if address.is_empty() { String::new() } else { code::qr(&address) },
        address,
        job: boxes(&[
            ("Job", 2),
            ("Frame number", 4),
            ("Distance or hours", 3),
            ("Date", 3),
            ("Rider: mass, use", 4),
            ("Complaint", 8),
        ]),
        numbers: numbers(book, fork),
        found: found(book, fork, plan),
        torques: torques(book, fork),
        not_made: Facts::of(book, fork).not_made,
        parts: boxes(&[("Oil and batch", 3), ("Parts fitted", 6), ("Torque tool and its date", 3)]),
        sign: boxes(&[
            ("Technician", 3),
            ("Date", 3),
            ("Second check: every number read back", 4),
            ("Date", 2),
        ]),
        ..CardView::default()
    };
    let front_over = front(book, plan, &mut view);
    let back_over = back(book, fork, plan, &mut view);
    view.print_code = code::short(serde_json::to_string(&view).unwrap_or_default().as_bytes());
    Card { view, front_over, back_over }
}

/// The finding of a card that does not fit on its sheet; none for a draft, which has no card.
pub fn overflow(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>) -> Option<Finding> {
    if fork.record(book.shop).draft {
        return None;
    }
    let made = card(book, fork, plan);
    let (side, over, instead) = if made.front_over > 0.0 {
        (
            "front",
            made.front_over,
            "shorten states and caution titles, or keep fewer readings in this service",
        )
    } else if made.back_over > 0.0 {
        (
            "back",
            made.back_over,
            "split the service in two, or shorten the titles of its procedures and the notes at its torques",
        )
    } else {
        return None;
    };
    let what = format!(
        "the {side} of this service’s card for `{}` is {:.0} mm too long for the sheet",
        fork.id,
        over.ceil()
    );
    Some(
        Finding::error("card-overflow", plan.service.id.span, what)
            .bench("the last lines would be cut off or land on a third page that nobody keeps")
            .instead(instead),
    )
}

fn boxes(list: &[(&str, u8)]) -> Vec<JobBox> {
    list.iter().map(|(label, span)| JobBox { label: (*label).to_owned(), span: *span }).collect()
}

/// Every value of the fork in one text, for the digest.
fn values_text(book: &Book, fork: &ResolvedFork) -> String {
    let mut out = String::new();
    for (id, field) in book.shop.catalogue.of(Owner::Fork) {
        for side in Side::BOTH {
            let Some(resolved) = fork.on(side, id) else { continue };
            let Some(value) = resolved.value() else { continue };
            let state = state(&resolved.entry);
            out.push_str(&format!("{} {} {} {state}", field.key, side.word(), write_value(value)));
            for key in &field.attributes {
                out.push_str(&format!(" {}", attribute_text(&resolved.entry, key)));
            }
            out.push('\n');
        }
    }
    out
}

/// The value on each side, once where both say the same.
fn sides<'f>(fork: &'f ResolvedFork, id: FieldId) -> Vec<(&'static str, &'f Resolved)> {
    let real =
        |side| fork.on(side, id).filter(|resolved| !resolved.not_fitted() && resolved.value().is_some());
    match (real(Side::Left), real(Side::Right)) {
        (Some(left), Some(_)) if fork.alike(id) => vec![("", left)],
        (left, right) => {
            left.map(|left| ("L", left)).into_iter().chain(right.map(|right| ("R", right))).collect()
        }
    }
}

fn card_figure(book: &Book, field: &Field, side: &str, resolved: &Resolved) -> CardFigure {
    let side = side.to_owned();
    match resolved.value() {
        Some(Value::Quantity(quantity)) => {
            let (main, tolerance) = apart(main_said(book.shop, Some(field), quantity));
            let (_, second, _) = two_units(book.shop, Some(field), quantity);
            CardFigure { side, main, tolerance, second }
        }
        Some(value) => {
            let (main, second, _) = value_text(book.shop, field, value);
            CardFigure { side, main, second, tolerance: String::new() }
        }
        None => CardFigure { side, ..CardFigure::default() },
    }
}

fn numbers(book: &Book, fork: &ResolvedFork) -> Vec<CardNumber> {
    let catalogue = &book.shop.catalogue;
    let mut out = Vec::new();
    for (id, field) in catalogue.of(Owner::Fork) {
        if field.role != Role::Set || field.group == "torque" || !is_number(&field.kind) {
            continue;
        }
        let sides = sides(fork, id);
        let Some((_, first)) = sides.first() else { continue };
        let mut state = state(&first.entry);
        if field.key == "rod_nut.height" {
            let word = |key: &str| {
                fork.any(book.shop, key).and_then(Resolved::value).map(|value| {
                    catalogue
                        .find(key)
                        .map_or_else(String::new, |id| value_text(book.shop, catalogue.field(id), value).0)
                })
            };
            if let (Some(from), Some(to)) = (word("rod_nut.from"), word("rod_nut.to")) {
                state = format!("from {} to {}", lower(&from), lower(&to));
            }
        }
        for key in ["counted", "first_click"] {
            let text = attribute_text(&first.entry, key);
            if !text.is_empty() {
                state = if state.is_empty() { text } else { format!("{state}, {text}") };
            }
        }
        out.push(CardNumber {
            label: field.short.clone(),
            figures: sides.iter().map(|(side, resolved)| card_figure(book, field, side, resolved)).collect(),
            state,
            safety: field.safety,
            estimate: sides.iter().any(|(_, resolved)| resolved.is_estimate()),
            unreviewed: false,
        });
    }
    out
}

fn torques(book: &Book, fork: &ResolvedFork) -> Vec<CardTorque> {
    let mut out: Vec<(u32, CardTorque)> = Vec::new();
    for (id, field) in book.shop.catalogue.of(Owner::Fork).filter(|(_, field)| field.group == "torque") {
        for (side, resolved) in sides(fork, id) {
            let figure = card_figure(book, field, side, resolved);
            let entry = &resolved.entry;
            let mut detail: Vec<String> = Vec::new();
            for key in ["thread", "property_class", "into", "thread_state"] {
                let text = attribute_text(entry, key);
                if !text.is_empty() {
                    detail.push(if key == "into" { format!("into {text}") } else { text });
                }
            }
            if attribute_text(entry, "single_use").starts_with("new") {
                detail.push("NEW each time".to_owned());
            }
            let order = attribute_text(entry, "sequence").parse::<u32>().ok();
            out.push((
                order.unwrap_or(u32::MAX),
                CardTorque {
                    order: order.map(|n| n.to_string()).unwrap_or_default(),
                    label: format!("{} {side}", field.short).trim().to_owned(),
                    main: figure.main,
                    tolerance: figure.tolerance,
                    second: figure.second,
                    detail: detail.join(", "),
                    estimate: resolved.is_estimate(),
                    unreviewed: false,
                },
            ));
        }
    }
    // A stable sort: joints without an order keep the catalogue's, after the others.
    out.sort_by_key(|(order, _)| *order);
    out.into_iter().map(|(_, torque)| torque).collect()
}

/// What is always read as found and as left, where the fork has it: field and what the card calls it.
const READ: [(&str, &str); 14] = [
    ("adjusters.preload", ""),
    ("adjusters.rebound", ""),
    ("adjusters.compression", ""),
    ("adjusters.compression_high", ""),
    ("setup.sag_static", ""),
    ("setup.sag_rider", ""),
    ("oil.air_gap", ""),
    ("oil.level", ""),
    ("oil.inner_level", ""),
    ("air.main_pressure", ""),
    ("air.balance_pressure", ""),
    ("rod_nut.height", ""),
    ("tubes.runout_limit", "Run-out"),
    ("spring.free_length", "Spring length"),
];

fn found(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>) -> Vec<FoundRow> {
    let catalogue = &book.shop.catalogue;
    let mut done: Vec<FieldId> = Vec::new();
    let mut rows = Vec::new();
    let mut add = |rows: &mut Vec<FoundRow>, key: &str, label: &str, even_without: bool| {
        let Some(id) = catalogue.find(key).filter(|id| !done.contains(id)) else { return };
        let field = catalogue.field(id);
        let sides = sides(fork, id);
        if sides.is_empty() && !even_without {
            return;
        }
        done.push(id);
        let quantity = sides.first().and_then(|(_, resolved)| resolved.quantity());
        let hint = match (quantity, field.form) {
            (Some(quantity), Form::Limit | Form::Difference) => {
                main_said(book.shop, Some(field), quantity).shown()
            }
            (Some(quantity), _) => main_said(book.shop, Some(field), quantity).unit.symbol.to_owned(),
            (None, _) => field.units.first().map(|unit| unit.symbol.to_owned()).unwrap_or_default(),
        };
        let label = if label.is_empty() { field.short.clone() } else { label.to_owned() };
        rows.push(FoundRow { label, hint, legs: field.per == Per::Leg });
    };
    for (key, label) in READ {
        add(&mut rows, key, label, false);
    }
    let volume =
        book.shop.settings.units.get(&crate::quantity::Dimension::Volume).and_then(|units| units.first());
    let volume = volume.map_or("mL", |unit| unit.symbol);
    rows.push(FoundRow { label: "Oil out, oil in".to_owned(), hint: volume.to_owned(), legs: true });
    rows.push(FoundRow { label: "Oil condition".to_owned(), hint: String::new(), legs: true });
    rows.push(FoundRow { label: "Bushings".to_owned(), hint: "lining, play".to_owned(), legs: true });
    for reference in plan.references().filter(|reference| reference.scheme == "reading") {
        add(&mut rows, &reference.target, "", true);
    }
    rows
}

/// Chooses how much of each caution is printed; returns how far the front goes over.
fn front(book: &Book, plan: &Plan<'_>, view: &mut CardView) -> f64 {
    let mut cautions: Vec<&crate::record::Caution> = Vec::new();
    for reference in plan.references().filter(|reference| reference.scheme == "caution") {
        if let Some(caution) = book.shop.caution(&reference.target) {
            if !cautions.iter().any(|known| known.id.text == caution.id.text) {
                cautions.push(caution);
            }
        }
    }
    cautions.sort_by(|a, b| (a.signal, &a.title).cmp(&(b.signal, &b.title)));
    let mut over = 0.0;
    // All texts; then only those of the grave ones; then titles alone.
    for worst in [Some(Signal::Notice), Some(Signal::Warning), Some(Signal::Danger), None] {
        view.cautions = cautions
            .iter()
            .map(|caution| CardCaution {
                signal: caution.signal.word().to_lowercase(),
                word: caution.signal.word().to_owned(),
                title: caution.title.clone(),
                text: if worst.is_some_and(|worst| caution.signal <= worst) {
                    sentence(&body_text(caution))
                } else {
                    String::new()
                },
            })
            .collect();
        over = front_height(view) - HEIGHT;
        if over <= 0.0 {
            break;
        }
    }
    over
}

fn body_text(caution: &crate::record::Caution) -> String {
    let texts = caution.body.parts.iter().map(|part| match part {
        Part::Heading(prose) | Part::Prose(prose) => prose.plain(|reference| reference.text.clone()),
        Part::Step(step) => step.action.plain(|reference| reference.text.clone()),
    });
    texts.collect::<Vec<_>>().join(" ")
}

/// The first sentence.
fn sentence(text: &str) -> String {
    let end = text.find(". ").map_or(text.len(), |at| at + 1);
    text[..end].to_owned()
}

fn front_height(view: &CardView) -> f64 {
    let room = WIDTH - 52.0 - 6.0 - if view.qr_html.is_empty() { 0.0 } else { 19.0 };
    let svc = format!("{}. {}", view.service, view.machines);
    let who = 3.7
        + lines(&view.fork, 19.0, true, room) as f64 * 19.0 * 1.1 * POINT
        + lines(&svc, 10.0, true, room) as f64 * 10.0 * 1.16 * POINT;
    let head = who.max(19.0) + 2.2;
    let job = 2.0 * 12.8;
    let room = (WIDTH - 3.0) / 2.0 - 23.0 - 1.6;
    let heights: Vec<f64> = view
        .cautions
        .iter()
        .map(|caution| {
            let (first, at) = lines_after(&format!("{}.", caution.title), 9.0, true, room, 0.0);
            let rest =
                if caution.text.is_empty() { 1 } else { lines_after(&caution.text, 9.0, false, room, at).0 };
            ((first + rest - 1) as f64 * 9.0 * 1.14 * POINT + 0.4).max(4.6)
        })
        .collect();
    let cautions: f64 =
        heights.chunks(2).map(|pair| pair.iter().fold(0.0, |a: f64, b| a.max(*b)) + 1.0).sum();
    let half = (WIDTH - 4.0) / 2.0;
    let numbers: f64 = 5.6 + view.numbers.iter().map(|number| number_height(number, half)).sum::<f64>();
    let label = half * 0.36 - 1.0;
    let found: f64 = 5.6
        + 8.6
        + view
            .found
            .iter()
            .map(|row| {
                let text = lines(&row.label, 10.5, true, label) as f64 * 10.5 * 1.05 * POINT
                    + lines(&row.hint, 8.5, false, label) as f64 * 8.5 * 1.05 * POINT;
                (text + 0.7).max(9.8)
            })
            .sum::<f64>();
    let small = format!(
        "Left and right as seen from the saddle. The maker’s manual for the very model goes before this card. {}",
        view.address
    );
    head + job
        + cautions
        + numbers.max(found)
        + lines(&small, 8.5, false, WIDTH) as f64 * 8.5 * 1.12 * POINT
        + 4.0 * GAP
}

fn number_height(number: &CardNumber, half: f64) -> f64 {
    let room = half - 34.0 - 1.5;
    let mut label = number.label.clone();
    if number.estimate {
        label.push_str(" ESTIMATE____");
    }
    if number.unreviewed {
        label.push_str(" UNREVIEWED____");
    }
    let label = lines(&label, 11.0, true, 34.0) as f64 * 11.0 * 1.16 * POINT + 1.2;
    let values: f64 = number
        .figures
        .iter()
        .map(|figure| {
            let side = if figure.side.is_empty() { 0.0 } else { 5.6 };
            let main = side + width(&figure.main, 17.0, true);
            let tolerance = width(&figure.tolerance, 11.0, true) + 1.0;
            let second = width(&figure.second, 9.5, false) + 1.0;
            let first = 17.0 * 1.16 * POINT;
            if main + tolerance + second <= room { first } else { first + 11.0 * 1.16 * POINT }
        })
        .sum();
    let state = lines(&number.state, 8.5, false, half) as f64 * 8.5 * 1.12 * POINT;
    label.max(values) + state + 1.5
}

/// How much the back says of each procedure.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Detail {
    /// The first sentence of every step; those with a number in full.
    Every,
    /// Only the steps with a number, in full.
    Numbered,
    /// The numbers with their names.
    Numbers,
    /// The title.
    Title,
}

/// From full to short: how much is said, and how many procedures of a phase may share a box.
const WAYS: [(Detail, usize); 10] = [
    (Detail::Every, 1),
    (Detail::Numbered, 1),
    (Detail::Numbered, 2),
    (Detail::Numbered, 3),
    (Detail::Numbers, 1),
    (Detail::Numbers, 2),
    (Detail::Numbers, 3),
    (Detail::Numbers, 5),
    (Detail::Title, 5),
    (Detail::Title, 12),
];

/// Chooses how the steps are shortened; returns how far the back goes over.
fn back(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>, view: &mut CardView) -> f64 {
    let columns = 2usize;
    let room = (WIDTH - 3.0 * (columns as f64 - 1.0)) / columns as f64 - 12.4 - 1.6;
    let mut least = f64::MAX;
    for (detail, together) in WAYS {
        view.shortened = match detail {
            Detail::Every => String::new(),
            Detail::Numbered => {
                "Steps with a number in full; all steps with their reasons are on the page to work from."
                    .to_owned()
            }
            Detail::Numbers => {
                "Steps in short with their numbers; every step in full is on the page to work from."
                    .to_owned()
            }
            Detail::Title => {
                "Steps by title only; every step in full is on the page to work from.".to_owned()
            }
        };
        let groups = groups(book, fork, plan, detail, together);
        let free = HEIGHT - back_rest(view);
        let heights: Vec<f64> = groups.iter().map(|group| group_height(group, room)).collect();
        let (split, over) = balance(&heights, columns, free);
        least = over;
        if over <= 0.0 || (detail, together) == WAYS[WAYS.len() - 1] {
            let mut rest = groups.into_iter();
            view.columns =
                split.iter().map(|n| CardColumn { groups: rest.by_ref().take(*n).collect() }).collect();
            break;
        }
    }
    least
}

/// Splits boxes into columns in order, as evenly as they go; how far the tallest is over.
fn balance(heights: &[f64], columns: usize, free: f64) -> (Vec<usize>, f64) {
    let total: f64 = heights.iter().sum();
    let mut limit = total / columns as f64;
    loop {
        let mut split = vec![0usize; columns];
        let mut at = 0;
        let mut filled = 0.0;
        for height in heights {
            if filled + height > limit + 1e-9 && at + 1 < columns && split[at] > 0 {
                at += 1;
                filled = 0.0;
            }
            filled += height;
            split[at] += 1;
        }
        // Every column but the last keeps to the limit unless a single box is taller.
        let mut rest = heights.iter();
        let tallest = split.iter().map(|n| rest.by_ref().take(*n).sum::<f64>()).fold(0.0, f64::max);
        if tallest <= limit + 1e-9 || limit >= total {
            return (split, tallest - free);
        }
        limit += 1.0;
    }
}

fn group_height(group: &CardGroup, room: f64) -> f64 {
    let mut count = 1;
    let mut at = 0.0;
    for part in &group.parts {
        for (text, bold) in [(format!("{} {}", part.steps, part.title), true), (part.text.clone(), false)] {
            if !text.trim().is_empty() {
                let (more, now) = lines_after(&text, 11.0, bold, room, at);
                count += more - 1;
                at = now;
            }
        }
    }
    (count as f64 * 11.0 * 1.16 * POINT + 1.2).max(10.6)
}

/// Everything on the back but the steps.
fn back_rest(view: &CardView) -> f64 {
    let mut height = 6.2 + GAP;
    if !view.shortened.is_empty() {
        height += lines(&view.shortened, 8.5, false, WIDTH) as f64 * 8.5 * 1.12 * POINT + GAP;
    }
    if !view.torques.is_empty() {
        let third = (WIDTH - 8.0) / 3.0;
        let rows =
            view.torques.chunks(3).map(|row| row.iter().map(|t| torque_height(t, third)).fold(0.0, f64::max));
        height += 5.6 + rows.sum::<f64>() + GAP;
    }
    for table in &view.tables {
        height += (table.rows.len() + 2) as f64 * 9.5 * 1.3 * POINT + GAP;
    }
    if !view.not_made.is_empty() {
        height += 5.6 + lines(&view.not_made.join(" "), 9.0, false, WIDTH) as f64 * 9.0 * 1.14 * POINT + GAP;
    }
    height + 2.0 * 12.8 + GAP
}

fn torque_height(torque: &CardTorque, third: f64) -> f64 {
    let value = width(&torque.main, 17.0, true)
        + if torque.tolerance.is_empty() { 0.0 } else { width(&torque.tolerance, 11.0, true) + 1.0 };
    let value = value.max(width(&torque.second, 9.5, false));
    let room = (third - 6.0 - 2.0 - value).max(8.0);
    let mut label = torque.label.clone();
    if torque.estimate {
        label.push_str(" ESTIMATE____");
    }
    if torque.unreviewed {
        label.push_str(" UNREVIEWED____");
    }
    let first = (lines(&label, 11.0, true, room) as f64 * 11.0 * 1.16 * POINT).max(17.0 * 1.16 * POINT);
    let detail =
        (lines(&torque.detail, 8.5, false, room) as f64 * 8.5 * 1.12 * POINT).max(9.5 * 1.16 * POINT);
    first + detail + 1.1
}

fn groups(
    book: &Book,
    fork: &ResolvedFork,
    plan: &Plan<'_>,
    detail: Detail,
    together: usize,
) -> Vec<CardGroup> {
    let mut out: Vec<CardGroup> = Vec::new();
    let mut phase = "";
    let mut number = 1;
    for procedure in &plan.procedures {
        let steps = procedure.body.steps().count();
        let part = CardPart {
            steps: if steps > 1 { format!("{number}–{}", number + steps - 1) } else { number.to_string() },
            title: format!("{}.", procedure.title.trim_end_matches('.')),
            text: text(book, fork, procedure, detail),
        };
        number += steps;
        match out.last_mut() {
            Some(last) if procedure.phase == phase && last.parts.len() < together => last.parts.push(part),
            _ => out.push(CardGroup { parts: vec![part] }),
        }
        phase = &procedure.phase;
    }
    out
}

fn text(book: &Book, fork: &ResolvedFork, procedure: &Procedure, detail: Detail) -> String {
    match detail {
        Detail::Title => String::new(),
        Detail::Numbers => {
            let mut told: Vec<String> = Vec::new();
            for reference in procedure.body.references.iter().filter(|reference| reference.scheme == "spec") {
                let Some(id) = book.shop.catalogue.find(&reference.target) else { continue };
                let field = book.shop.catalogue.field(id);
                let value = figures_text(book, fork, id);
                let one = format!("{} {value}", field.short);
                if is_number(&field.kind) && !value.is_empty() && !told.contains(&one) {
                    told.push(one);
                }
            }
            if told.is_empty() { String::new() } else { format!("{}.", told.join("; ")) }
        }
        Detail::Every | Detail::Numbered => {
            let steps = procedure.body.steps().filter(|step| detail == Detail::Every || has_number(step));
            let told = steps.map(|step| {
                let plain = step.action.plain(|reference| match reference.scheme.as_str() {
                    "spec" => book.shop.catalogue.find(&reference.target).map_or_else(
                        || reference.text.clone(),
                        |id| {
                            format!("{} {}", reference.text, figures_text(book, fork, id))
                                .trim_end()
                                .to_owned()
                        },
                    ),
                    "reading" => book.shop.catalogue.find(&reference.target).map_or_else(
                        || reference.text.clone(),
                        |id| lower(&book.shop.catalogue.field(id).short),
                    ),
                    _ => reference.text.clone(),
                });
                if has_number(step) { plain } else { sentence(&plain) }
            });
            told.collect::<Vec<_>>().join(" ")
        }
    }
}

fn has_number(step: &Step) -> bool {
    step.action
        .pieces
        .iter()
        .any(|piece| matches!(piece, Piece::Reference(r) if r.scheme == "spec" || r.scheme == "reading"))
}

/// The value in a few words: `96 mm ± 2 mm`, or left and right.
fn figures_text(book: &Book, fork: &ResolvedFork, id: FieldId) -> String {
    let field = book.shop.catalogue.field(id);
    let one = |(side, resolved): &(&str, &Resolved)| {
        let figure = card_figure(book, field, side, resolved);
        let parts = [figure.side, figure.main, figure.tolerance];
        parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("\u{a0}")
    };
    sides(fork, id).iter().map(one).collect::<Vec<_>>().join(", ")
}
