//! Publishing, seen from outside the process: killed at random moments, two at once, other thread counts.
//!
//! The process that is killed is this test program running one of its own tests ([`publisher`]) again.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use benchleaf::output::{Digest, Obstacle, Planned, PublishError, Published, Target, publish, up_to_date};

const OUT: &str = "PUBLISHER_OUT";
const VERSION: &str = "PUBLISHER_VERSION";
/// A folder in which the publisher says that it renders ("ready") and waits to be told to go on ("go").
const MEET: &str = "PUBLISHER_MEET";

/// Kills at moments spread over a whole run.
const KILLS_SPREAD: u64 = 34;
/// Kills at moments spread over the part of a run in which pages are put in place.
const KILLS_PLACING: u64 = 34;

type Pages = BTreeMap<String, Vec<u8>>;

/// One version of a made-up site: a third of the pages are the same in all versions, some are new, some gone.
fn site(version: u64) -> Pages {
    (0..240u64)
        .filter(|page| !(page + version).is_multiple_of(7))
        .map(|page| {
            let said = if page.is_multiple_of(3) { 0 } else { version };
            let lines = 20 + (page * 37 + said * 11) % 300;
            let text: String =
                (0..lines).map(|line| format!("page {page} version {said} line {line}\n")).collect();
            let folder = if page.is_multiple_of(11) {
                format!("only-{version}")
            } else {
                format!("forks/{}", page % 13)
            };
            (format!("{folder}/{page}.html"), text.into_bytes())
        })
        .collect()
}

fn publish_site(
    out: &Path,
    version: u64,
    before_each: impl Fn() + Sync,
) -> Result<Published, PublishError<String>> {
    let site = site(version);
    let planned: Vec<Planned> = site
        .iter()
        .map(|(path, bytes)| Planned { path: path.clone(), inputs: Some(Digest::of(bytes)) })
        .collect();
    let run = Some(Digest::of(&version.to_le_bytes()));
    publish(&Target { run: run.map(|run| (run, "nothing")), ..Target::new(out) }, &planned, |index| {
        before_each();
        Ok(site[&planned[index].path].clone())
    })
}

#[test]
#[ignore = "the other tests run it, in a process of its own"]
fn publisher() {
    let given = std::env::var_os(OUT).map(std::path::PathBuf::from);
    // Not when it is to be killed: nobody would clear the folder away.
    let spare = given.is_none().then(|| tempfile::tempdir().unwrap());
    let out = given.unwrap_or_else(|| spare.as_ref().unwrap().path().to_path_buf());
    let version = std::env::var(VERSION).map_or(1, |text| text.parse().unwrap());
    let meet = std::env::var_os(MEET).map(std::path::PathBuf::from);
    publish_site(&out, version, || {
        if let Some(meet) = &meet {
            fs::write(meet.join("ready"), "").unwrap();
            while !meet.join("go").exists() {
                std::thread::sleep(Duration::from_millis(1));
            }
        }
    })
    .unwrap();
    assert!(up_to_date(&out, Digest::of(&version.to_le_bytes())).is_some());
}

fn start(out: &Path, version: u64, more: &[(&str, &str)]) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args(["publisher", "--exact", "--ignored", "--test-threads=1"])
        .env(OUT, out)
        .env(VERSION, version.to_string())
        .envs(more.iter().copied())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// Every file below a folder, by path; benchleaf's own folder only if asked for.
fn files(out: &Path, own: bool) -> Pages {
    walkdir::WalkDir::new(out)
        .into_iter()
        .filter_entry(|item| own || item.file_name() != ".benchleaf")
        .map(|item| item.unwrap())
        .filter(|item| item.file_type().is_file())
        .map(|item| {
            let path = item.path().strip_prefix(out).unwrap().to_str().unwrap().replace('\\', "/");
            (path, fs::read(item.path()).unwrap())
        })
        .collect()
}

/// Strangers' files among the pages, as they must stay.
fn strangers() -> Pages {
    ["theirs.txt", "forks/3/theirs.txt", "only-5/theirs.txt"]
        .map(|path| (path.to_string(), format!("{path}: not a page\n").into_bytes()))
        .into()
}

/// Takes the strangers' files out of what was found, and checks that they are as they were.
fn without_strangers(mut found: Pages, when: &str) -> Pages {
    for (path, bytes) in strangers() {
        assert_eq!(found.remove(&path), Some(bytes), "{path} was touched {when}");
    }
    found
}

fn assert_whole(found: &Pages, old: &Pages, new: &Pages, when: &str) {
    for (path, bytes) in found {
        let is = |site: &Pages| site.get(path) == Some(bytes);
        assert!(is(old) || is(new), "{path} is neither the old nor the new page {when}");
    }
    for path in old.keys().filter(|path| new.contains_key(*path)) {
        assert!(found.contains_key(path), "{path} is lost {when}");
    }
}

/// Numbers below a limit, the same on every run (xorshift, G. Marsaglia, J. Stat. Softw. 8(14), 2003).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % limit.max(1)
    }
}

fn wait_for(journal: &Path, child: &mut Child) -> Option<Instant> {
    loop {
        if journal.exists() {
            return Some(Instant::now());
        }
        if child.try_wait().unwrap().is_some() {
            return None;
        }
    }
}

#[test]
fn killed_at_any_moment_every_page_is_old_or_new_and_the_next_run_finishes() {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path();
    for (path, bytes) in strangers() {
        fs::create_dir_all(out.join(&path).parent().unwrap()).unwrap();
        fs::write(out.join(&path), bytes).unwrap();
    }
    let journal = out.join(".benchleaf/journal.json");
    // How long a run takes, and how long its last part, in microseconds: the shortest of a few, so that a
    // busy computer does not make every kill come too late.
    let (mut whole, mut placing) = (u64::MAX, u64::MAX);
    let mut version = 0;
    for _ in 0..4 {
        version += 1;
        let begun = Instant::now();
        let mut child = start(out, version, &[]);
        let journalled = wait_for(&journal, &mut child);
        assert!(child.wait().unwrap().success());
        whole = whole.min(u64::try_from(begun.elapsed().as_micros()).unwrap());
        if let Some(journalled) = journalled {
            placing = placing.min(u64::try_from(journalled.elapsed().as_micros()).unwrap());
        }
    }
    placing = placing.min(whole);
    let mut numbers = Numbers(0x2545_F491_4F6C_DD1D);
    let (mut killed, mut killed_staging, mut killed_placing, mut rounds) = (0, 0, 0, 0);
    while killed < KILLS_SPREAD + KILLS_PLACING {
        rounds += 1;
        assert!(
            rounds < 20 * (KILLS_SPREAD + KILLS_PLACING),
            "only {killed} of {rounds} runs could be killed"
        );
        let (old, new) = (site(version), site(version + 1));
        let mut child = start(out, version + 1, &[]);
        if killed < KILLS_SPREAD {
            std::thread::sleep(Duration::from_micros(numbers.below(whole)));
        } else if let Some(journalled) = wait_for(&journal, &mut child) {
            let delay = Duration::from_micros(numbers.below(placing));
            while journalled.elapsed() < delay {
                std::hint::spin_loop();
            }
        }
        child.kill().unwrap();
        let finished = child.wait().unwrap().success();
        let when = format!("after round {rounds}");
        let found = without_strangers(files(out, false), &when);
        assert_whole(&found, &old, &new, &when);
        if finished {
            assert_eq!(found, new, "{when}, which was not killed");
        } else {
            killed += 1;
            killed_staging += u64::from(!journal.exists() && out.join(".benchleaf/stage").exists());
            killed_placing += u64::from(journal.exists());
        }
        // Now and then the sources have changed again before the next run.
        version += if numbers.below(4) == 0 { 2 } else { 1 };
        publish_site(out, version, || {}).unwrap();
        assert_eq!(without_strangers(files(out, false), &when), site(version), "{when} and the next run");
        assert!(!journal.exists() && !out.join(".benchleaf/stage").exists());
    }
    println!(
        "{rounds} rounds: {killed} killed, {killed_staging} while staging, {killed_placing} while placing"
    );
    assert!(killed_placing > 0, "no run was killed while it put pages in place");
}

#[test]
fn two_runs_at_once_do_not_mix() {
    let dir = tempfile::tempdir().unwrap();
    let (out, meet) = (dir.path().join("site"), dir.path().join("meet"));
    fs::create_dir(&meet).unwrap();
    let mut first = start(&out, 1, &[(MEET, meet.to_str().unwrap())]);
    while !meet.join("ready").exists() {
        assert_eq!(first.try_wait().unwrap(), None, "the first run ended before it rendered");
        std::thread::sleep(Duration::from_millis(1));
    }
    match publish_site(&out, 2, || {}) {
        Err(PublishError::Obstacle(obstacle @ Obstacle::Busy { .. })) => {
            assert!(obstacle.to_string().contains("Wait until it has ended"), "{obstacle}");
        }
        other => panic!("the second run was not turned away: {other:?}"),
    }
    fs::write(meet.join("go"), "").unwrap();
    assert!(first.wait().unwrap().success());
    assert_eq!(files(&out, false), site(1));
    publish_site(&out, 2, || {}).unwrap();
    assert_eq!(files(&out, false), site(2));
}

#[test]
fn a_killed_run_does_not_keep_the_lock() {
    let dir = tempfile::tempdir().unwrap();
    let (out, meet) = (dir.path().join("site"), dir.path().join("meet"));
    fs::create_dir(&meet).unwrap();
    let mut first = start(&out, 1, &[(MEET, meet.to_str().unwrap())]);
    while !meet.join("ready").exists() {
        assert_eq!(first.try_wait().unwrap(), None, "the first run ended before it rendered");
        std::thread::sleep(Duration::from_millis(1));
    }
    first.kill().unwrap();
    first.wait().unwrap();
    publish_site(&out, 2, || {}).unwrap();
    assert_eq!(files(&out, false), site(2));
}

#[test]
fn the_bytes_do_not_depend_on_threads_time_zone_or_locale() {
    let dir = tempfile::tempdir().unwrap();
    let runs = [
        ("one", [("RAYON_NUM_THREADS", "1"), ("TZ", "UTC"), ("LC_ALL", "C")]),
        ("two", [("RAYON_NUM_THREADS", "2"), ("TZ", "Pacific/Auckland"), ("LC_ALL", "tr_TR.UTF-8")]),
        ("seven", [("RAYON_NUM_THREADS", "7"), ("TZ", "America/St_Johns"), ("LC_ALL", "de_DE.UTF-8")]),
    ];
    let outs = runs.map(|(name, more)| {
        let out = dir.path().join(name);
        for version in [3, 4] {
            assert!(start(&out, version, &more).wait().unwrap().success());
        }
        let mut files = files(&out, true);
        // It speaks of this manifest on this disk, and is no part of the site.
        assert!(files.remove(".benchleaf/inputs.json").is_some());
        files
    });
    assert!(outs[0].contains_key(".benchleaf/manifest.json"));
    assert!(outs[0] == outs[1] && outs[0] == outs[2]);
}
