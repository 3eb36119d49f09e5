//! The instruments of the shop: what each reads, how finely, and until when it is calibrated.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::links::field_href;
use crate::book::view::Link;
use crate::judge::out_of_calibration;
use crate::quantity::Quantity;
use crate::record::Tool;
use crate::resolve::Shop;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// An instrument.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct InstrumentRow {
    /// Its entry among the tools.
    pub tool: Link,
    /// Its own number in the shop; may be empty.
    pub number: String,
    /// From where to where it reads; may be empty.
    pub reads: String,
    /// The smallest step it shows; may be empty.
    pub resolution: String,
    /// The values it measures, with their entries in the field reference.
    pub measures: Vec<Link>,
    /// The last day it was calibrated, as written; may be empty.
    pub last: String,
    /// The last day of its calibration; may be empty.
    pub until: String,
}

/// The instruments, `instruments.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct InstrumentsView {
    /// The instruments, the one that is due first before the others; last those that are never calibrated.
    pub instruments: Vec<InstrumentRow>,
}

/// The page.
pub struct InstrumentsPage;

/// There is one in a shop whose tools say what they read.
pub fn all(desk: &Desk<'_, '_>) -> Option<InstrumentsPage> {
    desk.book.shop.tools.iter().any(Tool::is_instrument).then_some(InstrumentsPage)
}

impl<'s> Page<'s> for InstrumentsPage {
    type View = InstrumentsView;

    const TEMPLATE: &'static str = "instruments";

    fn path(&self) -> String {
        "instruments.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<InstrumentsView, TemplateProblem> {
        let shop = desk.book.shop;
        let row = |tool: &Tool| {
            let until = out_of_calibration(tool, None).map(|(until, _)| until);
            (until.is_none(), until, of_tool(shop, tool, until.map(|day| day.to_string())))
        };
        let mut rows: Vec<_> = shop.tools.iter().filter(|tool| tool.is_instrument()).map(row).collect();
        rows.sort_by(|a, b| (a.0, a.1, &a.2.tool.text).cmp(&(b.0, b.1, &b.2.tool.text)));
        Ok(InstrumentsView { instruments: rows.into_iter().map(|(.., row)| row).collect() })
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &InstrumentsView) -> Heading {
        Heading::new("Instruments", "What each reads, how finely, and until when it is calibrated.")
    }
}

fn of_tool(shop: &Shop, tool: &Tool, until: Option<String>) -> InstrumentRow {
    let shown = |of: Option<&Quantity>| of.map(|one| one.main().shown()).unwrap_or_default();
    let measures = tool.measures.iter().filter_map(|named| {
        let id = shop.catalogue.find(&named.text)?;
        let field = shop.catalogue.field(id);
        Some(Link::new(field_href(&field.key), field.title.clone()))
    });
    InstrumentRow {
        tool: Link::new(format!("tools.html#{}", tool.id.text), tool.title.clone()),
        number: tool.number.as_ref().map(|text| text.text.clone()).unwrap_or_default(),
        reads: shown(tool.torques.as_ref().or(tool.reads.as_ref())),
        resolution: shown(tool.resolution.as_ref()),
        measures: measures.collect(),
        last: tool.calibrated.last().map(|text| text.text.clone()).unwrap_or_default(),
        until: until.unwrap_or_default(),
    }
}
