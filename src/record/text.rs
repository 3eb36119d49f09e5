//! Texts that know their places, and how they are taken from a tree.

use crate::catalogue::When;
use crate::syntax::yaml::{Node, Tree};
use crate::text::Span;

/// A text and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Text {
    /// The text.
    pub text: String,
    /// Where.
    pub span: Span,
}

/// The text of a key, with its place.
pub(crate) fn text_entry(node: &Node, key: &str) -> Option<Text> {
    let value = node.get(key)?;
    Some(Text { text: value.text()?.to_owned(), span: value.span })
}

pub(super) fn texts(node: &Node) -> Vec<Text> {
    let one = |node: &Node| node.text().map(|text| Text { text: text.to_owned(), span: node.span });
    match &node.value {
        Tree::List(items) => items.iter().filter_map(one).collect(),
        _ => one(node).into_iter().collect(),
    }
}

/// The ids of a list. One that stands alone, which the schema refuses, is still taken for a reference.
pub(super) fn list(root: &Node, key: &str) -> Vec<Text> {
    let Some(node) = root.get(key) else { return Vec::new() };
    let items = if node.text().is_some() { std::slice::from_ref(node) } else { node.items() };
    let text = |item: &Node| item.text().map(|text| Text { text: text.to_owned(), span: item.span });
    items.iter().filter_map(text).collect()
}

pub(super) fn applies(root: &Node) -> When {
    let maps = root.get("for").map_or(&[][..], Node::items).iter().map(|all| {
        all.entries()
            .iter()
            .map(|entry| {
                let options = match entry.value.text() {
                    Some(one) => vec![one.to_owned()],
                    None => entry.value.items().iter().filter_map(Node::text).map(str::to_owned).collect(),
                };
                (entry.key.clone(), options)
            })
            .collect()
    });
    When(maps.collect())
}
