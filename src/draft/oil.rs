//! A draft of an oil.

use super::write::{Draft, blanks, comment};
use crate::catalogue::{Choices, Field, FieldId, Owner};
use crate::record::{CALLED, DATA_SHEET, LABEL, OIL_MAKER};
use crate::resolve::Shop;

/// A draft of an oil.
pub fn oil(shop: &Shop, id: &str) -> Draft {
    let mut out = "# yaml-language-server: $schema=../schema/oil.schema.json\n".to_owned();
    comment(
        &mut out,
        "# ",
        "A draft. Write each value with its unit and take away the `# ` in front of it and of its group's name. \
         Set the status to published when nothing is missing.",
    );
    out.push_str(&format!("id: {id}\nmaker: \"{OIL_MAKER}\"\nproduct: \"{CALLED}\"\nstatus: draft\n"));
    out.push_str(&format!("# label: \"{LABEL}\"\n"));
    out.push_str(&format!(
        "sources:\n  data: {{kind: maker-sheet, title: \"{DATA_SHEET}\"}}\nsource: data\n"
    ));
    let none = Choices::new();
    let fields: Vec<(FieldId, &Field, bool)> =
        shop.catalogue.of(Owner::Oil).map(|(id, field)| (id, field, field.required.holds(&none))).collect();
    blanks(&mut out, &shop.catalogue, &fields);
    (format!("specs/oils/{id}.yaml"), out)
}
