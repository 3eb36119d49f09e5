//! Who reviewed which values of a record, and when.

use super::text::{Text, text_entry};
use crate::syntax::yaml::Node;
use crate::text::Span;

/// One entry of a record's `reviewed:` list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Review {
    /// Who.
    pub by: Text,
    /// The day, as written.
    pub date: Text,
    /// The values it covers, by key, each with the code of what was seen.
    pub values: Vec<(Text, Text)>,
    /// The seal over the entry.
    pub digest: Text,
    /// The whole entry.
    pub span: Span,
}

/// Reads the entries. What the schema refused is left out here without another word.
pub(super) fn read_reviews(root: &Node) -> Vec<Review> {
    let items = root.get("reviewed").map_or(&[][..], Node::items);
    let one = |item: &Node| {
        let values = item.get("values")?.entries().iter().filter_map(|entry| {
            let code = Text { text: entry.value.text()?.to_owned(), span: entry.value.span };
            Some((Text { text: entry.key.clone(), span: entry.key_span }, code))
        });
        Some(Review {
            by: text_entry(item, "by")?,
            date: text_entry(item, "date")?,
            values: values.collect(),
            digest: text_entry(item, "digest")?,
            span: item.span,
        })
    };
    items.iter().filter_map(one).collect()
}
