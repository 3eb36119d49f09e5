//! The writer's own tests. Killing a real process at random moments is in tests/publishing.rs.

use super::*;
use crate::output::own::KEPT;
use crate::output::steps::steps;
use std::sync::atomic::AtomicUsize;

type Pages = BTreeMap<String, String>;

fn pages(list: &[(&str, &str)]) -> Pages {
    list.iter().map(|(path, text)| ((*path).to_string(), (*text).to_string())).collect()
}

/// Publishes pages whose inputs are their text; returns what was reported and how many were rendered.
fn publish_all(out: &Path, site: &Pages) -> Result<(Published, usize), PublishError<String>> {
    let texts: Vec<&String> = site.values().collect();
    let calls = AtomicUsize::new(0);
    let published = publish(&Target::new(out), &planned(site), |index| {
        calls.fetch_add(1, Ordering::Relaxed);
        if texts[index] == "FAIL" {
            Err(format!("page {index}"))
        } else {
            Ok(texts[index].clone().into_bytes())
        }
    })?;
    Ok((published, calls.into_inner()))
}

fn planned(site: &Pages) -> Vec<Planned> {
    site.iter()
        .map(|(path, text)| Planned { path: path.clone(), inputs: Some(Digest::of(text.as_bytes())) })
        .collect()
}

/// Every file below a folder but our own, by path.
fn files(out: &Path) -> Pages {
    let mut found = Pages::new();
    for item in walkdir::WalkDir::new(out).into_iter().filter_entry(|item| item.file_name() != OWN_FOLDER) {
        let item = item.unwrap();
        if item.file_type().is_file() {
            let path = item.path().strip_prefix(out).unwrap().to_str().unwrap().to_string();
            found.insert(path, fs::read_to_string(item.path()).unwrap());
        }
    }
    found
}

fn folders(out: &Path) -> BTreeSet<String> {
    walkdir::WalkDir::new(out)
        .min_depth(1)
        .into_iter()
        .filter_entry(|item| item.file_name() != OWN_FOLDER)
        .map(|item| item.unwrap())
        .filter(|item| item.file_type().is_dir())
        .map(|item| item.path().strip_prefix(out).unwrap().to_str().unwrap().to_string())
        .collect()
}

fn obstacle(result: Result<(Published, usize), PublishError<String>>) -> Obstacle {
    match result {
        Err(PublishError::Obstacle(obstacle)) => obstacle,
        other => panic!("expected an obstacle, got {other:?}"),
    }
}

#[test]
fn only_what_changed_is_rendered_and_written() {
    let out = tempfile::tempdir().unwrap();
    let out = out.path();
    let mut site = pages(&[("index.html", "home"), ("forks/a.html", "a"), ("forks/b.html", "b")]);
    let (first, calls) = publish_all(out, &site).unwrap();
    assert_eq!((first.written, first.unchanged, first.removed, calls), (3, 0, 0, 3));
    assert_eq!((first.bytes, first.bytes_written), (6, 6));
    assert_eq!(files(out), site);

    let (second, calls) = publish_all(out, &site).unwrap();
    assert_eq!((second.written, second.unchanged, calls), (0, 3, 0));

    site.insert("forks/a.html".into(), "a2".into());
    let (third, calls) = publish_all(out, &site).unwrap();
    assert_eq!((third.written, third.unchanged, calls), (1, 2, 1));
    assert_eq!(files(out), site);
}

#[test]
fn a_page_whose_inputs_changed_but_not_its_bytes_is_not_written() {
    let out = tempfile::tempdir().unwrap();
    let target = Target::new(out.path());
    let page =
        |inputs: &str| [Planned { path: "a.html".into(), inputs: Some(Digest::of(inputs.as_bytes())) }];
    let render = |_| Ok::<_, String>(b"same".to_vec());
    publish(&target, &page("one"), render).unwrap();
    let before = fs::metadata(out.path().join("a.html")).unwrap().modified().unwrap();
    let again = publish(&target, &page("two"), render).unwrap();
    assert_eq!((again.written, again.unchanged, again.rendered), (0, 1, 1));
    assert_eq!(fs::metadata(out.path().join("a.html")).unwrap().modified().unwrap(), before);
    // What it is made from now is remembered.
    assert_eq!(publish(&target, &page("two"), render).unwrap().rendered, 0);
}

#[test]
fn a_whole_run_with_nothing_changed_is_known_without_rendering() {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path();
    let site = pages(&[("index.html", "home"), ("a/b.html", "b")]);
    let (run, other) = (Digest::of(b"run"), Digest::of(b"other"));
    assert_eq!(up_to_date(out, run), None);
    let target = Target { run: Some((run, "2 notes")), ..Target::new(out) };
    let publish_it = || {
        publish(&target, &planned(&site), |n| {
            Ok::<_, String>(site.values().nth(n).unwrap().clone().into_bytes())
        })
    };
    publish_it().unwrap();
    let (known, said) = up_to_date(out, run).unwrap();
    assert_eq!(said, "2 notes");
    assert_eq!((known.unchanged, known.bytes, known.written), (2, 5, 0));
    assert_eq!(up_to_date(out, other), None);

    // Same size, other bytes; then as before.
    fs::write(out.join("a/b.html"), "x").unwrap();
    assert_eq!(up_to_date(out, run), None);
    fs::write(out.join("a/b.html"), "b").unwrap();
    assert!(up_to_date(out, run).is_some());
    fs::remove_file(out.join("index.html")).unwrap();
    assert_eq!(up_to_date(out, run), None);
    publish_it().unwrap();
    assert!(up_to_date(out, run).is_some());
    fs::write(out.join(OWN_FOLDER).join(JOURNAL), "{}").unwrap();
    assert_eq!(up_to_date(out, run), None);
}

#[test]
fn stale_pages_go_and_so_do_folders_we_made_but_not_others() {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path();
    fs::create_dir(out.join("kept")).unwrap();
    fs::create_dir(out.join("mixed")).unwrap();
    fs::write(out.join("mixed/own.txt"), "theirs").unwrap();
    let site = pages(&[
        ("index.html", "i"),
        ("kept/a", "a"),
        ("made/deep/b", "b"),
        ("mixed/c", "c"),
        ("shared/d", "d"),
    ]);
    publish_all(out, &site).unwrap();
    fs::write(out.join("shared/theirs.txt"), "theirs").unwrap();
    let (second, _) = publish_all(out, &pages(&[("index.html", "i")])).unwrap();
    assert_eq!((second.removed, second.unchanged), (4, 1));
    assert_eq!(
        files(out),
        pages(&[("index.html", "i"), ("mixed/own.txt", "theirs"), ("shared/theirs.txt", "theirs")])
    );
    assert_eq!(folders(out), ["kept", "mixed", "shared"].map(String::from).into());
    // The folder we made is still ours, and goes when it is left empty.
    fs::remove_file(out.join("shared/theirs.txt")).unwrap();
    publish_all(out, &pages(&[("index.html", "i2")])).unwrap();
    assert_eq!(folders(out), ["kept", "mixed"].map(String::from).into());
}

#[test]
fn a_page_and_a_folder_may_change_places() {
    let dir = tempfile::tempdir().unwrap();
    let one = pages(&[("a/b", "1"), ("a/c/d", "2"), ("x", "3"), ("Case.html", "4")]);
    let other = pages(&[("a", "5"), ("x/y/z", "6"), ("case.html", "7")]);
    for site in [&one, &other, &one, &other] {
        publish_all(dir.path(), site).unwrap();
        assert_eq!(&files(dir.path()), site);
    }
    publish_all(dir.path(), &one).unwrap();
    fs::write(dir.path().join("a/theirs"), "theirs").unwrap();
    let refused = obstacle(publish_all(dir.path(), &other));
    assert!(matches!(&refused, Obstacle::Blocked { at, .. } if at.ends_with("a")), "{refused}");
    fs::remove_file(dir.path().join("a/theirs")).unwrap();
    publish_all(dir.path(), &other).unwrap();
}

#[test]
fn a_failing_page_leaves_the_old_site() {
    let dir = tempfile::tempdir().unwrap();
    let old = pages(&[("a", "1"), ("b", "2"), ("c", "3")]);
    publish_all(dir.path(), &old).unwrap();
    let failing = pages(&[("a", "new"), ("b", "FAIL"), ("d", "FAIL")]);
    match publish_all(dir.path(), &failing) {
        Err(PublishError::Pages(failed)) => {
            assert_eq!(
                failed,
                [("b".to_string(), "page 1".to_string()), ("d".to_string(), "page 2".to_string())]
            );
        }
        other => panic!("{other:?}"),
    }
    assert_eq!(files(dir.path()), old);
    assert!(!dir.path().join(OWN_FOLDER).join(STAGE).exists());
}

#[test]
fn a_strangers_file_is_refused_by_name_and_nothing_is_changed() {
    let dir = tempfile::tempdir().unwrap();
    publish_all(dir.path(), &pages(&[("a", "1")])).unwrap();
    fs::write(dir.path().join("b"), "theirs").unwrap();
    let refused = obstacle(publish_all(dir.path(), &pages(&[("a", "2"), ("b", "3")])));
    assert!(matches!(&refused, Obstacle::Foreign { paths, late: false, .. } if paths == &["b"]), "{refused}");
    assert_eq!(files(dir.path()), pages(&[("a", "1"), ("b", "theirs")]));

    fs::write(dir.path().join("folder"), "theirs").unwrap();
    let refused = obstacle(publish_all(dir.path(), &pages(&[("a", "2"), ("folder/x", "3")])));
    assert!(matches!(&refused, Obstacle::Blocked { at, .. } if at.ends_with("folder")), "{refused}");
    fs::create_dir(dir.path().join("page")).unwrap();
    let refused = obstacle(publish_all(dir.path(), &pages(&[("a", "2"), ("page", "3")])));
    assert!(matches!(&refused, Obstacle::Blocked { at, .. } if at.ends_with("page")), "{refused}");
    assert_eq!(files(dir.path()), pages(&[("a", "1"), ("b", "theirs"), ("folder", "theirs")]));
}

#[test]
fn a_file_that_comes_while_we_render_is_left_alone() {
    let dir = tempfile::tempdir().unwrap();
    let target = Target::new(dir.path());
    let site = pages(&[("a", "1"), ("b", "2")]);
    let result = publish(&target, &planned(&site), |index| {
        fs::write(dir.path().join("b"), "theirs").unwrap();
        Ok::<_, String>(site.values().nth(index).unwrap().clone().into_bytes())
    });
    match result {
        Err(PublishError::Obstacle(Obstacle::Foreign { paths, late: true, .. })) => assert_eq!(paths, ["b"]),
        other => panic!("{other:?}"),
    }
    assert_eq!(files(dir.path()), pages(&[("a", "1"), ("b", "theirs")]));
    let refused = obstacle(publish_all(dir.path(), &site));
    assert!(matches!(refused, Obstacle::Foreign { late: false, .. }), "{refused}");
}

#[test]
fn a_page_edited_by_hand_is_made_anew_and_named() {
    let dir = tempfile::tempdir().unwrap();
    let site = pages(&[("a", "10 mm"), ("b", "2"), ("c", "3")]);
    publish_all(dir.path(), &site).unwrap();
    fs::write(dir.path().join("a"), "99 mm").unwrap();
    fs::write(dir.path().join("c"), "longer").unwrap();
    fs::remove_file(dir.path().join("b")).unwrap();
    let (again, calls) = publish_all(dir.path(), &pages(&[("a", "10 mm"), ("b", "2")])).unwrap();
    assert_eq!(again.edited, ["a", "c"]);
    assert_eq!((again.written, again.removed, calls), (2, 1, 2));
    assert_eq!(files(dir.path()), pages(&[("a", "10 mm"), ("b", "2")]));
    // What a person wrote is not lost.
    let kept: BTreeSet<String> =
        again.kept.iter().map(|path| fs::read_to_string(dir.path().join(path)).unwrap()).collect();
    assert_eq!(kept, ["99 mm", "longer"].map(String::from).into());
    assert_eq!(fs::read_dir(dir.path().join(OWN_FOLDER).join(KEPT)).unwrap().count(), 2);
}

#[cfg(unix)]
#[test]
fn links_are_refused_and_never_followed() {
    use std::os::unix::fs::symlink;
    let dir = tempfile::tempdir().unwrap();
    let (out, elsewhere) = (dir.path().join("out"), dir.path().join("elsewhere"));
    fs::create_dir(&elsewhere).unwrap();
    fs::write(elsewhere.join("a"), "theirs").unwrap();
    publish_all(&out, &pages(&[("sub/a", "1"), ("b", "2")])).unwrap();

    fs::remove_dir_all(out.join("sub")).unwrap();
    symlink(&elsewhere, out.join("sub")).unwrap();
    for site in [pages(&[("sub/a", "new")]), pages(&[("b", "2")])] {
        let refused = obstacle(publish_all(&out, &site));
        assert!(matches!(&refused, Obstacle::Link { at } if at.ends_with("sub")), "{refused}");
    }
    fs::remove_file(out.join("sub")).unwrap();
    publish_all(&out, &pages(&[("b", "2")])).unwrap();
    fs::remove_file(out.join("b")).unwrap();
    symlink(elsewhere.join("a"), out.join("b")).unwrap();
    let refused = obstacle(publish_all(&out, &pages(&[("b", "3")])));
    assert!(matches!(&refused, Obstacle::Link { at } if at.ends_with("b")), "{refused}");
    // A stale page that became a link is no page of ours: it stays.
    publish_all(&out, &pages(&[("c", "4")])).unwrap();
    assert!(fs::symlink_metadata(out.join("b")).unwrap().is_symlink());
    assert_eq!(files(&elsewhere), pages(&[("a", "theirs")]));

    fs::remove_dir_all(out.join(OWN_FOLDER)).unwrap();
    symlink(&elsewhere, out.join(OWN_FOLDER)).unwrap();
    let refused = obstacle(publish_all(&out, &pages(&[("d", "5")])));
    assert!(matches!(&refused, Obstacle::Link { .. }), "{refused}");
    assert_eq!(files(&elsewhere), pages(&[("a", "theirs")]));
}

#[test]
fn a_second_writer_is_turned_away_while_the_first_works() {
    let dir = tempfile::tempdir().unwrap();
    let target = Target::new(dir.path());
    let site = pages(&[("a", "1")]);
    publish(&target, &planned(&site), |_| {
        let refused = obstacle(publish_all(dir.path(), &pages(&[("b", "2")])));
        assert!(matches!(refused, Obstacle::Busy { .. }), "{refused}");
        Ok::<_, String>(b"1".to_vec())
    })
    .unwrap();
    assert_eq!(files(dir.path()), site);
}

#[test]
fn a_folder_that_cannot_be_made_is_a_clear_refusal() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("file"), "").unwrap();
    let text = obstacle(publish_all(&dir.path().join("file/site"), &pages(&[("a", "1")]))).to_string();
    assert!(text.contains("file/site") && text.contains("name another output folder"), "{text}");
}

/// Runs a publishing up to a number of steps after the journal is written, and then no further.
fn publish_partly(out: &Path, site: &Pages, taken: usize) -> usize {
    let planned = planned(site);
    let texts: Vec<&String> = site.values().collect();
    let mut output = Output::new(&RealDisk, check_folder(out, None).unwrap());
    let _lock = lock(&output).unwrap();
    let seen = look(&mut output, &planned, false).unwrap();
    fs::create_dir(output.own.join(STAGE)).unwrap();
    let rendered =
        render_all(&output, &planned, &seen, |n| Ok::<_, String>(texts[n].clone().into_bytes())).unwrap();
    let (journal, _) = plan(&mut output, &planned, &seen, &rendered).unwrap();
    write_whole(&RealDisk, &output.own, JOURNAL, &journal.to_bytes(), Durable::Yes).unwrap();
    let steps = steps(&seen.old, &journal);
    for step in steps.iter().take(taken) {
        output.take(*step).unwrap();
    }
    steps.len()
}

fn old_and_new() -> (Pages, Pages) {
    let old = pages(&[
        ("index.html", "old home"),
        ("same.html", "same"),
        ("forks/a.html", "old a"),
        ("forks/gone.html", "gone"),
        ("old/only/x.html", "x"),
        ("turn", "page"),
        ("back/p.html", "in a folder"),
    ]);
    let new = pages(&[
        ("index.html", "new home"),
        ("same.html", "same"),
        ("forks/a.html", "new a"),
        ("forks/b.html", "new b"),
        ("new/only/y.html", "y"),
        ("turn/q.html", "folder"),
        ("back", "page"),
    ]);
    (old, new)
}

#[test]
fn a_run_stopped_after_any_step_is_finished_by_the_next_even_one_that_fails() {
    let (old, new) = old_and_new();
    let mut taken = 0;
    loop {
        let dir = tempfile::tempdir().unwrap();
        let out = dir.path();
        fs::write(out.join("theirs.txt"), "theirs").unwrap();
        publish_all(out, &old).unwrap();
        let steps = publish_partly(out, &new, taken);
        let mut between = files(out);
        assert_eq!(between.remove("theirs.txt").as_deref(), Some("theirs"));
        for (path, text) in &between {
            assert!(
                old.get(path) == Some(text) || new.get(path) == Some(text),
                "{path} is torn after {taken}"
            );
        }
        for path in old.keys().filter(|path| new.contains_key(*path)) {
            assert!(between.contains_key(path), "{path} is lost after {taken}");
        }
        let failing = pages(&[("index.html", "FAIL")]);
        assert!(matches!(publish_all(out, &failing), Err(PublishError::Pages(_))));
        let mut after = files(out);
        assert_eq!(after.remove("theirs.txt").as_deref(), Some("theirs"));
        assert_eq!(after, new, "after {taken} of {steps} steps");
        let (again, _) = publish_all(out, &new).unwrap();
        assert_eq!((again.written, again.unchanged, again.recovered), (0, new.len(), false));
        assert_eq!(folders(out), ["forks", "new", "new/only", "turn"].map(String::from).into());
        taken += 1;
        if taken > steps {
            assert!(steps >= 15, "the sites differ too little to test anything: {steps} steps");
            break;
        }
    }
}

#[test]
fn what_a_power_cut_or_a_person_did_to_a_half_published_site_is_noticed() {
    let (old, new) = old_and_new();
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path();
    publish_all(out, &old).unwrap();
    let steps = publish_partly(out, &new, usize::MAX);
    assert!(steps > 0);
    fs::write(out.join("index.html"), "").unwrap();
    fs::write(out.join("forks/b.html"), "").unwrap();
    fs::write(out.join("forks/a.html"), "by ha").unwrap();
    fs::remove_file(out.join("turn/q.html")).unwrap();
    fs::write(out.join("new/only/y.html"), "a stranger's").unwrap();
    let refused = obstacle(publish_all(out, &new));
    assert!(
        matches!(&refused, Obstacle::Foreign { paths, late: false, .. } if paths == &["new/only/y.html"]),
        "{refused}"
    );
    assert_eq!(fs::read_to_string(out.join("new/only/y.html")).unwrap(), "a stranger's");
    fs::remove_file(out.join("new/only/y.html")).unwrap();
    publish_all(out, &new).unwrap();
    assert_eq!(files(out), new);
}

#[test]
fn rendered_files_torn_before_they_were_placed_are_not_placed() {
    let (old, new) = old_and_new();
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path();
    publish_all(out, &old).unwrap();
    publish_partly(out, &new, 0);
    let stage = out.join(OWN_FOLDER).join(STAGE);
    for item in fs::read_dir(&stage).unwrap() {
        fs::write(item.unwrap().path(), "n").unwrap();
    }
    let (again, calls) = publish_all(out, &new).unwrap();
    assert!(again.recovered);
    // All but the page that is the same in both.
    assert_eq!((again.written, calls), (new.len() - 1, new.len()));
    assert_eq!(files(out), new);
}

#[test]
fn a_disk_that_fails_at_any_change_leaves_every_page_whole_and_the_next_run_finishes() {
    use crate::output::faulty::{Fault, FaultyDisk};
    let (old, new) = old_and_new();
    let publish_with = |disk: &dyn Disk, out: &Path| {
        let texts: Vec<&String> = new.values().collect();
        publish_on(disk, &Target::new(out), &planned(&new), |n| {
            Ok::<_, String>(texts[n].clone().into_bytes())
        })
    };
    let begin = |out: &Path| {
        fs::write(out.join("theirs.txt"), "theirs").unwrap();
        publish_all(out, &old).unwrap();
        // A page that a person changed: what is written there must not be lost either.
        fs::write(out.join("forks/a.html"), "by hand").unwrap();
    };
    let by_hand_is_somewhere = |out: &Path| {
        let kept = fs::read_dir(out.join(OWN_FOLDER).join(KEPT)).into_iter().flatten();
        let mut texts: Vec<String> =
            kept.map(|item| fs::read_to_string(item.unwrap().path()).unwrap()).collect();
        texts.extend(fs::read_to_string(out.join("forks/a.html")));
        texts.iter().any(|text| text == "by hand")
    };
    let sound = FaultyDisk::sound();
    let dir = tempfile::tempdir().unwrap();
    begin(dir.path());
    publish_with(&sound, dir.path()).unwrap();
    assert!(sound.changes() > 30, "{} changes", sound.changes());
    for fault in [Fault::Refused, Fault::Full, Fault::Killed] {
        let mut failures = 0;
        for at in 0..sound.changes() {
            let when = format!("{fault:?} at change {at}");
            let dir = tempfile::tempdir().unwrap();
            let out = dir.path();
            begin(out);
            let disk = FaultyDisk::new(fault, at);
            let done = publish_with(&disk, out);
            failures += usize::from(done.is_err());
            assert!(by_hand_is_somewhere(out), "{when}");
            let mut between = files(out);
            assert_eq!(between.remove("theirs.txt").as_deref(), Some("theirs"), "{when}");
            for (path, text) in &between {
                let by_hand = path == "forks/a.html" && text == "by hand";
                let whole = by_hand || old.get(path) == Some(text) || new.get(path) == Some(text);
                assert!(whole, "{path} is torn: {when}");
            }
            for path in old.keys().filter(|path| new.contains_key(*path)) {
                assert!(between.contains_key(path), "{path} is lost: {when}");
            }
            if done.is_ok() {
                assert!(!disk.failed() || between == new, "{when}");
            }
            finish_killed_run(out, None).unwrap();
            publish_all(out, &new).unwrap();
            let mut after = files(out);
            assert_eq!(after.remove("theirs.txt").as_deref(), Some("theirs"), "{when}");
            assert_eq!(after, new, "{when}");
            assert!(by_hand_is_somewhere(out), "{when}, and again");
            let own: BTreeSet<String> = fs::read_dir(out.join(OWN_FOLDER))
                .unwrap()
                .map(|item| item.unwrap().file_name().into_string().unwrap())
                .collect();
            let all = [".gitignore", "inputs.json", "kept", "lock", "manifest.json"].map(String::from);
            assert!(own.is_subset(&all.into()), "{own:?} are left behind: {when}");
        }
        assert!(failures > 20, "{fault:?} made only {failures} runs fail");
    }
}

#[test]
fn a_run_that_was_killed_is_cleared_away_by_the_next_whatever_that_does() {
    let (old, new) = old_and_new();
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path();
    publish_all(out, &old).unwrap();
    assert!(!finish_killed_run(out, None).unwrap(), "nothing to do");
    // Killed while it rendered, and while it wrote files of its own.
    let stage = out.join(OWN_FOLDER).join(STAGE);
    fs::create_dir(&stage).unwrap();
    fs::write(stage.join("0"), "half").unwrap();
    fs::write(out.join(OWN_FOLDER).join("manifest.json.new"), "half").unwrap();
    assert!(!finish_killed_run(out, None).unwrap());
    assert!(!stage.exists() && !out.join(OWN_FOLDER).join("manifest.json.new").exists());
    assert_eq!(files(out), old);
    // Killed while pages were put in place.
    publish_partly(out, &new, 3);
    assert!(finish_killed_run(out, None).unwrap());
    assert_eq!(files(out), new);
    assert!(!stage.exists());
}

/// What a stranger can put in a repository: pages, a manifest and inputs that speak of them, as we would write them.
fn forge(out: &Path, site: &Pages, run: Digest, seal: Option<Seal>) {
    let own = out.join(OWN_FOLDER);
    fs::create_dir_all(&own).unwrap();
    let mut manifest = Manifest::default();
    for (path, text) in site {
        fs::create_dir_all(out.join(path).parent().unwrap()).unwrap();
        fs::write(out.join(path), text).unwrap();
        let entry = Entry { digest: Digest::of(text.as_bytes()), size: text.len() as u64 };
        manifest.pages.insert(path.clone(), entry);
    }
    let bytes = manifest.to_bytes();
    // Later than every page, so that none of them need be read.
    std::thread::sleep(std::time::Duration::from_millis(30));
    fs::write(own.join(MANIFEST), &bytes).unwrap();
    let seal = seal.unwrap_or_else(|| Seal::of(&own.join(MANIFEST)).unwrap());
    let inputs = Inputs {
        manifest: Digest::of(&bytes),
        seal,
        run: Some((run, "all is well".to_owned())),
        pages: planned(site).into_iter().map(|page| (page.path, page.inputs.unwrap())).collect(),
        kept: [("a-fork".to_owned(), (run, vec!["QGRY-YKMR".to_owned()]))].into(),
    };
    fs::write(own.join(INPUTS), inputs.to_bytes()).unwrap();
}

#[test]
fn a_forged_record_of_the_last_run_makes_no_changed_page_up_to_date() {
    let run = Digest::of(b"run");
    let right = pages(&[("index.html", "104 mm"), ("forks/a.html", "25 N·m")]);
    let wrong = pages(&[("index.html", "140 mm"), ("forks/a.html", "25 N·m")]);
    let other = tempfile::tempdir().unwrap();
    fs::write(other.path().join("file"), "").unwrap();
    let elsewhere = Seal::of(&other.path().join("file")).unwrap();
    // The attack is a real one: with the seal of this disk, which nobody can know beforehand, it would pass.
    let dir = tempfile::tempdir().unwrap();
    forge(dir.path(), &wrong, run, None);
    assert!(up_to_date(dir.path(), run).is_some());
    assert_eq!(kept(dir.path()).len(), 1);
    for fresh in [false, true] {
        let dir = tempfile::tempdir().unwrap();
        let out = dir.path();
        forge(out, &wrong, run, if fresh { None } else { Some(elsewhere.clone()) });
        if !fresh {
            assert_eq!(up_to_date(out, run), None);
            assert!(kept(out).is_empty(), "what was worked out is not believed either");
        }
        // The record claims the inputs of the right pages for the wrong ones.
        let texts: Vec<&String> = right.values().collect();
        let plan: Vec<Planned> = wrong
            .iter()
            .map(|(path, text)| Planned { path: path.clone(), inputs: Some(Digest::of(text.as_bytes())) })
            .collect();
        let target = Target { run: Some((run, "all is well")), fresh, ..Target::new(out) };
        let render = |n: usize| Ok::<_, String>(texts[n].clone().into_bytes());
        // Pages are in order of their paths in both.
        publish(&target, &plan, render).unwrap();
        assert_eq!(files(out), right, "fresh: {fresh}");
    }
}

#[test]
fn a_forged_manifest_with_the_right_digest_does_not_hide_a_changed_page() {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path();
    let right = pages(&[("index.html", "104 mm")]);
    // The manifest tells the digest of the right page; the page on the disk is another of the same size.
    forge(out, &right, Digest::of(b"run"), None);
    fs::write(out.join("index.html"), "140 mm").unwrap();
    fs::remove_file(out.join(OWN_FOLDER).join(INPUTS)).unwrap();
    let (published, _) = publish_all(out, &right).unwrap();
    assert_eq!((published.written, published.edited), (1, vec!["index.html".to_owned()]));
    assert_eq!(files(out), right);
}

#[test]
fn a_forged_manifest_or_journal_gets_nobodys_file_deleted() {
    for with_journal in [false, true] {
        let dir = tempfile::tempdir().unwrap();
        let out = dir.path();
        let claimed =
            pages(&[("notes.txt", "claimed"), ("forks/diary.txt", "claimed"), ("index.html", "claimed")]);
        forge(out, &claimed, Digest::of(b"run"), None);
        let theirs =
            pages(&[("notes.txt", "theirs 1"), ("forks/diary.txt", "theirs 2"), ("index.html", "theirs 3")]);
        for (path, text) in &theirs {
            fs::write(out.join(path), text).unwrap();
        }
        if with_journal {
            let stale = ["notes.txt", "forks/diary.txt"].map(String::from).into();
            let entry = Entry { digest: Digest::of(b"claimed"), size: 7 };
            let new = Manifest { pages: [("index.html".to_owned(), entry)].into(), ..Manifest::default() };
            let journal = Journal { stale, new, ..Journal::default() };
            fs::write(out.join(OWN_FOLDER).join(JOURNAL), journal.to_bytes()).unwrap();
        }
        publish_all(out, &pages(&[("index.html", "home")])).unwrap();
        let mut found: BTreeSet<String> = files(out).into_values().collect();
        for item in fs::read_dir(out.join(OWN_FOLDER).join(KEPT)).unwrap() {
            found.insert(fs::read_to_string(item.unwrap().path()).unwrap());
        }
        for text in theirs.values() {
            assert!(found.contains(text), "`{text}` is lost, with a journal: {with_journal}");
        }
    }
}
