//! A job's file goes into the shop and onto another tablet, whatever was typed.

use std::collections::BTreeSet;

use super::{
    FILL, PAGE, begin_job, benchleaf, file, give, press, release, release_for, said, save, say, set, shop,
    told, write,
};
use crate::work::{begin, text, thumbs, tick};
use crate::{ask, open, with_tab};

#[test]
fn a_whole_job_goes_by_its_file_into_the_shop_and_onto_another_tablet() {
    let shop = shop();
    let folder = tempfile::tempdir().expect("a folder");
    let (saved, ticks) = with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "ZX4711");
        ask(
            tab,
            "(f => { f.value = document.querySelectorAll('[data-say=oil] option')[1].value; f.dispatchEvent(new Event('input', {bubbles: true})); })(document.querySelector('[data-say=oil]'))",
        );
        let boxes: usize = ask(tab, FILL).parse().expect("a count");
        assert!(boxes > 30, "{boxes}");
        ask(tab, "document.querySelectorAll('.tick input').forEach(t => t.click())");
        ask(tab, "document.querySelectorAll('.pull [data-keep]')[0].click()");
        let path = save(tab, folder.path());
        // The shop has released the card that was worked from.
        let code = ask(tab, "JSON.parse(document.querySelector('[data-job]').getAttribute('data-job')).card");
        release(shop.path(), &code);
        // What is in the file is what the page holds, also after it is opened again.
        let saved = std::fs::read_to_string(&path).expect("the file");
        open(tab, PAGE);
        assert_eq!(file(tab), saved);
        (path, ask(tab, "document.querySelectorAll('.tick input:checked').length"))
    });
    let done = benchleaf(shop.path(), &["job", "take", &saved.to_string_lossy()]);
    assert!(done.status.success(), "{}", said(&done));
    // No finding on it: every box was read, every target is the record's, the card is the newest.
    let checked = benchleaf::check_shop(&benchleaf::text::Folder { root: shop.path().to_path_buf() });
    let job = checked.shop.jobs.iter().find(|job| job.machine.frame.text == "ZX4711").expect("the job");
    let path = format!("specs/jobs/{}.yaml", job.number.text);
    let found: Vec<String> = checked
        .findings
        .iter()
        .filter(|finding| checked.files.get(finding.span.file).path == path)
        .map(|finding| format!("{} {}", finding.code(), finding.message))
        .collect();
    assert_eq!(found, Vec::<String>::new(), "{}", std::fs::read_to_string(&saved).expect("the file"));
    assert_eq!(
        job.complaint.as_ref().expect("a complaint").text,
        "dives under the brake, \"a lot\": since spring"
    );
    // On a device that knows nothing of it.
    with_tab(|tab| {
        begin(tab, PAGE);
        assert!(give(tab, &saved).starts_with("Read from "), "{}", told(tab));
        assert_eq!(file(tab), std::fs::read_to_string(&saved).expect("the file"));
        assert_eq!(ask(tab, "document.querySelectorAll('.tick input:checked').length"), ticks);
        // The same again is the same job; one that went on since is kept beside it.
        assert!(give(tab, &saved).contains("on this device already"), "{}", told(tab));
        write(tab, "oil.air_gap-left", false, "109");
        assert!(give(tab, &saved).contains("both are kept"), "{}", told(tab));
        assert_eq!(ask(tab, "document.querySelectorAll('[data-jobs] button').length"), "2");
    });
}

/// Every kind of fork, with what it has on one leg alone, with rings, pressures and builds: what the page writes of a
/// job that was done as asked is taken, and nothing is found in it.
#[test]
fn a_job_of_every_service_of_every_fork_is_taken() {
    let shop = shop();
    let folder = tempfile::tempdir().expect("a folder");
    let checked = benchleaf::check_shop(&crate::demo());
    let mut paths: Vec<String> = Vec::new();
    with_tab(|tab| {
        for fork in checked.forks.iter().filter(|fork| !fork.record.draft) {
            for service in checked.shop.services_for(&fork.choices) {
                begin(tab, &format!("forks/{}/{}.html", fork.id, service.id.text));
                let number = paths.len();
                begin_job(tab, &format!("{number:02}QZ{number:02}"));
                let code = ask(
                    tab,
                    "JSON.parse(document.querySelector('[data-job]').getAttribute('data-job')).card",
                );
                release_for(shop.path(), (&fork.id, &service.id.text), &code);
                ask(tab, FILL);
                ask(tab, "document.querySelectorAll('.tick input').forEach(t => t.click())");
                let path = folder.path().join(format!("{number}.yaml"));
                std::fs::write(&path, file(tab)).expect("written");
                paths.push(path.to_string_lossy().into_owned());
            }
        }
    });
    assert!(paths.len() > 15, "{}", paths.len());
    let mut arguments = vec!["job", "take"];
    arguments.extend(paths.iter().map(String::as_str));
    let done = benchleaf(shop.path(), &arguments);
    assert!(done.status.success(), "{}", said(&done));
    let checked = benchleaf::check_shop(&benchleaf::text::Folder { root: shop.path().to_path_buf() });
    let taken = |finding: &&benchleaf::diagnostic::Finding| {
        let path = &checked.files.get(finding.span.file).path;
        path.starts_with("specs/jobs/2026/") && path.as_str() > "specs/jobs/2026/0012.yaml"
    };
    let found: Vec<String> = checked
        .findings
        .iter()
        .filter(taken)
        .map(|finding| {
            let path = &checked.files.get(finding.span.file).path;
            format!("{path} {} {}", finding.code(), finding.message)
        })
        .collect();
    assert_eq!(found, Vec::<String>::new());
}

#[test]
fn whatever_is_typed_is_kept_and_its_file_is_taken() {
    let shop = shop();
    let folder = tempfile::tempdir().expect("a folder");
    let mut texts = thumbs();
    texts.retain(|text| !text.trim().is_empty());
    texts.extend(
        ["9\u{202e}1", "a\tb", "}", "{x: 1}", "- 1", "# 5", "'", "\"", "\\", "1: 2"].map(str::to_owned),
    );
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "QQ0001");
        let list = serde_json::to_string(&texts).expect("JSON");
        // Another text in every box, until each was in some.
        let script = format!(
            "(() => {{ const texts = {list}; let n = window.from || 0; for (const f of document.querySelectorAll('[data-step] .reading input[data-keep]:not([data-also])')) {{ f.value = texts[n++ % texts.length]; f.dispatchEvent(new Event('input', {{bubbles: true}})); }} window.from = n; return n; }})()"
        );
        let mut round = 0;
        loop {
            let typed: usize = ask(tab, &script).parse().expect("a count");
            say(tab, "frame", &format!("QQ{round:04}"));
            say(tab, "distance", "about 20000");
            let values = "JSON.stringify([...document.querySelectorAll('[data-step] .reading input[data-keep]:not([data-also])')].map(f => f.value))";
            let held = ask(tab, values);
            let path = folder.path().join(format!("{round}.yaml"));
            std::fs::write(&path, file(tab)).expect("written");
            let done = benchleaf(shop.path(), &["job", "take", &path.to_string_lossy()]);
            assert!(done.status.success(), "{}\n{}", said(&done), file(tab));
            open(tab, PAGE);
            assert_eq!(ask(tab, values), held, "kept as it was typed");
            assert!(file(tab).contains("The distance was typed as “about 20000”"), "{}", file(tab));
            if typed >= texts.len() {
                break;
            }
            ask(tab, &format!("window.from = {typed}"));
            round += 1;
        }
    });
}

#[test]
fn a_file_that_is_no_job_of_this_page_changes_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let good = "fork: tarnholm-u41\nservice: full-service\nmachine: {maker: Corvane, model: Sable 400, frame: \"1\"}\ndate: \"2026-04-12\"\n";
    let files: Vec<(&str, Vec<u8>, &str)> = vec![
        ("nothing", Vec::new(), "the file is empty"),
        ("bytes", vec![0xff, 0, 0xfe, 0x80, 1], "cannot be read here"),
        ("huge", vec![b'a'; 300 * 1024], "too large"),
        (
            "deep",
            format!("{good}found: {}1{}\n", "{a: ".repeat(5000), "}".repeat(5000)).into_bytes(),
            "too deep",
        ),
        ("another fork", good.replace("tarnholm-u41", "velmora-c45").into_bytes(), "read it on that page"),
        ("a list", b"- a\n- b\n".to_vec(), "holds no job"),
        ("a key twice", format!("{good}date: \"2026-04-13\"\n").into_bytes(), "twice"),
        ("a prototype", format!("{good}found: {{__proto__: {{value: 1 mm}}}}\n").into_bytes(), "is no key"),
    ];
    with_tab(|tab| {
        begin(tab, PAGE);
        say(tab, "frame", "AA1111");
        tick(tab, 1);
        let before = ask(tab, "JSON.stringify(Object.entries(localStorage))");
        for (what, bytes, words) in files {
            let path = folder.path().join(format!("{}.yaml", what.replace(' ', "-")));
            std::fs::write(&path, bytes).expect("written");
            let said = give(tab, &path);
            assert!(said.starts_with("Nothing was read") && said.contains(words), "{what}: {said}");
            assert_eq!(ask(tab, "JSON.stringify(Object.entries(localStorage))"), before, "{what}");
        }
        // Markup, names of objects and code in a file stay words.
        let path = folder.path().join("markup.yaml");
        let evil = format!(
            "{good}complaint: \"<img src=x onerror=window.hacked=1>\"\nfound:\n  constructor: {{value: \"<b>1</b>\"}}\nskipped:\n  - {{what: __proto__, why: \"<script>window.hacked=1</script>\"}}\npage: '{{\"id\":\"../../x\",\"done\":{{\"constructor\":\"x\",\"__proto__\":\"y\"}},\"ready\":[\"__proto__\"]}}'\n"
        );
        std::fs::write(&path, evil).expect("written");
        assert!(give(tab, &path).starts_with("Read from"), "{}", told(tab));
        assert_eq!(
            ask(tab, "String([window.hacked, {}.done, Object.done, document.querySelector('main img')])"),
            ",,,"
        );
        let kept: BTreeSet<bool> =
            ["<img src=x", "<script>", "<b>1</b>"].iter().map(|part| file(tab).contains(part)).collect();
        assert_eq!(kept, BTreeSet::from([true]), "{}", file(tab));
    });
}

#[test]
fn what_was_fitted_goes_into_the_file_the_shop_and_onto_another_tablet() {
    let shop = shop();
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("job.yaml");
    with_tab(|tab| {
        begin(tab, PAGE);
        begin_job(tab, "PF0001");
        let rows =
            ask(tab, "document.querySelectorAll('[data-fits]').length").parse::<usize>().expect("rows");
        assert!(rows >= 3, "{rows}");
        press(tab, "[data-fits] input[type=checkbox]");
        set(tab, "[data-fits] [data-number]", "PX-4711");
        press(tab, "[data-fitted-another]");
        set(tab, "[data-fitted-more] li label:nth-child(1) input", "Bottom-out cup");
        set(tab, "[data-fitted-more] li label:nth-child(2) input", "30 × 20 mm");
        set(tab, "[data-fitted-more] li label:nth-child(3) input", "0815");
        let first = ask(
            tab,
            "JSON.parse(document.querySelector('[data-job]').getAttribute('data-job')).parts[0].part",
        );
        let told = file(tab);
        assert!(
            told.contains(&format!("  - {{part: {first}, ")) && told.contains("number: \"PX-4711\""),
            "{told}"
        );
        assert!(
            told.contains("  - {part: \"Bottom-out cup\", size: \"30 × 20 mm\", number: \"0815\"}"),
            "{told}"
        );
        std::fs::write(&path, &told).expect("written");
        open(tab, PAGE);
        assert_eq!(file(tab), told, "also after a reload");
        // Who saves it at the page's end is told there, until the job goes on.
        press(tab, "[data-clear-part] [data-save]");
        assert!(text(tab, "[data-said]").starts_with("Saved as job-2026-11-26-tarnholm-u41-pf0001.yaml"));
        // What is ticked off is no part any more, and undo brings it back.
        press(tab, "[data-fits] input[type=checkbox]");
        assert!(!file(tab).contains("PX-4711"));
        assert_eq!(text(tab, "[data-said]"), "");
        press(tab, "[data-undo]");
        assert_eq!(file(tab).matches("PX-4711").count(), 1);
        begin(tab, PAGE);
        assert!(give(tab, &path).starts_with("Read from "), "{}", self::told(tab));
        assert_eq!(file(tab), told);
        assert_eq!(ask(tab, "document.querySelector('[data-fits] [data-number]').value"), "PX-4711");
    });
    let done = benchleaf(shop.path(), &["job", "take", &path.to_string_lossy()]);
    assert!(done.status.success(), "{}", said(&done));
    let built = benchleaf(shop.path(), &["build", "--out", "site", "--jobs", "own"]);
    assert!(built.status.success(), "{}", said(&built));
    let sheets: String = std::fs::read_dir(shop.path().join("own/sheets"))
        .expect("sheets")
        .flatten()
        .map(|entry| std::fs::read_to_string(entry.path()).expect("a sheet"))
        .filter(|sheet| sheet.contains("PF0001"))
        .collect();
    assert!(sheets.contains("Bottom-out cup, 30 × 20 mm, 0815") && sheets.contains("PX-4711"), "{sheets}");
}
