//! Throws changed inputs at the readers and looks whether what must hold still holds.
//!
//! ```sh
//! cargo run --release --example fuzz -- corpus            # every input of the corpus, once, as `tests/corpus.rs` does
//! cargo run --release --example fuzz -- quantity --seed 7 --inputs 1000000
//! cargo run --release --example fuzz -- shop --seed 7 --seconds 600
//! ```
//!
//! The same seed and number of inputs give the same inputs. An input that breaks something is written to
//! `fuzz/crashes/TARGET-SEED-NUMBER`; put it into `fuzz/corpus/TARGET`, where it is tried for ever after.

mod mutate;
mod random;
mod shops;
mod targets;
mod words;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

use random::Random;
use targets::{TARGETS, Target, World};

/// The command's own.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// So many inputs that were fine are kept to be changed further.
const KEPT: usize = 512;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let option = |name: &str| {
        let at = arguments.iter().position(|argument| argument == name)?;
        arguments.get(at + 1)?.parse::<u64>().ok()
    };
    let Some(name) = arguments.first() else {
        eprintln!("name a target, or `corpus`: {}", TARGETS.map(|target| target.name).join(", "));
        return ExitCode::from(2);
    };
    let world = World::new();
    if name == "corpus" {
        // Every target is tried, whatever became of the one before it.
        let broken = TARGETS.iter().filter(|target| !corpus(&world, target)).count();
        return ExitCode::from(u8::from(broken > 0));
    }
    let Some(target) = TARGETS.iter().find(|target| target.name == name) else {
        eprintln!("there is no target `{name}`");
        return ExitCode::from(2);
    };
    let (inputs, seconds) = (option("--inputs").unwrap_or(u64::MAX), option("--seconds").unwrap_or(u64::MAX));
    ExitCode::from(u8::from(!fuzz(&world, target, option("--seed").unwrap_or(1), inputs, seconds)))
}

/// What a target starts from: its corpus, then what it takes from the shops.
fn starts(target: &Target) -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus").join(target.name);
    let mut files: Vec<_> =
        std::fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path()).collect();
    files.sort();
    let read = |path| std::fs::read(path).ok().map(|bytes| String::from_utf8_lossy(&bytes).into_owned());
    files.into_iter().filter_map(read).chain((target.seeds)()).collect()
}

fn corpus(world: &World, target: &Target) -> bool {
    let starts = starts(target);
    let broken = starts.iter().filter(|input| !holds(world, target, input)).count();
    println!("{}: {} inputs, {broken} broken", target.name, starts.len());
    broken == 0
}

fn holds(world: &World, target: &Target, input: &str) -> bool {
    catch_unwind(AssertUnwindSafe(|| (target.run)(world, input))).is_ok()
}

fn fuzz(world: &World, target: &Target, seed: u64, inputs: u64, seconds: u64) -> bool {
    let (mut random, words, begin) = (Random(seed), words::words(), Instant::now());
    let mut pool = starts(target);
    let first = pool.len();
    let (mut done, mut broken) = (0, 0);
    while done < inputs && begin.elapsed().as_secs() < seconds && broken < 20 {
        let at = random.below(pool.len());
        let input = mutate::mutate(&mut random, &pool[at], &pool, &words);
        if !holds(world, target, &input) {
            broken += 1;
            let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/crashes");
            let file = folder.join(format!("{}-{seed}-{done}", target.name));
            let kept = std::fs::create_dir_all(&folder).and_then(|()| std::fs::write(&file, &input));
            println!(
                "broken by input {done} ({}): {}",
                file.display(),
                if kept.is_ok() { "kept" } else { "not kept" }
            );
        } else if random.below(16) == 0 && input.len() < 16_384 {
            // It is changed further, in the place of another that was made here.
            if pool.len() < first + KEPT {
                pool.push(input)
            } else {
                pool[first + random.below(KEPT)] = input
            }
        }
        done += 1;
    }
    println!("{}: seed {seed}, {done} inputs, {} s, {broken} broken", target.name, begin.elapsed().as_secs());
    broken == 0
}
