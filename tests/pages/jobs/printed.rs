//! Paper, page and draft ask for one reading in one unit, and with one figure: a number that is typed in from the card
//! means what the card meant.

use std::collections::BTreeMap;

use benchleaf::book::Book;
use benchleaf::check_shop;
use benchleaf::draft::{JobBegun, job};
use benchleaf::plan::plan;
use benchleaf::site::{Press, Templates};
use benchleaf::text::Folder;
use serde_json::Value as Json;

use super::shop;
use crate::squeezed;

const FORK: &str = "specs/forks/tarnholm-u41.yaml";
/// Lines of the record, and the same with the other unit first or alone.
const OTHERWISE: [[&str; 2]; 3] = [
    ["axle: {value: 62 N·m (46 lbf·ft)", "axle: {value: 46 lbf·ft (62 N·m)"],
    ["dry_fill: 455 mL (15.4 US fl oz)", "dry_fill: 15.4 US fl oz"],
    ["value: 38 N·m (28 lbf·ft)", "value: 28 lbf·ft"],
];

/// The demo shop, where one fork's sheet names the other unit first.
fn otherwise() -> tempfile::TempDir {
    let shop = shop();
    let path = shop.path().join(FORK);
    let mut text = std::fs::read_to_string(&path).expect("the fork");
    for [is, other] in OTHERWISE {
        assert!(text.contains(is), "{is}");
        text = text.replacen(is, other, 1);
    }
    std::fs::write(path, text).expect("written");
    shop
}

/// What stands between two marks, each time.
fn between<'t>(text: &'t str, from: &'t str, to: &'t str) -> impl Iterator<Item = &'t str> {
    text.split(from).skip(1).filter_map(move |rest| Some(rest.split_once(to)?.0))
}

fn plain(html: &str) -> String {
    let marks =
        [("&quot;", "\""), ("&#34;", "\""), ("&#39;", "'"), ("&lt;", "<"), ("&gt;", ">"), ("&amp;", "&")];
    marks.iter().fold(html.to_owned(), |text, (mark, letter)| text.replace(mark, letter))
}

/// The big figures of a card by the key of their line, without spaces: `96±2mm`.
fn figures(card: &str) -> BTreeMap<&str, Vec<String>> {
    let mut out: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for line in card.split("data-key=\"").skip(1) {
        let key = line.split(['"', ' ']).next().unwrap_or_default();
        for value in between(line, "<p class=\"val\">", "</p>") {
            let of =
                |name: &str| between(value, &format!("<{name}>"), &format!("</{name}>")).collect::<String>();
            out.entry(key).or_default().push(squeezed(&plain(&(of("b") + &of("small")))));
        }
    }
    out
}

#[test]
fn card_page_and_draft_ask_in_one_unit_and_with_one_figure() {
    let shop = otherwise();
    let checked = check_shop(&Folder { root: shop.path().to_path_buf() });
    let book = Book::new(&checked);
    let press = Press::new(&book, Templates::new(&BTreeMap::new()).expect("the built-in templates"));
    let pages: BTreeMap<&str, _> = press.list().iter().map(|page| (page.path.as_str(), page)).collect();
    let page_at = |path: String| {
        let bytes =
            press.render(pages.get(path.as_str())?).unwrap_or_else(|problem| panic!("{path}: {problem:?}"));
        Some(String::from_utf8(bytes).expect("text"))
    };
    let begun = JobBegun { number: "2026/0001", date: None, card: None };
    let (mut boxes, mut targets) = (0, 0);
    for fork in checked.shop.forks.iter() {
        let Some(known) = checked.fork(&fork.id.text) else { continue };
        for service in checked.shop.services_for(&known.choices) {
            let name = (&fork.id.text, &service.id.text);
            let Some(page) = page_at(format!("forks/{}/{}.html", name.0, name.1)) else { continue };
            // A draft of a fork has no card.
            let Some(card) = page_at(format!("cards/{}--{}.html", name.0, name.1)) else { continue };
            let card = figures(&card);
            let asked = between(&page, "<div data-asked=\"", "\"").next().expect("what is asked");
            let asked: Json = serde_json::from_str(&plain(asked)).expect("JSON");
            let walked = plan(&checked.shop, service, &known.resolved);
            let (_, draft) = job(&checked.shop, &known.resolved, &known.derived, &walked, &begun);
            for line in draft.lines().filter(|line| line.starts_with("#   ") && line.contains(": {")) {
                let Some((key, rest)) = line.trim_start_matches("#   ").split_once(": {") else { continue };
                let Some(table) = asked["of"].get(key) else { continue };
                // The blank, the page's box and what the page judges by.
                let blank =
                    rest.split_once("… ").map_or("", |(_, unit)| unit.split([',', '}']).next().unwrap_or(""));
                let unit = table["unit"].as_str().unwrap_or_default();
                assert_eq!(blank, unit, "{name:?} {line}");
                for leg in table["legs"].as_array().into_iter().flatten().filter(|leg| !leg.is_null()) {
                    assert_eq!(leg["unit"], unit, "{name:?} {key}");
                }
                for label in between(&page, &format!("data-keep=\"{key}\""), "</label>").chain(between(
                    &page,
                    &format!("data-keep=\"{key}-left\""),
                    "</label>",
                )) {
                    let shown = between(label, "<span class=\"unit\">", "</span>").next().unwrap_or_default();
                    assert_eq!(shown, unit, "{name:?} {key}");
                    boxes += 1;
                }
                // The target and the card's big figure.
                let Some((_, target)) = rest.split_once("target: ") else { continue };
                let Some(printed) = card.get(key) else { continue };
                for said in target.split('"').skip(1).step_by(2) {
                    assert!(printed.contains(&squeezed(said)), "{name:?} {key}: {said} and {printed:?}");
                    targets += 1;
                }
            }
        }
    }
    assert!(boxes > 300 && targets > 200, "{boxes} boxes, {targets} targets");
}
