//! `history`: what was done, by day, frame, material or cause, as a table, JSON, CSV or a plot.

use super::dates::{self, ReadDate};
use super::progress::Progress;
use super::{Failure, Report, own_file, shop::Shop};
use crate::history::{By, Period, Tally, typed};
use crate::view::history::HistoryView;
use crate::view::plot::is_plot;
use crate::work::Jobs;
use bevelbook_core::link::plain;
use clap::Args;
use jiff::tz::TimeZone;
use serde_json::Value;
use std::io::Write;
use std::path::PathBuf;

/// So many spoiled lenses are asked about one by one.
const ASKED: usize = 5;

/// What was done: pairs, fits at the first try, passes a lens, spoiled lenses and who bears them, minutes a pair.
#[derive(Args)]
#[command(
    after_help = "Examples: bevelbook history month\n          bevelbook history frame --since 2026-11-01 --svg frames.svg\n\n\
        Each figure is of its own day: a pair of its last record at the bench, a fit of its last pass, a spoiled lens of \
        when it was spoiled. What has no known time is listed as not known, and is in no period that --since or --until \
        bounds. Minutes are those from a pair's first to its last record at the bench, where the times of all of them are \
        known; gaps over 15 minutes are left out. What was typed afterwards tells when it was typed. Void records do not \
        count."
)]
pub(crate) struct HistoryArgs {
    /// By what.
    #[arg(default_value = "day")]
    by: By,
    /// The first day to look at.
    #[arg(long, value_name = "DATE", value_parser = dates::past)]
    since: Option<ReadDate>,
    /// The last day to look at.
    #[arg(long, value_name = "DATE", value_parser = dates::past)]
    until: Option<ReadDate>,
    /// List every row, however many they are.
    #[arg(long)]
    all: bool,
    /// Show comma-separated values, for a spreadsheet.
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Draw it too, into this file.
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Overwrite a file that is not an earlier plot.
    #[arg(long, requires = "svg")]
    force: bool,
}

pub(crate) fn run(shop: &Shop, args: &HistoryArgs, json: bool) -> Result<Report, Failure> {
    let work = shop.look()?;
    let date = |read: &Option<ReadDate>| read.as_ref().map(|read| read.date);
    let period = Period { since: date(&args.since), until: date(&args.until) };
    if let (Some(since), Some(until)) = (period.since, period.until)
        && since > until
    {
        return Err(Failure::Use(format!(
            "--since {since} is later than --until {until}; give the earlier day first"
        )));
    }
    let mut tally = Tally::new(args.by, period, work.settings().bench, TimeZone::system());
    let mut progress = Progress::of("jobs");
    let Jobs { damaged, .. } = work.all_jobs(|job| {
        progress.one();
        tally.add(&job);
    })?;
    drop(progress);
    let view = HistoryView::of(args.by, &tally);
    let told = [&args.since, &args.until].into_iter().filter_map(|read| read.as_ref()?.told.clone());
    let mut hints: Vec<String> = told.chain(damaged.iter().map(|what| format!("left out: {what}"))).collect();
    if let Some(path) = &args.svg {
        let (svg, over) = view.plot(&title(args.by, period));
        own_file::write(path, svg.as_bytes(), "plot", is_plot, args.force)?;
        let path: String = plain(&path.display().to_string()).collect();
        hints.push(format!("drawn: {path}"));
        hints
            .extend((over > 0).then(|| format!("{over} rows had no room on the plot: --since, or by month")));
    }
    hints.extend(asked(args.by, &tally, &view));
    Ok(shown(&view, args, json).hints(hints))
}

fn shown(view: &HistoryView, args: &HistoryArgs, json: bool) -> Report {
    if args.csv {
        // Line ends of its own; its cells are letters alone. Who stopped reading has no use for the rest.
        let _ = std::io::stdout().write_all(view.csv().as_bytes());
        return Report::new(String::new(), Value::Null);
    }
    if json {
        Report::new("", serde_json::json!(view))
    } else {
        Report::new(view.table(args.all), Value::Null)
    }
}

/// What a person should know beside the figures.
fn asked(by: By, tally: &Tally, view: &HistoryView) -> Vec<String> {
    let Tally { uncaused, undated, .. } = tally;
    let asked = if by == By::Cause { ASKED } else { 1 };
    let mut hints: Vec<String> = uncaused.iter().take(asked).map(ToString::to_string).collect();
    let more = uncaused.len().saturating_sub(asked);
    hints.extend((more > 0).then(|| match by {
        By::Cause => format!("and of {more} more: they follow when these are told"),
        _ => format!("and of {more} more: bevelbook history cause"),
    }));
    hints.extend((*undated > 0).then(|| {
        format!("left out: {undated} pairs and lenses of which no day is known; without --since and --until they count")
    }));
    hints.extend((view.is_empty() && *undated == 0).then(|| {
        "nothing was finished, fitted or spoiled then; `bevelbook record`, or a keypad, logs what the bench does".into()
    }));
    hints
}

fn title(by: By, Period { since, until }: Period) -> String {
    let from = since.map_or(String::new(), |since| format!(" from {since}"));
    let to = until.map_or(String::new(), |until| format!(" to {until}"));
    format!("Lenses edged, by {}{from}{to}", typed(&by))
}
