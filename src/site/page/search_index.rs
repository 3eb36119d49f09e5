//! The search index as a script.

use serde::Serialize;

use super::kind::File;
use crate::site::desk::Desk;
pub use crate::site::searched::{KindEntry, PageEntry, PartEntry, SearchEntry, Searched};
use crate::site::searched::searched;
use crate::site::templates::TemplateProblem;

/// The script.
pub struct SearchIndex;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [SearchIndex; 1] {
    [SearchIndex]
}

impl<'s> File<'s> for SearchIndex {
    fn path(&self) -> String {
        "assets/search-index.js".to_owned()
    }

    fn render(&self, desk: &Desk<'_, 's>) -> Result<Vec<u8>, TemplateProblem> {
        Ok(index_script(&searched(desk.book, &desk.stack)).into_bytes())
    }
}

/// The script that hands these to the page's search: it works from a file, where nothing can be fetched.
pub fn index_script(searched: &Searched) -> String {
    let mut out = String::new();
    list("benchleafWords", &searched.words, &mut out);
    list("benchleafKinds", &searched.kinds, &mut out);
    list("benchleafParts", &searched.parts, &mut out);
    list("benchleafPages", &searched.pages, &mut out);
    list("benchleafIndex", &searched.forks, &mut out);
    out
}

/// A list of the window, one entry a line.
fn list<T: Serialize>(name: &str, entries: &[T], out: &mut String) {
    out.push_str(&format!("window.{name}=[\n"));
    for entry in entries {
        // Strings and small whole numbers: nothing here that JSON cannot hold.
        if let Ok(text) = serde_json::to_string(entry) {
            out.push_str(&text);
            out.push_str(",\n");
        }
    }
    out.push_str("];\n");
}
