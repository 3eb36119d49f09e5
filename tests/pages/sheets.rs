//! The as-left sheets, as they come out of the printer: the rider gets one side of paper.

use benchleaf::ledger::publish_jobs;

use super::*;

/// For the rider: each sheet of the demo is one side, and one on which much was not written down is too.
#[test]
fn every_as_left_sheet_is_one_side_of_paper() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut checked = benchleaf::check_shop(&demo());
    // Once with all its readings, once with none but those found.
    for part in ["whole", "bare"] {
        let out = folder.path().join(part);
        publish_jobs(&checked, &out, &folder.path().join("site"), &demo().root).expect("written");
        let mut seen = BTreeSet::new();
        with_tab(|tab| {
            // Without its readings, one job of a fork and service is like the other.
            let all = checked.shop.jobs.iter().filter(|job| {
                seen.insert((job.fork.text.clone(), job.service.text.clone())) || part == "whole"
            });
            for job in all {
                let name = format!("sheets/{}.html", job.number.text.replace('/', "-"));
                open_in(tab, &out, &name);
                let told = ask(tab, "document.body.textContent.includes('NOT WRITTEN DOWN')");
                assert_eq!(told, (part == "bare").to_string(), "{name}");
                for (paper, size) in PAPERS {
                    let sides = print(tab, size).get_pages().len();
                    assert_eq!(sides, 1, "{part} {name} on {paper}");
                }
            }
        });
        let bare = checked.shop.jobs.iter().map(|job| {
            let mut job = benchleaf::record::Job::clone(job);
            job.left.clear();
            job.skipped.clear();
            Arc::new(job)
        });
        checked.shop.jobs = bare.collect();
    }
}
