//! A volume of the shop’s cards, to print in one go.

use serde::Serialize;

use super::kind::{Heading, Page, Subject};
use crate::book::held::Held;
use crate::book::view::Link;
use crate::site::desk::Desk;
use crate::site::stack::{CardAt, Stack};
use crate::site::templates::TemplateProblem;
use crate::words::count;

/// Several cards to print in one go, `binder.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct BinderView {
    /// What it holds: `All cards, volume 1 of 2`.
    pub title: String,
    /// How many sheets, in words.
    pub sheets: String,
    /// They are printed on one side.
    pub one_side: bool,
    /// The cards: finished HTML, made from `card-sheet.html` or `hang-sheet.html`.
    pub cards_html: Vec<Held>,
}

/// The page of a volume, counted from 0.
pub struct Binder {
    volume: usize,
    volumes: usize,
}

/// One for each volume.
pub fn all(desk: &Desk<'_, '_>) -> impl Iterator<Item = Binder> + use<> {
    let volumes = desk.stack.volumes();
    (0..volumes).map(move |volume| Binder { volume, volumes })
}

impl Binder {
    fn title(&self) -> String {
        match self.volumes {
            1 => "All cards".to_owned(),
            volumes => format!("All cards, volume {} of {volumes}", self.volume + 1),
        }
    }
}

impl<'s> Page<'s> for Binder {
    type View = BinderView;

    const TEMPLATE: &'static str = "binder";

    fn path(&self) -> String {
        format!("cards/all/{}.html", self.volume + 1)
    }

    fn subject(&self) -> Subject<'s> {
        Subject::Volume(self.volume)
    }

    fn cards(&self, stack: &Stack<'s>) -> Vec<CardAt<'s>> {
        stack.volume(self.volume).to_vec()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<BinderView, TemplateProblem> {
        bound(desk, self.title(), &Page::cards(self, &desk.stack))
    }

    fn heading(&self, _: &Desk<'_, 's>, view: &BinderView) -> Heading {
        Heading::new(view.title.clone(), "Bench cards to print in one go.")
            .under(Link::new("cards/index.html", "Bench cards"))
    }
}

/// Cards bound in this order.
///
/// # Errors
/// What is wrong with the template of a card.
pub fn bound<'s>(
    desk: &Desk<'_, 's>,
    title: String,
    cards: &[CardAt<'s>],
) -> Result<BinderView, TemplateProblem> {
    let html = cards.iter().map(|card| Ok(Held::new(desk.sheet(*card)?.html.clone(), "../../".into())));
    let cards_html: Vec<Held> = html.collect::<Result<_, _>>()?;
    Ok(BinderView { title, sheets: count(cards_html.len(), "sheet", "sheets"), one_side: false, cards_html })
}
