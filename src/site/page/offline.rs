//! What lets a device read the pages it opened without a network: a service worker, and which build this is.

use serde::Serialize;

use super::kind::File;
use crate::output::Digest;
use crate::record::RecordKind;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// The worker. It stands at the top of the site, since it answers for what lies below it.
const WORKER: &str = include_str!("offline.js");

/// One of the two files.
pub enum Offline {
    /// The worker, `offline.js`.
    Worker,
    /// Which build this is, `edition.json`.
    Edition,
}

/// Both, once.
pub fn all(_: &Desk<'_, '_>) -> [Offline; 2] {
    [Offline::Worker, Offline::Edition]
}

impl<'s> File<'s> for Offline {
    fn path(&self) -> String {
        match self {
            Offline::Worker => "offline.js".to_owned(),
            Offline::Edition => "edition.json".to_owned(),
        }
    }

    fn render(&self, desk: &Desk<'_, 's>) -> Result<Vec<u8>, TemplateProblem> {
        Ok(match self {
            Offline::Worker => WORKER.as_bytes().to_vec(),
            // Texts alone: nothing that JSON cannot hold.
            Offline::Edition => serde_json::to_vec(&edition(desk)).unwrap_or_default(),
        })
    }
}

/// Which build this is.
#[derive(Serialize)]
struct Edition {
    /// A digest of all that pages are made from.
    edition: String,
    /// The day of the last commit; empty where there is none.
    day: String,
    /// What is kept before any page is opened: the way to every page, and the look-up of codes.
    first: Vec<String>,
}

fn edition(desk: &Desk<'_, '_>) -> Edition {
    let book = desk.book;
    let day = book.day.map(|day| day.date.to_string()).unwrap_or_default();
    let told = book.files.iter().filter(|(_, file)| RecordKind::of(&file.path) != Some(RecordKind::Job));
    let texts = told.flat_map(|(_, file)| [file.path.as_str(), file.text.as_str()]);
    let program = [env!("CARGO_PKG_VERSION"), env!("BENCHLEAF_SOURCES"), day.as_str()];
    let digest = Digest::of_parts(program.into_iter().chain(texts));
    let pages = ["index.html", "404.html", "cautions.html", "glossary.html", "assets/search-index.js"];
    let codes = ["codes.html", "assets/card-codes.js"].into_iter().filter(|_| desk.site.has_cards);
    let assets = desk.assets().map(|(name, _)| format!("assets/{name}"));
    let first = pages.into_iter().chain(codes).map(str::to_owned).chain(assets).collect();
    Edition { edition: digest.to_string(), day, first }
}
