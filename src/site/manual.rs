//! That what a shop reads about templates is whole.

use super::page::SOURCES;
use super::templates::{BUILT_IN, TEMPLATES};

/// What a shop reads about templates.
const MANUAL: &str = include_str!("../../docs/templates.md");

#[test]
fn it_names_every_template_and_every_value() {
    for (name, _) in TEMPLATES {
        let name = name.strip_prefix(BUILT_IN).unwrap_or(name);
        assert!(MANUAL.contains(&format!("`{name}`")), "docs/templates.md does not name {name}");
    }
    let views = [include_str!("view.rs"), include_str!("../book/view.rs"), include_str!("../card/view.rs")];
    let mut values = 0;
    // The search index is a script of its own, not a template.
    let pages = SOURCES.iter().filter(|text| !text.contains("pub struct SearchIndex;"));
    for line in views.iter().chain(pages).flat_map(|text| text.lines()) {
        let field = line.strip_prefix("    pub ").and_then(|rest| rest.split_once(':')).map(|(name, _)| name);
        if let Some(field) = field.filter(|name| name.len() > 1 && !name.contains(' ')) {
            values += 1;
            assert!(
                MANUAL.contains(&format!("| `{field}` |")),
                "docs/templates.md does not say what `{field}` holds"
            );
        }
    }
    assert!(values > 200, "the views have {values} values");
}
