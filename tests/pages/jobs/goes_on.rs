//! A job goes on while the shop's records change and the site is built again.

use std::path::Path;

use headless_chrome::Tab;

use super::{PAGE, begin_job, file, give, read, say, told, write};
use crate::work::{begin, is_ticked, text, tick};
use crate::{SITE, ask, open_in, with_tab};

/// The record's gap changes and the site is built again: the reading stays and is held against the new figure.
#[test]
fn a_reading_is_kept_and_judged_anew_when_the_record_changed() {
    let page = std::fs::read_to_string(SITE.join(PAGE)).expect("the page");
    with_tab(|tab| {
        begin(tab, PAGE);
        write(tab, "oil.air_gap-left", false, "110");
        let says = "[...document.querySelectorAll('.reading:not([data-found]) [data-keep=\"oil.air_gap-left\"]')][0].closest('.reading').querySelector('.says').textContent";
        assert!(ask(tab, says).contains("as asked"), "{}", ask(tab, says));
        let (before, rest) = page.split_once("data-asked=\"").expect("the tables");
        let (tables, after) = rest.split_once('"').expect("their end");
        let (head, gap) = tables.split_once("oil.air_gap&quot;").expect("the gap");
        let changed =
            gap.replacen("110.0", "120.0", 2).replacen("108.0", "118.0", 2).replacen("112.0", "122.0", 2);
        assert_ne!(gap, changed);
        let again = Path::new("forks/tarnholm-u41/full-service-gap.html");
        let text = format!("{before}data-asked=\"{head}oil.air_gap&quot;{changed}\"{after}");
        std::fs::write(SITE.join(again), text).expect("written");
        open_in(tab, &SITE, &again.to_string_lossy());
        std::fs::remove_file(SITE.join(again)).expect("removed");
        assert_eq!(read(tab, "oil.air_gap-left"), "110");
        assert!(
            ask(tab, says)
                .contains("10 mm too small, judged for 20 °C as no temperature is written: draw off"),
            "{}",
            ask(tab, says)
        );
    });
}

/// The record's gap changes and the site is built again, while a finished machine still stands in the tablet.
#[test]
fn a_job_keeps_the_card_and_the_targets_it_was_worked_by() {
    let folder = tempfile::tempdir().expect("a folder");
    let rebuilt = |page: String| {
        let (head, rest) = page.split_once("data-asked=\"").expect("the tables");
        let (asked, tail) = rest.split_once('"').expect("its end");
        let asked = asked.replace("110\u{a0}±\u{a0}2\u{a0}mm", "114\u{a0}±\u{a0}2\u{a0}mm");
        let page = format!("{head}data-asked=\"{asked}\"{tail}");
        let code = page
            .split("&quot;card&quot;:&quot;")
            .nth(1)
            .expect("a code")
            .split('&')
            .next()
            .expect("it")
            .to_owned();
        page.replace(&code, "0KMQ-RSYW")
    };
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "CT0001");
        write(tab, "oil.air_gap-left", false, "110.5");
        let before = file(tab);
        let code = ask(tab, "JSON.parse(document.querySelector('[data-job]').getAttribute('data-job')).card");
        assert!(
            before.contains(&format!("card: {code}")) || before.contains(&format!("card: \"{code}\"")),
            "{before}"
        );
        assert!(before.contains("110 ± 2 mm"), "{before}");
        open_rebuilt(tab, "rebuilt-gap.html", rebuilt);
        assert_eq!(file(tab), before, "nothing was set since");
        let list = text(tab, "[data-changed]");
        assert!(list.contains("was set to 110 ± 2 mm; now it is 114 ± 2 mm. Do it again."), "{list}");
        // On another tablet, with the new site.
        let path = folder.path().join("job.yaml");
        std::fs::write(&path, &before).expect("written");
        ask(tab, "localStorage.clear()");
        open_rebuilt(tab, "rebuilt-gap-2.html", rebuilt);
        give(tab, &path);
        assert_eq!(file(tab), before);
        // Set anew, it is the new card's.
        write(tab, "oil.air_gap-left", false, "114");
        let after = file(tab);
        assert!(
            after.contains("0KMQ-RSYW") && after.contains("114 ± 2 mm") && !after.contains(&code),
            "{after}"
        );
        // What the other card said of another value is kept in words.
        write(tab, "rod_nut.height-left", false, "13.4");
        assert!(!file(tab).contains("as the card"), "{}", file(tab));
    });
}

#[test]
fn a_job_begun_before_its_fork_was_renamed_is_there_on_the_new_page() {
    let folder = tempfile::tempdir().expect("a folder");
    let renamed = |page: String| {
        page.replace("data-progress=\"tarnholm-u41/", "data-progress=\"tarnholm-u41x/")
            .replace(
                "&quot;fork&quot;:&quot;tarnholm-u41&quot;",
                "&quot;fork&quot;:&quot;tarnholm-u41x&quot;",
            )
            .replace("&quot;was&quot;:[]", "&quot;was&quot;:[&quot;tarnholm-u41&quot;]")
    };
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "RN0001");
        say(tab, "oil", "marrowhill-fork-32");
        tick(tab, 2);
        let before = file(tab);
        let path = folder.path().join("job.yaml");
        std::fs::write(&path, &before).expect("written");
        open_rebuilt(tab, "renamed.html", renamed);
        assert!(is_ticked(tab, 2) && text(tab, ".progress [data-job-name]").ends_with("RN0001"));
        assert_eq!(file(tab), before.replace("fork: tarnholm-u41\n", "fork: tarnholm-u41x\n"));
        // A file from before is read too, and is the same job.
        assert!(give(tab, &path).contains("already"), "{}", told(tab));
    });
}

#[test]
fn what_was_ticked_before_its_procedure_was_renamed_stays_ticked() {
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "RP0001");
        tick(tab, 1);
        let procedure =
            ask(tab, "document.querySelector('#step-1').closest('[data-proc]').getAttribute('data-proc')");
        open_rebuilt(tab, "renamed-procedure.html", |page| {
            page.replace(
                &format!("data-proc=\"{procedure}\""),
                &format!("data-proc=\"procedures/called-otherwise.html\" data-was=\"{procedure}\""),
            )
        });
        assert!(is_ticked(tab, 1));
        assert_eq!(
            ask(tab, "document.querySelector('[data-changed]').hidden"),
            "true",
            "{}",
            text(tab, "[data-changed]")
        );
        tick(tab, 2);
        assert!(is_ticked(tab, 1) && is_ticked(tab, 2));
    });
}

/// Opens the page as another build would have written it, on the same device.
fn open_rebuilt(tab: &Tab, name: &str, change: impl Fn(String) -> String) {
    let page = std::fs::read_to_string(SITE.join(PAGE)).expect("the page");
    let again = Path::new("forks/tarnholm-u41").join(name);
    let changed = change(page.clone());
    assert_ne!(page, changed);
    std::fs::write(SITE.join(&again), changed).expect("written");
    open_in(tab, &SITE, &again.to_string_lossy());
    std::fs::remove_file(SITE.join(&again)).expect("removed");
}
