//! How pages look, told by what stands where: the same structure at every width, light and dark as the device is set.

use headless_chrome::Tab;
use headless_chrome::protocol::cdp::Emulation;

use crate::{KINDS, ask, engine, found, open, size, with_tab};

/// A tablet that is set to dark, and nobody has touched the site's own switch.
#[test]
fn the_devices_own_dark_setting_is_followed_and_the_switch_goes_before_it() {
    let engine = engine();
    let set = |tab: &Tab, scheme: &str| {
        let feature = Emulation::MediaFeature { name: "prefers-color-scheme".into(), value: scheme.into() };
        tab.call_method(Emulation::SetEmulatedMedia { media: None, features: Some(vec![feature]) })
            .expect("a setting of the device");
    };
    let paper = |tab: &Tab| ask(tab, "getComputedStyle(document.body).backgroundColor");
    with_tab(|tab| {
        size(tab, 820, 1180);
        open(tab, "index.html");
        ask(tab, "localStorage.clear()");
        for kind in KINDS {
            set(tab, "light");
            open(tab, kind);
            let light = paper(tab);
            set(tab, "dark");
            assert_ne!(paper(tab), light, "{kind} stays light on a dark device");
            ask(tab, "document.querySelectorAll('details').forEach(d => d.open = true)");
            ask(tab, &engine);
            // Only the inks differ from the light page, which another test looks at whole.
            let faint = found(tab, "{runOnly: ['color-contrast']}");
            assert_eq!(faint, "[]", "{kind} on a dark device");
        }
        open(tab, "index.html");
        let dark = paper(tab);
        ask(tab, "document.querySelector('[data-theme-switch]').click()");
        assert_ne!(paper(tab), dark, "the switch changes it");
        open(tab, "tools.html");
        assert_ne!(paper(tab), dark, "and is remembered on the next page");
        ask(tab, "localStorage.clear()");
        set(tab, "light");
    });
}

/// What is to be seen of a page, as an outline: landmarks, headings and blocks in their order; the columns each
/// takes, in twelfths of the width; the size of headings and of the numbers to set. Of blocks in a row that are
/// alike the first stands for all, and how many there are is said only of few. No pixel and no text, so that another
/// machine draws the same.
const OUTLINE: &str = r"(() => {
  const wanted = 'header, nav, main, footer, section, article, details, table, fieldset, form, h1, h2, figure, .title, .hazard, .step, .progress, .pull, .boxes, .halves, .steps, .col, .tabs, .cn, .val b, .num, input, button, .scroll, .leaf';
  const out = [];
  const width = document.documentElement.clientWidth;
  const name = el => el.tagName.toLowerCase() + [...el.classList].slice(0, 2).map(c => '.' + c).join('');
  const line = (el, within) => {
    const r = el.getBoundingClientRect();
    const at = x => Math.round(12 * (x - within.left) / within.width);
    const block = !el.matches('.val b, .num, input, button');
    const size = el.matches('h1, h2, .val b, .num') ? ' ' + Math.round(parseFloat(getComputedStyle(el).fontSize)) + 'px' : '';
    return name(el) + (block ? ' ' + at(r.left) + '-' + at(r.right) : '') + size;
  };
  const walk = (el, depth, within) => {
    let last = '', n = 0;
    const kids = [];
    const gather = parent => { for (const kid of parent.children) {
      if (kid.closest('svg') || !kid.getClientRects().length) continue;
      if (kid.matches(wanted)) kids.push(kid); else gather(kid);
    } };
    gather(el);
    for (const kid of kids) {
      const said = line(kid, within);
      if (said === last) { n++; continue; }
      if (n > 1) out.push('  '.repeat(depth) + (n > 9 ? 'and many more' : 'and ' + (n - 1) + ' more'));
      last = said; n = 1;
      out.push('  '.repeat(depth) + said);
      walk(kid, depth + 1, kid.matches('.leaf') ? kid.getBoundingClientRect() : within);
    }
    if (n > 1) out.push('  '.repeat(depth) + (n > 9 ? 'and many more' : 'and ' + (n - 1) + ' more'));
  };
  walk(document.body, 0, { left: 0, width });
  // Rows of two that are alike, such as a list in two columns.
  return out.join('\n').replace(/^(.*\n.*\n)\1{2,}/gm, '$1and so on, in turn\n');
})()";

/// Screenshots compared by what stands where, at the width of a telephone, a tablet and a desk.
#[test]
fn each_kind_of_page_keeps_its_structure_at_every_width() {
    with_tab(|tab| {
        for kind in KINDS {
            let mut seen = String::new();
            let mut last = String::new();
            for (width, height) in [(390, 844), (820, 1180), (1440, 900)] {
                size(tab, width, height);
                open(tab, kind);
                let outline = ask(tab, OUTLINE);
                let same = if outline == last { "as before".to_owned() } else { outline.clone() };
                seen.push_str(&format!("== {width} px\n{same}\n"));
                last = outline;
            }
            insta::assert_snapshot!(kind.trim_end_matches(".html").replace('/', "-"), seen);
        }
    });
}
