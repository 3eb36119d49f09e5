//! Fifty kills with a fixed seed; `examples/kill_trial.rs` does more.

use std::path::Path;

use crate::kills;

#[test]
fn killed_fifty_times_every_file_is_old_or_new_and_the_next_run_finishes() {
    let shop = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shops/plain");
    let report = kills::run(Path::new(env!("CARGO_BIN_EXE_benchleaf")), &shop, 50, 7, None);
    println!("{report:#?}");
    assert_eq!(report.killed.values().sum::<u64>(), 50);
    assert_eq!(report.killed.len(), kills::deeds().len(), "each command was killed: {report:?}");
    assert!(report.writing.values().sum::<u64>() > 0, "none was killed while it wrote: {report:?}");
}
