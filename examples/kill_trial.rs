//! Kills the program again and again while it builds, approves, makes new records, takes jobs and takes a later library, and
//! looks at what it leaves:
//!
//! ```sh
//! cargo build && cargo run --example kill_trial -- 1000 7
//! ```
//!
//! The first number is how often, the second the seed of the moments; a third word names one command that is killed alone,
//! such as `"job take"`. It prints how many kills met which command, and
//! ends with an error at the first file that is neither the old nor the new one.

#[path = "../tests/writing/kills.rs"]
mod kills;

use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let number =
        |at: usize, otherwise| std::env::args().nth(at).map_or(Some(otherwise), |text| text.parse().ok());
    let (Some(count), Some(seed)) = (number(1, 1000), number(2, 7)) else {
        eprintln!("usage: kill_trial [KILLS] [SEED] [COMMAND]");
        return ExitCode::from(2);
    };
    let only = std::env::args().nth(3);
    if only.as_deref().is_some_and(|only| !kills::deeds().contains(&only)) {
        eprintln!("the commands that are killed are: {}", kills::deeds().join(", "));
        return ExitCode::from(2);
    }
    // The program lies beside the folder of the examples.
    let program =
        std::env::current_exe().ok().and_then(|path| Some(path.parent()?.parent()?.join("benchleaf")));
    let Some(program) = program.filter(|program| program.is_file()) else {
        eprintln!("there is no program to kill: run `cargo build` first");
        return ExitCode::from(2);
    };
    let shop = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shops/plain");
    println!("{:#?}", kills::run(&program, &shop, count, seed, only.as_deref()));
    ExitCode::SUCCESS
}
