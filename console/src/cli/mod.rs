//! Commands: what a person types, and what is shown for it.
//!
//! Every command makes one [`Report`], shown as text or, with `--json`, as JSON; hints go to the error stream.
//! Exit codes: 0 done and within, 1 out of tolerance or not judged yet, 2 wrong use, 3 not found, 4 fault.

mod arguments;
mod calc;
mod report;

pub use report::{Failure, Report, Status};

use clap::{Parser, Subcommand};
use std::ffi::OsString;
use std::process::ExitCode;

/// Plan, log and check the edging of spectacle lenses.
#[derive(Parser)]
#[command(name = "bevelbook", version, propagate_version = true, max_term_width = 100)]
struct Cli {
    /// Show JSON instead of text.
    #[arg(long, global = true)]
    json: bool,

    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Calculate without a job.
    #[command(subcommand)]
    Calc(calc::CalcCommand),
}

/// Runs one command line, program name first, and says how it ended.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let cli = match Cli::try_parse_from(arguments::readable(args)) {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version are printed, not failed; a closed pipe is no one's loss.
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { Status::WRONG_USE } else { 0 });
        }
    };
    let result = match cli.command {
        Command::Calc(command) => calc::run(command),
    };
    report::show(result, cli.json)
}
