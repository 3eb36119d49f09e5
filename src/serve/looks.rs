//! Looks at the shop, each time at no more than what changed since the last.

use std::path::PathBuf;
use std::sync::Arc;

use super::edition::Edition;
use crate::diagnostic::order;
use crate::output::Digest;
use crate::pipeline::{Checked, Memory, check_again, read_shop};
use crate::site::{Templates, own_templates, shop_templates};
use crate::text::{Remembered, last_commit};

/// What a look at the shop found.
pub(super) enum Found {
    /// The shop's folder is not there.
    Gone,
    /// It is as it was.
    Same,
    /// It was checked; with the digest of its sources, and its pages where they can be shown.
    Checked(Digest, Box<Checked>, Option<Arc<Edition>>),
}

/// The shop with what the last look saw and worked out.
pub(super) struct Looks {
    source: Remembered,
    memory: Memory,
    /// The digest of the sources that were shown last: what was looked at and not shown is looked at again.
    shown: Option<Digest>,
    /// The templates, with the digest of the shop's own.
    templates: Option<(Digest, Templates)>,
}

impl Looks {
    /// A shop that was not looked at yet.
    pub(super) fn new(shop: PathBuf) -> Looks {
        Looks { source: Remembered::new(shop), memory: Memory::default(), shown: None, templates: None }
    }

    /// Notes that what was found is shown; `None`: that nothing of the shop is there any more.
    pub(super) fn show(&mut self, sources: Option<Digest>) {
        self.shown = sources;
    }

    /// Reads the shop, and checks it where anything in it is not as it was shown last.
    pub(super) fn at_shop(&mut self) -> Found {
        if !self.source.root().is_dir() {
            return Found::Gone;
        }
        let sources = read_shop(&self.source, last_commit(self.source.root()));
        self.source.turn();
        let digest = sources.digest();
        if self.shown == Some(digest) && sources.whole() {
            return Found::Same;
        }
        let mut checked = check_again(sources, &mut self.memory);
        let edition = if checked.has_errors() { None } else { self.edition_of(&mut checked) };
        Found::Checked(digest, Box::new(checked), edition)
    }

    /// The pages of a shop without an error; `None`, and the findings told, where its own templates are wrong.
    fn edition_of(&mut self, checked: &mut Checked) -> Option<Arc<Edition>> {
        let own = Digest::of_parts(own_templates(&checked.files).into_iter().flat_map(<[String; 2]>::from));
        let known = self.templates.take().filter(|(digest, _)| *digest == own).map(|(_, known)| known);
        let templates = match known.map_or_else(|| shop_templates(&checked.files), Ok) {
            Ok(templates) => templates,
            Err(found) => {
                checked.findings.extend(found);
                checked.findings = order(std::mem::take(&mut checked.findings), &checked.files);
                return None;
            }
        };
        self.templates = Some((own, templates.clone()));
        Some(Arc::new(Edition::new(templates)))
    }
}
