//! Every input that once broke a reader, and those that are likely to: what must hold for any input holds for them.

use std::path::Path;

#[path = "../fuzz/src/shops.rs"]
mod shops;
#[path = "../fuzz/src/targets.rs"]
mod targets;

use targets::{TARGETS, World};

#[test]
fn what_must_hold_holds_for_every_input_of_the_corpus() {
    let world = World::new();
    let mut tried = 0;
    for target in TARGETS {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus").join(target.name);
        let files = std::fs::read_dir(folder).into_iter().flatten().flatten();
        let kept = files.map(|file| std::fs::read(file.path()).expect("an input"));
        let kept = kept.map(|bytes| String::from_utf8_lossy(&bytes).into_owned());
        for input in kept.chain((target.seeds)()) {
            // What does not hold ends the test with the target's own words.
            (target.run)(&world, &input);
            tried += 1;
        }
    }
    assert!(tried > 50, "{tried} inputs");
}
