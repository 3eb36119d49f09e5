//! The bench cards on paper: two sides of one sheet, with nothing cut.

use benchleaf::text::Memory;

use crate::{SITE, ask, cards, hang_cards, open, open_in, print, render, size, with_tab};

/// A4 and US Letter, portrait, in mm.
pub const PAPERS: [(&str, (f64, f64)); 2] = [("A4", (210.0, 297.0)), ("Letter", (215.9, 279.4))];

/// Boxes of the card that are narrower or lower than 12 × 8 mm, which an oily pen wants, and whatever reaches over the sheet's edge.
pub const CARD_GEOMETRY: &str = r#"(() => {
  const mm = 96 / 25.4, wrong = [];
  for (const leaf of document.querySelectorAll('.leaf')) {
    // On a screen the sheet has a margin; on paper what reaches into it is cut off.
    const all = leaf.getBoundingClientRect(), pad = parseFloat(getComputedStyle(leaf).paddingLeft) * (parseFloat(getComputedStyle(leaf).zoom) || 1);
    const edge = { left: all.left + pad, right: all.right - pad, top: all.top + pad, bottom: all.bottom - pad };
    for (const el of leaf.querySelectorAll('*')) {
      if (el.closest('svg') && el.tagName !== 'svg') continue;
      const r = el.getBoundingClientRect();
      if (r.width === 0 || r.height === 0) continue;
      if (r.right > edge.right + 1 || r.left < edge.left - 1 || r.bottom > edge.bottom + 1 || r.top < edge.top - 1)
        wrong.push('over the edge: ' + el.className + ' ' + el.textContent.slice(0, 40));
      if (el.scrollWidth > el.clientWidth + 1 && el.clientWidth > 0 && getComputedStyle(el).overflow !== 'visible')
        wrong.push('cut: ' + el.className + ' ' + el.textContent.slice(0, 40));
      if (el.matches('.bxs i, .wb') && (r.width < 12 * mm - .5 || r.height < 8 * mm - .5))
        wrong.push('small box: ' + el.className + ' ' + (r.width / mm).toFixed(1) + ' x ' + (r.height / mm).toFixed(1));
      // A name in a frame stays beside the boxes of its line.
      if (el.matches('.oil') && r.right > el.closest('.nm').getBoundingClientRect().right + 1)
        wrong.push('over its words: ' + el.textContent.slice(0, 40));
      // What is read at the vice; labels of boxes that are written in may be smaller.
      const own = [...el.childNodes].some(node => node.nodeType === 3 && node.textContent.trim());
      const least = el.closest('.wb') || el.matches('.bxs i, .tk i, .mb') ? 8.5 : el.matches('.quiet .val b') ? 13 : el.matches('.val b') ? 17 : el.closest('.nm') && !el.matches('.tag, .hz') ? 11 : 9.5;
      if (own && parseFloat(getComputedStyle(el).fontSize) < least * 96 / 72 - .05)
        wrong.push('small type: ' + el.className + ' ' + el.textContent.slice(0, 40));
    }
    for (const b of leaf.querySelectorAll('.largest .val b'))
      if (parseFloat(getComputedStyle(b).fontSize) < 30 * 96 / 72) wrong.push('small gap: ' + b.textContent);
    const hangs = leaf.closest('.hang');
    for (const line of leaf.querySelectorAll('.ln, .fr')) {
      if (!hangs && !line.querySelector('.bxs i, .tk i')) wrong.push('nothing to write: ' + line.textContent);
      if (hangs && line.querySelector('.bxs i, .tk i')) wrong.push('a box on the wall: ' + line.textContent);
    }
    const kids = [...leaf.children];
    for (let i = 1; i < kids.length; i++)
      if (kids[i].getBoundingClientRect().top < kids[i - 1].getBoundingClientRect().bottom - 1)
        wrong.push('on top of another: ' + kids[i].className);
  }
  return JSON.stringify(wrong);
})()"#;

#[test]
fn every_card_prints_on_two_sides_with_nothing_cut() {
    let cards = cards();
    assert!(cards.len() >= 10, "{cards:?}");
    with_tab(|tab| {
        for card in &cards {
            size(tab, 1200, 900);
            open(tab, card);
            assert_eq!(ask(tab, CARD_GEOMETRY), "[]", "{card}");
            for (name, paper) in PAPERS {
                assert_eq!(print(tab, paper).get_pages().len(), 2, "{card} on {name}");
            }
        }
    });
}

#[test]
fn a_binder_prints_two_sides_for_every_card() {
    with_tab(|tab| {
        open(tab, "cards/all/1.html");
        let expected = 2 * cards().len().min(50);
        for (name, paper) in PAPERS {
            assert_eq!(print(tab, paper).get_pages().len(), expected, "{name}");
        }
    });
}

/// The shop lead: a hang card is one side of paper with nothing cut and nothing to write in.
#[test]
fn every_hang_card_prints_on_one_side_with_nothing_cut() {
    let cards = hang_cards();
    assert!(cards.len() >= 12, "{cards:?}");
    with_tab(|tab| {
        for card in &cards {
            size(tab, 1200, 900);
            open(tab, card);
            assert_eq!(ask(tab, CARD_GEOMETRY), "[]", "{card}");
            for (name, paper) in PAPERS {
                assert_eq!(print(tab, paper).get_pages().len(), 1, "{card} on {name}");
            }
        }
        open(tab, "cards/hang/1.html");
        for (name, paper) in PAPERS {
            assert_eq!(print(tab, paper).get_pages().len(), cards.len(), "all on {name}");
        }
    });
}

/// The apprentice: how run-out and sag are read is drawn where they are written, once a sheet; each fork stands over the
/// box of its reading, as it stands on its wheel then. A card without room for one says that drawings are missing.
#[test]
fn run_out_and_sag_are_drawn_at_their_boxes() {
    const SAG: &str = r#"(() => {
      const rows = [...document.querySelectorAll('.ln.sk')];
      return JSON.stringify(rows.map(row => {
        const forks = [...row.querySelectorAll('.sketch circle')].map(el => el.getBoundingClientRect());
        const boxes = [...row.querySelectorAll('.bxs.row i')];
        return boxes.map((box, n) => {
          const at = box.getBoundingClientRect(), mid = forks[n].left + forks[n].width / 2;
          return box.textContent + (mid > at.left && mid < at.right && forks[n].bottom <= at.top + 1 ? '' : ' beside its box');
        });
      }));
    })()"#;
    let run_out = "[...document.querySelectorAll('[data-key*=\"tubes.runout_limit\"] .sketch')].length";
    let missing = "/On the page alone:[^.]*drawings/.test(document.querySelector('.front').textContent)";
    let cards = cards();
    let (mut sags, mut run_outs) = (0, 0);
    with_tab(|tab| {
        size(tab, 1200, 900);
        for card in cards.iter().filter(|card| !card.contains("oil-change")) {
            open(tab, card);
            let (row, line) = (ask(tab, SAG), ask(tab, run_out));
            sags += usize::from(row == r#"[["extended","below","above"]]"#);
            run_outs += usize::from(line == "1");
            if row == "[]" || line == "0" {
                assert_eq!(ask(tab, missing), "true", "{card} lacks a drawing and does not say so");
            } else {
                assert_eq!(
                    (row.as_str(), line.as_str()),
                    (r#"[["extended","below","above"]]"#, "1"),
                    "{card}"
                );
            }
        }
        open(tab, "cards/velmora-c45--full-service.html");
        let told = ask(tab, "document.querySelector('.ln.sk .sketch').getAttribute('aria-label')");
        assert!(told.contains("settled from below, where friction holds the fork low"), "{told}");
    });
    let all = cards.iter().filter(|card| !card.contains("oil-change")).count();
    // The fullest card of the demo has room for one of the two.
    assert!(sags == all && run_outs + 1 >= all, "{sags} and {run_outs} of {all}");
}

/// The small print under a big figure: the figure's own second unit comes before any other figure, so that 5.12 in of
/// gap never reads as the difference of the legs.
#[test]
fn a_second_unit_stands_before_the_limits_of_its_number() {
    let units = ["in", "psi", "lbf·ft", "US fl oz", "°F", "kgf/cm²", "lbf/in", "lb"];
    let is_second = |part: &str| {
        part.starts_with(|one: char| one.is_ascii_digit())
            && units.iter().any(|unit| part.ends_with(&format!("\u{a0}{unit}")))
    };
    let mut told = 0;
    for card in cards().into_iter().chain(hang_cards()) {
        let page = std::fs::read_to_string(SITE.join(&card)).expect("the card");
        for small in
            page.split("<p class=\"ud\">").skip(1).filter_map(|rest| Some(rest.split_once("</p>")?.0))
        {
            let parts: Vec<&str> =
                small.rsplit('>').next().unwrap_or_default().split([',', ';']).map(str::trim).collect();
            let limit = parts.iter().position(|part| {
                ["L and R differ", "never over", "tuned", "in all"]
                    .iter()
                    .any(|words| part.starts_with(words))
            });
            let Some(limit) = limit else { continue };
            told += usize::from(parts[..limit].iter().any(|part| is_second(part)));
            assert!(!parts[limit..].iter().any(|part| is_second(part)), "{card}: {parts:?}");
        }
    }
    assert!(told > 30, "{told}");
}

/// The apprentice: the name of an oil, however long, stays in its frame beside the boxes of its line.
#[test]
fn a_long_name_of_an_oil_breaks_before_the_boxes_of_its_line() {
    let mut files = crate::hostile::sources();
    // Forty letters, in words and in one.
    for (oil, name) in [
        ("quillon-damp-15", "Damp fluid of the second kind, thin grade"),
        ("marrowhill-fork-32", "Gabelöldämpfungsflüssigkeitsbezeichnungs"),
    ] {
        let path = format!("specs/oils/{oil}.yaml");
        let text = String::from_utf8(files[&path].clone()).expect("text");
        let product = text.lines().find(|line| line.starts_with("product:")).expect("a name").to_owned();
        files.insert(path, text.replace(&product, &format!("product: \"{name}\"")).into_bytes());
    }
    let (site, over) = render(&Memory::new(files), "pages-long-oils");
    // What has no room on a card is said; these have.
    let said = |fork: &&String| fork.contains("tarnholm-u41") || fork.contains("brackwater-d37");
    assert_eq!(over.iter().find(said), None);
    with_tab(|tab| {
        size(tab, 1200, 900);
        for name in ["tarnholm-u41--full-service", "tarnholm-u41--oil-change", "brackwater-d37--full-service"]
        {
            let card = format!("cards/{name}.html");
            open_in(tab, &site, &card);
            assert_ne!(ask(tab, "String(document.querySelectorAll('.oil').length)"), "0", "{card}");
            assert_eq!(ask(tab, CARD_GEOMETRY), "[]", "{card}");
        }
    });
}
