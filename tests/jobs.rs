//! The technician's jobs: what comes from a tablet is taken whole or not at all, the targets are worked out again, and
//! nothing of a job is ever published.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output};

use benchleaf::check_shop;
use benchleaf::text::Folder;

const JOB: &str = r#"fork: tarn-41
service: full-service
machine: {maker: Ulm Motors, model: Kestrel 600, frame: "7Q0412"}
date: "2026-04-12"
left:
  oil.air_gap: {left: 96 mm, right: 97 mm, target: 96 ± 2 mm}
"#;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_benchleaf"));
    command.args(arguments).current_dir(folder).output().expect("it runs")
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

/// The small shop with one kind of fork, in a folder of its own.
fn shop() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let from = root().join("tests/shops/plain");
    for entry in walkdir::WalkDir::new(&from) {
        let entry = entry.expect("the shop");
        let to = folder.path().join(entry.path().strip_prefix(&from).expect("inside"));
        match entry.file_type().is_dir() {
            true => std::fs::create_dir_all(&to).expect("a folder"),
            false => drop(std::fs::copy(entry.path(), &to).expect("a copy")),
        }
    }
    folder
}

/// Every file below the jobs' folder.
fn jobs(shop: &Path) -> BTreeMap<String, Vec<u8>> {
    let files = walkdir::WalkDir::new(shop.join("specs/jobs")).into_iter().filter_map(Result::ok);
    let files = files.filter(|entry| entry.file_type().is_file());
    let read = |entry: walkdir::DirEntry| {
        let name = entry.path().strip_prefix(shop).expect("inside").to_string_lossy().replace('\\', "/");
        (name, std::fs::read(entry.path()).expect("a file"))
    };
    files.map(read).collect()
}

fn take(shop: &Path, files: &[(&str, &[u8])]) -> Output {
    let mut arguments = vec!["job", "take"];
    for (name, bytes) in files {
        std::fs::write(shop.join(name), bytes).expect("written");
        arguments.push(name);
    }
    run(shop, &arguments)
}

#[test]
fn a_job_from_a_tablet_gets_the_next_number_and_no_byte_of_it_changes() {
    let shop = shop();
    let first = take(shop.path(), &[("a.yaml", JOB.as_bytes())]);
    assert!(first.status.success(), "{}", said(&first));
    assert!(said(&first).contains("targets not confirmed: it names no card"), "{}", said(&first));
    let other = JOB.replace("7Q0412", "9X1187");
    let second = take(shop.path(), &[("b.yaml", other.as_bytes())]);
    assert!(second.status.success(), "{}", said(&second));
    let there = jobs(shop.path());
    assert_eq!(there.get("specs/jobs/2026/0001.yaml").map(Vec::as_slice), Some(JOB.as_bytes()));
    assert_eq!(there.get("specs/jobs/2026/0002.yaml").map(Vec::as_slice), Some(other.as_bytes()));
}

#[test]
fn a_job_is_taken_once() {
    let shop = shop();
    assert!(take(shop.path(), &[("a.yaml", JOB.as_bytes())]).status.success());
    let before = jobs(shop.path());
    // The same file, the same job with another reading, and one file given twice.
    let changed = JOB.replace("97 mm", "95 mm");
    let new = JOB.replace("7Q0412", "9X1187");
    for files in [
        vec![("a.yaml", JOB.as_bytes())],
        vec![("b.yaml", changed.as_bytes())],
        vec![("c.yaml", new.as_bytes()), ("d.yaml", new.as_bytes())],
    ] {
        let done = take(shop.path(), &files);
        assert_eq!(done.status.code(), Some(1), "{}", said(&done));
        assert_eq!(jobs(shop.path()), before, "{}", said(&done));
    }
}

#[test]
fn what_is_no_job_of_this_shop_is_refused_and_nothing_beside_it_is_taken() {
    let shop = shop();
    let deep = format!("found: {}1{}\n", "[".repeat(5000), "]".repeat(5000));
    let huge = vec![b'a'; 300 * 1024];
    let replaced = |from: &str, to: &str| JOB.replace(from, to).into_bytes();
    let aliases = "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n".as_bytes().to_vec();
    let hostile: Vec<(&str, Vec<u8>)> = vec![
        ("nothing", Vec::new()),
        ("no text", vec![0xff, 0xfe, 0x00, 0x80]),
        ("a null", b"fork: tarn-41\0\n".to_vec()),
        ("deep", deep.into_bytes()),
        ("huge", huge),
        ("aliases", aliases),
        ("a list", b"- fork: tarn-41\n".to_vec()),
        ("a path for a fork", replaced("fork: tarn-41", "fork: ../../tarn-41")),
        ("a fork of another shop", replaced("fork: tarn-41", "fork: some-99")),
        ("a service of another shop", replaced("service: full-service", "service: ../x")),
        ("a day that is a path", replaced("2026-04-12", "../../../etc")),
        ("no day", replaced("2026-04-12", "2026-02-30")),
        ("a key that is none", replaced("oil.air_gap", "oil.air_gapp")),
        ("another key", format!("{JOB}name: somebody\n").into_bytes()),
        ("a bare number", replaced("96 mm,", "96,")),
        ("ounces", replaced("oil.air_gap: {left: 96 mm", "oil.dry_fill: {left: 14 oz")),
    ];
    for (what, bytes) in hostile {
        let good = JOB.replace("7Q0412", "9X1187");
        let done = take(shop.path(), &[("good.yaml", good.as_bytes()), ("bad.yaml", &bytes)]);
        assert_eq!(done.status.code(), Some(1), "{what}: {}", said(&done));
        assert!(said(&done).contains("nothing was taken"), "{what}: {}", said(&done));
        assert_eq!(jobs(shop.path()), BTreeMap::new(), "{what}");
    }
    // A folder and a file that is not there.
    for name in ["specs", "../missing.yaml"] {
        assert_eq!(run(shop.path(), &["job", "take", name]).status.code(), Some(1), "{name}");
    }
}

#[test]
fn readings_in_other_units_are_read_as_the_notation_reads_them() {
    let shop = shop();
    let inches = JOB.replace("left: 96 mm", "left: 3.78 in");
    let done = take(shop.path(), &[("a.yaml", inches.as_bytes())]);
    assert!(done.status.success(), "{}", said(&done));
    let told = said(&run(shop.path(), &["job", "show", "2026/0001"]));
    assert!(told.contains("Air gap, left: 3.78 in: as asked"), "{told}");
}

#[test]
fn what_was_typed_and_is_no_number_is_kept_and_told() {
    let shop = shop();
    let typed = JOB.replace("left: 96 mm", "left: {typed: 9y}");
    let done = take(shop.path(), &[("a.yaml", typed.as_bytes())]);
    assert!(done.status.success() && said(&done).contains("job-typed"), "{}", said(&done));
}

fn git(folder: &Path, arguments: &[&str]) {
    let mut command = Command::new("git");
    command.arg("-C").arg(folder).args(["-c", "user.name=A. Wren", "-c", "user.email=wren@shop.example"]);
    let done = command.args(arguments).output().expect("git runs");
    assert!(done.status.success(), "{}", said(&done));
}

#[test]
fn targets_are_worked_out_again_from_the_record_as_it_was_when_the_card_was_released() {
    let shop = shop();
    let at = |path: &str| shop.path().join(path);
    git(shop.path(), &["init", "-q"]);
    let card = |code: &str, day: &str| {
        format!(
            "  - {{fork: tarn-41, service: full-service, values: W7F0-W09C, card: {code}, date: \"{day}\"}}\n"
        )
    };
    let first = format!("cards:\n{}", card("J9KR-D2TX", "2026-03-02"));
    std::fs::write(at("specs/released.yaml"), &first).expect("written");
    git(shop.path(), &["add", "-A"]);
    git(shop.path(), &["commit", "-qm", "First cards"]);
    // The gap changes, and with it the card.
    let record = std::fs::read_to_string(at("specs/forks/tarn-41.yaml")).expect("a record");
    let changed = record.replace("96 mm ± 2 mm (3.78 in)", "102 mm ± 2 mm (4.02 in)");
    assert_ne!(record, changed);
    std::fs::write(at("specs/forks/tarn-41.yaml"), changed).expect("written");
    std::fs::write(at("specs/released.yaml"), first + &card("CAVR-DTQ7", "2026-04-01")).expect("written");
    git(shop.path(), &["add", "-A"]);
    git(shop.path(), &["commit", "-qm", "Another gap"]);

    let from_card = |code: &str, target: &str, frame: &str| {
        JOB.replace("left:\n", &format!("card: {code}\nleft:\n"))
            .replace("96 ± 2 mm", target)
            .replace("7Q0412", frame)
    };
    for (code, target, frame, taken, words) in [
        ("J9KR-D2TX", "96 ± 2 mm", "AA1111", true, "targets confirmed"),
        ("J9KR-D2TX", "102 ± 2 mm", "BB2222", false, "as the record was when J9KR-D2TX was released"),
        ("CAVR-DTQ7", "102 ± 2 mm", "CC3333", true, "targets confirmed"),
        ("CAVR-DTQ7", "96 ± 2 mm", "DD4444", false, "as the record was when CAVR-DTQ7 was released"),
        ("0KMQ-RSYW", "96 ± 2 mm", "EE5555", true, "targets not confirmed"),
    ] {
        let done = take(shop.path(), &[("a.yaml", from_card(code, target, frame).as_bytes())]);
        assert_eq!(done.status.success(), taken, "{code} {target}: {}", said(&done));
        assert!(said(&done).contains(words), "{code} {target}: {}", said(&done));
    }
}

#[test]
fn a_draft_has_every_box_and_the_targets_of_its_fork() {
    let shop = shop();
    let done = run(shop.path(), &["new", "job", "tarn-41:full-service", "--date", "2026-04-12"]);
    assert!(done.status.success(), "{}", said(&done));
    let draft = std::fs::read_to_string(shop.path().join("specs/jobs/2026/0001.yaml")).expect("a draft");
    assert!(draft.contains("#   oil.air_gap: {left: … mm, right: … mm, target: \"96 ± 2 mm\"}"), "{draft}");
    // A second draft lies beside it, never over it.
    assert!(
        run(shop.path(), &["new", "job", "tarn-41:full-service", "--date", "2026-04-12"]).status.success()
    );
    assert_eq!(jobs(shop.path()).len(), 2);
    let other = run(shop.path(), &["new", "job", "tarn-41:other", "--date", "2026-04-12"]);
    assert!(said(&other).contains("name full-service"), "{}", said(&other));
}

/// The sheet gives inches, and the card prints the bench's millimeters: 3.78 × 25.4 = 96.01. Who types the figure of the
/// paper into the draft has set what was asked.
#[test]
fn a_draft_asks_in_the_unit_of_the_card_where_the_record_names_another_first() {
    let shop = shop();
    let record = shop.path().join("specs/forks/tarn-41.yaml");
    let before = std::fs::read_to_string(&record).expect("the fork");
    for sheet in ["3.78 ± 0.08 in", "3.78 ± 0.08 in (96 mm ± 2 mm)"] {
        let text = before.replace("96 mm ± 2 mm (3.78 in)", sheet);
        assert_ne!(text, before);
        std::fs::write(&record, text).expect("written");
        let _ = std::fs::remove_dir_all(shop.path().join("specs/jobs"));
        let done = run(shop.path(), &["new", "job", "tarn-41:full-service", "--date", "2026-04-12"]);
        assert!(done.status.success(), "{}", said(&done));
        let path = shop.path().join("specs/jobs/2026/0001.yaml");
        let draft = std::fs::read_to_string(&path).expect("a draft");
        let asks = "#   oil.air_gap: {left: … mm, right: … mm, target: \"96 ± 2 mm\"}";
        assert!(draft.contains(asks), "{sheet}: {draft}");
        // What is right by the paper is right, what is right by the sheet as well.
        for (read, words) in [
            ("98 mm", "as asked: 96 ± 2 mm"),
            ("94 mm", "as asked: 96 ± 2 mm"),
            ("3.70 in", "as asked: 96 ± 2 mm"),
            ("3.86 in", "as asked: 96 ± 2 mm"),
            ("80 mm", "16 mm too small"),
        ] {
            std::fs::write(&path, JOB.replace("left: 96 mm", &format!("left: {read}"))).expect("written");
            let shown = said(&run(shop.path(), &["job", "show", "2026/0001"])).replace('\u{a0}', " ");
            assert!(shown.contains(words), "{sheet}, {read}: {shown}");
        }
    }
}

/// Every file of a folder, as text.
fn texts(folder: &Path) -> Vec<(String, String)> {
    let files = walkdir::WalkDir::new(folder).into_iter().filter_map(Result::ok);
    let files = files.filter(|entry| entry.file_type().is_file());
    let read = |entry: walkdir::DirEntry| {
        let bytes = std::fs::read(entry.path()).expect("a file");
        (entry.path().display().to_string(), String::from_utf8_lossy(&bytes).into_owned())
    };
    files.map(read).collect()
}

#[test]
fn the_published_site_holds_no_job_and_the_folder_of_jobs_holds_them_all() {
    let checked = check_shop(&Folder { root: root().to_path_buf() });
    assert!(checked.shop.jobs.len() >= 30, "{}", checked.shop.jobs.len());
    let out = tempfile::tempdir().expect("a folder");
    let (site, own) = (out.path().join("site"), out.path().join("jobs"));
    let (site_at, own_at) = (site.to_string_lossy(), own.to_string_lossy());
    let done = run(root(), &["build", "--out", &site_at, "--jobs", &own_at]);
    assert!(done.status.success(), "{}", said(&done));
    let (published, kept) = (texts(&site), texts(&own));
    let committed = texts(&root().join("site-demo"));
    for job in &checked.shop.jobs {
        let complaint = job.complaint.as_ref().map(|text| text.text.as_str()).unwrap_or_default();
        let sheet = own.join(format!("sheets/{}.html", job.number.text.replace('/', "-")));
        assert!(sheet.is_file(), "{}", sheet.display());
        // Nor what else somebody typed: batches, part numbers, reasons, notes.
        let parts = job.parts.iter().filter_map(|part| part.number.as_ref());
        let whys =
            job.lines().flat_map(|(_, line)| &line.readings).filter_map(|reading| reading.why.as_ref());
        let skipped = job.skipped.iter().map(|skip| &skip.why);
        let typed =
            [&job.oil.batch, &job.notes].into_iter().flatten().chain(parts).chain(whys).chain(skipped);
        for text in typed.map(|text| text.text.as_str()).filter(|text| text.len() > 5) {
            for (path, page) in published.iter().chain(&committed) {
                assert!(!page.contains(text), "{path} tells of a job: {text}");
            }
        }
        for text in [job.machine.frame.text.as_str(), complaint, &job.number.text] {
            assert!(kept.iter().any(|(_, page)| page.contains(text)), "{text}");
            // What is common speech of procedures is no sign of a job.
            let telling = text.len() > 6 || text.bytes().any(|byte| byte.is_ascii_digit());
            for (path, page) in published.iter().chain(&committed).filter(|_| telling) {
                assert!(!page.contains(text), "{path} tells of a job: {text}");
            }
        }
    }
}

#[test]
fn pages_of_jobs_never_go_into_a_published_site() {
    let shop = shop();
    assert!(run(shop.path(), &["build", "--out", "site"]).status.success());
    for (out, jobs) in
        [("site", "site"), ("site", "site/jobs"), ("a/b", "a"), ("other", "site"), ("site", "x/../site")]
    {
        let done = run(shop.path(), &["build", "--out", out, "--jobs", jobs]);
        assert_eq!(done.status.code(), Some(2), "{out} {jobs}: {}", said(&done));
        assert!(!shop.path().join("site/sheets").exists() && !shop.path().join("a").exists());
    }
    // Again into the same folder of jobs is no mistake.
    for _ in 0..2 {
        assert!(run(shop.path(), &["build", "--out", "site", "--jobs", "own"]).status.success());
    }
}

/// Five fills of one fork on five machines, one with a digit too many.
const FILLS: [&str; 5] = ["404 mL", "402 mL", "1404 mL", "403 mL", "405 mL"];

/// A shop whose record says 385 mL, with so many of the fills.
fn filled(count: usize) -> tempfile::TempDir {
    let shop = shop();
    let path = shop.path().join("specs/forks/tarn-41.yaml");
    let record = std::fs::read_to_string(&path).expect("a record");
    let changed = record.replace("430 mL (14.5 US fl oz)", "385 mL (13.0 US fl oz)");
    assert_ne!(record, changed);
    std::fs::write(&path, changed).expect("written");
    std::fs::create_dir_all(shop.path().join("specs/jobs/2026")).expect("a folder");
    for (at, fill) in FILLS.iter().take(count).enumerate() {
        let job = JOB.replace("7Q0412", &format!("EV700{at}"))
            + &format!("  oil.dry_fill: {{left: {fill}, right: {fill}, target: 385 mL}}\n");
        std::fs::write(shop.path().join(format!("specs/jobs/2026/000{}.yaml", at + 1)), job).expect("a job");
    }
    shop
}

/// The worked example of `docs/jobs.md`, by hand: median 404, distances 0, 2, 1000, 1, 1, their median 1, and the spread
/// 1.4826 times that.
#[test]
fn one_wrong_job_among_five_moves_no_evidence_and_fewer_than_five_are_none() {
    use benchleaf::judge::{Sheets, evidence};
    for (count, told) in [(5, true), (4, false)] {
        let shop = filled(count);
        let checked = check_shop(&Folder { root: shop.path().to_path_buf() });
        assert_eq!(checked.shop.jobs.len(), count);
        let asking = checked.forks.iter().map(|fork| (fork.resolved.as_ref(), fork.derived.as_ref()));
        let sheets = Sheets::of(&checked.shop, asking);
        let all = evidence(&checked.shop.catalogue, &checked.shop.jobs, &sheets);
        let fill = all.iter().find(|one| checked.shop.catalogue.field(one.field).key == "oil.dry_fill");
        assert_eq!(fill.is_some(), told);
        if let Some(fill) = fill {
            assert_eq!((fill.jobs, fill.median, fill.what), (5, 404.0, "fill needed"));
            assert!((fill.spread - 1.4826).abs() < 1e-9, "{}", fill.spread);
            assert!(fill.contradicts);
        }
    }
}

/// The shop lead sees on the fork's page that the record lies outside, and a stranger sees no job.
#[test]
fn a_forks_page_tells_the_evidence_as_figures_and_follows_the_jobs() {
    let shop = filled(5);
    let page = || std::fs::read_to_string(shop.path().join("site/forks/tarn-41.html")).expect("the page");
    assert!(run(shop.path(), &["build"]).status.success());
    let told = page().replace('\u{a0}', " ");
    for part in ["What the bench found", "404 mL", "1.48 mL", "fill needed", "The record lies outside"] {
        assert!(told.contains(part), "{part}");
    }
    for (path, text) in texts(&shop.path().join("site")) {
        assert!(!text.contains("EV700") && !text.contains("2026/000"), "{path}");
    }
    // A job less, and the page says nothing any more.
    std::fs::remove_file(shop.path().join("specs/jobs/2026/0005.yaml")).expect("removed");
    assert!(run(shop.path(), &["build"]).status.success());
    assert!(!page().contains("What the bench found"));
}

#[test]
fn a_part_needs_no_number_and_one_skipped_step_is_not_the_whole_procedure() {
    let shop = shop();
    let parts = format!(
        "{JOB}parts:\n  - {{part: fork-oil, size: 1 L}}\n  - {{part: washer, number: 4711}}\nskipped:\n  - {{what: set-air-gap, step: Read it twice., why: no time}}\n"
    );
    let done = take(shop.path(), &[("a.yaml", parts.as_bytes())]);
    assert!(done.status.success() && !said(&done).contains("WARNING"), "{}", said(&done));
    // Without its reading the job is told of: only one step was skipped.
    let without = parts
        .replace("7Q0412", "9X1187")
        .replace("left:\n  oil.air_gap: {left: 96 mm, right: 97 mm, target: 96 ± 2 mm}\n", "");
    let done = take(shop.path(), &[("b.yaml", without.as_bytes())]);
    assert!(done.status.success() && said(&done).contains("job-left-out"), "{}", said(&done));
}

/// The fork of an old job is renamed, and another withdrawn: the jobs stay, are told of, and stop nothing.
#[test]
fn jobs_of_a_fork_that_was_renamed_or_withdrawn_stay_and_stop_nothing() {
    let shop = shop();
    let other = JOB.replace("tarn-41", "tarn-45").replace("7Q0412", "9X1187");
    assert!(take(shop.path(), &[("a.yaml", JOB.as_bytes()), ("b.yaml", other.as_bytes())]).status.success());
    let at = |id: &str| shop.path().join(format!("specs/forks/{id}.yaml"));
    let record = std::fs::read_to_string(at("tarn-41")).expect("a record");
    std::fs::write(at("tarn-41b"), record.replacen("id: tarn-41", "id: tarn-41b", 1)).expect("written");
    std::fs::remove_file(at("tarn-41")).expect("removed");
    std::fs::remove_file(at("tarn-45")).expect("removed");
    let told = said(&run(shop.path(), &["check", "--format", "short"]));
    assert_eq!(told.matches("job-refers-nowhere").count(), 2, "{told}");
    let done = run(shop.path(), &["build", "--out", "site", "--jobs", "own"]);
    assert!(done.status.success(), "{}", said(&done));
    assert!(shop.path().join("own/sheets/2026-0001.html").is_file());
    assert!(run(shop.path(), &["job", "show", "2026/0001"]).status.success());
}

/// A tablet that was away while the fork was renamed: its job is taken, and never taken for confirmed.
#[test]
fn a_job_that_was_begun_before_its_fork_was_renamed_is_taken() {
    let shop = shop();
    let at = |id: &str| shop.path().join(format!("specs/forks/{id}.yaml"));
    let record = std::fs::read_to_string(at("tarn-41")).expect("a record");
    let renamed = record.replacen("id: tarn-41\n", "id: tarn-41b\nwas: [tarn-41]\n", 1);
    std::fs::write(at("tarn-41b"), renamed).expect("written");
    std::fs::remove_file(at("tarn-41")).expect("removed");
    let done = take(shop.path(), &[("a.yaml", JOB.as_bytes())]);
    assert!(done.status.success(), "{}", said(&done));
    // The same job again, under the new name.
    let again = take(shop.path(), &[("b.yaml", JOB.replace("tarn-41", "tarn-41b").as_bytes())]);
    assert_eq!(again.status.code(), Some(1), "{}", said(&again));
    assert!(said(&again).contains("is there already, as 2026/0001"), "{}", said(&again));
}

/// One machine typed by two hands: a hyphen or a space in maker or model makes no second one.
#[test]
fn one_machine_written_in_two_ways_is_one() {
    let shop = shop();
    let other = JOB
        .replace(
            "maker: Ulm Motors, model: Kestrel 600, frame: \"7Q0412\"",
            "maker: ULM-Motors, model: Kestrel-600, frame: \"7q-0412\"",
        )
        .replace("2026-04-12", "2026-05-12");
    let done = take(shop.path(), &[("a.yaml", JOB.as_bytes()), ("b.yaml", other.as_bytes())]);
    assert!(done.status.success() && !said(&done).contains("job-machine"), "{}", said(&done));
    assert!(run(shop.path(), &["build", "--out", "site", "--jobs", "own"]).status.success());
    let machines = std::fs::read_dir(shop.path().join("own/machines")).expect("machines").count();
    assert_eq!(machines, 1);
}

/// The number decides the place, and never the name a file comes under.
#[test]
fn a_files_own_name_says_nothing_of_its_place() {
    let shop = shop();
    for (at, name) in
        ["..%2f..%2fx.yaml", "-h", "a b\u{202e}.yaml", "2026-9999.yaml", "con", "x.md"].iter().enumerate()
    {
        std::fs::write(shop.path().join(name), JOB.replace("7Q0412", &format!("NM000{at}")))
            .expect("written");
        let done = run(shop.path(), &["job", "take", "--", name]);
        assert!(done.status.success(), "{name}: {}", said(&done));
        assert!(!said(&done).contains('\u{202e}'));
    }
    let expected: Vec<String> = (1..=6).map(|n| format!("specs/jobs/2026/000{n}.yaml")).collect();
    assert_eq!(jobs(shop.path()).into_keys().collect::<Vec<_>>(), expected);
}

/// For whoever has the shop served: a finding on one job that hangs on the fork's other jobs follows them.
#[test]
fn a_second_job_with_the_same_other_oil_asks_of_the_record_while_the_shop_is_served() {
    let shop = shop();
    let oil = "id: ember-20\nmaker: Ember Fluids\nproduct: Ember 20\nlabel: \"Ember fork fluid 20\"\nsources:\n  data: {kind: maker-sheet, title: \"Ember data sheet, issue 4\", date: \"2021-02\"}\nsource: data\ngrade:\n  iso_vg: 15\n  viscosity_40: 15.4 mm²/s\n  viscosity_100: 3.71 mm²/s\n  viscosity_index: 131\n  density_15: 851 kg/m³\n";
    std::fs::write(shop.path().join("specs/oils/ember-20.yaml"), oil).expect("written");
    std::fs::create_dir_all(shop.path().join("specs/jobs/2026")).expect("a folder");
    let source = Folder { root: shop.path().to_path_buf() };
    let mut memory = benchleaf::Memory::default();
    let other = JOB.replace("left:\n", "oil: {oil: ember-20}\nleft:\n");
    for (number, frame, codes) in
        [("0001", "7Q0412", ["job-oil", ""]), ("0002", "9X1187", ["", "jobs-otherwise"])]
    {
        let path = shop.path().join(format!("specs/jobs/2026/{number}.yaml"));
        std::fs::write(path, other.replace("7Q0412", frame)).expect("written");
        let again = benchleaf::check_again(benchleaf::read_shop(&source, None), &mut memory);
        let told = |code: &str| again.findings.iter().any(|finding| finding.code() == code);
        assert_eq!(["job-oil", "jobs-otherwise"].map(told), codes.map(|code| !code.is_empty()), "{number}");
        assert_eq!(again.findings, check_shop(&source).findings, "{number}");
    }
}

/// For the lead: a tube that will be past its limit before the next service is named with what is due, and on the sheet
/// that the rider gets. One reading more or less in its last digit is no trend.
#[test]
fn a_worn_stanchion_is_due_before_the_next_service_and_a_step_of_the_last_digit_is_not() {
    let page = |first: &str, last: &str| {
        let shop = shop();
        let fork = shop.path().join("specs/forks/tarn-41.yaml");
        let record = std::fs::read_to_string(&fork).expect("a record");
        let limit = record.replacen(
            "  stanchion_diameter: 41 mm",
            "  stanchion_diameter: 41 mm\n  stanchion_limit: ≥ 40.95 mm",
            1,
        );
        assert_ne!(record, limit);
        std::fs::write(&fork, limit).expect("written");
        let gap = shop.path().join("procedures/set-air-gap.md");
        let text = std::fs::read_to_string(&gap).expect("a procedure");
        let renews = text.replacen("phase: set\n", "phase: set\nrenews: [intervals.oil]\n", 1);
        std::fs::write(&gap, renews).expect("written");
        std::fs::create_dir_all(shop.path().join("specs/jobs/2026")).expect("a folder");
        for (number, day, distance, right) in
            [("0001", "2026-01-10", "20000 km", first), ("0002", "2026-04-20", "24000 km", last)]
        {
            let text = JOB.replace("2026-04-12\"\n", &format!("{day}\"\ndistance: {distance}\n")).replace(
                "left:\n",
                &format!("found:\n  tubes.stanchion_limit: {{left: 40.99 mm, right: {right} mm}}\nleft:\n"),
            );
            std::fs::write(shop.path().join(format!("specs/jobs/2026/{number}.yaml")), text)
                .expect("written");
        }
        let done = run(shop.path(), &["build", "--out", "site", "--jobs", "own"]);
        assert!(done.status.success(), "{}", said(&done));
        texts(&shop.path().join("own"))
            .into_iter()
            .filter(|(path, _)| {
                path.contains("7q0412") || path.contains("0002") || path.ends_with("index.html")
            })
            .map(|(_, page)| page.replace('\u{a0}', " "))
            .collect::<Vec<_>>()
    };
    // 0.02 mm in 4,000 km, 0.01 mm are left: 26,000 km; 20 more days at 40 km a day, counted from 24,000 km: 50 days.
    let worn = page("40.98", "40.96");
    assert_eq!(worn.len(), 3);
    for page in &worn {
        assert!(page.contains("Stanchion, smallest, right, at its limit"), "{page}");
        assert!(page.contains("26000 km") && page.contains("2026-06-09"), "{page}");
    }
    assert!(worn.iter().any(|page| page.contains("<span class=\"mark\">about 26000 km</span>")));
    for page in page("40.97", "40.96").iter().chain(&page("40.98", "40.98")) {
        assert!(!page.contains("at its limit"), "{page}");
    }
}

/// The small shop, with a box for the cap's torque.
fn shop_with_torque() -> tempfile::TempDir {
    let shop = shop();
    let path = shop.path().join("procedures/close-leg.md");
    let text = std::fs::read_to_string(&path).expect("a procedure");
    let boxed = text.replace(
        "Tighten the cap to [cap to tube](spec:torque.cap_to_tube).",
        "Oil the thread, and tighten the cap to [cap to tube](spec:torque.cap_to_tube): <reading:torque.cap_to_tube>",
    );
    assert_ne!(text, boxed);
    std::fs::write(&path, boxed).expect("written");
    shop
}

/// The sheet of the shop's only job, with plain spaces.
fn sheet(shop: &Path, job: &str) -> String {
    std::fs::create_dir_all(shop.join("specs/jobs/2026")).expect("a folder");
    std::fs::write(shop.join("specs/jobs/2026/0001.yaml"), job).expect("written");
    let done = run(shop, &["build", "--out", "site", "--jobs", "own"]);
    assert!(done.status.success(), "{}", said(&done));
    std::fs::read_to_string(shop.join("own/sheets/2026-0001.html")).expect("a sheet").replace('\u{a0}', " ")
}

/// For the rider, who cannot ask the file: what nobody wrote down is said, and what is written down is not doubted.
#[test]
fn a_sheet_says_what_nobody_wrote_down() {
    let shop = shop_with_torque();
    let told = sheet(shop.path(), JOB);
    assert!(told.contains("NOT WRITTEN DOWN") && told.contains("Ask the bench before you ride"), "{told}");
    assert!(told.contains("<strong>Torques:</strong> Cap to tube") && !told.contains("Air gap;"), "{told}");
    let checked = said(&run(shop.path(), &["check", "--format", "short"]));
    assert!(checked.contains("warning job-left-out: 1 reading is not there: Cap to tube"), "{checked}");
    let shown = said(&run(shop.path(), &["job", "show", "2026/0001"]));
    assert!(shown.contains("not there  Cap to tube, as left"), "{shown}");
    // One leg, and the gap.
    let half = JOB.replace("{left: 96 mm, right: 97 mm, target: 96 ± 2 mm}", "{right: 97 mm}")
        + "  torque.cap_to_tube: {left: 24 N·m, wrench: torque-wrench}\n";
    let told = sheet(shop.path(), &half);
    assert!(told.contains("Cap to tube, right") && told.contains("Air gap, left"), "{told}");
    // All of it, and nothing is said.
    let whole =
        format!("{JOB}  torque.cap_to_tube: {{left: 24 N·m, right: 24 N·m, wrench: torque-wrench}}\n");
    let told = sheet(shop.path(), &whole);
    assert!(!told.contains("NOT WRITTEN DOWN") && !told.contains("NOT READY"), "{told}");
    // A fork that is on record no more says nothing of what is missing, and the sheet says so.
    let gone = sheet(shop.path(), &JOB.replace("tarn-41", "tarn-40"));
    assert!(gone.contains("is on record no more"), "{gone}");
}

/// For whoever fills in what is missing: where the sentence names three and counts the rest, the lines name all.
#[test]
fn every_reading_that_is_not_there_is_named_where_it_is_to_be_written() {
    let root = root();
    let shop = tempfile::tempdir().expect("a folder");
    for folder in ["specs", "procedures"] {
        for entry in walkdir::WalkDir::new(root.join(folder)) {
            let entry = entry.expect("the demo");
            let to = shop.path().join(entry.path().strip_prefix(root).expect("inside"));
            match entry.file_type().is_dir() {
                true => std::fs::create_dir_all(&to).expect("a folder"),
                false => drop(std::fs::copy(entry.path(), &to).expect("a copy")),
            }
        }
    }
    let job = "fork: tarnholm-u45\nservice: full-service\nmachine: {maker: Corvane, model: Sable 400, frame: \"7Q0412\"}\ndate: \"2026-04-12\"\n";
    std::fs::create_dir_all(shop.path().join("specs/jobs/2026")).expect("a folder");
    std::fs::write(shop.path().join("specs/jobs/2026/0001.yaml"), job).expect("written");
    let full = said(&run(shop.path(), &["check", "--format", "full"]));
    let at = full.find(" are not there: ").expect("what is not there");
    let told = &full[at..at + full[at..].find("job-left-out").expect("the rule")];
    assert!(told.contains(" more"), "{told}");
    for line in ["left:", "  oil.air_gap: …", "  torque.axle: …"] {
        assert!(told.lines().any(|shown| shown.trim_start() == line.trim_start()), "{line}\n{told}");
    }
}

/// For the rider who wants to turn an adjuster: where the fork's record does not say from where its clicks are counted, a
/// number alone would be counted from the wrong end.
#[test]
fn a_sheet_says_where_nobody_wrote_how_an_adjuster_is_counted() {
    let shop = shop();
    let told =
        sheet(shop.path(), &format!("{JOB}  adjusters.rebound: {{left: 10 clicks, right: 10 clicks}}\n"));
    assert!(told.contains("the fork’s record does not say from where"), "{told}");
}

/// For the rider and the lead: no reason makes a joint tight, and none makes it vanish from the papers.
#[test]
fn a_torque_that_was_left_open_with_a_reason_stands_on_sheet_and_in_check() {
    let shop = shop_with_torque();
    for (torque, words) in [
        (
            "{left: {why: the tube waits}, right: 24 N·m, wrench: torque-wrench}",
            "Cap to tube, left: not tightened (the tube waits)",
        ),
        (
            "{right: 24 N·m, left: {value: 12 N·m, why: tired thread}, wrench: torque-wrench}",
            "Cap to tube, left: 12 N·m, 12 N·m too little: tighten it again (tired thread)",
        ),
    ] {
        let told = sheet(shop.path(), &format!("{JOB}  torque.cap_to_tube: {torque}\n"));
        assert!(told.contains("NOT READY TO RIDE") && told.contains(words), "{told}");
        let checked = said(&run(shop.path(), &["check", "--format", "short"]));
        assert!(checked.contains("warning job-not-tightened"), "{checked}");
        assert!(!checked.contains("job-left-out"), "{checked}");
    }
    // Skipped with its procedure.
    let told = sheet(shop.path(), &format!("{JOB}skipped:\n  - {{what: close-leg, why: no cap came}}\n"));
    assert!(told.contains("Cap to tube: not tightened (no cap came)") && told.contains("Not done"), "{told}");
    // Typed, and no value.
    let told = sheet(
        shop.path(),
        &format!(
            "{JOB}  torque.cap_to_tube: {{left: {{typed: tight}}, right: 24 N·m, wrench: torque-wrench}}\n"
        ),
    );
    assert!(told.contains("Cap to tube: “tight” is no value"), "{told}");
}

/// For the lead: without a day the list goes by distance, says so, and what was passed comes first.
#[test]
fn a_due_list_without_days_goes_by_what_is_to_go() {
    let shop = shop();
    let gap = shop.path().join("procedures/set-air-gap.md");
    let text = std::fs::read_to_string(&gap).expect("a procedure");
    std::fs::write(&gap, text.replacen("phase: set\n", "phase: set\nrenews: [intervals.oil]\n", 1))
        .expect("written");
    let later = "fork: tarn-41\nservice: full-service\nmachine: {maker: Ulm Motors, model: Kestrel 600, frame: \"CC3333\"}\n";
    std::fs::create_dir_all(shop.path().join("specs/jobs/2026")).expect("a folder");
    for (number, frame, more) in
        [(1, "AA1111", "distance: 4000 km\n"), (2, "BB2222", ""), (3, "CC3333", "distance: 1000 km\n")]
    {
        let job = JOB.replace("7Q0412", frame).replace("left:\n", &format!("{more}left:\n"));
        std::fs::write(shop.path().join(format!("specs/jobs/2026/000{number}.yaml")), job).expect("written");
    }
    let page = || {
        let done = run(shop.path(), &["build", "--out", "site", "--jobs", "own"]);
        assert!(done.status.success(), "{}", said(&done));
        std::fs::read_to_string(shop.path().join("own/index.html")).expect("the list").replace('\u{a0}', " ")
    };
    let places = |page: &str| ["AA1111", "CC3333", "BB2222"].map(|frame| page.find(frame).expect(frame));
    let told = page();
    assert!(
        told.contains("no day known, 20000 km to go") && told.contains("job 2026/0002 says no distance"),
        "{told}"
    );
    let [a, c, b] = places(&told);
    assert!(b > a && b > c, "{told}");
    // Another service of the third machine, no day, past what is due: it comes first.
    std::fs::write(
        shop.path().join("specs/jobs/2026/0004.yaml"),
        format!("{}date: \"2026-04-12\"\ndistance: 22000 km\nskipped:\n  - {{what: set-air-gap, why: a look alone}}\n", later.replace("full-service", "no-service")),
    )
    .expect("written");
    let told = page();
    assert!(told.contains("passed by 1000 km at the last reading"), "{told}");
    let [a, c, _] = places(&told);
    assert!(c < a, "{told}");
}

/// For whoever carries the tablet in: every fault of every file at once, each with its place, its bench and its remedy.
#[test]
fn a_refusal_tells_every_fault_of_every_file_at_its_place() {
    let shop = shop();
    let one = JOB.replace("tarn-41", "tarm-41").replace("2026-04-12", "12.4.2026");
    let two = JOB
        .replace("left: 96 mm", "left: 96")
        .replace("oil.air_gap: {", "oil.air_gapp: {left: 1 mm}\n  oil.air_gap: {");
    let done = take(
        shop.path(),
        &[("one.yaml", one.as_bytes()), ("two.yaml", two.as_bytes()), ("three.yaml", &[0xff, 0xfe])],
    );
    let told = said(&done);
    assert_eq!(done.status.code(), Some(1), "{told}");
    for part in [
        "one.yaml:1:7: ERROR",
        "there is no fork `tarm-41` here",
        "did you mean",
        "one.yaml:4:7: ERROR",
        "`12.4.2026` is no day",
        "two.yaml:6:3: ERROR",
        "two.yaml:7:23: ERROR",
        "three.yaml:1:1: ERROR",
        "it is no text, but other bytes",
        "nothing was taken",
    ] {
        assert!(told.contains(part), "{part}: {told}");
    }
    let errors = told.matches(": ERROR").count();
    assert_eq!(
        (errors, told.matches("At the bench").count(), told.matches("Write instead").count()),
        (5, 5, 5),
        "{told}"
    );
    assert!(!told.contains("specs/jobs/2000"), "{told}");
}

/// For whoever takes a job in: a day after the one on which the file was written is a slip, and is told at once.
#[test]
fn a_day_to_come_is_told_when_the_job_is_taken() {
    let shop = shop();
    std::fs::write(shop.path().join("a.yaml"), JOB).expect("written");
    let done = run(shop.path(), &["job", "take", "a.yaml", "--date", "2026-03-12"]);
    assert!(done.status.success(), "{}", said(&done));
    assert!(
        said(&done).contains("2026-04-12 is still to come: it is taken on 2026-03-12"),
        "{}",
        said(&done)
    );
    // In another year it would get another year's number.
    let far = JOB.replace("7Q0412", "FF1187").replace("2026-04-12", "2062-04-12");
    std::fs::write(shop.path().join("far.yaml"), far).expect("written");
    let done = run(shop.path(), &["job", "take", "far.yaml", "--date", "2026-04-12"]);
    assert_eq!(done.status.code(), Some(1), "{}", said(&done));
    assert!(said(&done).contains("far.yaml:4:7: ERROR") && !shop.path().join("specs/jobs/2062").exists());
    // By the file's own time.
    let written = |name: &str, text: &str, day: u64| {
        let path = shop.path().join(name);
        std::fs::write(&path, text).expect("written");
        let file = std::fs::File::options().append(true).open(&path).expect("the file");
        file.set_modified(std::time::UNIX_EPOCH + std::time::Duration::from_secs(day * 86_400))
            .expect("a time");
        run(shop.path(), &["job", "take", name])
    };
    // 20,555 days after the first of 1970: 2026-04-12; by `date -u -d @1775952000`.
    let done =
        written("b.yaml", &JOB.replace("7Q0412", "9X1187").replace("2026-04-12", "2026-06-12"), 20_555);
    assert!(
        said(&done).contains("2026-06-12 is still to come: its file was written on 2026-04-12"),
        "{}",
        said(&done)
    );
    let done = written("c.yaml", &JOB.replace("7Q0412", "ZZ1187"), 20_555);
    assert!(done.status.success() && !said(&done).contains("job-date"), "{}", said(&done));
}

/// A run that was killed between two files, and the same command again: what is there is told, the rest is taken.
#[test]
fn what_is_there_already_does_not_keep_the_rest_out() {
    let shop = shop();
    assert!(take(shop.path(), &[("a.yaml", JOB.as_bytes())]).status.success());
    let other = JOB.replace("7Q0412", "9X1187");
    let done = take(shop.path(), &[("a.yaml", JOB.as_bytes()), ("b.yaml", other.as_bytes())]);
    assert!(done.status.success() && said(&done).contains("`a.yaml` is there already"), "{}", said(&done));
    assert_eq!(jobs(shop.path()).len(), 2);
}

/// A slip in the command line: the site's folder is that of the jobs, and nothing of it is lost.
#[test]
fn a_site_is_never_published_over_the_pages_of_jobs_or_the_sources() {
    let shop = shop();
    assert!(run(shop.path(), &["build", "--out", "site", "--jobs", "own"]).status.success());
    let before = texts(&shop.path().join("own"));
    for out in
        ["own", "own/../own", "./own/", "specs", "specs/jobs", "specs/forks", "procedures", "templates", "."]
    {
        let done = run(shop.path(), &["build", "--out", out]);
        assert_eq!(done.status.code(), Some(2), "{out}: {}", said(&done));
        assert!(said(&done).contains("othing was"), "{out}: {}", said(&done));
    }
    assert_eq!(texts(&shop.path().join("own")), before);
    assert!(!shop.path().join("specs/index.html").exists() && !shop.path().join("specs/jobs").exists());
}
