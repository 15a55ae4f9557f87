//! Which book and which settings a command works with.

use super::arguments;
use super::edge::tell;
use super::{Failure, Report};
use crate::keypad::{Now, Shelf};
use crate::settings::{Settings, Shown};
use crate::shell::word;
use crate::store::{Place, default_book_path};
use crate::work::{Work, WorkError};
use clap::Args;
use jiff::ZonedDateTime;
use std::ffi::OsString;
use std::path::PathBuf;

/// The book and the settings: flag before environment before the platform's own folder.
#[derive(Args)]
pub(crate) struct Shop {
    /// The book to work with, instead of the one in the platform's data folder.
    ///
    /// A path; or postgres://USER@HOST/DATABASE for a book that a server keeps.
    #[arg(long, global = true, value_name = "PATH|postgres://…", env = "BEVELBOOK_BOOK")]
    book: Option<OsString>,

    /// The shop's settings file, instead of the one in the platform's configuration folder.
    #[arg(long, global = true, value_name = "PATH", env = "BEVELBOOK_SETTINGS")]
    settings: Option<PathBuf>,

    /// The station for which what is typed speaks, where several keep one book, instead of that of this console.
    #[arg(long, global = true, value_name = "NAME", env = "BEVELBOOK_STATION", value_parser = arguments::words)]
    station: Option<String>,

    /// The initials of whoever types, to be put down with what is said at a desk.
    #[arg(long, global = true, env = "BEVELBOOK_INITIALS", value_parser = arguments::line)]
    initials: Option<String>,

    /// Whether these were typed for this command alone.
    #[arg(skip)]
    pub(super) initials_typed: bool,
}

impl Shop {
    pub(crate) fn place(&self) -> Result<Place, Failure> {
        match &self.book {
            Some(place) => Place::named(place.clone()).map_err(|why| Failure::Use(why.to_string())),
            None => default_book_path().map(Place::File).map_err(Failure::fault),
        }
    }

    pub(crate) fn settings_path(&self) -> Result<PathBuf, Failure> {
        Ok(match &self.settings {
            Some(path) => path.clone(),
            None => Settings::default_path()?,
        })
    }

    pub(crate) fn settings(&self) -> Result<(Settings, Shown), Failure> {
        let (mut settings, shown) = Settings::load(&self.settings_path()?)?;
        // A variable of the environment that is empty says nothing.
        let said = |said: &Option<String>| said.clone().filter(|said| !said.is_empty());
        settings.desk.station = said(&self.station).or(settings.desk.station);
        settings.desk.initials = said(&self.initials).or(settings.desk.initials);
        Ok((settings, shown))
    }

    /// What was recorded has no place for who says it, which is told whoever typed it for this command.
    pub(crate) fn unsigned(&self, report: Report) -> Report {
        let typed = self.initials.as_ref().filter(|typed| self.initials_typed && !typed.is_empty());
        report.hints(typed.map(|typed| {
            format!(
                "hint: {typed} is not put down: a record of the bench has no initials, which stand beside what is said at a desk. \
                 To say whose work it was: bevelbook record note JOB \"…\" --initials {}",
                word(typed)
            )
        }))
    }

    /// Opens the book to look into it.
    pub(crate) fn look(&self) -> Result<Work, Failure> {
        Ok(Work::look(&self.place()?, self.settings()?.0)?)
    }

    /// The same of a book that need not be there yet.
    pub(crate) fn look_if_there(&self) -> Result<Option<Work>, Failure> {
        match self.look() {
            Ok(work) => Ok(Some(work)),
            Err(Failure::NotFound(_)) => Ok(None),
            Err(other) => Err(other),
        }
    }

    /// Opens the book for a command whose facts are about what must be there already.
    pub(crate) fn open(&self) -> Result<Work, Failure> {
        Ok(backed_up(Work::reopen(&self.place()?, self.settings()?.0)?))
    }

    /// Opens the book for a command that writes what may be its first fact; where there is none it is begun, and that is
    /// said.
    pub(crate) fn begin(&self) -> Result<Work, Failure> {
        Ok(backed_up(begun(self.place()?, self.settings()?.0)?))
    }

    /// The same for what runs on: where it is a server that keeps the book and that is away, it is waited for.
    pub(crate) fn begin_or_wait(&self, now: Now) -> Result<Shelf<Work>, Failure> {
        let (place, settings) = (self.place()?, self.settings()?.0);
        match begun(place.clone(), settings.clone()) {
            Err(error) if error.is_away() => Ok(Shelf::failed((place, settings), &error, now)),
            begun => Ok(Shelf::of(backed_up(begun?).at_bench())),
        }
    }
}

fn begun(place: Place, settings: Settings) -> Result<Work, WorkError> {
    if Work::begin(&place)? {
        tell(&format!("began a new book at {place}"));
    }
    Work::reopen(place, settings)
}

/// With what is to be told of who keeps the book.
fn warned(work: Work) -> Work {
    work.warnings().for_each(tell);
    work
}

/// With the day's backup made; what is to be done does not wait for one that fails.
fn backed_up(work: Work) -> Work {
    let work = warned(work);
    if let Err(why) = work.back_up_daily(ZonedDateTime::now().datetime()) {
        tell(&format!("no backup was made today: {why}"));
    }
    work
}
