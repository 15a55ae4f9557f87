//! Commands: what a person types, and what is shown for it.
//!
//! Every command makes one [`Report`], shown as text or, with `--json`, as JSON; hints go to the error stream.
//! Exit codes: 0 done and within, 1 out of tolerance or not judged yet, 2 wrong use, 3 not found, 4 fault.

mod adoption;
mod arguments;
mod bench;
mod book;
mod calc;
mod demo;
mod inspect;
mod job;
mod keypad;
mod order_flags;
mod page;
mod plan;
mod ports;
mod record;
mod report;
mod settings;
mod sheet;
mod shop;
mod station;
mod stop;
mod trace_file;

pub(crate) use report::answer;
pub use report::{Failure, Report};

use clap::{Parser, Subcommand};
use std::ffi::OsString;
use std::process::ExitCode;

/// Plan, log and check the edging of spectacle lenses.
#[derive(Parser)]
#[command(name = "bevelbook", version, propagate_version = true, max_term_width = 100)]
struct Cli {
    #[command(flatten)]
    shop: shop::Shop,

    /// Show JSON instead of text.
    #[arg(long, global = true)]
    json: bool,

    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Run a whole invented job in a scratch book, from the order to the sheet.
    Demo(demo::DemoArgs),
    /// Open, look up, change and close jobs.
    #[command(subcommand)]
    Job(job::JobCommand),
    /// Show what is to be done at the bench for a job.
    Plan(plan::PlanArgs),
    /// Log a fact of the bench: marks, sizing passes, readings, PD, girth, checks.
    #[command(subcommand)]
    Record(record::RecordCommand),
    /// Judge a job against the tolerance standard, and sign it off.
    Inspect(inspect::InspectArgs),
    /// Write a job as one printable page.
    Sheet(sheet::SheetArgs),
    /// Say what the station's dial counts, or show it.
    Station(station::StationArgs),
    /// Calculate without a job.
    #[command(subcommand)]
    Calc(calc::CalcCommand),
    /// Take in what the keypad logs, and keep the open jobs on it.
    Bench(bench::BenchArgs),
    /// Adopt keypads, look at what they logged, or run one in software.
    #[command(subcommand)]
    Keypad(keypad::KeypadCommand),
    /// Look after the book.
    #[command(subcommand)]
    Book(book::BookCommand),
    /// Show the shop's tables and habits, and where each came from.
    #[command(subcommand)]
    Settings(settings::SettingsCommand),
}

/// Runs one command line, program name first, and says how it ended.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let cli = match Cli::try_parse_from(arguments::readable(args)) {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version are printed, not failed; a closed pipe is no one's loss.
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { report::WRONG_USE } else { 0 });
        }
    };
    let shop = &cli.shop;
    let result = match cli.command {
        Command::Demo(args) => demo::run(&args, cli.json),
        Command::Job(command) => job::run(shop, command),
        Command::Plan(args) => plan::run(shop, &args),
        Command::Record(command) => record::run(shop, command),
        Command::Inspect(args) => inspect::run(shop, &args),
        Command::Sheet(args) => sheet::run(shop, &args),
        Command::Station(args) => station::run(shop, &args),
        Command::Calc(command) => calc::run(shop, &command),
        Command::Bench(args) => bench::run(shop, &args, cli.json),
        Command::Keypad(command) => keypad::run(shop, &command),
        Command::Book(command) => book::run(shop, &command),
        Command::Settings(command) => settings::run(shop, &command),
    };
    report::show(result, cli.json)
}
