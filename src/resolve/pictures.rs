//! Where the shop's own pictures are shown.

use super::shop::Shop;
use crate::picture::{Picture, PictureFile};
use crate::record::{PictureNote, RecordKind};
use crate::syntax::Scheme;
use crate::syntax::markdown::{Body, Reference};
use crate::text::Span;

/// A place that shows a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shown<'s> {
    /// The name of its file.
    pub name: &'s str,
    /// What it shows, in words.
    pub words: &'s str,
    /// Where it is to stand besides the page, as written.
    pub also: &'s str,
    /// The folder in which it has to be.
    pub folder: &'static str,
    /// Where its name is written.
    pub span: Span,
}

/// How a text asks for its picture on the bench card as well.
pub const ON_CARD: &str = "card";

impl<'s> Shown<'s> {
    /// What a link of a text shows; nothing where it shows no picture.
    pub fn of_link(link: &'s Reference, kind: RecordKind) -> Option<Shown<'s>> {
        (link.scheme == Scheme::Picture).then(|| Shown {
            name: &link.target,
            words: &link.text,
            also: link.otherwise.as_deref().unwrap_or(""),
            folder: kind.folder(),
            span: link.span,
        })
    }

    /// What a record shows.
    pub fn of_note(note: &'s PictureNote, kind: RecordKind) -> Shown<'s> {
        Shown {
            name: &note.file.text,
            words: &note.shows,
            also: if note.card { ON_CARD } else { "" },
            folder: kind.folder(),
            span: note.file.span,
        }
    }

    /// Whether it is to stand on the bench card as well.
    pub fn on_card(&self) -> bool {
        self.also == ON_CARD
    }
}

impl Shop {
    /// The image file of a name.
    pub fn picture_file(&self, name: &str) -> Option<&PictureFile> {
        self.pictures.iter().find(|file| file.name() == name)
    }

    /// The picture of a name, where it can be shown.
    pub fn picture(&self, name: &str) -> Option<&Picture> {
        self.picture_file(name)?.read.as_deref().ok()
    }

    /// Every place that shows a picture.
    pub fn shown(&self) -> impl Iterator<Item = Shown<'_>> {
        fn of_body(body: &Body, kind: RecordKind) -> impl Iterator<Item = Shown<'_>> {
            body.references.iter().filter_map(move |link| Shown::of_link(link, kind))
        }
        let procedures = self.procedures.iter().flat_map(|text| of_body(&text.body, RecordKind::Procedure));
        let cautions = self.cautions.iter().flat_map(|text| of_body(&text.body, RecordKind::Caution));
        let complaints = self.complaints.iter().flat_map(|text| of_body(&text.body, RecordKind::Complaint));
        let notes = self
            .forks
            .iter()
            .chain(&self.families)
            .flat_map(|record| record.pictures.iter().map(move |note| Shown::of_note(note, record.kind)));
        procedures.chain(cautions).chain(complaints).chain(notes)
    }
}
