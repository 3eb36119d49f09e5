//! The files of a new shop.

use super::write::Draft;
use crate::catalogue::Catalogue;
use crate::record::RecordKind;
use crate::schema::{Names, file_text};

macro_rules! starter {
    ($($path:literal),* $(,)?) => { [$(($path, include_str!(concat!("../../tests/shops/plain/", $path)))),*] };
}

/// The small shop a new shop begins with. It is one of the clean shops the rules are tested with.
const STARTER: [(&str, &str); 12] = starter!(
    "procedures/cautions/trapped-air.md",
    "procedures/close-leg.md",
    "procedures/services/full-service.yaml",
    "procedures/set-air-gap.md",
    "specs/families/tarn-road.yaml",
    "specs/forks/tarn-41.yaml",
    "specs/forks/tarn-45.yaml",
    "specs/oils/ember-15.yaml",
    "specs/shop.yaml",
    "specs/tools/fork-oil.yaml",
    "specs/tools/gap-gauge.yaml",
    "specs/tools/torque-wrench.yaml",
);

/// The files of a new shop: a small invented one that checks clean and builds, its forks marked as drafts, and
/// the schemas for editors.
pub fn shop(catalogue: &Catalogue) -> Vec<Draft> {
    let mut out: Vec<Draft> =
        STARTER.iter().map(|(path, text)| ((*path).to_owned(), example(path, text))).collect();
    for kind in RecordKind::ALL {
        out.push((
            format!("specs/schema/{}", kind.schema_file()),
            file_text(catalogue, &Names::default(), kind),
        ));
    }
    out
}

fn example(path: &str, text: &str) -> String {
    if path == "specs/shop.yaml" {
        let lines =
            text.lines().filter(|line| !line.starts_with("place:") && !line.starts_with("approvers:"));
        let lines = lines.map(|line| if line.starts_with("name:") { "name: Our fork bench" } else { line });
        return format!(
            "# yaml-language-server: $schema=schema/shop.schema.json\n{}\n",
            lines.collect::<Vec<_>>().join("\n")
        );
    }
    match path.rsplit_once('.') {
        // An invented fork must not be worked from.
        Some((_, "yaml")) => format!(
            "# An invented example: replace it.\n{}",
            text.replace("status: published", "status: draft")
        ),
        _ => text.to_owned(),
    }
}
