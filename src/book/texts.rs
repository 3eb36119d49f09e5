//! What is told of one fork: made once for all its pages, which come together, and let go soon after the last.

use std::collections::BTreeSet;
use std::sync::{Arc, OnceLock};

use super::doubt::{Doubts, IN_DOUBT, doubted};
use super::facts::{Facts, tables_for};
use super::figure::{figures, row_of};
use super::reading::holds;
use super::short::{card_figure, short_text};
use super::sign::signed;
use super::view::{CardFigure, Figure, Row};
use crate::catalogue::FieldId;
use crate::check::CheckedFork;
use crate::judge::{AskedValue, asked};
use crate::output::Digest;
use crate::resolve::{Resolved, Shop, Side};

/// What is told of a fork, each part made when it is first asked for.
#[derive(Debug)]
pub struct ForkTexts<'s> {
    /// The fork.
    pub fork: &'s CheckedFork,
    shop: &'s Shop,
    figures: Vec<OnceLock<Arc<[Figure]>>>,
    short: Vec<OnceLock<Arc<str>>>,
    facts: OnceLock<Facts>,
    asked: Vec<OnceLock<AskedValue>>,
    seals: Vec<OnceLock<Digest>>,
    kind: OnceLock<Digest>,
    /// All its values in one text, for the codes of its cards.
    pub values: OnceLock<String>,
    /// Each field on each leg as a card has it.
    on_card: Vec<[OnceLock<CardFigure>; 2]>,
    doubted: BTreeSet<FieldId>,
}

impl<'s> ForkTexts<'s> {
    /// Of a fork, its arithmetic and what `check` has open on the shop's numbers.
    pub fn new(shop: &'s Shop, fork: &'s CheckedFork, doubts: &Doubts<'_>) -> ForkTexts<'s> {
        let fields = shop.catalogue.iter().count();
        ForkTexts {
            fork,
            shop,
            figures: vec![OnceLock::new(); fields],
            short: vec![OnceLock::new(); fields],
            facts: OnceLock::new(),
            asked: vec![OnceLock::new(); fields],
            seals: vec![OnceLock::new(); fields],
            kind: OnceLock::new(),
            values: OnceLock::new(),
            on_card: vec![[OnceLock::new(), OnceLock::new()]; fields],
            doubted: doubted(shop, doubts, fork),
        }
    }

    /// The figures of a field, as [`figures`] makes them, with the doubt about them.
    pub fn figures(&self, id: FieldId) -> &Arc<[Figure]> {
        self.figures[usize::from(id.0)].get_or_init(|| {
            let mut made = figures(self.shop, self.fork, id);
            let (doubt, taken_over) = (self.in_doubt(id), self.fork.is_uncompared(id));
            made.iter_mut().for_each(|figure| (figure.doubt, figure.taken_over) = (doubt, taken_over));
            made.into()
        })
    }

    /// What the fork asks of a field's reading.
    pub fn asked(&self, id: FieldId) -> &AskedValue {
        self.asked[usize::from(id.0)].get_or_init(|| asked(self.shop, self.fork, &self.fork.derived, id))
    }

    /// Stands for all that a text can say of this fork by a field: its value, its figures with their marks, the legs
    /// that have it, the tables that are read with it. Forks with the same seal are told of it in the same words, but
    /// for links that name the fork.
    pub fn seal(&self, id: FieldId) -> Digest {
        *self.seals[usize::from(id.0)].get_or_init(|| {
            let field = self.shop.catalogue.field(id);
            // As its bytes are kept between runs: with all that was written.
            let value =
                |side: Side| self.fork.on(side, id).map(|resolved| borsh::to_vec(&resolved.value()).ok());
            let legs = Side::BOTH.map(|side| (value(side), holds(self.fork, side, id, field)));
            let tables = tables_for(self.shop, self.fork, field);
            Digest::of_value(&(self.figures(id), legs, self.fork.is_uncompared(id), tables))
        })
    }

    /// Stands for the kind of fork: all that was chosen.
    pub fn kind(&self) -> Digest {
        *self.kind.get_or_init(|| Digest::of_value(&self.fork.choices))
    }

    /// Whether `check` has a finding open on a field's value.
    pub fn in_doubt(&self, id: FieldId) -> bool {
        self.doubted.contains(&id)
    }

    /// What a step has to say beside a field's number: how it is counted, what is on the thread, the record's note.
    pub fn beside(&self, id: FieldId) -> String {
        let figures = self.figures(id).iter();
        let mut all: Vec<&str> = figures.flat_map(|figure| [figure.how.as_str(), &figure.note]).collect();
        all.retain(|text| !text.is_empty());
        // Legs that are alike say it once.
        let mut seen = BTreeSet::new();
        all.retain(|text| seen.insert(*text));
        all.join("; ")
    }

    /// Whether nobody has said a field's figure, nor an approver what is done without it.
    pub fn is_silent(&self, id: FieldId) -> bool {
        self.figures(id).iter().all(|figure| figure.silent)
    }

    /// A field's value in a few words, as [`short_text`] makes it, with the doubt about it and the sign of another model's.
    pub fn short(&self, id: FieldId) -> &Arc<str> {
        self.short[usize::from(id.0)].get_or_init(|| {
            let text = signed(&short_text(self.shop, self.fork, id), self.fork.is_uncompared(id));
            let marked = self.in_doubt(id) && !text.is_empty();
            if marked { format!("{text} ({})", IN_DOUBT).into() } else { text.into() }
        })
    }

    /// What the page to work from says at its head where numbers are in doubt; else empty.
    pub fn doubt_sentence(&self) -> String {
        let names: Vec<&str> =
            self.doubted.iter().map(|id| self.shop.catalogue.field(*id).title.as_str()).collect();
        if names.is_empty() { String::new() } else { format!("{}: ask before you use it.", names.join(", ")) }
    }

    /// A value of the fork on a card, as [`card_figure`] makes it, under the name of its side.
    pub fn card_figure(&self, id: FieldId, side: &str, resolved: &Resolved) -> CardFigure {
        // Where both legs have one value it is the left one's.
        let is_left = self.fork.on(Side::Left, id).is_some_and(|left| std::ptr::eq(left, resolved));
        let made = self.on_card[usize::from(id.0)][usize::from(!is_left)]
            .get_or_init(|| card_figure(self.shop, self.shop.catalogue.field(id), "", resolved));
        CardFigure { side: side.to_owned(), ..made.clone() }
    }

    /// A field's line on the fork's page; `None` where the fork has no value for it.
    pub fn row(&self, id: FieldId) -> Option<Row> {
        let figures = self.figures(id);
        (!figures.is_empty()).then(|| row_of(self.shop.catalogue.field(id), Arc::clone(figures)))
    }

    /// What is to be said about it besides.
    pub fn facts(&self) -> &Facts {
        self.facts.get_or_init(|| Facts::of(self.shop, self.fork))
    }
}
