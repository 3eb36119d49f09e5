//! What the accessibility engine cannot see, and what it looks at only when asked; and what every printed sheet says.

use headless_chrome::Tab;
use headless_chrome::protocol::cdp::Emulation;

use crate::{KINDS, PAPERS, SITE, ask, engine, found, open, print, size, with_tab};

/// A mechanic who speaks to the tablet says what is to be seen on a button.
#[test]
fn the_name_of_every_control_holds_the_words_that_are_to_be_seen_on_it() {
    let engine = engine();
    with_tab(|tab| {
        for kind in KINDS {
            size(tab, 390, 844);
            open(tab, kind);
            ask(tab, "document.querySelectorAll('details').forEach(d => d.open = true)");
            ask(tab, &engine);
            // A printed sheet on a telephone is looked at whole, and not scrolled in part.
            let scrolls = if kind.starts_with("cards/") { "" } else { "'scrollable-region-focusable', " };
            let rules = format!(
                "{{runOnly: [{scrolls}'label-content-name-mismatch', 'heading-order', 'image-alt'], rules: {{'label-content-name-mismatch': {{enabled: true}}}}}}"
            );
            let odd = found(tab, &rules);
            assert_eq!(odd, "[]", "{kind} on a telephone");
        }
    });
}

/// A device that puts its own few colors on everything: what is chosen, done and wrong is still told apart.
#[test]
fn with_the_devices_own_colors_the_chosen_hit_the_progress_and_the_ticks_are_seen() {
    with_tab(|tab| {
        let colors = Emulation::MediaFeature { name: "forced-colors".into(), value: "active".into() };
        tab.call_method(Emulation::SetEmulatedMedia { media: None, features: Some(vec![colors]) })
            .expect("a setting of the device");
        open(tab, "index.html");
        tab.wait_for_element("#q").and_then(|field| field.click().map(|_| ())).expect("the search field");
        tab.type_str("tarnholm").expect("typed");
        tab.press_key("ArrowDown").expect("a key");
        let style = |tab: &Tab, what: &str, property: &str| {
            ask(tab, &format!("getComputedStyle(document.querySelector(\"{what}\")).{property}"))
        };
        assert_eq!(style(tab, "#hits [aria-selected='true']", "outlineStyle"), "solid");
        open(tab, "forks/tarnholm-u41/full-service.html");
        ask(tab, "localStorage.clear()");
        open(tab, "forks/tarnholm-u41/full-service.html");
        let before = style(tab, "#step-1 .tick input", "backgroundColor");
        ask(tab, "document.querySelector('#step-1 .tick input').click()");
        assert_ne!(style(tab, "#step-1 .tick input", "backgroundColor"), before, "a tick is seen");
        assert_eq!(style(tab, ".bar", "borderTopStyle"), "solid");
        assert_ne!(style(tab, ".bar svg", "fill"), style(tab, ".bar", "backgroundColor"), "the progress");
        ask(tab, "localStorage.clear()");
    });
}

/// A drawing in the device's own few colors, and on a dark device: its lines and its numbers stand out from its ground.
#[test]
fn a_drawing_is_seen_on_every_ground() {
    let settings: [&[(&str, &str)]; 4] = [
        &[("prefers-color-scheme", "light")],
        &[("prefers-color-scheme", "dark")],
        &[("forced-colors", "active"), ("prefers-color-scheme", "light")],
        &[("forced-colors", "active"), ("prefers-color-scheme", "dark")],
    ];
    with_tab(|tab| {
        for setting in settings {
            let feature = |(name, value): &(&str, &str)| Emulation::MediaFeature {
                name: (*name).into(),
                value: (*value).into(),
            };
            let features = Some(setting.iter().map(feature).collect());
            tab.call_method(Emulation::SetEmulatedMedia { media: None, features }).expect("a setting");
            open(tab, "forks/tarnholm-u41/full-service.html");
            let seen = ask(
                tab,
                "(() => {
                    const light = color => { const [r, g, b] = color.match(/[0-9.]+/g).map(Number); return (r + g + b) / 765; };
                    const ink = light(getComputedStyle(document.querySelector('svg.where text')).fill);
                    const ground = light(getComputedStyle(document.querySelector('svg.where .ground')).fill);
                    const body = light(getComputedStyle(document.body).backgroundColor);
                    const line = light(getComputedStyle(document.querySelector('svg.where rect')).stroke);
                    return JSON.stringify([ink, line].map(one => Math.abs(one - ground) > .6 && Math.abs(one - body) > .6));
                })()",
            );
            assert_eq!(seen, "[true,true]", "{setting:?}");
        }
    });
}

/// With wet gloves off and a keyboard on the bench: the key on the bar leads to the next step, whose block begins with its
/// caution; the next key stands on that caution, and after it on the tick, which a blank sets.
#[test]
fn by_keyboard_a_step_is_reached_at_its_caution_and_ticked() {
    with_tab(|tab| {
        size(tab, 820, 1180);
        open(tab, "forks/tarnholm-u41/full-service.html");
        ask(tab, "localStorage.clear()");
        open(tab, "forks/tarnholm-u41/full-service.html");
        let step = ask(tab, "document.querySelector('[data-step] > .hazard').closest('[data-step]').id");
        let number: usize = step.trim_start_matches("step-").parse().expect("a step with a caution");
        ask(
            tab,
            &format!(
                "for (let n = 1; n < {number}; n++) document.querySelector('#step-' + n + ' .tick input').click(); document.querySelector('[data-next]').focus()"
            ),
        );
        tab.press_key("Enter").expect("a key");
        assert_eq!(ask(tab, "document.activeElement.id"), step, "the block with the caution");
        assert_eq!(ask(tab, "document.activeElement.firstElementChild.matches('.hazard')"), "true");
        tab.press_key("Tab").expect("a key");
        assert_eq!(
            ask(tab, "!!document.activeElement.closest('.hazard')"),
            "true",
            "the caution comes first"
        );
        for _ in 0..4 {
            if ask(tab, "document.activeElement.matches('.tick input')") == "true" {
                break;
            }
            tab.press_key("Tab").expect("a key");
        }
        tab.press_key(" ").expect("a key");
        assert_eq!(
            ask(tab, &format!("document.querySelector('#{step} .tick input').checked")),
            "true",
            "a blank sets the tick"
        );
        ask(tab, "localStorage.clear()");
    });
}

/// A telephone held near: no link of the site's own stands alone in its row, and a number's name is no column of letters.
#[test]
fn on_a_telephone_no_name_is_squeezed() {
    with_tab(|tab| {
        size(tab, 390, 844);
        for kind in KINDS {
            open(tab, kind);
            ask(tab, "document.querySelectorAll('details').forEach(d => d.open = true)");
            let squeezed = ask(
                tab,
                "JSON.stringify([...document.querySelectorAll('main h1, main h2, main h3, main caption, main th, main td, main dt, main .tx, main summary > h2')].filter(el => el.getClientRects().length && !el.closest('.scroll .corr, .life, .grid')).filter(el => { const text = el.textContent.trim(), box = el.getBoundingClientRect(); return text.length > 12 && /[a-z]{5}/.test(text) && box.width < 60 && box.height > 100; }).map(el => el.tagName + '.' + el.className + ' ' + el.textContent.trim().slice(0, 40)))",
            );
            assert_eq!(squeezed, "[]", "{kind}");
        }
        open(tab, "index.html");
        let rows = ask(
            tab,
            "JSON.stringify(Object.values([...document.querySelectorAll('.top nav a')].reduce((rows, a) => { const y = Math.round(a.getBoundingClientRect().top); rows[y] = (rows[y] || 0) + 1; return rows; }, {})))",
        );
        assert!(!rows.contains('1'), "a link alone in its row: {rows}");
    });
}

/// Someone who hears the page goes from heading to heading: each phase and each procedure is one, in order.
#[test]
fn phases_and_procedures_are_headings() {
    with_tab(|tab| {
        open(tab, "forks/tarnholm-u41/full-service.html");
        let counts = ask(
            tab,
            "[document.querySelectorAll('.phase').length, document.querySelectorAll('.phase > summary h2').length, document.querySelectorAll('.proc').length, document.querySelectorAll('.proc h3').length].join(' ')",
        );
        let counts: Vec<&str> = counts.split(' ').collect();
        assert!(counts[0] == counts[1] && counts[2] == counts[3] && counts[0] != "0", "{counts:?}");
    });
}

/// By keyboard alone: the first key leads past the site's links, and nothing holds the focus.
#[test]
fn the_first_key_leads_to_the_content() {
    with_tab(|tab| {
        for kind in KINDS.iter().filter(|kind| **kind != "404.html") {
            size(tab, 820, 1180);
            open(tab, kind);
            ask(tab, "document.activeElement.blur()");
            // The page with a job goes to where the work stopped by itself.
            if kind.contains("full-service") {
                continue;
            }
            tab.press_key("Tab").expect("a key");
            assert_eq!(ask(tab, "document.activeElement.className"), "skip", "{kind}");
            tab.press_key("Enter").expect("a key");
            assert_eq!(ask(tab, "location.hash"), "#main", "{kind}");
        }
    });
}

/// A sheet that lies about alone says what it is of, whether it is current, and which of how many.
#[test]
fn every_printed_sheet_says_what_it_is_of_and_which_of_how_many() {
    with_tab(|tab| {
        for kind in KINDS.iter().filter(|kind| !kind.starts_with("cards/") || **kind == "cards/index.html") {
            size(tab, 820, 1180);
            open(tab, kind);
            let says = ask(tab, "document.querySelector('.run-head').textContent");
            assert!(!says.trim().is_empty(), "{kind}");
            let printed = print(tab, PAPERS[0].1);
            let sheets: Vec<u32> = printed.get_pages().keys().copied().collect();
            for (at, sheet) in sheets.iter().enumerate() {
                let words = crate::squeezed(&printed.extract_text(&[*sheet]).unwrap_or_default());
                let start = crate::squeezed(says.split(['’', '(', '–']).next().unwrap_or_default());
                assert!(words.contains(&start), "{kind}, sheet {} of {}: {says}", at + 1, sheets.len());
                let number = format!("Page{}of{}", at + 1, sheets.len());
                assert!(words.contains(&number), "{kind}, sheet {}", at + 1);
            }
        }
    });
}

/// The code on the sheets of a service is that of its card, and a draft has none.
#[test]
fn the_sheets_of_a_service_bear_the_code_of_its_card() {
    let text = |path: &str| std::fs::read_to_string(SITE.join(path)).expect("a page");
    let head = |path: &str| {
        let text = text(path);
        let after = text.split_once("class=\"run-head\" aria-hidden=\"true\"><b>").expect("a head").1;
        after.split('<').next().unwrap_or_default().to_owned()
    };
    let service = head("forks/tarnholm-u41/full-service.html");
    let code = service.rsplit_once("card ").expect("a code").1;
    assert!(text("cards/tarnholm-u41--full-service.html").contains(code), "{service}");
    let values = head("forks/tarnholm-u41.html");
    let code = values.rsplit_once("values ").expect("a code").1;
    assert!(text("cards/tarnholm-u41--full-service.html").contains(code), "{values}");
    assert!(head("forks/brackwater-d33.html").ends_with("DRAFT"));
}

/// The shop's own pictures: there, inside the page, with words for whoever cannot see them.
#[test]
fn a_picture_is_shown_inside_its_page_with_words() {
    with_tab(|tab| {
        for width in [320, 820] {
            size(tab, width, 900);
            open(tab, "forks/velmora-a48.html");
            ask(
                tab,
                "document.querySelector('img.picture').loading = 'eager'; document.querySelector('img.picture').decode()",
            );
            let seen = ask(
                tab,
                "(img => [img.naturalWidth, img.alt.length > 20, img.getBoundingClientRect().right <= innerWidth].join(' '))(document.querySelector('img.picture'))",
            );
            assert_eq!(seen, "720 true true", "at {width} px");
        }
    });
}

/// The list is for who looks up the next piece of work, and not for who knows its file's name.
#[test]
fn procedures_are_listed_in_the_order_of_the_work() {
    let text = std::fs::read_to_string(SITE.join("procedures/index.html")).expect("a page");
    let list = text.split_once("<main").expect("the page").1;
    let work = [
        "intake",
        "loosen-axle",
        "support-machine",
        "remove-wheel",
        "crack-caps",
        "remove-legs",
        "drain-oil",
        "flush-leg",
        "check-run-out",
        "fit-seals-inverted",
        "set-air-gap",
        "refit-legs",
        "test-ride",
        "hand-back",
    ];
    let place = |id: &&str| list.find(&format!("procedures/{id}.html")).expect("in the list");
    let places: Vec<usize> = work.iter().map(place).collect();
    assert!(places.is_sorted(), "{places:?}");
}

/// The apprentice: what the hang card is stands at its button, in the list of what can be done, and not loose below it.
#[test]
fn the_words_at_the_hang_cards_button_stand_with_it() {
    const PLACE: &str = r#"(() => {
      const button = document.querySelector('a.go[href*="hang-card"]');
      const item = button.closest('ul.work > li');
      if (!item) return 'outside the list';
      const words = item.querySelector('p');
      if (!words || !words.textContent.trim()) return 'no words';
      const [a, b] = [button.getBoundingClientRect(), words.getBoundingClientRect()];
      const beside = b.left >= a.right + 4 && b.top < a.bottom && b.bottom > a.top;
      const below = b.top >= a.bottom + 4;
      return beside ? 'beside' : below ? 'below' : JSON.stringify([a, b]);
    })()"#;
    with_tab(|tab| {
        for (wide, expected) in [(390, "beside"), (820, "beside"), (1280, "beside")] {
            size(tab, wide, 900);
            open(tab, "forks/tarnholm-u41.html");
            assert_eq!(ask(tab, PLACE), expected, "{wide} px wide");
        }
    });
}
