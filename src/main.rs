//! The command line of evenfield.

use std::process::ExitCode;

fn main() -> ExitCode {
    evenfield::cli::run(std::env::args_os())
}
