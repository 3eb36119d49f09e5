//! How long the search takes in a real browser: `cargo run --example search_time -- [MODELS]`, 10,000 unless told.
//!
//! The demo shop's home page with an index of made-up models. Questions are typed letter by letter into it in
//! headless Chromium, each on a page just opened, so that the first letter pays for preparing the index.
//! `work` is the page's own script, from the letter's arrival to the list in the document; `seen` ends when the
//! frame with the list has been painted.

use std::collections::BTreeMap;
use std::error::Error;
use std::path::{Path, PathBuf};
use std::time::Duration;

use benchleaf::book::Book;
use benchleaf::check_shop;
use benchleaf::site::page::search_index::{KindEntry, SearchEntry, Searched, index_script};
use benchleaf::site::{Press, Templates};
use benchleaf::text::Folder;
use headless_chrome::{Browser, LaunchOptions, Tab};

const MAKERS: [&str; 12] = [
    "Ashlock",
    "Belvane",
    "Corvane",
    "Drostan",
    "Elmire",
    "Fennhold",
    "Garrow",
    "Hestral",
    "Ivenna",
    "Jorvik Mill",
    "Kestrane",
    "Lorrimer",
];
const NAMES: [&str; 14] = [
    "Courier", "Lantern", "Sable", "Harrier", "Post", "Meridian", "Strand", "Tourer", "Kite", "Anvil",
    "Wayfarer", "Pilot", "Ember", "Ridge",
];
const FORKS: [&str; 6] =
    ["Tarnholm U", "Tarnholm S", "Velmora C", "Velmora X", "Brackwater D", "Brackwater T"];

/// A few letters, a model with its year, a word that fits thousands, a slip, and nothing that fits.
const QUESTIONS: [&str; 5] = ["sab", "corvane sable 2014", "tarnholm", "corvnae sabel", "zzyx"];

/// Marks a letter's arrival before the page's own listeners, and the first moment after the next frame.
const WATCH: &str = "(() => {
  window.times = [];
  let from = 0;
  window.addEventListener('input', () => { from = performance.now(); }, true);
  window.addEventListener('input', () => {
    const work = performance.now() - from, start = from;
    requestAnimationFrame(() => {
      const after = new MessageChannel();
      after.port1.onmessage = () => window.times.push([work, performance.now() - start]);
      after.port2.postMessage(0);
    });
  });
  document.getElementById('q').focus();
})()";

fn entries(models: usize) -> Vec<SearchEntry> {
    let entry = |n: usize| {
        // A model's number is its own, so that a search for it has one answer.
        let (maker, name, fork) = (MAKERS[n % 12], NAMES[n / 12 % 14], FORKS[n / 168 % 6]);
        let first = 1985 + u16::try_from(n * 7 % 36).unwrap_or(0);
        SearchEntry {
            m: format!("{maker} {name} {}", 50 + n),
            a: first,
            b: first + u16::try_from(n % 9).unwrap_or(0),
            f: format!("{fork}{}", 35 + n % 15),
            i: format!("fork-{n}"),
            k: n % 6,
            ..SearchEntry::default()
        }
    };
    (0..models).map(entry).collect()
}

/// Six kinds of fork, in as many words as the demo shop's have.
fn kinds() -> Vec<KindEntry> {
    let of = |n: usize| KindEntry {
        w: format!("fork inverted upside down open cartridge coil spring at the top {0} mm {0}mm", 41 + n),
        ..KindEntry::default()
    };
    (0..6).map(of).collect()
}

/// The home page and its assets, with an index of so many models.
fn write_site(to: &Path, models: usize) -> Result<(), Box<dyn Error>> {
    let checked = check_shop(&Folder { root: PathBuf::from(env!("CARGO_MANIFEST_DIR")) });
    let book = Book::new(&checked);
    let templates = Templates::new(&BTreeMap::new()).map_err(|problem| format!("{problem:?}"))?;
    let press = Press::new(&book, templates);
    std::fs::create_dir_all(to.join("assets"))?;
    for page in press.list() {
        if page.path == "index.html" || page.path.starts_with("assets/") {
            let bytes = press.render(page).map_err(|problem| format!("{problem:?}"))?;
            std::fs::write(to.join(&page.path), bytes)?;
        }
    }
    std::fs::write(
        to.join("assets/search-index.js"),
        index_script(&Searched { forks: entries(models), kinds: kinds(), ..Searched::default() }),
    )?;
    Ok(())
}

/// For each letter: the page's own work and the time until it is seen, in ms.
fn time(tab: &Tab, home: &str, question: &str) -> Result<Vec<(f64, f64)>, Box<dyn Error>> {
    tab.navigate_to(home)?.wait_until_navigated()?;
    tab.evaluate(WATCH, false)?;
    let mut times = Vec::new();
    for (n, letter) in question.chars().enumerate() {
        tab.type_str(&letter.to_string())?;
        for _ in 0..1000 {
            let given = tab.evaluate("JSON.stringify(window.times)", false)?.value;
            let text = given.as_ref().and_then(serde_json::Value::as_str).unwrap_or("[]");
            times = serde_json::from_str(text)?;
            if times.len() > n {
                break;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
    }
    if times.len() == question.chars().count() { Ok(times) } else { Err("a letter was not answered".into()) }
}

fn main() -> Result<(), Box<dyn Error>> {
    let models = std::env::args().nth(1).map_or(Ok(10_000), |text| text.parse())?;
    let folder = tempfile::tempdir()?;
    write_site(folder.path(), models)?;
    let browser = Browser::new(LaunchOptions {
        sandbox: false,
        path: ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"]
            .iter()
            .map(PathBuf::from)
            .find(|path| path.exists()),
        ..LaunchOptions::default()
    })?;
    let tab = browser.new_tab()?;
    let home = format!("file://{}/index.html", folder.path().display());
    let size = std::fs::metadata(folder.path().join("assets/search-index.js"))?.len();
    println!("{models} models, index of {size} bytes. Milliseconds for each letter, work/seen:");
    for question in QUESTIONS {
        // Three times, and for each letter the middle one.
        let mut runs = Vec::new();
        for _ in 0..3 {
            runs.push(time(&tab, &home, question)?);
        }
        let middle = |at: usize, of: fn(&(f64, f64)) -> f64| {
            let mut all: Vec<f64> = runs.iter().map(|run| of(&run[at])).collect();
            all.sort_by(f64::total_cmp);
            all[1]
        };
        let letters: Vec<String> = question
            .chars()
            .enumerate()
            .map(|(at, letter)| format!("{letter} {:.0}/{:.0}", middle(at, |t| t.0), middle(at, |t| t.1)))
            .collect();
        println!("  {question:20} {}", letters.join("  "));
    }
    Ok(())
}
