//! `frames`: what the book holds of models and sizes, and how good what it said of them was.

use super::{Failure, Report, arguments, own_file, shop::Shop};
use crate::advice::{Learned, SizedFrame};
use crate::view::frames::{FrameView, FramesView, Sort, name, size};
use crate::view::plot::is_plot;
use crate::work::{Work, WorkError, nearest};
use bevelbook_core::link::plain;
use bevelbook_core::sizing::Rim;
use bevelbook_core::units::Length;
use clap::{Args, Subcommand};
use serde_json::Value;
use std::io::Write;
use std::path::PathBuf;

/// Show every model and size: lenses, where they fitted, passes a lens, lenses that went undersize.
#[derive(Args)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "Only rims that close round the lens are told of: grooved and drilled lenses are cut to a shape.\n\
        Promised: how many lenses were to go undersize by the sizes that were dialled, as the book says it now of each\n\
        of them by what was known before it; of the newest 300 jobs. Nine lenses in ten are to fit in their band.\n\n\
        Examples: bevelbook frames --sort passes\n          bevelbook frames show \"Lindgren 7\""
)]
pub(crate) struct FramesArgs {
    #[command(subcommand)]
    command: Option<FramesCommand>,
    /// What comes first.
    #[arg(long, value_enum, default_value_t)]
    sort: Sort,
    /// List every model, however many there are.
    #[arg(long)]
    all: bool,
}

#[derive(Subcommand)]
enum FramesCommand {
    /// Show the lenses of one model over time, and what was expected of each.
    Show(ShowArgs),
}

#[derive(Args)]
#[command(after_help = "Examples: bevelbook frames show \"Lindgren 7\"\n          \
                  bevelbook frames show \"Lindgren 7\" --size 50-18 --svg lindgren.svg")]
struct ShowArgs {
    /// The model, as orders have it.
    model: String,
    /// Its size, where it was cut in several: A and DBL.
    #[arg(long, value_name = "A-DBL", value_parser = boxed)]
    size: Option<[Length; 2]>,
    /// What holds its lens, where it was cut in several such.
    #[arg(long, ignore_case = true, value_parser = arguments::named(&Rim::ALL))]
    rim: Option<Rim>,
    /// Draw it too, into this file.
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Overwrite a file that is not an earlier plot.
    #[arg(long, requires = "svg")]
    force: bool,
    /// Show comma-separated values, for a spreadsheet.
    #[arg(long, conflicts_with = "json")]
    csv: bool,
}

/// A size as it is printed on a temple: `50-18`, `50x18`, `50□18`.
fn boxed(text: &str) -> Result<[Length; 2], String> {
    let parts: Vec<&str> = text.split(['-', 'x', 'X', '×', '□', '/']).map(str::trim).collect();
    let length = |text: &str| text.parse::<f64>().ok().filter(|mm| (1.0..=200.0).contains(mm));
    match parts[..] {
        [a, dbl] => length(a).zip(length(dbl)),
        _ => None,
    }
    .map(|(a, dbl)| [a, dbl].map(|mm| Length::from_milli((mm * 1000.0).round() as i32)))
    .ok_or_else(|| "expected A and DBL in millimetres, as in 50-18".into())
}

pub(crate) fn run(shop: &Shop, args: &FramesArgs, json: bool) -> Result<Report, Failure> {
    let work = shop.look()?;
    let frames = SizedFrame::all(&work)?;
    if let Some(FramesCommand::Show(args)) = &args.command {
        return show(&work, &frames, args, json);
    }
    let view = FramesView::of(&frames, learned(&work)?.as_ref(), args.sort, args.all);
    let empty = view.is_empty().then(|| {
        "no lens in a full rim was sized yet; `bevelbook record pass`, or a keypad, logs its passes"
            .to_owned()
    });
    Ok(Report::of_one(&view, json).hints(empty))
}

/// What the book taught, for the station that is here; where it was not said which of several, for the first that can be asked.
fn learned(work: &Work) -> Result<Option<Learned>, Failure> {
    if let Some(here) = work.here_if_said()? {
        return Ok(Learned::at(work, here)?);
    }
    for station in work.stations()?.all() {
        if work.dial(station)?.is_some() {
            return Ok(Learned::at(work, station)?);
        }
    }
    Ok(None)
}

fn show(work: &Work, frames: &[SizedFrame], args: &ShowArgs, json: bool) -> Result<Report, Failure> {
    let frame = meant(work, frames, args)?;
    let Some(learned) = learned(work)? else {
        let called = work.here_if_said()?.map(|here| Ok::<_, WorkError>(work.stations()?.not_stated(here)));
        return Err(called.transpose()?.unwrap_or(WorkError::NoStation { called: None }).into());
    };
    let jobs = work.sized_jobs(&frame.key)?;
    let pairs = jobs.iter().map(|job| job.clone().lately()).collect();
    let frame = SizedFrame { pairs, ..frame.clone() };
    let view = FrameView::of(&frame, &jobs, &learned);
    let mut hints = Vec::new();
    if let Some(path) = &args.svg {
        let (svg, over) = view.plot();
        own_file::write(path, svg.as_bytes(), "plot", is_plot, args.force)?;
        hints.push(format!("drawn: {}", plain(&path.display().to_string()).collect::<String>()));
        hints.extend(
            (over > 0).then(|| format!("{over} earlier lenses had no room on the plot; --csv has them")),
        );
    }
    if args.csv {
        // Line ends of its own; its cells are letters alone. Who stopped reading has no use for the rest.
        let _ = std::io::stdout().write_all(view.csv().as_bytes());
        return Ok(Report::new("", Value::Null).hints(hints));
    }
    Ok(Report::of_one(&view, json).hints(hints))
}

/// The frame that is meant; of several it is asked which.
fn meant<'f>(work: &Work, frames: &'f [SizedFrame], args: &ShowArgs) -> Result<&'f SizedFrame, Failure> {
    let typed = args.model.trim().to_lowercase();
    let of_model: Vec<&SizedFrame> =
        frames.iter().filter(|frame| frame.key.model.trim().to_lowercase() == typed).collect();
    let near = |one: Length, other: Length| (one - other).abs() <= Work::SAME_SIZE;
    let fits = |frame: &&&SizedFrame| {
        let size = args.size.is_none_or(|[a, dbl]| near(a, frame.key.a) && near(dbl, frame.key.dbl));
        size && args.rim.is_none_or(|rim| rim == frame.key.rim)
    };
    let known = |frames: &[&SizedFrame]| {
        let one = |frame: &&SizedFrame| {
            let lenses = frame.lenses().count();
            format!("{} ({lenses} {})", name(&frame.key, 60), if lenses == 1 { "lens" } else { "lenses" })
        };
        frames.iter().map(one).collect::<Vec<_>>().join(", ")
    };
    match of_model.iter().filter(fits).collect::<Vec<_>>()[..] {
        [one] => Ok(one),
        [] if of_model.is_empty() => Err(unknown(work, frames, args)?),
        [] => {
            let what = match (args.size, args.rim) {
                (Some(_), None) => "that size was not cut",
                (None, Some(_)) => "none with that rim was cut",
                _ => "none of that size with that rim was cut",
            };
            Err(Failure::NotFound(format!("{what}; there is {}", known(&of_model))))
        }
        ref several @ [first, ..] => {
            let by_size = format!("--size {}", size(&first.key).replace('□', "-"));
            let by_rim = format!("--rim {}", first.key.rim);
            let of_one_rim = several.iter().all(|frame| frame.key.rim == first.key.rim);
            let of_one_size = several
                .iter()
                .all(|frame| near(frame.key.a, first.key.a) && near(frame.key.dbl, first.key.dbl));
            let which = match (of_one_size, of_one_rim) {
                (true, _) => by_rim,
                (_, true) => by_size,
                _ => format!("{by_size}, or {by_rim}"),
            };
            let meant: Vec<&SizedFrame> = several.iter().map(|frame| **frame).collect();
            Err(Failure::Use(format!("several are meant: {}; say which: {which}", known(&meant))))
        }
    }
}

fn unknown(work: &Work, frames: &[SizedFrame], args: &ShowArgs) -> Result<Failure, Failure> {
    let model: String = plain(&args.model).collect();
    let near = nearest(args.model.trim(), frames.iter().map(|frame| frame.key.model.trim()));
    let hint = match near {
        Some(near) => format!("did you mean `{near}`?"),
        None => "`bevelbook frames` lists them".to_owned(),
    };
    let ordered = !work.frames_of(&args.model)?.is_empty();
    Ok(Failure::NotFound(match ordered {
        true => format!("no lens of {model} in a full rim was sized yet"),
        false => format!("no model `{model}`; {hint}"),
    }))
}
