//! The shop's own pictures as pages and cards show them.

use serde::Serialize;

use super::links::picture_href;
use crate::plan::Plan;
use crate::record::RecordKind;
use crate::resolve::{ResolvedFork, Shop, Shown};

/// A picture of the shop's own.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct PictureView {
    /// Its file, from the site's top folder.
    pub src: String,
    /// What it shows, in words.
    pub words: String,
    /// How wide it is, in pixels.
    pub width: u32,
    /// How high.
    pub height: u32,
}

/// What is shown at a place; nothing where there is no such picture.
pub fn shown(shop: &Shop, place: &Shown<'_>) -> Option<PictureView> {
    let picture = shop.picture(place.name)?;
    Some(PictureView {
        src: picture_href(place.name, picture),
        words: place.words.trim().to_owned(),
        width: picture.width,
        height: picture.height,
    })
}

/// The pictures beside a fork's record, its family's first.
pub fn of_fork(shop: &Shop, fork: &ResolvedFork) -> Vec<PictureView> {
    of_record(fork).filter_map(|place| shown(shop, &place)).collect()
}

/// The pictures that are asked for on the bench card of a service, in the order of the work: those of its procedures,
/// then the fork's own.
pub fn on_card(shop: &Shop, plan: &Plan<'_>, fork: &ResolvedFork) -> Vec<PictureView> {
    let of_work = plan.references().filter_map(|link| Shown::of_link(link, RecordKind::Procedure));
    let mut views: Vec<PictureView> = of_work
        .chain(of_record(fork))
        .filter(Shown::on_card)
        .filter_map(|place| shown(shop, &place))
        .collect();
    let mut seen = std::collections::BTreeSet::new();
    views.retain(|view| seen.insert(view.src.clone()));
    views
}

fn of_record(fork: &ResolvedFork) -> impl Iterator<Item = Shown<'_>> {
    let family = fork.family.iter().flat_map(|family| &family.pictures);
    let family = family.map(|note| Shown::of_note(note, RecordKind::Family));
    family.chain(fork.record.pictures.iter().map(|note| Shown::of_note(note, RecordKind::Fork)))
}
