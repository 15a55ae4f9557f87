//! `day`: what is due, what waits and for what, what was done.

use super::dates::{due, past, today};
use super::{Failure, Report, shop::Shop};
use crate::advice::Course;
use crate::desk::Adoption;
use crate::view::{
    DayView, JobView, KeypadSeen, MissingNumbers, Names, OpenLists, SpoiledView, StationView, WalkIn,
};
use crate::work::{Held, Job, Jobs, Work};
use clap::Args;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};
use std::ops::Range;

const HELP: &str = "\
Each open job is listed once: overdue and due first, then what waits for lenses, what is in work with its next step, \
and what is signed off and ready to be handed over. Names are shown to people and are in no --json.

Example: bevelbook day --date yesterday";

#[derive(Args)]
#[command(after_help = HELP)]
pub(crate) struct DayArgs {
    /// Another day than today: 2026-11-28, 28/11, yesterday, fri; without its year or its week the nearest.
    #[arg(long, value_name = "DATE", value_parser = day)]
    date: Option<Date>,
}

fn day(text: &str) -> Result<Date, String> {
    let today = today();
    let either = [past(text)?.date, due(text)?.date];
    let away = |date: &Date| date.duration_since(today).abs();
    Ok(either.into_iter().min_by_key(away).unwrap_or(today))
}

pub(crate) fn run(shop: &Shop, args: &DayArgs, json: bool) -> Result<Report, Failure> {
    let work = shop.look()?;
    let date = args.date.unwrap_or_else(today);
    let (view, beside) = work.at_one_moment(|| {
        // As of a book in which nothing is: that asks nearly all of it.
        work.ahead(|work| drop(view(work, date)))?;
        view(&work, date)
    })?;
    Ok(Report::of_one(&view, json).hints(beside))
}

/// The day; beside it what is wrong with jobs that cannot be read, and why which lenses were spoiled is not told.
fn view(work: &Work, date: Date) -> Result<(DayView, Vec<String>), Failure> {
    let standard = work.settings().tolerances()?;
    let shown = |job: &Job| JobView::of(job, &standard);
    let Jobs { whole, damaged } = work.open_jobs(|job| shown(&job))?;
    let time = time_of(date)?;
    let spoiled = work.spoiled_in(&time)?;
    let asked = spoiled.iter().flat_map(Job::uncaused).map(|lens| lens.to_string());
    let told = |job: &Job| {
        let number = job.order.number;
        let of_day = job.spoiled().filter(|lens| lens.at.is_some_and(|at| time.contains(&at)));
        of_day.map(|lens| SpoiledView::of(number, lens)).collect::<Vec<_>>()
    };
    let several = work.stations()?.are_several();
    let off = stations_off(work)?;
    let (stations_off, station_off) =
        if several { (off, None) } else { (Vec::new(), off.into_iter().next()) };
    let view = DayView {
        date,
        open: OpenLists::of(date, whole),
        closed: work.closed_in(&time)?.iter().map(shown).collect(),
        walk_ins: work
            .unfiled()?
            .into_iter()
            .map(|own| WalkIn { id: own.id.to_string(), records: own.lines.len() })
            .collect(),
        spoiled: spoiled.iter().flat_map(told).collect(),
        keypads: keypads(work)?,
        last_backup: work.last_backup()?,
        station_off,
        stations_off,
        names: Names(work.names()?),
    };
    let damaged = damaged.iter().map(|what| format!("left out: {what}"));
    Ok((view, damaged.chain(asked).collect()))
}

/// From the beginning of a day to its end, where this machine is.
fn time_of(date: Date) -> Result<Range<Timestamp>, Failure> {
    let begins = |date: Date| date.to_zoned_datetime(TimeZone::system()).map(|at| at.timestamp());
    let next = date.checked_add(1.day()).map_err(Failure::wrong)?;
    Ok(begins(date).map_err(Failure::wrong)?..begins(next).map_err(Failure::wrong)?)
}

fn stations_off(work: &Work) -> Result<Vec<StationView>, Failure> {
    let stations = work.stations()?;
    let mut off = Vec::new();
    for station in stations.all() {
        let Some(dial) = work.dial(station)? else { continue };
        let course = Course::of(work, station)?;
        off.extend(course.is_past.then(|| StationView::of(dial, course, &stations, station)));
    }
    Ok(off)
}

fn keypads(work: &Work) -> Result<Vec<KeypadSeen>, Failure> {
    let stations = work.stations()?;
    let seen = |keypad: Adoption| -> Result<KeypadSeen, Failure> {
        let Held { gaps, .. } = work.journal(keypad.journal)?;
        let gaps = gaps.into_iter().map(MissingNumbers::from).collect();
        let station = stations.told(work.station_of(keypad.journal)?).map(str::to_owned);
        Ok(KeypadSeen { keypad: keypad.name, station, last_record: work.last_logged(keypad.journal)?, gaps })
    };
    work.keypads()?.into_iter().map(seen).collect()
}
