//! An oil’s page.

use std::sync::Arc;

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::bench::grade::{blend_share, reported};
use crate::bench::units::celsius;
use crate::book::figure::{figure, row_of};
use crate::book::links::{fork_href, oil_href};
use crate::book::view::Link;
use crate::book::view::VouchView;
use crate::book::{Book, vouch};
use crate::catalogue::{FieldId, Owner};
use crate::check::CheckedOil;
use crate::derive::{DerivedOil, stand_ins};
use crate::record::{Sides, SpecRecord};
use crate::resolve::{Origin, Resolved};
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;
use crate::site::view::GroupView;

/// An oil that stands in for another.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct StandInRow {
    /// Its page.
    pub oil: Link,
    /// Its viscosity over the wanted one's, such as `1.04`.
    pub ratio: String,
    /// The same in words, such as `4 % thicker`.
    pub words: String,
}

/// An oil, `oil.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct OilView {
    /// Maker and product.
    pub title: String,
    /// The text on the bottle; may be empty.
    pub label: String,
    /// A draft.
    pub draft: bool,
    /// What the shop says about it; may be empty.
    pub notes: String,
    /// Its values.
    pub groups: Vec<GroupView>,
    /// What is worked out from its viscosities: its class, index and viscosity at working temperature.
    pub worked_out: Vec<String>,
    /// The oils that stand in for it, the nearest first.
    pub stand_ins: Vec<StandInRow>,
    /// The blend of two other oils that comes to its viscosity at working temperature, a sentence; may be empty.
    pub blend: String,
    /// The temperature the comparison is made at, such as `50 °C`.
    pub working: String,
    /// Who vouches for its values.
    pub review: VouchView,
    /// The forks that use it.
    pub used_by: Vec<Link>,
}

/// The page of this oil.
pub struct OilPage<'s>(&'s CheckedOil);

/// One for each oil on record.
pub fn all<'s>(desk: &Desk<'_, 's>) -> impl Iterator<Item = OilPage<'s>> + use<'s> {
    desk.book.oils.iter().map(OilPage)
}

impl<'s> Page<'s> for OilPage<'s> {
    type View = OilView;

    const TEMPLATE: &'static str = "oil";

    fn path(&self) -> String {
        oil_href(&self.0.record.id.text)
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<OilView, TemplateProblem> {
        Ok(oil(desk.book, self.0))
    }

    fn heading(&self, _: &Desk<'_, 's>, view: &OilView) -> Heading {
        Heading::new(view.title.clone(), format!("{}: its values and the forks that use it.", view.title))
            .under(Link::new("oils/index.html", "Oils"))
    }
}

/// Every value of an oil's record, in catalogue order.
pub fn values(record: &SpecRecord) -> Vec<(FieldId, Resolved)> {
    let mut out: Vec<_> = record
        .values
        .iter()
        .map(|line| {
            let (Sides::Each(entry) | Sides::Legs(entry, _)) = &line.sides;
            let named: Vec<&str> = if entry.sources.is_empty() {
                record.source.iter().map(|text| text.text.as_str()).collect()
            } else {
                entry.sources.iter().map(|text| text.text.as_str()).collect()
            };
            let resolved = Resolved {
                field: line.field,
                entry: Arc::clone(entry),
                origin: Origin::Own,
                key_span: line.key_span,
                others: (entry.also_said.iter())
                    .filter_map(|said| record.source_note(&said.source.text).cloned())
                    .collect(),
                sources: named.into_iter().filter_map(|id| record.source_note(id).cloned()).collect(),
            };
            (line.field, resolved)
        })
        .collect();
    out.sort_by_key(|(id, _)| *id);
    out
}

/// An oil.
fn oil(book: &Book, oil: &CheckedOil) -> OilView {
    let (shop, record, review) = (book.shop, &oil.record, &oil.review);
    let values = values(record);
    let groups = shop.catalogue.groups.iter().filter(|group| group.of == Owner::Oil).filter_map(|group| {
        let mut rows: Vec<_> = values
            .iter()
            .map(|(id, value)| (shop.catalogue.field(*id), value))
            .filter(|(field, _)| field.group == group.key && field.of == Owner::Oil)
            .map(|(field, value)| row_of(field, [figure(shop, field, value, "")].into()))
            .collect();
        vouch::mark(book, review, &mut rows);
        (!rows.is_empty()).then(|| GroupView { key: group.key.clone(), title: group.title.clone(), rows })
    });
    let forks = book.oil_forks.get(&record.id.text).into_iter().flatten().map(|at| &book.forks[*at]);
    OilView {
        title: record.title(),
        label: record.label.as_ref().map(|text| text.text.clone()).unwrap_or_default(),
        draft: record.draft,
        notes: record.notes.clone().unwrap_or_default(),
        groups: groups.collect(),
        worked_out: worked_out(book, &oil.derived),
        stand_ins: stand_in_rows(book, record),
        blend: blend(book, record),
        working: format!("{:.0}\u{a0}°C", shop.settings.working_celsius()),
        review: vouch::view(book, review, &oil_href(&record.id.text)),
        used_by: forks.map(|fork| Link::new(fork_href(&fork.id), fork.record.title())).collect(),
    }
}

/// The arithmetic of every oil.
fn derived_oils<'b>(book: &Book<'b>) -> impl Iterator<Item = &'b DerivedOil> + Clone {
    book.oils.iter().map(|oil| &oil.derived)
}

/// What follows from an oil's own figures.
fn worked_out(book: &Book, oil: &DerivedOil) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(working) = oil.working.value() {
        let at = book.shop.settings.working_celsius();
        out.push(format!(
            "{:.1}\u{a0}mm²/s at {at:.0}\u{a0}°C, the working temperature.",
            working.value * 1e6
        ));
    }
    if let Some(index) = oil.index.value() {
        out.push(format!("Viscosity index {} from its two viscosities (ASTM D2270).", reported(*index)));
    }
    match oil.class.value() {
        Some(Some(class)) => out.push(format!("ISO VG {class} by its viscosity at 40\u{a0}°C (ISO 3448).")),
        Some(None) => {
            out.push("No ISO VG class: its viscosity at 40\u{a0}°C lies between two (ISO 3448).".to_owned())
        }
        None => {}
    }
    out
}

fn stand_in_rows(book: &Book, record: &SpecRecord) -> Vec<StandInRow> {
    let settings = &book.shop.settings;
    let (at, bench) = (settings.working_celsius(), settings.bench_celsius());
    let ranked = stand_ins(derived_oils(book), &record.id.text, (at, bench));
    let rows = ranked.value().into_iter().flatten().filter_map(|other| {
        let title = book.shop.oil(&other.id)?.title();
        let compared = |ratio: f64| match (ratio - 1.0) * 100.0 {
            p if p.abs() < 0.5 => "the same".to_owned(),
            p if p > 0.0 => format!("{p:.0}\u{a0}% thicker"),
            p => format!("{:.0}\u{a0}% thinner", -p),
        };
        let words =
            format!("{}; at {bench:.0}\u{a0}°C {}", compared(other.ratio), compared(other.cold_ratio));
        Some(StandInRow {
            oil: Link::new(oil_href(&other.id), title),
            ratio: format!("{:.2}", other.ratio),
            words,
        })
    });
    rows.collect()
}

/// The blend of the nearest thicker and the nearest thinner oil that comes to this one's viscosity.
fn blend(book: &Book, record: &SpecRecord) -> String {
    let at = book.shop.settings.working_celsius();
    let find = |id: &str| derived_oils(book).find(|oil| oil.id == id);
    let ranked = stand_ins(derived_oils(book), &record.id.text, (at, book.shop.settings.bench_celsius()));
    let ranked: Vec<_> = ranked.value().into_iter().flatten().collect();
    let nearest =
        |thicker: bool| ranked.iter().find(|other| (other.ratio > 1.0) == thicker && other.ratio != 1.0);
    let (Some(thick), Some(thin)) = (nearest(true), nearest(false)) else { return String::new() };
    let curve = |id: &str| find(id).and_then(|oil| oil.curve.value());
    let target = find(&record.id.text).and_then(|oil| oil.working.value());
    let (Some(first), Some(second), Some(target)) = (curve(&thick.id), curve(&thin.id), target) else {
        return String::new();
    };
    let Ok(share) = blend_share(first, second, *target, celsius(at)) else { return String::new() };
    let title = |id: &str| book.shop.oil(id).map(SpecRecord::title).unwrap_or_default();
    let parts = (share * 20.0).round() * 5.0;
    format!(
        "{parts:.0} parts of {} to {:.0} parts of {}, by volume.",
        title(&thick.id),
        100.0 - parts,
        title(&thin.id)
    )
}
