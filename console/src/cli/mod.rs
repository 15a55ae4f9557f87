//! Commands: what a person types, and what is shown for it.
//!
//! Every command makes one [`Report`], shown as text or, with `--json`, as JSON; hints go to the error stream.
//! Exit codes: 0 done and within, 1 out of tolerance or not judged yet, 2 wrong use, 3 not found, 4 fault.

/// The commands of a group, each with what is typed for it and what answers it.
macro_rules! commands {
    (
        $shown:vis enum $group:ident, $run:ident($($given:ident: $of:ty),*) {
            $($(#[$attribute:meta])* $name:ident($typed:ident: $args:ty) => $answer:expr,)+
        }
    ) => {
        #[derive(clap::Subcommand)]
        $shown enum $group {
            $($(#[$attribute])* $name($args),)+
        }

        $shown fn $run($($given: $of,)* command: $group) -> Result<$crate::cli::Report, $crate::cli::Failure> {
            match command {
                $($group::$name($typed) => $answer,)+
            }
        }
    };
}

mod adoption;
mod arguments;
mod bench;
mod book;
mod calc;
mod dates;
mod day;
mod demo;
mod edge;
mod either;
mod find;
mod frames;
mod history;
mod inspect;
mod inspect_text;
mod job;
mod keypad;
mod last_port;
mod order_arguments;
mod order_batch;
mod order_file;
mod order_flags;
mod order_form;
mod order_frame;
mod order_new;
mod order_offers;
mod order_questions;
mod order_shown;
mod order_steps;
mod order_understood;
mod own_file;
mod page;
mod paint;
mod picture;
mod plan;
mod ports;
mod progress;
mod record;
mod report;
mod settings;
mod sheet;
mod shop;
mod station;
mod stations;
mod stop;
mod terminal;
mod trace_file;

pub(crate) use report::answer;
pub use report::{Failure, Report};

use bevelbook_core::link::plain;
use clap::error::{ContextKind, ErrorKind};
use clap::parser::ValueSource;
use clap::{CommandFactory, FromArgMatches, Parser};
use std::error::Error as _;
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

commands! {
    enum Command, answered(shop: &shop::Shop, json: bool) {
        /// Open, look up, change and close jobs.
        #[command(subcommand)]
        Job(command: job::JobCommand) => job::run(shop, command, json),
        /// Show how a job is made: Rx to read, axis, decentration, blank, bevel, first size.
        Plan(args: plan::PlanArgs) => plan::run(shop, &args),
        /// Work with the keypad: what it logs comes in, the pair in hand is on the screen.
        Bench(args: bench::BenchArgs) => bench::run(shop, &args, json),
        /// Log by hand: dots spotted, sizing passes, readings, PD, girth, checks.
        #[command(subcommand)]
        Record(command: record::RecordCommand) => record::by_hand(shop, command),
        /// Judge a job against the tolerance standard, and sign it off.
        Inspect(args: inspect::InspectArgs) => inspect::run(shop, &args),
        /// Write a job as a page to print: for the bench, the tray or the wearer.
        Sheet(args: sheet::SheetArgs) => sheet::run(shop, &args),
        /// Show the day: what is due, waiting for lenses, in work and ready.
        Day(args: day::DayArgs) => day::run(shop, &args, json),
        /// Show what was done, by day, frame, material or cause of spoilage.
        History(args: history::HistoryArgs) => history::run(shop, &args, json),
        /// Show every model: passes a lens, where lenses fitted, how good the book's advice was.
        Frames(args: frames::FramesArgs) => frames::run(shop, &args, json),
        /// State how the station's dial counts, log a new or dressed wheel, show how far it is off.
        Station(args: station::StationArgs) => station::run(shop, &args),
        /// Add a keypad, look at what it logged, or run one in software.
        #[command(subcommand)]
        Keypad(command: keypad::KeypadCommand) => keypad::run(shop, &command),
        /// Calculate without a job: transpose, prism, blank, thickness and more.
        #[command(subcommand)]
        Calc(command: calc::CalcCommand) => calc::run(shop, command),
        /// Check, back up, restore, export or import the book.
        #[command(subcommand)]
        Book(command: book::BookCommand) => book::run(shop, &command),
        /// Show the shop's tables and defaults, and where each came from.
        #[command(subcommand)]
        Settings(command: settings::SettingsCommand) => settings::run(shop, &command),
        /// Show a whole invented shop at work, without hardware: two jobs, a remake, two sheets.
        Demo(args: demo::DemoArgs) => demo::run(&args, json),
    }
}

/// The error of an argument that is only wrong for a letter that cannot be shown.
fn unprintable(error: &clap::Error) -> clap::Error {
    let why = match (error.kind(), error.get(ContextKind::InvalidArg), error.source()) {
        (ErrorKind::ValueValidation, Some(argument), Some(why)) => {
            let why: Vec<String> = why.to_string().lines().map(|line| plain(line).collect()).collect();
            format!("invalid value for '{argument}': {}\n", why.join("\n"))
        }
        _ => "an argument holds a control character or a mark that turns the direction of writing; leave it out\n".into(),
    };
    clap::Error::raw(error.kind(), why)
}

/// Reads a command line.
fn parsed(args: impl IntoIterator<Item: Into<OsString> + Clone>) -> Result<Cli, clap::Error> {
    let matches = Cli::command().try_get_matches_from(args)?;
    let mut cli = Cli::from_arg_matches(&matches)?;
    cli.shop.initials_typed = matches.value_source("initials") == Some(ValueSource::CommandLine);
    Ok(cli)
}

/// Runs one command line, program name first, and says how it ended.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let args: Vec<OsString> = arguments::readable(args).collect();
    let cli = match parsed(&args) {
        Ok(cli) => cli,
        Err(error) => {
            // It repeats what was typed, so that it is asked for again with that in plain letters.
            let typed = args.iter().map(|arg| plain(&arg.to_string_lossy()).collect::<String>());
            let error = parsed(typed).err().unwrap_or_else(|| unprintable(&error));
            // Help and version are printed, not failed; a closed pipe is no one's loss.
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { report::WRONG_USE } else { 0 });
        }
    };
    let result = answered(&cli.shop, cli.json, cli.command);
    report::show(result, cli.json)
}
