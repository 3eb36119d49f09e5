//! Measures the whole pipeline on made-up shops: `cargo bench --bench pipeline -- [--models 100,1000] [--runs 5]`.
//!
//! For each size: time for each stage, pages, bytes and peak memory of a cold build (empty output folder), a
//! build with nothing changed, and one with one fork changed; beside them, in turn with them, the time a plain
//! program needs to write the same files. Medians of all runs. Each run is a process of its own, so that its
//! peak memory is its own.
//!
//! `--serve 1000`: from a save until the open page is new. `--jobs 20000`: many jobs judged, then one more. Only what
//! is named is measured; without a name, builds of 100 and 1,000 models.

#[path = "parts/jobs.rs"]
mod jobs;
#[path = "../examples/make_shop/jobs.rs"]
mod many_jobs;
#[path = "parts/serve.rs"]
mod serve;
#[path = "../examples/make_shop/shop.rs"]
mod shop;

use std::collections::BTreeMap;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use benchleaf::book::Book;
use benchleaf::diagnostic::Severity;
use benchleaf::output::{Digest, Planned, Target, publish};
use benchleaf::site::{
    Press, Progress, SiteError, Templates, already_published, publish_site, remember_check,
};
use benchleaf::text::Folder;
use benchleaf::{Checked, check_again, check_shop, read_shop};

/// The command's own.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

type Outcome<T> = Result<T, Box<dyn Error>>;

/// What a process measured, by name: microseconds, counts or bytes.
type Figures = BTreeMap<String, u64>;

fn main() -> Outcome<()> {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words[..] {
        ["build", shop, out] => return tell(&build(Path::new(shop), Path::new(out))?),
        ["serve", shop] => return tell(&serve::serve(Path::new(shop))?),
        ["jobs", shop] => return tell(&jobs::jobs(Path::new(shop))?),
        ["check", shop] => return tell(&check(Path::new(shop))?),
        ["kinds", shop] => return kinds(Path::new(shop)),
        ["floor", site, out] => return tell(&floor(Path::new(site), Path::new(out))?),
        ["writer", site, out] => return tell(&writer(Path::new(site), Path::new(out))?),
        _ => {}
    }
    let (mut models, mut served, mut jobs): (Vec<usize>, Vec<usize>, Vec<usize>) = Default::default();
    let mut runs = 5;
    let sizes = |list: &str| list.split(',').map(str::parse).collect::<Result<Vec<usize>, _>>();
    for pair in words.chunks(2) {
        match pair {
            ["--models", list] => models = sizes(list)?,
            ["--serve", list] => served = sizes(list)?,
            ["--jobs", list] => jobs = sizes(list)?,
            ["--runs", count] => runs = count.parse()?,
            _ => return Err("usage: [--models 100,1000] [--serve 1000] [--jobs 20000] [--runs 5]".into()),
        }
    }
    if models.is_empty() && served.is_empty() && jobs.is_empty() {
        models = vec![100, 1000];
    }
    for models in models {
        measure(models, runs)?;
    }
    for models in served {
        alone(&format!("{models} models, served"), "serve", runs, |shop| {
            Ok(shop::make_shop(Path::new("."), models, shop)?)
        })?;
    }
    for jobs in jobs {
        alone(&format!("{jobs} jobs on {} machines", jobs.div_ceil(4)), "jobs", runs, |shop| {
            demo(shop)?;
            Ok(many_jobs::make_jobs(shop, jobs, jobs.div_ceil(4))?)
        })?;
    }
    Ok(())
}

/// Measures one thing on a shop that `make` makes, each run in a process of its own, and prints the medians.
fn alone(what: &str, word: &'static str, runs: usize, make: impl Fn(&Path) -> Outcome<()>) -> Outcome<()> {
    let room = tempfile::tempdir()?;
    let shop = room.path().join("shop");
    make(&shop)?;
    let mut tables: BTreeMap<&str, Vec<Figures>> = BTreeMap::new();
    for _ in 0..runs {
        tables.entry(word).or_default().push(measured(&[word, &shop.to_string_lossy()])?);
    }
    println!("\n{what}, medians of {runs} runs");
    print_tables(&tables);
    Ok(())
}

/// A copy of the demo shop's sources.
fn demo(to: &Path) -> Outcome<()> {
    for folder in ["specs", "procedures"] {
        for item in walkdir::WalkDir::new(folder) {
            let item = item?;
            let place = to.join(item.path());
            if item.file_type().is_dir() {
                fs::create_dir_all(place)?;
            } else {
                fs::copy(item.path(), place)?;
            }
        }
    }
    Ok(())
}

/// Measures shops of one size and prints the table.
fn measure(models: usize, runs: usize) -> Outcome<()> {
    let room = tempfile::tempdir()?;
    let shop = room.path().join("shop");
    shop::make_shop(Path::new("."), models, &shop)?;
    let path = |name: &str| room.path().join(name).to_string_lossy().into_owned();
    let mut tables: BTreeMap<&str, Vec<Figures>> = BTreeMap::new();
    for run in 0..runs {
        let [site, plain, alone] = ["site", "plain", "alone"].map(|name| path(&format!("{name}-{run}")));
        let shop_text = shop.to_string_lossy();
        let mut add = |name, words: &[&str]| -> Outcome<()> {
            tables.entry(name).or_default().push(measured(words)?);
            Ok(())
        };
        add("check", &["check", &shop_text])?;
        add("cold", &["build", &shop_text, &site])?;
        add("floor", &["floor", &site, &plain])?;
        add("writer alone", &["writer", &site, &alone])?;
        add("nothing changed", &["build", &shop_text, &site])?;
        change_one(&shop, run)?;
        add("one fork changed", &["build", &shop_text, &site])?;
        for folder in [&site, &plain, &alone] {
            fs::remove_dir_all(folder)?;
        }
    }
    print(models, runs, &tables);
    Ok(())
}

/// Changes a note of one fork.
fn change_one(shop: &Path, run: usize) -> Outcome<()> {
    let mut forks: Vec<PathBuf> = fs::read_dir(shop.join("specs/forks"))?
        .map(|item| Ok(item?.path()))
        .collect::<std::io::Result<_>>()?;
    forks.sort();
    let fork = &forks[run % forks.len()];
    let text = fs::read_to_string(fork)?.replacen("notes: >-\n", &format!("notes: >-\n  Run {run}.\n"), 1);
    Ok(fs::write(fork, text)?)
}

/// Runs one measurement in a process of its own.
fn measured(words: &[&str]) -> Outcome<Figures> {
    let output = Command::new(std::env::current_exe()?).args(words).output()?;
    if !output.status.success() {
        return Err(format!("{words:?} failed: {}", String::from_utf8_lossy(&output.stderr)).into());
    }
    let mut figures = Figures::new();
    for line in String::from_utf8(output.stdout)?.lines() {
        let (name, number) = line.split_once('\t').ok_or("a line without a figure")?;
        figures.insert(name.to_string(), number.parse()?);
    }
    Ok(figures)
}

/// Says what was measured, and the peak memory.
fn tell(figures: &Figures) -> Outcome<()> {
    for (name, number) in figures {
        println!("{name}\t{number}");
    }
    if let Some(peak) = peak_memory() {
        println!("memory\t{peak}");
    }
    Ok(())
}

/// The most memory this process has had, in bytes, where the system tells.
fn peak_memory() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    Some(line.trim().strip_suffix(" kB")?.trim().parse::<u64>().ok()? * 1024)
}

/// Time for each stage, from the moments at which the stages begin.
struct Watch {
    begun: Instant,
    seen: Mutex<Vec<(&'static str, Instant)>>,
}

impl Watch {
    fn start() -> Watch {
        Watch { begun: Instant::now(), seen: Mutex::default() }
    }

    fn stage(&self, name: &'static str) {
        if let Ok(mut seen) = self.seen.lock() {
            seen.push((name, Instant::now()));
        }
    }

    fn figures(&self) -> Figures {
        let end = Instant::now();
        let seen = self.seen.lock().map(|seen| seen.clone()).unwrap_or_default();
        let mut figures = Figures::new();
        for (at, (name, from)) in seen.iter().enumerate() {
            let to = seen.get(at + 1).map_or(end, |(_, to)| *to);
            *figures.entry(format!("{at} {name}")).or_default() += micros(*from, to);
        }
        figures.insert("total".into(), micros(self.begun, end));
        figures
    }
}

fn micros(from: Instant, to: Instant) -> u64 {
    u64::try_from(to.duration_since(from).as_micros()).unwrap_or(u64::MAX)
}

fn check(shop: &Path) -> Outcome<Figures> {
    let watch = Watch::start();
    watch.stage("check");
    let checked = checked(shop)?;
    let mut figures = watch.figures();
    figures.insert("forks".into(), checked.forks.len() as u64);
    figures.insert("findings".into(), checked.findings.len() as u64);
    Ok(figures)
}

/// The shop, read and checked, if it may be published.
fn checked(shop: &Path) -> Outcome<Checked> {
    sound(check_shop(&Folder { root: shop.to_path_buf() }))
}

fn sound(checked: Checked) -> Outcome<Checked> {
    match checked.findings.iter().find(|finding| finding.severity == Severity::Error) {
        Some(first) => Err(format!("the shop has errors: {first:?}").into()),
        None => Ok(checked),
    }
}

/// Notes when the first page is about to be rendered and when the last has been.
struct Pages<'a> {
    watch: &'a Watch,
    left: AtomicUsize,
}

impl Progress for Pages<'_> {
    fn pages(&self, count: usize, _: &[String]) {
        self.left.store(count, Ordering::Relaxed);
        self.watch.stage("render and stage");
    }

    fn page_begun(&self, _: &str) {}

    fn page_done(&self, _: &str) {
        if self.left.fetch_sub(1, Ordering::Relaxed) == 1 {
            self.watch.stage("put in place");
        }
    }
}

fn build(shop: &Path, out: &Path) -> Outcome<Figures> {
    let watch = Watch::start();
    watch.stage("read");
    let sources = read_shop(&Folder { root: shop.to_path_buf() }, None);
    watch.stage("look at the site");
    if let Some((published, _)) = already_published(&sources, out) {
        let mut figures = watch.figures();
        figures.insert("pages".into(), published.unchanged as u64);
        return Ok(figures);
    }
    watch.stage("check");
    let mut memory = remember_check(out);
    let checked = sound(check_again(sources, &mut memory))?;
    watch.stage("plan pages");
    let progress = Pages { watch: &watch, left: AtomicUsize::new(0) };
    let published = publish_site(&checked, out, Some(shop), (false, &memory), &progress).map_err(said)?;
    let mut figures = watch.figures();
    figures.insert("pages".into(), (published.written + published.unchanged) as u64);
    figures.insert("written".into(), published.written as u64);
    figures.insert("bytes".into(), published.bytes);
    Ok(figures)
}

/// Prints what each kind of page costs, made one after another and not written: `cargo bench --bench pipeline --
/// kinds SHOP`.
fn kinds(shop: &Path) -> Outcome<()> {
    let checked = checked(shop)?;
    let book = Book::new(&checked);
    let templates = Templates::new(&BTreeMap::new()).map_err(|problems| format!("{problems:?}"))?;
    let press = Press::new(&book, templates);
    let mut kinds: BTreeMap<String, (u32, Duration, usize)> = BTreeMap::new();
    for page in press.list() {
        let begun = Instant::now();
        let bytes = press.render(page).map_err(|problem| format!("{problem:?}"))?.len();
        let (count, time, size) = kinds.entry(page.kind().to_owned()).or_default();
        *count += 1;
        *time += begun.elapsed();
        *size += bytes;
    }
    for (kind, (count, time, size)) in kinds {
        let each = time.as_secs_f64() * 1e3 / f64::from(count);
        println!(
            "{kind:14} {count:6} pages {:9.1} ms {each:8.3} ms each {:9.1} kB each",
            time.as_secs_f64() * 1e3,
            size as f64 / 1e3 / f64::from(count)
        );
    }
    Ok(())
}

/// Why nothing was published, in short.
fn said(error: SiteError) -> String {
    match error {
        SiteError::Findings(findings) => {
            format!("{} findings, the first: {:?}", findings.len(), findings.first())
        }
        SiteError::Refused(message) => message,
    }
}

/// The files of a published site, by path, in memory.
fn files(site: &Path) -> Outcome<Vec<(String, Vec<u8>)>> {
    let mut files = Vec::new();
    for item in walkdir::WalkDir::new(site).sort_by_file_name() {
        let item = item?;
        let path = item.path().strip_prefix(site)?;
        if item.file_type().is_file() && !path.starts_with(".benchleaf") {
            files.push((path.to_string_lossy().replace('\\', "/"), fs::read(item.path())?));
        }
    }
    Ok(files)
}

/// What a plain program needs: it has the files in memory and writes them one after another.
fn floor(site: &Path, out: &Path) -> Outcome<Figures> {
    let files = files(site)?;
    let watch = Watch::start();
    for (path, bytes) in &files {
        let place = out.join(path);
        fs::create_dir_all(place.parent().unwrap_or(out))?;
        fs::write(place, bytes)?;
    }
    let mut figures = watch.figures();
    figures.insert("pages".into(), files.len() as u64);
    figures.insert("bytes".into(), files.iter().map(|(_, bytes)| bytes.len() as u64).sum());
    Ok(figures)
}

/// What the writer needs for the same files, when rendering costs nothing.
fn writer(site: &Path, out: &Path) -> Outcome<Figures> {
    let files = files(site)?;
    let watch = Watch::start();
    let planned: Vec<Planned> = files
        .iter()
        .map(|(path, bytes)| Planned { path: path.clone(), inputs: Some(Digest::of(bytes)) })
        .collect();
    let target = Target::new(out);
    publish(&target, &planned, |index| Ok::<_, String>(files[index].1.clone()))?;
    Ok(watch.figures())
}

/// Prints medians: stages in milliseconds, memory in MiB.
fn print(models: usize, runs: usize, tables: &BTreeMap<&str, Vec<Figures>>) {
    println!("\n{models} models, medians of {runs} runs");
    print_tables(tables);
}

fn print_tables(tables: &BTreeMap<&str, Vec<Figures>>) {
    let floor = tables.get("floor").map_or(0, |runs| median(runs, "total"));
    for (name, runs) in tables {
        println!("  {name}");
        let Some(first) = runs.first() else { continue };
        for figure in first.keys() {
            let value = median(runs, figure);
            match figure.as_str() {
                "memory" => println!("    {figure:24} {:9.1} MiB", value as f64 / 1_048_576.0),
                "bytes" => println!("    {figure:24} {:9.1} MB", value as f64 / 1e6),
                _ if figure.contains(' ') => println!("    {figure:24} {:9.1} ms", value as f64 / 1e3),
                "total" => println!(
                    "    {figure:24} {:9.1} ms   {:.2} × floor",
                    value as f64 / 1e3,
                    value as f64 / floor.max(1) as f64
                ),
                _ => println!("    {figure:24} {value:9}"),
            }
        }
    }
}

fn median(runs: &[Figures], figure: &str) -> u64 {
    let mut values: Vec<u64> = runs.iter().filter_map(|figures| figures.get(figure).copied()).collect();
    values.sort_unstable();
    values.get(values.len() / 2).copied().unwrap_or_default()
}
