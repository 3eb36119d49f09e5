//! The shop lead looks at the working copy on a phone, and the apprentice at a card whose record has just been spoiled.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use headless_chrome::Tab;
use headless_chrome::protocol::cdp::Emulation;

#[allow(dead_code, reason = "shared by tests that each use a part of it")]
#[path = "../common/mod.rs"]
mod common;

use crate::cards::PAPERS;
use crate::{SIDEWAYS, ask, open_url, print, size, squeezed, with_tab};
use common::ShopCopy;

struct Serving {
    child: Child,
    home: String,
}

impl Serving {
    fn begin(shop: &ShopCopy) -> Serving {
        let mut child = Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(["serve", "--port", "0"])
            .current_dir(shop.path())
            .stdout(Stdio::piped())
            .spawn()
            .expect("it begins");
        let mut lines = BufReader::new(child.stdout.take().expect("its words")).lines().map_while(Result::ok);
        let line = lines.find(|line| line.contains("The working copy is at ")).expect("an address");
        // What it says later is let go, and never waited for.
        std::thread::spawn(move || lines.for_each(drop));
        let home =
            line.split_whitespace().find(|word| word.starts_with("http")).expect("an address").to_owned();
        Serving { child, home }
    }

    fn open(&self, tab: &Tab, path: &str) {
        open_url(tab, &format!("{}{path}", self.home));
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

const FORK: &str = "specs/forks/tarnholm-u45.yaml";
const CARD: &str = "cards/tarnholm-u45--full-service.html";
const PAGES: [&str; 5] =
    ["index.html", "forks/tarnholm-u45.html", "forks/tarnholm-u45/full-service.html", CARD, "review.html"];

/// The text of everything that is struck on a card: a line through a number goes through what stands in it.
const STRUCK: &str = "[...document.querySelectorAll('article.card *')]\
                      .filter(el => getComputedStyle(el).textDecorationLine === 'line-through')\
                      .map(el => el.textContent.trim()).join('|')";

/// How many sides a page has on each paper.
fn sides(tab: &Tab) -> [usize; 2] {
    PAPERS.map(|(_, paper)| print(tab, paper).get_pages().len())
}

#[test]
fn a_served_page_fits_a_phone_and_a_bad_save_strikes_what_changed() {
    let shop = ShopCopy::new();
    let serving = Serving::begin(&shop);
    with_tab(|tab| {
        let fits = |state: &str| {
            for width in [320, 390] {
                size(tab, width, 700);
                // The card keeps to its sheet; what it does on a narrow screen is asked of the published pages.
                for page in PAGES.into_iter().filter(|page| *page != CARD) {
                    serving.open(tab, page);
                    assert_eq!(ask(tab, SIDEWAYS), "", "{state}: {page} at {width} px scrolls sideways");
                    // The bar leaves the page its room.
                    let high = ask(
                        tab,
                        "Math.round(document.querySelector('.live-bar').getBoundingClientRect().height)",
                    );
                    assert!(high.parse::<u32>().is_ok_and(|high| high < 350), "{state}: {page}: {high}");
                }
            }
        };
        fits("good");
        serving.open(tab, CARD);
        assert_eq!(ask(tab, STRUCK), "");
        // Printed, a card keeps to its sides: it says itself what it is.
        assert_eq!(sides(tab), [2, 2], "a good card");

        // The axle's torque is another one, and a unit is missing elsewhere: the card that is open was made before.
        let text = std::fs::read_to_string(shop.file(FORK)).expect("the record");
        let line = text.lines().find(|line| line.contains("  dry_fill:")).expect("a line").to_owned();
        let figure = line.split_whitespace().nth(1).expect("a figure").to_owned();
        shop.write(FORK, &text.replace(&line, &line.replacen(&format!("{figure} mL"), &figure, 1)));
        let begun = Instant::now();
        while !ask(tab, "document.body.textContent").contains("Out of date: the record has an error") {
            assert!(begun.elapsed() < Duration::from_secs(120), "the open card does not follow");
            std::thread::sleep(Duration::from_millis(100));
        }
        // The sentence and what is struck come one after the other.
        while !ask(tab, STRUCK).contains(&figure) {
            assert!(begun.elapsed() < Duration::from_secs(120), "nothing is struck: {}", ask(tab, STRUCK));
            std::thread::sleep(Duration::from_millis(100));
        }
        let struck = ask(tab, STRUCK);
        assert!(!struck.contains("N·m"), "nothing else is struck: {struck}");
        // On paper the bar stands below the card, on each of its sides.
        assert_eq!(sides(tab), [2, 2], "a card that is out of date");
        let printed = print(tab, PAPERS[0].1);
        for side in printed.get_pages().keys() {
            let words = squeezed(&printed.extract_text(&[*side]).unwrap_or_default());
            assert!(words.contains("Outofdate:therecordhasanerror.Numbersthatchangedarestruck"), "{words}");
        }
        tab.call_method(Emulation::SetEmulatedMedia { media: Some("print".to_owned()), features: None })
            .expect("print");
        let bar = ask(
            tab,
            "(bar => getComputedStyle(bar).display + ' ' + getComputedStyle(bar).position + ' ' + bar.innerText)(document.querySelector('.live-bar'))",
        );
        assert!(bar.starts_with("block fixed") && bar.contains("Out of date"), "{bar}");
        assert!(ask(tab, STRUCK).contains(&figure));
        tab.call_method(Emulation::SetEmulatedMedia { media: None, features: None }).expect("screen");
        fits("bad");
    });
}
