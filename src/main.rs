//! Arguments, dispatch, exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    benchleaf::cli::run()
}
