//! What is pasted from the documentation holds no figure that could stand on a card: the shop lead who copies an example
//! and forgets a line must be refused or asked.

use std::path::Path;
use std::sync::OnceLock;

use benchleaf::check_shop;
use benchleaf::quantity::{Dimension, every_reading};
use benchleaf::text::Folder;

fn text(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name))
        .expect("a page of the documentation")
}

/// The lines inside fences of records and procedures.
fn pasted(text: &str) -> Vec<&str> {
    let mut inside = false;
    let mut out = Vec::new();
    for line in text.lines() {
        let line = line.trim_start();
        if let Some(kind) = line.strip_prefix("```") {
            inside = !inside && ["yaml", "markdown"].contains(&kind);
        } else if inside {
            out.push(line);
        }
    }
    out
}

/// The amounts that a line names, each with its unit.
fn amounts(line: &str) -> Vec<String> {
    let parts = line.split([' ', '{', '}', '(', ')', ',', '`', '|', '"']).filter(|word| !word.is_empty());
    let mut words: Vec<&str> = parts.collect();
    // A tolerance is no figure of its own.
    while let Some(at) = words.iter().position(|word| *word == "±") {
        words.drain(at..(at + 2).min(words.len()));
    }
    let number = |word: &str| word.starts_with(|letter: char| letter.is_ascii_digit());
    words.windows(2).filter(|pair| number(pair[0])).map(|pair| format!("{} {}", pair[0], pair[1])).collect()
}

/// Whether a figure lies where some value of a fork or an oil lies.
fn could_stand(amount: &str) -> bool {
    static DEMO: OnceLock<benchleaf::Checked> = OnceLock::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf();
    let demo = DEMO.get_or_init(|| check_shop(&Folder { root }));
    let readings = every_reading(amount).unwrap_or_default();
    readings.iter().any(|reading| {
        let si = reading.middle_si();
        let dimension = reading.dimension();
        // How long oil rests and how warm it is are states, and the same on every sheet.
        !matches!(dimension, Dimension::Time | Dimension::Temperature)
            && demo
                .shop
                .catalogue
                .iter()
                .flat_map(|(_, field)| &field.lies)
                .any(|(of, from, to)| *of == dimension && (*from..=*to).contains(&si))
    })
}

#[test]
fn what_is_pasted_from_the_documentation_holds_no_figure() {
    for name in [
        "README.md",
        "DEVELOPERS.md",
        "docs/unknown.md",
        "docs/notation.md",
        "docs/templates.md",
        "docs/safety.md",
    ] {
        for line in pasted(&text(name)) {
            for amount in amounts(line) {
                assert!(!could_stand(&amount), "{name}: `{amount}` in `{line}` could stand on a card");
            }
        }
    }
}

#[test]
fn the_table_of_notations_holds_no_figure_of_a_fork() {
    let readme = text("README.md");
    let rows: Vec<&str> = readme.lines().filter(|line| line.starts_with("| `")).collect();
    let notations = rows.iter().filter(|row| row.contains(" mm") || row.contains(" mL"));
    let mut seen = 0;
    for row in notations {
        let notation = row.split('|').nth(1).expect("a first column");
        for amount in amounts(notation) {
            seen += 1;
            assert!(!could_stand(&amount), "`{amount}` in {row} could stand on a card");
        }
    }
    assert!(seen > 4, "the table was read");
    // The test can fail.
    assert!(could_stand("104 mm") && !could_stand("9999 mm"));
}

/// The files of the clean shops that the rules' examples begin with, as one text.
fn bases() -> String {
    fn all(folder: &Path, out: &mut String) {
        for entry in std::fs::read_dir(folder).expect("the clean shops") {
            let path = entry.expect("a file").path();
            if path.is_dir() {
                all(&path, out);
            } else {
                out.push_str(&std::fs::read_to_string(&path).expect("text"));
            }
        }
    }
    let mut out = String::new();
    all(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shops"), &mut out);
    out
}

/// What a rule tells the mechanic to write is a form, or another reading of what stands in the record: the number itself
/// in another unit, or its worth in one.
#[test]
fn what_the_rules_tell_to_write_is_no_new_figure() {
    let bases = bases();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/check/rules");
    let mut told = 0;
    for entry in std::fs::read_dir(folder).expect("the rules' pages") {
        let path = entry.expect("a page").path();
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        // The pitches that a standard has (ISO 261), and how far to measure: no figures of a fork.
        if ["pitch-not-preferred.md", "slope-and-bore-disagree.md"].contains(&name.as_str()) {
            continue;
        }
        let page = std::fs::read_to_string(&path).expect("text");
        for example in page.split("\n### ").skip(1) {
            let (advice, record): (Vec<&str>, Vec<&str>) =
                example.lines().partition(|line| line.trim_start().starts_with("= write instead:"));
            let record = record.join("\n");
            for amount in advice.iter().flat_map(|line| amounts(line)) {
                if every_reading(&amount).is_err() {
                    continue;
                }
                told += 1;
                // Each end of a range counts for itself.
                let number = amount.split(' ').next().unwrap_or_default();
                let stated = number.split("..").all(|end| record.contains(end) || bases.contains(end));
                assert!(
                    stated || worth(&amount, &record) || worth(&amount, &bases),
                    "{name}: `{amount}` in\n{example}"
                );
            }
        }
    }
    assert!(told > 20, "the advice was read");
}

/// Whether an amount is what some figure of a text is worth, its point, halves and units aside.
fn worth(amount: &str, text: &str) -> bool {
    let wanted: Vec<f64> =
        every_reading(amount).unwrap_or_default().iter().map(|said| said.middle_si()).collect();
    let stated = text.lines().flat_map(amounts);
    let sizes = stated.flat_map(|amount| every_reading(&amount).unwrap_or_default());
    let near = |a: f64, b: f64| (a - b).abs() <= 0.03 * b.abs();
    sizes.map(|said| said.middle_si()).any(|si| wanted.iter().any(|wanted| near(*wanted, si)))
}
