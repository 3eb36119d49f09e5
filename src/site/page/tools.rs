//! Tools and consumables.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::Book;
use crate::book::links::procedure_href;
use crate::book::view::Link;
use crate::record::Tool;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// A tool or consumable.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ToolRow {
    /// Its id, which is its fragment identifier.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// What for.
    pub use_for: String,
    /// Its size; may be empty.
    pub size: String,
    /// How it is counted; may be empty.
    pub unit: String,
    /// What the shop says about it; may be empty.
    pub notes: String,
    /// The procedures that need it.
    pub used_by: Vec<Link>,
}

/// Tools and consumables, `tools.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ToolsView {
    /// Tools.
    pub tools: Vec<ToolRow>,
    /// Consumables.
    pub consumables: Vec<ToolRow>,
}

/// The page.
pub struct ToolsPage;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [ToolsPage; 1] {
    [ToolsPage]
}

impl<'s> Page<'s> for ToolsPage {
    type View = ToolsView;

    const TEMPLATE: &'static str = "tools";

    fn path(&self) -> String {
        "tools.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<ToolsView, TemplateProblem> {
        Ok(tools(desk.book))
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &ToolsView) -> Heading {
        Heading::new("Tools and consumables", "What the procedures need.")
    }
}

/// Tools and consumables.
fn tools(book: &Book) -> ToolsView {
    let row = |tool: &Tool| {
        let needed = book.shop.procedures.iter().filter(|procedure| {
            procedure.tools.iter().chain(&procedure.consumables).any(|id| id.text == tool.id.text)
        });
        ToolRow {
            id: tool.id.text.clone(),
            title: tool.title.clone(),
            use_for: tool.use_for.clone(),
            size: tool.size.clone().unwrap_or_default(),
            unit: tool.unit.clone().unwrap_or_default(),
            notes: tool.notes.clone().unwrap_or_default(),
            used_by: needed
                .map(|procedure| Link::new(procedure_href(&procedure.id.text), procedure.title.clone()))
                .collect(),
        }
    };
    let sorted = |consumable: bool| {
        let mut rows: Vec<ToolRow> =
            book.shop.tools.iter().filter(|tool| tool.consumable == consumable).map(row).collect();
        rows.sort_by(|a, b| (&a.title, &a.id).cmp(&(&b.title, &b.id)));
        rows
    };
    ToolsView { tools: sorted(false), consumables: sorted(true) }
}
