//! What proving the order of a service costs, against its length and the number of distinct variants:
//! `cargo run --release --example order_cost`.
//!
//! Made-up shops: the demo shop's forks and shelf, sixty conditions of a leg that follow each other in a
//! ring, and one service with a procedure for each of them, round and round. `variants` is how many different
//! orders the forks choose. The last rows are services that are broken everywhere, for which the search for the
//! one change that would mend them has to give up.

use std::collections::BTreeSet;
use std::fmt::Write;
use std::time::{Duration, Instant};

use benchleaf::plan::{Vocabulary, plan};
use benchleaf::text::{Folder, Memory, Source};
use benchleaf::{Checked, check_shop};

/// How many conditions follow each other.
const RING: usize = 60;

/// The kinds of damping by which the made-up services choose.
const KINDS: [&str; 5] =
    ["open-cartridge", "damping-rod", "damping-rod-valve", "closed-cartridge", "sealed-damper"];

fn main() {
    println!("procedures  variants  walk of all, ms  whole check, ms  findings");
    for (kinds, backward) in [(false, false), (true, false)] {
        for size in [1_250, 2_500, 5_000] {
            row(size, kinds, backward);
        }
    }
    println!("in the wrong order throughout:");
    for size in [200, 5_000] {
        row(size, false, true);
    }
}

fn row(size: usize, kinds: bool, backward: bool) {
    let shop = shop(size, kinds, backward);
    let mut runs: Vec<(Duration, Duration, usize, usize)> = (0..3).map(|_| run(&shop)).collect();
    runs.sort();
    let (walk, check, variants, findings) = runs[1];
    let ms = |time: Duration| time.as_secs_f64() * 1e3;
    println!("{size:>10}  {variants:>8}  {:>15.1}  {:>15.0}  {findings:>8}", ms(walk), ms(check));
}

/// One run: the walk of every variant, the whole check, how many variants and findings there are.
fn run(shop: &Memory) -> (Duration, Duration, usize, usize) {
    let begun = Instant::now();
    let checked: Checked = check_shop(shop);
    let check = begun.elapsed();
    let vocabulary = Vocabulary::of(&checked.shop);
    let mut seen = BTreeSet::new();
    let begun = Instant::now();
    for service in &checked.shop.services {
        for fork in &checked.forks {
            let plan = plan(&checked.shop, service, fork);
            if seen.insert(plan.variant(&vocabulary.meant(fork))) {
                std::hint::black_box(plan.walk(&checked.shop, &vocabulary, fork));
            }
        }
    }
    let walk = begun.elapsed();
    let order = ["condition-not-met", "hand-back-not-met", "procedure-changes-nothing", "procedure-twice"];
    let found = checked.findings.iter().filter(|finding| order.contains(&finding.code())).count();
    (walk, check, seen.len(), found)
}

fn shop(size: usize, kinds: bool, backward: bool) -> Memory {
    let demo = Folder { root: env!("CARGO_MANIFEST_DIR").into() };
    let (paths, _) = demo.list();
    let kept = paths.into_iter().filter(|path| path.starts_with("specs/"));
    let mut shop = Memory::new(kept.filter_map(|path| Some((path.clone(), demo.read(&path).ok()?))));
    let mut put = |path: String, text: String| shop.files.insert(path, text.into_bytes());
    let mut conditions = String::from("conditions:\n");
    for n in 0..RING {
        let _ = writeln!(conditions, "  c{n}: {{says: state {n} holds, per: leg}}");
    }
    conditions.push_str("start: [c0]\n");
    put("procedures/conditions.yaml".to_owned(), conditions);
    let mut list = String::new();
    let order: Vec<usize> = if backward { (0..size).rev().collect() } else { (0..size).collect() };
    for n in order {
        let written = |put: &mut dyn FnMut(String, String), id: &str, applies: &str| {
            let (now, next) = (n % RING, (n + 1) % RING);
            let text = format!(
                "---\nid: {id}\ntitle: Procedure {n}\nphase: set\n{applies}needs: [c{now}]\nbrings: [c{next}]\nends: [c{now}]\n---\n\n1. Do it.\n"
            );
            put(format!("procedures/{id}.md"), text);
        };
        let mut put = |path: String, text: String| {
            put(path, text);
        };
        // Every tenth is chosen by the kind of fork.
        if kinds && n % 10 == 0 {
            let ids: Vec<String> = KINDS.iter().map(|kind| format!("p{n}-{kind}")).collect();
            for (id, kind) in ids.iter().zip(KINDS) {
                written(&mut put, id, &format!("for: [{{damping: [{kind}]}}]\n"));
            }
            let _ = writeln!(list, "  - one_of: [{}]", ids.join(", "));
        } else {
            written(&mut put, &format!("p{n}"), "");
            let _ = writeln!(list, "  - p{n}");
        }
    }
    put("procedures/services/long.yaml".to_owned(), format!("id: long\ntitle: Long\nprocedures:\n{list}"));
    shop
}
