//! The pages of jobs, which the shop keeps for itself: what they are on paper.

use headless_chrome::protocol::cdp::Emulation;

use crate::jobs::shop;
use crate::{PAPERS, ask, open_in, print, size, with_tab};

/// The shop lead prints a machine's page: no table is cut off on the paper, and nothing is left to be scrolled.
#[test]
fn a_machines_page_on_paper_has_nothing_to_scroll() {
    let (shop, out) = (shop(), tempfile::tempdir().expect("a folder"));
    let (site, jobs) = (out.path().join("site"), out.path().join("jobs"));
    let paths = [&site, &jobs].map(|path| path.to_string_lossy().into_owned());
    let done = crate::jobs::benchleaf(shop.path(), &["build", ".", "--out", &paths[0], "--jobs", &paths[1]]);
    assert!(done.status.success(), "{}", crate::jobs::said(&done));
    let pages = walkdir::WalkDir::new(&jobs).into_iter().flatten();
    let pages: Vec<String> = pages
        .filter(|page| page.path().extension().is_some_and(|ending| ending == "html"))
        .filter_map(|page| Some(page.path().strip_prefix(&jobs).ok()?.to_string_lossy().into_owned()))
        .collect();
    assert!(pages.iter().filter(|page| page.starts_with("machines")).count() > 5, "{pages:?}");
    with_tab(|tab| {
        for page in &pages {
            // As wide as A4 without its margins, at 96 dots an inch.
            size(tab, 703, 1000);
            open_in(tab, &jobs, page);
            tab.call_method(Emulation::SetEmulatedMedia { media: Some("print".into()), features: None })
                .expect("as on paper");
            let wrong = ask(
                tab,
                "JSON.stringify([...document.querySelectorAll('.wide')].filter(w => getComputedStyle(w).overflowX !== 'visible' || w.scrollWidth > w.clientWidth + 1).map(w => [w.scrollWidth, w.clientWidth, w.textContent.slice(0, 60)]))",
            );
            assert_eq!(wrong, "[]", "{page}");
            tab.call_method(Emulation::SetEmulatedMedia { media: Some(String::new()), features: None })
                .expect("as on a screen");
        }
        let first = pages.iter().find(|page| page.starts_with("machines")).expect("a machine");
        open_in(tab, &jobs, first);
        assert!(!print(tab, PAPERS[0].1).get_pages().is_empty());
    });
}
