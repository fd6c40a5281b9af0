//! The counterbore program: starts, and nothing else.

use std::process::ExitCode;

fn main() -> ExitCode {
    std::process::ExitCode::SUCCESS
}
