//! Arguments, dispatch, exit code.

use std::process::ExitCode;

/// A build makes and drops texts by the million, and the system's own allocator takes a fifth longer over it.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    benchleaf::cli::run()
}
