//! `bevelbook`: see the library of the same name.

use std::process::ExitCode;

fn main() -> ExitCode {
    bevelbook::cli::run(std::env::args_os())
}
