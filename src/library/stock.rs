//! The texts that came with this program.

use std::collections::BTreeMap;
use std::fmt;
use std::fs;
use std::path::Path;

use super::without::without;

/// The texts that were built in; none in a debug build.
const BUILT_IN: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/library.rs"));

/// Where a debug build reads them.
const REPOSITORY: &str = env!("CARGO_MANIFEST_DIR");

/// What belongs to the demo's forks and to no other shop.
const OF_THE_DEMO: [&str; 4] = ["specs/forks/", "specs/families/", "specs/oils/", "specs/shop.yaml"];

/// Where tools stand.
const TOOLS: &str = "specs/tools/";

/// What one shop alone can say of an instrument: which one it is, and when it was calibrated.
const OF_ONE_SHOP: [&str; 3] = ["number", "calibrated", "calibrate_months"];

/// What stands in its place: whoever has such an instrument writes it down.
const TO_FILL_IN: &str = "# Of your own one: its number, the days it was calibrated, and for how many months that holds.\n# number: \"…\"\n# calibrated: [\"…\"]\n# calibrate_months: …\n";

/// The library cannot be read: a debug build that was taken away from its repository.
#[derive(Debug)]
pub struct StockError(String);

impl fmt::Display for StockError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "this is a build for trying out, and the repository it was built from cannot be read: {}",
            self.0
        )
    }
}

impl std::error::Error for StockError {}

/// The texts that came with this program, by path.
#[derive(Debug, Clone, Default)]
pub struct Stock {
    /// What every shop begins with.
    pub library: BTreeMap<String, String>,
    /// The demo's forks, families, oils and settings.
    pub demo: BTreeMap<String, String>,
}

impl Stock {
    /// The texts of this program.
    ///
    /// # Errors
    /// A debug build finds its repository no more.
    pub fn of_this_program() -> Result<Stock, StockError> {
        let texts: Vec<(String, String)> = match BUILT_IN {
            [] => in_folder(Path::new(REPOSITORY))?,
            built_in => {
                built_in.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect()
            }
        };
        let of_the_demo = |path: &str| OF_THE_DEMO.iter().any(|part| path.starts_with(part));
        let (demo, library) = texts
            .into_iter()
            .map(|(path, text)| {
                let text = text.replace("\r\n", "\n");
                let text = if path.starts_with(TOOLS) { as_any_shops(&text) } else { text };
                (path, text)
            })
            .partition(|(path, _)| of_the_demo(path));
        Ok(Stock { library, demo })
    }
}

/// A tool's record without what one shop alone can say: a day on which nobody calibrated anything would be published as
/// this shop's.
fn as_any_shops(text: &str) -> String {
    let out = without(text, &OF_ONE_SHOP);
    if out == text { out } else { out + TO_FILL_IN }
}

/// The texts in a repository.
fn in_folder(root: &Path) -> Result<Vec<(String, String)>, StockError> {
    let mut texts = Vec::new();
    let failed = |error: &dyn fmt::Display| StockError(error.to_string());
    let tops = ["procedures", "specs/tools"].into_iter().chain(OF_THE_DEMO);
    for entry in tops.flat_map(|top| walkdir::WalkDir::new(root.join(top)).sort_by_file_name()) {
        let entry = entry.map_err(|error| failed(&error))?;
        let Some(path) = entry.path().strip_prefix(root).ok().and_then(Path::to_str) else { continue };
        let hidden = entry.file_name().to_str().is_none_or(|name| name.starts_with('.'));
        if !hidden && (path.ends_with(".md") || path.ends_with(".yaml")) {
            let text = fs::read_to_string(entry.path()).map_err(|error| failed(&error))?;
            texts.push((path.replace('\\', "/"), text));
        }
    }
    Ok(texts)
}
