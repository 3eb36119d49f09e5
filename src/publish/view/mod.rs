//! What each page's template receives: finished strings, never numbers to be formatted.
//!
//! A shop's own template gets exactly these values, under three names:
//! `site` ([`Site`], the same on every page), `head` ([`Head`]) and `page` (the page's own view).
//!
//! Every `href` counts from the site's top folder; a template writes `{{ head.root }}{{ link.href }}`.
//! A field whose name ends in `html` is finished, escaped HTML and is written with the filter `safe`.
//! Texts that do not apply are empty, lists that do not apply have no entries.

mod card;
mod fork;
mod home;
mod lists;
mod service;

pub use card::{
    BinderView, CardCaution, CardColumn, CardFigure, CardGroup, CardNumber, CardPageView, CardPart,
    CardTable, CardTorque, CardView, CardsView, FoundRow, JobBox,
};
pub use fork::{
    Accepted, ChoiceRow, Figure, ForkView, GroupView, MachineRow, Pair, Row, ServiceRow, SharedPart,
    SourceRow, VouchView,
};
pub use home::{HomeView, MakerView, ModelRow, SearchEntry};
pub use lists::{
    CautionsView, CodeRow, CodesView, FieldRow, FieldsView, FindingRow, GlossaryView, NotFoundView, OilRow,
    OilView, OilsView, OldCodeRow, ProcedureRow, ProceduresView, ReviewRow, ReviewView, RuleView, RulesView,
    StandInRow, Term, ToolRow, ToolsView, UnitGroup, UnitRow, UnitsView, UnreviewedRow,
};
pub use service::{
    CautionBox, DueRow, DueView, Item, ProcedureView, PullGroup, PullItem, PullView, Reading, ReadingBox,
    Section, SectionText, ServiceView, SetTo, Step,
};

use serde::Serialize;

/// A link inside the site.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Link {
    /// Where it leads, from the site's top folder.
    pub href: String,
    /// The visible text.
    pub text: String,
}

impl Link {
    /// A link.
    pub fn new(href: impl Into<String>, text: impl Into<String>) -> Self {
        Link { href: href.into(), text: text.into() }
    }
}

/// What is the same on every page; the name `site` in a template.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Site {
    /// The shop's name.
    pub name: String,
    /// Where the shop is; may be empty.
    pub place: String,
    /// The address the site is served from; may be empty.
    pub address: String,
    /// Whether there is at least one bench card.
    pub has_cards: bool,
}

/// What the frame around a page needs; the name `head` in a template.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Head {
    /// The way from this page to the site's top folder: empty, `../` or `../../`.
    pub root: String,
    /// The page's path from the site's top folder.
    pub path: String,
    /// The page's title, without the shop's name.
    pub title: String,
    /// One sentence for a list of search results.
    pub description: String,
    /// Which kind of page: `home`, `fork`, `service`, `card`, …: the name of its template.
    pub kind: String,
    /// The way here, without the page itself.
    pub crumbs: Vec<Link>,
}
