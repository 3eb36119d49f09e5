//! The program killed while it builds, approves, makes new records, takes jobs and takes a later library, at moments
//! that a seed gives. After every kill each file is the old or the new one, whole; the same command then finishes,
//! and leaves what a run that nobody killed leaves.
//!
//! `cargo run --example kill_trial -- 1000 7` kills a thousand times.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use benchleaf::library::{LEDGER, Ledger};

type Files = BTreeMap<String, Vec<u8>>;

/// What came of the kills.
#[derive(Debug, Default)]
pub struct Report {
    /// How often a process was killed before it ended, by command.
    pub killed: BTreeMap<&'static str, u64>,
    /// How often it had begun to write then.
    pub writing: BTreeMap<&'static str, u64>,
    /// How often it had ended before it could be killed.
    pub too_late: u64,
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

/// One command that is killed.
struct Deed {
    name: &'static str,
    /// The shop it works on: one without a library, or one with it.
    shop: &'static str,
    arguments: &'static [&'static str],
    /// A file of the shop that is there only while it writes.
    while_writing: &'static str,
    /// About how long it writes then, in microseconds.
    writes_for: u64,
    /// Whether a run after the first may say that there is nothing left to do.
    once: bool,
}

const DEEDS: [Deed; 6] = [
    Deed {
        name: "build",
        shop: "plain",
        arguments: &["build"],
        while_writing: "site/.benchleaf/stage",
        writes_for: 60_000,
        once: false,
    },
    Deed {
        name: "approve",
        shop: "plain",
        arguments: &["approve", "tarn-41", "--by", "A. Wren", "--date", "2026-05-04"],
        while_writing: "specs/forks/.tarn-41.yaml.new",
        writes_for: 1_500,
        once: false,
    },
    Deed {
        name: "new fork",
        shop: "plain",
        arguments: &["new", "fork", "another", "--like", "tarn-41"],
        while_writing: "specs/forks/.another.yaml.new",
        writes_for: 1_500,
        once: true,
    },
    Deed {
        name: "job take",
        shop: "plain",
        arguments: &["job", "take", "from-tablet-1.yaml", "from-tablet-2.yaml", "from-tablet-3.yaml"],
        while_writing: "specs/jobs/2026/.0001.yaml.new",
        writes_for: 1_500,
        once: true,
    },
    Deed {
        name: "new shop",
        shop: "plain",
        arguments: &["new", "shop", "bench"],
        while_writing: "bench",
        writes_for: 1_500,
        once: true,
    },
    Deed {
        name: "library update",
        shop: "own",
        arguments: &["library", "update"],
        while_writing: "procedures/.bounce-fork.md.new",
        writes_for: 1_500,
        once: false,
    },
];

/// The texts of the shop `own` that come from an earlier library.
const EARLIER: [&str; 3] = ["bounce-fork", "flush-leg", "check-steering"];

/// A job as a tablet gives it; the end of its frame number is that of the file.
const FROM_TABLET: &str = "fork: tarn-41\nservice: full-service\nmachine: {maker: Ulm Motors, model: Kestrel 600, frame: \"7Q0412/n\"}\ndate: \"2026-04-12\"\nleft:\n  oil.air_gap: {left: 96 mm, right: 97 mm, target: 96 ± 2 mm}\n";

/// The name of every command that is killed.
pub fn deeds() -> Vec<&'static str> {
    DEEDS.iter().map(|deed| deed.name).collect()
}

/// Kills `kills` times, one command alone where it is named. Panics at the first thing that is wrong, with the round it happened in.
pub fn run(program: &Path, shop: &Path, kills: u64, seed: u64, only: Option<&str>) -> Report {
    let mut numbers = Numbers(seed | 1);
    let mut report = Report::default();
    let folder = tempfile::tempdir().expect("a folder");
    let (work, whole) = (folder.path().join("work"), folder.path().join("whole"));
    let plain = folder.path().join("plain");
    copy(shop, &plain);
    for n in 1..=3 {
        let job = FROM_TABLET.replace("/n", &format!("{n}"));
        fs::write(plain.join(format!("from-tablet-{n}.yaml")), job).expect("written");
    }
    run_to_end(program, &plain, &["build"]);
    run_to_end(program, folder.path(), &["new", "shop", "own"]);
    from_an_earlier_library(&folder.path().join("own"));
    let mut round = 0;
    while report.killed.values().sum::<u64>() < kills {
        round += 1;
        assert!(round < 20 * kills + 100, "too few runs could be killed: {report:?}");
        let alone = DEEDS.iter().find(|deed| only == Some(deed.name));
        let deed = alone.unwrap_or_else(|| pick(&mut numbers));
        let when = format!("{} in round {round} with seed {seed}", deed.name);
        let base = folder.path().join(deed.shop);
        // Something to do for a build: every page names the place.
        change(&base, round);
        let old = files(&base);
        copy(&base, &whole);
        let begun = Instant::now();
        run_to_end(program, &whole, deed.arguments);
        let duration = begun.elapsed();
        let new = files(&whole);
        assert_ne!(old, new, "{when}: there was nothing to do");

        copy(&base, &work);
        let killed_while_writing = match kill(program, &work, deed, duration, &mut numbers) {
            Some(writing) => writing,
            None => {
                report.too_late += 1;
                assert_eq!(files(&work), new, "{when}, which was not killed");
                continue;
            }
        };
        *report.killed.entry(deed.name).or_default() += 1;
        *report.writing.entry(deed.name).or_default() += u64::from(killed_while_writing);
        assert_whole(&files(&work), &old, &new, &when);
        let again = output(program, &work, deed.arguments);
        let done = again.status.success()
            || (deed.once && String::from_utf8_lossy(&again.stderr).contains("is there already"));
        assert!(done, "{when}, and again: {}", String::from_utf8_lossy(&again.stderr));
        assert_eq!(names(&files(&work)), names(&new), "{when}, and again");
        assert!(files(&work) == new, "{when}: the files differ from those of a run that nobody killed");
        let left = left_over(&work);
        assert!(left.is_empty(), "{when} left {left:?} behind");
    }
    report
}

/// One of the deeds. The last, which reads a whole library twice, is one in sixteen.
fn pick(numbers: &mut Numbers) -> &'static Deed {
    let quick = DEEDS.len() - 1;
    let number = usize::try_from(numbers.below(16)).expect("small");
    DEEDS.get(if number == 15 { quick } else { number % quick }).expect("a deed")
}

/// Starts a deed and kills it; half of the time once it writes. `None`: it had ended before. Else whether it wrote.
fn kill(program: &Path, work: &Path, deed: &Deed, duration: Duration, numbers: &mut Numbers) -> Option<bool> {
    let mut child = start(program, work, deed.arguments);
    let begun = Instant::now();
    if numbers.below(2) == 0 {
        let delay = Duration::from_micros(numbers.below(duration.as_micros().try_into().unwrap_or(u64::MAX)));
        std::thread::sleep(delay);
    } else {
        let sign = work.join(deed.while_writing);
        while fs::symlink_metadata(&sign).is_err() && child.try_wait().expect("a process").is_none() {
            assert!(begun.elapsed() < Duration::from_secs(300), "{} hangs", deed.name);
        }
        let delay = Duration::from_micros(numbers.below(deed.writes_for));
        let now = Instant::now();
        while now.elapsed() < delay {
            std::hint::spin_loop();
        }
    }
    child.kill().expect("a process that can be killed");
    let ended = child.wait().expect("a process").success();
    if ended { None } else { Some(!left_over(work).is_empty()) }
}

fn start(program: &Path, folder: &Path, arguments: &[&str]) -> Child {
    command(program, folder, arguments).stdout(Stdio::null()).stderr(Stdio::null()).spawn().expect("it runs")
}

fn output(program: &Path, folder: &Path, arguments: &[&str]) -> std::process::Output {
    command(program, folder, arguments).output().expect("it runs")
}

fn run_to_end(program: &Path, folder: &Path, arguments: &[&str]) {
    let done = output(program, folder, arguments);
    assert!(done.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&done.stderr));
}

fn command(program: &Path, folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(program);
    command.args(arguments).current_dir(folder).stdin(Stdio::null());
    command
}

/// Lets some texts of a shop be those that an earlier version of the library brought.
fn from_an_earlier_library(shop: &Path) {
    let read = |path: &str| fs::read_to_string(shop.join(path)).expect("a text");
    let mut ledger = Ledger::read(&read(LEDGER));
    for name in EARLIER {
        let path = format!("procedures/{name}.md");
        let text = read(&path).replacen("title: ", "title: Earlier ", 1);
        ledger.take(&path, &text);
        fs::write(shop.join(path), text).expect("written");
    }
    fs::write(shop.join(LEDGER), ledger.write()).expect("written");
}

fn change(base: &Path, round: u64) {
    let path = base.join("specs/shop.yaml");
    let text = fs::read_to_string(&path).expect("the settings");
    let lines = text.lines().map(|line| match line.strip_prefix("place:") {
        Some(_) => format!("place: Harbour Row {}\n", 1000 + round),
        None => format!("{line}\n"),
    });
    fs::write(&path, lines.collect::<String>()).expect("written");
}

/// Copies a folder, in place of what is there.
fn copy(from: &Path, to: &Path) {
    if to.exists() {
        fs::remove_dir_all(to).expect("cleared");
    }
    for item in walkdir::WalkDir::new(from) {
        let item = item.expect("an item");
        let place = to.join(item.path().strip_prefix(from).expect("inside"));
        if item.file_type().is_dir() {
            fs::create_dir_all(place).expect("a folder");
        } else {
            fs::copy(item.path(), place).expect("a copy");
        }
    }
}

fn items(folder: &Path) -> impl Iterator<Item = (String, PathBuf)> {
    walkdir::WalkDir::new(folder)
        .into_iter()
        .map(Result::unwrap)
        .filter(|item| item.file_type().is_file())
        .map(move |item| {
            let path = item.path().strip_prefix(folder).expect("inside").to_string_lossy().replace('\\', "/");
            (path, item.path().to_path_buf())
        })
}

/// Every file that a person or another program sees, by path: not those that wait to be renamed, and not our own.
fn files(folder: &Path) -> Files {
    items(folder)
        .filter(|(path, _)| {
            !is_waiting(path) && (!path.contains(".benchleaf/") || path.ends_with("/manifest.json"))
        })
        .map(|(path, at)| (path, fs::read(at).expect("a file")))
        .collect()
}

fn names(files: &Files) -> Vec<&String> {
    files.keys().collect()
}

/// What only a run that was killed leaves.
fn left_over(folder: &Path) -> Vec<String> {
    items(folder).map(|(path, _)| path).filter(|path| is_waiting(path)).collect()
}

fn is_waiting(path: &str) -> bool {
    path.ends_with(".new") || path.contains(".benchleaf/stage/") || path.ends_with(".benchleaf/journal.json")
}

fn assert_whole(found: &Files, old: &Files, new: &Files, when: &str) {
    for (path, bytes) in found {
        let is = |files: &Files| files.get(path) == Some(bytes);
        assert!(is(old) || is(new), "{path} is neither the old nor the new one: {when}");
    }
    for path in old.keys().filter(|path| new.contains_key(*path)) {
        assert!(found.contains_key(path), "{path} is lost: {when}");
    }
}
