//! The counterbore program: starts, and nothing else.

fn main() -> std::process::ExitCode {
    counterbore::cli::run()
}
