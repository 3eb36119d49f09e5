//! The list of oils.

use serde::Serialize;

use super::kind::{Heading, Page};
use super::oil::values;
use crate::bench::grade::Curve;
use crate::book::Book;
use crate::book::figure::figure;
use crate::book::links::oil_href;
use crate::catalogue::{key, Key};
use crate::check::CheckedOil;
use crate::site::desk::Desk;
use crate::site::figure::{Drawing, viscosity};
use crate::site::templates::TemplateProblem;
use crate::words::count;

/// An oil in the list.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct OilRow {
    /// Its page.
    pub href: String,
    /// Maker and product.
    pub title: String,
    /// The text on the bottle; may be empty.
    pub label: String,
    /// Viscosity at 40 °C; may be empty.
    pub viscosity: String,
    /// Viscosity index; may be empty.
    pub index: String,
    /// How many forks use it, in words.
    pub used: String,
    /// A draft.
    pub draft: bool,
}

/// All oils, `oils.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct OilsView {
    /// The oils.
    pub oils: Vec<OilRow>,
    /// Viscosity against temperature, all oils together, as finished SVG.
    pub chart: Option<Drawing>,
}

/// The page.
pub struct OilsPage;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [OilsPage; 1] {
    [OilsPage]
}

impl<'s> Page<'s> for OilsPage {
    type View = OilsView;

    const TEMPLATE: &'static str = "oils";

    fn path(&self) -> String {
        "oils/index.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<OilsView, TemplateProblem> {
        Ok(oils(desk.book))
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &OilsView) -> Heading {
        Heading::new("Oils", "Every oil on record with its viscosity.")
    }
}

/// The list of oils.
fn oils(book: &Book) -> OilsView {
    let shop = book.shop;
    let oils = shop.oils.iter().map(|record| {
        let values = values(record);
        let shown = |key: Key| {
            let value = values.iter().find(|(field, _)| *field == key.id());
            value
                .map(|(id, value)| figure(shop, shop.catalogue.field(*id), value, "").main)
                .unwrap_or_default()
        };
        let used = book.oil_forks.get(&record.id.text).map_or(0, std::collections::BTreeSet::len);
        OilRow {
            href: oil_href(&record.id.text),
            title: record.title(),
            label: record.label.as_ref().map(|text| text.text.clone()).unwrap_or_default(),
            viscosity: shown(key::GRADE_VISCOSITY_40),
            index: shown(key::GRADE_VISCOSITY_INDEX),
            used: if used == 0 { "no fork on record".to_owned() } else { count(used, "fork", "forks") },
            draft: record.draft,
        }
    });
    OilsView { oils: oils.collect(), chart: oil_chart(book) }
}

fn oil_chart(book: &Book) -> Option<Drawing> {
    let curve = |oil: &CheckedOil| Some((oil.record.model.clone(), *oil.derived.curve.value()?));
    let curves: Vec<(String, Curve)> = book.oils.iter().filter_map(curve).collect();
    viscosity("oils", &curves)
}
