//! Forks that a text names under `for:` instead of describing them.

use super::kind::RecordKind;
use super::text::Text;
use crate::catalogue::NAMES;
use crate::syntax::yaml::Node;

/// A name under `for:`: what it names, as `fork`, `family` or `maker`, and which.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Singled {
    /// `fork`, `family` or `maker`.
    pub by: &'static str,
    /// The name.
    pub name: Text,
}

/// The names under `for:` of a record of this kind; of conditions, of each in the list.
pub(crate) fn singled(kind: RecordKind, root: &Node) -> Vec<Singled> {
    if !kind.is_text() {
        return Vec::new();
    }
    let list = root.get("conditions").map_or(&[][..], Node::items);
    let all = std::iter::once(root).chain(list).filter_map(|record| record.get("for"));
    let ways = all.flat_map(Node::items);
    let mut out = Vec::new();
    for (way, by) in ways.flat_map(|way| NAMES.map(|by| (way, by))) {
        let Some(node) = way.get(by) else { continue };
        let names = node.text().map(|_| node).into_iter().chain(node.items());
        out.extend(names.filter_map(|node| {
            let name = Text { text: node.text()?.to_owned(), span: node.span };
            Some(Singled { by, name })
        }));
    }
    out
}
