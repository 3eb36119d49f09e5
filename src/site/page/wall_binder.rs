//! The hang cards of a volume, to print in one go.

use super::binder::{BinderView, bound};
use super::kind::{Heading, Page, Subject};
use crate::book::links::wall_binder_href;
use crate::book::view::Link;
use crate::site::desk::Desk;
use crate::site::stack::{CardAt, Stack};
use crate::site::templates::TemplateProblem;

/// The page of a volume, counted from 0.
pub struct WallBinder {
    volume: usize,
    volumes: usize,
}

/// One for each volume in which a fork's cards begin.
pub fn all(desk: &Desk<'_, '_>) -> Vec<WallBinder> {
    let volumes = desk.stack.volumes();
    let here = (0..volumes).filter(|volume| !desk.stack.walls_of(*volume).is_empty());
    here.map(|volume| WallBinder { volume, volumes }).collect()
}

impl<'s> Page<'s> for WallBinder {
    type View = BinderView;

    const TEMPLATE: &'static str = "binder";

    fn path(&self) -> String {
        wall_binder_href(self.volume)
    }

    fn subject(&self) -> Subject<'s> {
        Subject::Volume(self.volume)
    }

    fn cards(&self, stack: &Stack<'s>) -> Vec<CardAt<'s>> {
        stack.walls_of(self.volume)
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<BinderView, TemplateProblem> {
        let title = match self.volumes {
            1 => "All hang cards".to_owned(),
            volumes => format!("Hang cards, volume {} of {volumes}", self.volume + 1),
        };
        Ok(BinderView { one_side: true, ..bound(desk, title, &Page::cards(self, &desk.stack))? })
    }

    fn heading(&self, _: &Desk<'_, 's>, view: &BinderView) -> Heading {
        Heading::new(view.title.clone(), "Hang cards to print in one go.")
            .under(Link::new("cards/index.html", "Bench cards"))
    }
}
