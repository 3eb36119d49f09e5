//! Cards of 200 made-up forks of all kinds: job and hang card, many in one document and some alone, at both papers.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use benchleaf::book::Book;
use benchleaf::catalogue::{Catalogue, Choices, FieldId, Form, Owner, Role, builtin};
use benchleaf::check::CheckedFork;
use benchleaf::plan::Plan;
use benchleaf::quantity::Kind;
use benchleaf::record::Service;
use benchleaf::resolve::Side;
use benchleaf::site::{Press, Templates, card_findings};
use benchleaf::syntax::Scheme;
use benchleaf::text::{Memory, Source};
use benchleaf::{Checked, check_shop};
use rayon::prelude::*;

use crate::cards::{CARD_GEOMETRY, PAPERS};
use crate::made_up_forks::{OIL, combinations, record};
use crate::{ask, demo, open_in, print, size, with_tab};

/// How many forks.
const FORKS: usize = 200;

/// How many of them are printed alone as well.
const ALONE: usize = 20;

/// The demo shop's texts and tools with made-up forks in place of its own.
fn shop(catalogue: &Catalogue) -> Memory {
    let demo = demo();
    let (paths, _) = demo.list();
    let is_kept = |path: &String| {
        (path.starts_with("procedures/") && !path.starts_with("procedures/complaints/"))
            || path.starts_with("specs/tools/")
            || path == "specs/shop.yaml"
    };
    let mut files: BTreeMap<String, Vec<u8>> = paths
        .into_iter()
        .filter(is_kept)
        .map(|path| (path.clone(), demo.read(&path).expect("a source")))
        .collect();
    files.insert("specs/oils/fork-oil-15.yaml".to_owned(), OIL.as_bytes().to_vec());
    let services = check_shop(&Memory::new(files.clone())).shop.services;
    for (n, choices) in kinds(catalogue, &services).iter().enumerate() {
        let id = format!("fork-{n:03}");
        let text = record(catalogue, &id, choices, &left_out(catalogue, n, choices));
        let text = text.replace("status: draft", "status: published");
        files.insert(format!("specs/forks/{id}.yaml"), text.into_bytes());
    }
    Memory::new(files)
}

/// Values that a fork may be without, about half of them, others from fork to fork: a sheet never says all there is.
fn left_out<'c>(catalogue: &'c Catalogue, n: usize, choices: &Choices) -> BTreeMap<&'c str, String> {
    let fields = catalogue.of(Owner::Fork).enumerate();
    let free = fields.filter(|(_, (_, field))| !field.required.holds(choices));
    // The middle bits of a product by a large odd number are spread evenly.
    let is_out = |at: usize| ((n * 131 + at + 1).wrapping_mul(2_654_435_761) >> 9) & 1 == 1;
    free.filter(|(at, _)| is_out(*at)).map(|(_, (_, field))| (field.key.as_str(), String::new())).collect()
}

/// Combinations of choices that a service is for, evenly among all; what the arithmetic does not hang on takes its
/// options in turn.
fn kinds(catalogue: &Catalogue, services: &[Service]) -> Vec<Choices> {
    let mut all = combinations(catalogue);
    all.retain(|choices| services.iter().any(|service| service.applies.holds(choices)));
    assert!(all.len() >= 40, "{} combinations", all.len());
    let nth = |n: usize| {
        let mut choices = all[n * all.len() / FORKS].clone();
        for (turn, choice) in catalogue.choices.iter().enumerate() {
            if choices.contains_key(&choice.key) && crate::made_up_forks::is_fixed(&choice.key) {
                let (option, _) = &choice.options[(n + turn) % choice.options.len()];
                choices.insert(choice.key.clone(), option.clone());
            }
        }
        choices
    };
    (0..FORKS).map(nth).collect()
}

static MADE: LazyLock<Checked> = LazyLock::new(|| check_shop(&shop(&builtin().expect("the catalogue"))));

/// The sheets of the made-up shop as HTML, job cards and hang cards, with what their style sheets need beside them.
struct Sheets {
    folder: PathBuf,
    job: Vec<String>,
    hang: Vec<String>,
    over: Vec<String>,
}

static SHEETS: LazyLock<Sheets> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("pages-made-up");
    let book = Book::new(&MADE);
    let press = Press::new(&book, Templates::new(&BTreeMap::new()).expect("the built-in templates"));
    std::fs::create_dir_all(folder.join("assets")).expect("a folder");
    let is_style = |path: &str| path == "assets/card.css" || path == "assets/style.css";
    let is_binder = |path: &str| path.starts_with("cards/all/") || path.starts_with("cards/hang/");
    let pages: Vec<_> =
        press.list().iter().filter(|page| is_style(&page.path) || is_binder(&page.path)).collect();
    let (made, over) = rayon::join(
        || {
            let made = pages.par_iter().map(|page| press.render(page));
            made.map(|made| made.unwrap_or_else(|problem| panic!("{problem:?}"))).collect::<Vec<_>>()
        },
        || card_findings(&book, |_| false).into_iter().map(|finding| finding.message).collect(),
    );
    let (mut job, mut hang) = (Vec::new(), Vec::new());
    for (page, bytes) in pages.iter().zip(made) {
        if is_style(&page.path) {
            std::fs::write(folder.join(&page.path), bytes).expect("written");
            continue;
        }
        let html = String::from_utf8(bytes).expect("UTF-8");
        let sheets = html.split("<article class=\"card").skip(1).map(|rest| {
            let end = rest.find("</article>").expect("its end");
            format!("<article class=\"card{}</article>", &rest[..end])
        });
        if page.path.starts_with("cards/all/") { job.extend(sheets) } else { hang.extend(sheets) }
    }
    Sheets { folder, job, hang, over }
});

/// Writes a document of these sheets, as a page of cards is.
fn write(name: &str, sheets: &[String]) -> String {
    let html = format!(
        "<!DOCTYPE html><html lang=\"en\"><head><meta charset=\"utf-8\"><title>Cards</title>\
         <link rel=\"stylesheet\" href=\"assets/style.css\"><link rel=\"stylesheet\" href=\"assets/card.css\"></head>\
         <body class=\"page-binder\"><main>{}</main></body></html>",
        sheets.concat()
    );
    std::fs::write(SHEETS.folder.join(name), html).expect("written");
    name.to_owned()
}

/// As wide as the narrower of the papers and as high as the lower, in mm.
fn least_paper() -> (f64, f64) {
    let least = |a: (f64, f64), b: (f64, f64)| (a.0.min(b.0), a.1.min(b.1));
    PAPERS.iter().map(|(_, paper)| *paper).fold((f64::INFINITY, f64::INFINITY), least)
}

/// Prints sheets of so many sides in two documents side by side, and some alone on both papers.
fn prints(kind: &str, sheets: &[String], sides: usize) {
    assert!(sheets.len() >= FORKS, "{} {kind} cards", sheets.len());
    let halves = sheets.chunks(sheets.len().div_ceil(2));
    std::thread::scope(|scope| {
        for (n, half) in halves.enumerate() {
            let name = format!("{kind}-{n}");
            scope.spawn(move || print_all(&name, half, sides));
        }
    });
}

/// Prints sheets in one document, and some alone on both papers.
fn print_all(name: &str, sheets: &[String], sides: usize) {
    let all = write(&format!("{name}.html"), sheets);
    with_tab(|tab| {
        size(tab, 1200, 900);
        open_in(tab, &SHEETS.folder, &all);
        assert_eq!(ask(tab, CARD_GEOMETRY), "[]", "{name}");
        // All of them once, on a sheet as narrow as the one paper and as low as the other: what fits there fits on both.
        assert_eq!(print(tab, least_paper()).get_pages().len(), sides * sheets.len(), "{name}");
        for n in 0..ALONE / 2 {
            let at = n * sheets.len() * 2 / ALONE;
            let alone = write(&format!("{name}-alone.html"), &sheets[at..=at]);
            open_in(tab, &SHEETS.folder, &alone);
            for (paper_name, paper) in PAPERS {
                assert_eq!(print(tab, paper).get_pages().len(), sides, "{name} card {at} on {paper_name}");
            }
        }
    });
}

#[test]
fn no_made_up_card_is_too_long_for_its_sheet() {
    assert!(SHEETS.over.is_empty(), "{} of them:\n{}", SHEETS.over.len(), SHEETS.over.join("\n"));
}

#[test]
fn made_up_job_cards_print_on_two_sides_with_nothing_cut() {
    prints("job", &SHEETS.job, 2);
}

#[test]
fn made_up_hang_cards_print_on_one_side_with_nothing_cut() {
    prints("hang", &SHEETS.hang, 1);
}

/// What is told of a fork by one line each: the keys of its values, those with a figure first.
fn keys(html: &str) -> (Vec<String>, BTreeSet<String>) {
    let (mut figures, mut all) = (Vec::new(), BTreeSet::new());
    for line in html.split("<li class=\"").skip(1) {
        let Some(keys) = line.split("data-key=\"").nth(1).and_then(|rest| rest.split('"').next()) else {
            continue;
        };
        let line = line.split("</li>").next().unwrap_or_default();
        let keys: Vec<String> = keys.split(' ').map(str::to_owned).collect();
        if line.contains("class=\"vals\"") {
            // A box that is written again has no figure; a figure of each leg stands on the line of that leg.
            let side = if line.contains("class=\"lr\">L<") && !line.contains("class=\"lr\">R<") {
                "L"
            } else if line.contains("class=\"lr\">R<") && !line.contains("class=\"lr\">L<") {
                "R"
            } else {
                ""
            };
            figures.extend(keys.first().map(|key| format!("{key} {side}")));
        }
        all.extend(keys);
    }
    (figures, all)
}

/// The values that a service sets or measures, as far as the fork has them.
fn asked(checked: &Checked, fork: &CheckedFork, plan: &Plan<'_>) -> BTreeSet<String> {
    let catalogue = &checked.shop.catalogue;
    let links = plan
        .items
        .iter()
        .flat_map(|item| &item.procedure.body.references)
        .filter(|link| matches!(link.scheme, Scheme::Spec | Scheme::Reading));
    let fields = links.filter_map(|link| catalogue.find(&link.target));
    let is_meant = |id: &FieldId| {
        let field = catalogue.field(*id);
        let is_number = matches!(field.kind, Kind::Quantity(_) | Kind::Count);
        let is_set = field.role == Role::Set || matches!(field.form, Form::Limit | Form::Difference);
        let is_there = Side::BOTH
            .iter()
            .filter_map(|side| fork.on(*side, *id))
            .any(|value| !value.not_fitted() && value.value().is_some());
        field.of == Owner::Fork && is_number && is_set && is_there
    };
    fields.filter(is_meant).map(|id| catalogue.field(id).key.clone()).collect()
}

#[test]
fn every_number_of_a_made_up_service_stands_once_on_its_card_and_on_the_hang_card() {
    let book = Book::new(&MADE);
    let mut at = 0;
    let (mut wrong, mut told) = (Vec::new(), 0);
    for (n, fork) in MADE.forks.iter().enumerate() {
        let mut of_fork = BTreeSet::new();
        for plan in book.plans.of(fork) {
            let (figures, all) = keys(&SHEETS.job[at]);
            at += 1;
            let asked = asked(&MADE, fork, plan);
            told += asked.len();
            let service = &plan.service.id.text;
            wrong.extend(asked.difference(&all).map(|key| format!("{} {service}: no {key}", fork.id)));
            let mut seen = BTreeSet::new();
            wrong.extend(
                figures
                    .iter()
                    .filter(|key| !seen.insert(*key))
                    .map(|key| format!("{} {service}: {key} twice", fork.id)),
            );
            of_fork.extend(asked);
        }
        let (figures, all) = keys(&SHEETS.hang[n]);
        wrong.extend(of_fork.difference(&all).map(|key| format!("{} hangs without {key}", fork.id)));
        let mut seen = BTreeSet::new();
        wrong.extend(
            figures
                .iter()
                .filter(|key| !seen.insert(*key))
                .map(|key| format!("{} hangs with {key} twice", fork.id)),
        );
    }
    assert_eq!(at, SHEETS.job.len());
    assert!(told > 15 * FORKS, "{told} numbers");
    assert!(wrong.is_empty(), "{} of {told}:\n{}", wrong.len(), wrong.join("\n"));
}
