//! The apprentice, at the bench with a tablet and a card: the published pages of the demo shop, in a real browser.

mod access;
mod answers;
mod attack;
mod cards;
mod codes;
mod drawings;
mod hostile;
#[path = "../attack/mod.rs"]
mod hostile_words;
mod jobs;
mod looks;
mod made_up;
#[path = "../common/made_up.rs"]
#[allow(dead_code, reason = "other tests use the rest of it")]
mod made_up_forks;
mod offline;
mod search;
mod served;
mod work;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{Arc, Condvar, LazyLock, Mutex, PoisonError};

use benchleaf::book::Book;
use benchleaf::check_shop;
use benchleaf::site::{Press, Templates, card_findings};
use benchleaf::text::{Folder, Source};
use headless_chrome::protocol::cdp::{Emulation, Network, Page};
use headless_chrome::types::PrintToPdfOptions;
use headless_chrome::{Browser, LaunchOptions, Tab};

use cards::PAPERS;

/// Renders a whole site into a folder of its own; beside it the cards that do not fit.
fn render(source: &dyn Source, name: &str) -> (PathBuf, Vec<String>) {
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&out);
    let checked = check_shop(source);
    let book = Book::new(&checked);
    let press = Press::new(&book, Templates::new(&BTreeMap::new()).expect("the built-in templates"));
    for page in press.list() {
        let bytes = press.render(page).unwrap_or_else(|problem| panic!("{}: {problem:?}", page.path));
        let to = out.join(&page.path);
        std::fs::create_dir_all(to.parent().expect("inside")).expect("a folder");
        std::fs::write(to, bytes).expect("written");
    }
    let over = card_findings(&book, |_| false).into_iter().map(|finding| finding.message).collect();
    (out, over)
}

/// The demo shop.
fn demo() -> Folder {
    Folder { root: PathBuf::from(env!("CARGO_MANIFEST_DIR")) }
}

/// The demo shop's site, rendered once for all tests.
static SITE: LazyLock<PathBuf> = LazyLock::new(|| {
    let (out, over) = render(&demo(), "pages-site");
    assert!(over.is_empty(), "{over:#?}");
    out
});

/// One page of each kind.
const KINDS: [&str; 31] = [
    "index.html",
    "makers/corvane.html",
    "forks/tarnholm-u41.html",
    "forks/brackwater-d33.html",
    "forks/tarnholm-u41/full-service.html",
    "cards/tarnholm-u41--full-service.html",
    "cards/tarnholm-u41--hang-card.html",
    "cards/index.html",
    "cards/fork/tarnholm-u41.html",
    "codes.html",
    "procedures/index.html",
    "procedures/set-air-gap.html",
    "procedures/sequence/full-service.html",
    "complaints/index.html",
    "complaints/dives.html",
    "forks/tarnholm-u41/complaints.html",
    "oils/index.html",
    "oils/marrowhill-airleg-22.html",
    "reference/fields.html",
    "tools.html",
    "instruments.html",
    "springs.html",
    "builds.html",
    "valvings.html",
    "cautions.html",
    "glossary.html",
    "units.html",
    "review.html",
    "rules/index.html",
    "rules/bare-number.html",
    "404.html",
];

static BROWSER: LazyLock<Browser> = LazyLock::new(|| {
    let options = LaunchOptions {
        // The tests may run as root in a container, where the sandbox cannot start.
        sandbox: false,
        path: ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"]
            .iter()
            .map(PathBuf::from)
            .find(|path| path.exists()),
        idle_browser_timeout: std::time::Duration::from_secs(600),
        ..LaunchOptions::default()
    };
    Browser::new(options).expect("Chromium is installed; .ci/run does it")
});

/// How many tabs may be open at once. Each is a device of its own: screen size, settings and what it remembers.
static SEATS: Mutex<u8> = Mutex::new(2);
static FREE: Condvar = Condvar::new();

/// A seat at the browser, given back even when the test fails.
struct Seat;

impl Seat {
    fn take() -> Seat {
        let seats = SEATS.lock().unwrap_or_else(PoisonError::into_inner);
        let mut seats = FREE.wait_while(seats, |left| *left == 0).unwrap_or_else(PoisonError::into_inner);
        *seats -= 1;
        Seat
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        *SEATS.lock().unwrap_or_else(PoisonError::into_inner) += 1;
        FREE.notify_one();
    }
}

fn with_tab<T>(run: impl FnOnce(&Arc<Tab>) -> T) -> T {
    let _seat = Seat::take();
    let device = BROWSER.new_context().expect("a device of its own");
    let tab = device.new_tab().expect("a tab");
    // What is typed goes to this tab, whichever was opened last.
    tab.call_method(Emulation::SetFocusEmulationEnabled { enabled: true }).expect("the focus");
    let result = run(&tab);
    let _ = tab.close(false);
    result
}

/// Two tabs of one device.
fn with_two_tabs(run: impl FnOnce(&Arc<Tab>, &Arc<Tab>)) {
    let _seat = Seat::take();
    let device = BROWSER.new_context().expect("a device of its own");
    let tabs = [(); 2].map(|()| device.new_tab().expect("a tab"));
    for tab in &tabs {
        tab.call_method(Emulation::SetFocusEmulationEnabled { enabled: true }).expect("the focus");
    }
    run(&tabs[0], &tabs[1]);
    for tab in &tabs {
        let _ = tab.close(false);
    }
}

fn open(tab: &Tab, path: &str) {
    open_in(tab, &SITE, path);
}

fn open_in(tab: &Tab, site: &Path, path: &str) {
    open_url(tab, &format!("file://{}", site.join(path).display()));
}

fn open_url(tab: &Tab, address: &str) {
    // The library's own wait is for a quiet network, half a second more for each page.
    let go = Page::Navigate {
        url: address.to_owned(),
        referrer: None,
        transition_Type: None,
        frame_id: None,
        referrer_policy: None,
    };
    tab.call_method(go).expect(address);
    let arrived = format!("document.readyState === 'complete' && location.href === {address:?}");
    for _ in 0..600 {
        if tab.evaluate(&arrived, false).is_ok_and(|given| given.value == Some(serde_json::Value::Bool(true)))
        {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(25));
    }
    panic!("{address} does not load");
}

fn size(tab: &Tab, width: u32, height: u32) {
    let metrics = Emulation::SetDeviceMetricsOverride {
        width,
        height,
        device_scale_factor: 1.0,
        mobile: false,
        scale: None,
        screen_width: None,
        screen_height: None,
        position_x: None,
        position_y: None,
        dont_set_visible_size: None,
        screen_orientation: None,
        viewport: None,
        display_feature: None,
        device_posture: None,
    };
    tab.call_method(metrics).expect("a screen size");
}

/// What a script gives, as text.
fn ask(tab: &Tab, script: &str) -> String {
    let given = tab.evaluate(script, true).unwrap_or_else(|error| panic!("{script}: {error}"));
    match given.value {
        Some(serde_json::Value::String(text)) => text,
        Some(other) => other.to_string(),
        None => String::new(),
    }
}

fn print(tab: &Tab, paper: (f64, f64)) -> lopdf::Document {
    let options = PrintToPdfOptions {
        paper_width: Some(paper.0 / 25.4),
        paper_height: Some(paper.1 / 25.4),
        print_background: Some(true),
        ..PrintToPdfOptions::default()
    };
    let bytes = tab.print_to_pdf(Some(options)).expect("a print");
    lopdf::Document::load_mem(&bytes).expect("a PDF")
}

/// A text without its spaces, which a print sets as it likes.
fn squeezed(text: &str) -> String {
    text.replace(char::is_whitespace, "")
}

fn html_files() -> Vec<String> {
    let mut files: Vec<String> = walkdir::WalkDir::new(&*SITE)
        .into_iter()
        .map(|entry| entry.expect("a page"))
        .filter(|entry| entry.path().extension().is_some_and(|ending| ending == "html"))
        .map(|entry| entry.path().strip_prefix(&*SITE).expect("inside").to_string_lossy().into_owned())
        .collect();
    files.sort();
    files
}

fn cards() -> Vec<String> {
    let is_job = |path: &String| path.starts_with("cards/") && path.contains("--") && !path.ends_with(HANG);
    html_files().into_iter().filter(is_job).collect()
}

/// How the page of a hang card ends.
const HANG: &str = "--hang-card.html";

fn hang_cards() -> Vec<String> {
    html_files().into_iter().filter(|path| path.ends_with(HANG)).collect()
}

#[test]
fn the_search_finds_a_fork_from_a_few_letters_with_a_slip_and_by_keyboard() {
    with_tab(|tab| {
        let find = |text: &str| {
            open(tab, "index.html");
            tab.wait_for_element("#q").and_then(|field| field.click().map(|_| ())).expect("the search field");
            tab.type_str(text).expect("typed");
            ask(
                tab,
                "[...document.querySelectorAll('#hits li')].map(li => li.textContent.replace(/\\s+/g, ' ').trim()).join('\\n')",
            )
        };
        let first = |text: &str| find(text).lines().next().unwrap_or_default().to_owned();
        assert!(first("sable 2014").contains("Corvane Sable 400 2013–2016"), "{}", find("sable 2014"));
        assert!(first("corvnae sable").contains("Corvane Sable"), "a slip: {}", find("corvnae sable"));
        assert!(first("u41").contains("Tarnholm U41"), "{}", find("u41"));
        assert_eq!(find("zzzzqq"), "");
        assert!(
            ask(tab, "document.querySelector('[data-said]').textContent")
                .contains("Nothing on record for “zzzzqq”")
        );
        first("u41");
        tab.press_key("Enter").expect("a key");
        tab.wait_for_element("#numbers").expect("the fork's page");
        assert!(tab.get_url().ends_with("forks/tarnholm-u41.html"), "{}", tab.get_url());
    });
}

/// The shop's book and the rider: a reading now, and what is due again and when; kept like every other reading.
#[test]
fn a_reading_says_when_oil_and_seals_are_next_due() {
    with_tab(|tab| {
        let sums = |tab: &Tab| {
            ask(
                tab,
                "Array.from(document.querySelectorAll('[data-add]'), o => o.dataset.add + ':' + o.textContent).join(' ')",
            )
        };
        open(tab, "forks/tarnholm-u41/oil-change.html");
        ask(tab, "localStorage.clear()");
        open(tab, "forks/tarnholm-u41/oil-change.html");
        // The seals stay in at an oil change: theirs is not asked for.
        assert_eq!(sums(tab), "20000:", "empty, to be written in by hand");
        tab.wait_for_element("[data-now]").and_then(|field| field.click().map(|_| ())).expect("a box");
        tab.type_str("18 420.5").expect("typed");
        assert_eq!(sums(tab), "20000:38\u{202f}420.5");
        let said = ask(tab, "document.querySelector('[data-done]').textContent");
        open(tab, "forks/tarnholm-u41/oil-change.html");
        assert_eq!(sums(tab), "20000:38\u{202f}420.5");
        // A thing ticked off the pull list is not a step done.
        ask(tab, "document.querySelector('.pull [data-keep]').click()");
        assert_eq!(ask(tab, "document.querySelector('[data-done]').textContent"), said);
        for odd in ["18,420", "-5", "1e9", "about 20000", ""] {
            ask(
                tab,
                &format!(
                    "(f => {{ f.value = {odd:?}; f.dispatchEvent(new Event('input', {{bubbles: true}})) }})(document.querySelector('[data-now]'))"
                ),
            );
            assert_eq!(sums(tab), "20000:", "{odd}");
        }
        ask(tab, "localStorage.clear()");
        open(tab, "forks/tarnholm-u41/full-service.html");
        assert_eq!(sums(tab), "20000: 40000:");
    });
}

#[test]
fn without_javascript_everything_is_there() {
    with_tab(|tab| {
        tab.call_method(Emulation::SetScriptExecutionDisabled { value: true }).expect("scripts off");
        open(tab, "index.html");
        let text = tab.get_content().expect("the page");
        assert!(
            text.contains("forks/tarnholm-u41.html") && text.contains("<details class=\"maker\""),
            "the list by maker"
        );
        open(tab, "forks/tarnholm-u41/full-service.html");
        assert_eq!(print(tab, PAPERS[0].1).get_pages().len().cmp(&3), std::cmp::Ordering::Greater);
    });
}

/// How far the page scrolls sideways, and because of what; empty when it does not.
const SIDEWAYS: &str = r"(() => {
  const room = document.documentElement.clientWidth, wide = document.documentElement.scrollWidth - room;
  if (wide <= 0) return '';
  const out = [...document.querySelectorAll('body *')].filter(el => !el.closest('.scroll, .jump, .tabs, svg')
    && (el.getBoundingClientRect().right > room + 1 || el.scrollWidth + el.getBoundingClientRect().left > room + 1));
  return wide + ' px: ' + out.slice(-4).map(el => el.tagName + '.' + el.className + ' ' + el.textContent.slice(0, 30)).join(' | ');
})()";

#[test]
fn a_narrow_screen_and_large_letters_lose_nothing() {
    with_tab(|tab| {
        for kind in KINDS {
            for (width, script) in [(320, ""), (640, "document.documentElement.style.fontSize = '200%'")] {
                size(tab, width, 800);
                open(tab, kind);
                if !script.is_empty() {
                    ask(tab, script);
                }
                let over = ask(tab, SIDEWAYS);
                assert_eq!(over, "", "{kind} at {width} px scrolls sideways");
            }
        }
    });
}

#[test]
fn targets_are_large_enough_for_a_gloved_finger() {
    with_tab(|tab| {
        for kind in KINDS {
            size(tab, 390, 800);
            open(tab, kind);
            // A link inside a sentence is as high as its line; everything that stands alone is 44 px.
            let small = ask(
                tab,
                "JSON.stringify([...document.querySelectorAll('button, input, summary, nav a, .links a, .models a, .makers a, .go, .tick')]\
                 .filter(el => !el.closest('.card') && el.getClientRects().length && !el.closest('[hidden]') && !el.matches('.tick input'))\
                 .filter(el => el.getBoundingClientRect().height < 43.5).map(el => el.tagName + '.' + el.className + ' ' + el.textContent.slice(0, 30)))",
            );
            assert_eq!(small, "[]", "{kind}");
        }
    });
}

/// The accessibility engine's own code.
fn engine() -> String {
    std::fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/node/node_modules/axe-core/axe.min.js"),
    )
    .expect("run `npm ci` in tests/node first, or .ci/run")
}

/// What the engine finds on the page as it is.
fn found(tab: &Tab, options: &str) -> String {
    ask(
        tab,
        &format!(
            "axe.run({options}).then(r => JSON.stringify(r.violations.map(v => [v.id, v.nodes.length, v.nodes[0].html.slice(0, 200), v.nodes[0].failureSummary.slice(0, 200)]), null, 1))"
        ),
    )
}

#[test]
fn the_accessibility_engine_finds_nothing_on_any_kind_of_page() {
    let engine = engine();
    with_tab(|tab| {
        for kind in KINDS {
            size(tab, 1200, 900);
            open(tab, kind);
            ask(tab, "document.documentElement.setAttribute('data-theme', 'light')");
            ask(tab, "document.querySelectorAll('details').forEach(d => d.open = true)");
            ask(tab, &engine);
            assert_eq!(found(tab, "{}"), "[]", "{kind}");
        }
    });
}

#[test]
fn there_is_a_page_of_every_kind_among_those_that_are_tested() {
    let kind_of = |path: &str| {
        let text = std::fs::read_to_string(SITE.join(path)).expect("a page");
        let after =
            text.split_once("<body class=\"page-").map(|(_, rest)| rest.to_owned()).unwrap_or_default();
        after.split(['"', ' ']).next().unwrap_or_default().to_owned()
    };
    let tested: BTreeSet<String> = KINDS.iter().map(|path| kind_of(path)).collect();
    let all: BTreeSet<String> = html_files().iter().map(|path| kind_of(path)).collect();
    assert_eq!(tested, all);
}

#[test]
fn no_request_leaves_the_site_and_the_policy_blocks_nothing_of_ours() {
    with_tab(|tab| {
        tab.call_method(Network::Enable {
            max_total_buffer_size: None,
            max_resource_buffer_size: None,
            max_post_data_size: None,
            report_direct_socket_traffic: None,
            enable_durable_messages: None,
        })
        .expect("the network's log");
        for kind in KINDS {
            open(tab, kind);
            let away = ask(
                tab,
                "JSON.stringify(performance.getEntriesByType('resource').map(r => r.name).filter(name => !name.startsWith('file:')))",
            );
            assert_eq!(away, "[]", "{kind}");
            // The style sheet and the script are there although nothing but the site's own is allowed.
            let styled = ask(tab, "getComputedStyle(document.querySelector('.skip')).position");
            assert_eq!(styled, "absolute", "{kind}");
            // The page for lost addresses takes its script from the server's top, which a file has not.
            if kind != "404.html" {
                assert_eq!(
                    ask(tab, "document.documentElement.classList.contains('no-js')"),
                    "false",
                    "{kind}"
                );
            }
        }
    });
    for path in html_files() {
        let text = std::fs::read_to_string(SITE.join(&path)).expect("a page");
        for attribute in
            ["src=\"http", "<link rel=\"stylesheet\" href=\"http", "url(http", "style=\"", " onclick="]
        {
            assert!(!text.contains(attribute), "{path}: {attribute}");
        }
    }
}

/// Every value of an attribute in a page, entities undone.
fn values<'t>(text: &'t str, attribute: &str) -> Vec<String> {
    let opening = format!(" {attribute}=\"");
    let mut found = Vec::new();
    let mut rest: &'t str = text;
    while let Some(at) = rest.find(&opening) {
        rest = &rest[at + opening.len()..];
        let end = rest.find('"').expect("a closed attribute");
        found.push(
            rest[..end]
                .replace("&quot;", "\"")
                .replace("&lt;", "<")
                .replace("&gt;", ">")
                .replace("&amp;", "&"),
        );
        rest = &rest[end..];
    }
    found
}

#[test]
fn every_link_leads_somewhere_and_every_anchor_is_there_once() {
    let mut anchors: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut links: Vec<(String, String)> = Vec::new();
    for path in html_files() {
        let text = std::fs::read_to_string(SITE.join(&path)).expect("a page");
        let mut ids = BTreeSet::new();
        for id in values(&text, "id") {
            assert!(ids.insert(id.clone()), "{path}: `{id}` is there twice");
        }
        links.extend(values(&text, "href").into_iter().map(|href| (path.clone(), href)));
        links.extend(values(&text, "src").into_iter().map(|src| (path.clone(), src)));
        for name in ["for", "aria-labelledby", "aria-controls"] {
            for list in values(&text, name) {
                for id in list.split_whitespace() {
                    assert!(ids.contains(id), "{path}: {name} names `{id}`");
                }
            }
        }
        anchors.insert(path, ids);
    }
    let mut lost = BTreeSet::new();
    for (from, href) in &links {
        if href.contains("://") || href.starts_with("mailto:") {
            continue;
        }
        let (file, anchor) =
            href.split_once('#').map_or((href.as_str(), None), |(file, anchor)| (file, Some(anchor)));
        let mut parts: Vec<&str> = from.split('/').collect();
        parts.pop();
        if let Some(top) = file.strip_prefix('/') {
            parts = top.split('/').collect();
        } else if file.is_empty() {
            parts = from.split('/').collect();
        } else {
            for part in file.split('/') {
                match part {
                    ".." => {
                        parts.pop();
                    }
                    part => parts.push(part),
                }
            }
        }
        let target = parts.join("/");
        let there = match (anchors.get(&target), anchor) {
            (Some(ids), Some(anchor)) => ids.contains(anchor),
            (Some(_), None) => true,
            (None, _) => SITE.join(&target).is_file(),
        };
        if !there {
            lost.insert(format!("{from}: {href}"));
        }
    }
    assert!(lost.is_empty(), "{lost:#?}");
    assert!(links.len() > 5000, "{} links", links.len());
}

#[test]
fn the_html_is_valid() {
    let node = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/node");
    let mut run = Command::new("node");
    run.arg("html.mjs").current_dir(&node);
    for kind in KINDS {
        run.arg(SITE.join(kind));
    }
    let done = run.output().expect("node is installed");
    assert!(
        done.status.success(),
        "{}{}",
        String::from_utf8_lossy(&done.stdout),
        String::from_utf8_lossy(&done.stderr)
    );
}
