//! The real book beside the model's: SQLite in a folder of its own, with the same shop in it.

use crate::day::{DIAL, KEYPADS, STRANGER};
use crate::disk::Content;
use bevelbook::desk::{Frame, LensChoice, Order};
use bevelbook::settings::Settings;
use bevelbook::store::Place;
use bevelbook::work::{Fact, PassEntry, Work, WorkError};
use bevelbook_core::frame::{FrameSize, PupillaryDistance};
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::record::{JobId, JobState, JournalId, StationEvent, Stored};
use bevelbook_core::sizing::{Outcome, Rim};
use bevelbook_core::units::{Length, Power};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use tempfile::TempDir;

/// A copy of the shop's book.
#[derive(Debug)]
pub(crate) struct Real {
    _folder: TempDir,
    path: PathBuf,
    settings: Settings,
}

/// A folder in memory where there is one: fsync costs nothing there, and nothing here can show what it is for.
fn folder() -> std::io::Result<TempDir> {
    let memory = Path::new("/dev/shm");
    if memory.is_dir() { tempfile::tempdir_in(memory) } else { tempfile::tempdir() }
}

/// The bytes of the shop's book, made once, and its settings.
fn template() -> Result<&'static (Vec<u8>, Settings), String> {
    static TEMPLATE: OnceLock<Result<(Vec<u8>, Settings), String>> = OnceLock::new();
    let made = TEMPLATE.get_or_init(|| {
        let folder = folder().map_err(|error| error.to_string())?;
        let (path, settings) =
            (folder.path().join("book.db"), Settings::defaults().map_err(|error| error.to_string())?);
        begin(&path, settings.clone()).map_err(|error| error.to_string())?;
        Ok((std::fs::read(path).map_err(|error| error.to_string())?, settings))
    });
    made.as_ref().map_err(Clone::clone)
}

fn begin(path: &Path, settings: Settings) -> Result<(), WorkError> {
    let mut work = Work::open(path, settings)?;
    work.log_station(StationEvent::Dial(DIAL))?;
    for journal in KEYPADS.into_iter().chain([STRANGER]) {
        work.adopt(journal, &journal.to_string())?;
    }
    for _ in 0..2 {
        let job = work.open_job(order(), None)?.0.id;
        for eye in Eye::BOTH {
            let amount = Length::from_milli(600);
            work.log_pass(job, &PassEntry { eye, amount, outcome: Outcome::FarTooBig, insist: false })?;
        }
    }
    Ok(())
}

fn order() -> Order {
    let mm = Length::from_milli;
    let size = FrameSize { a: mm(50_000), b: mm(38_000), dbl: mm(18_000), ed: Some(mm(53_000)) };
    let (model, material) = ("Skerry 3".to_owned(), "steel".to_owned());
    let frame = Frame { material, ..Frame::new(&model, size, Rim::Metal) };
    let eye = EyeOrder::single_vision(SphereCylinder::sphere(Power::from_milli(-2000)));
    let lens = LensChoice { material: "cr39".to_owned(), ..LensChoice::default() };
    Order::new("K-17".to_owned(), [eye; 2], PupillaryDistance::Binocular(mm(62_000)), frame, lens)
}

impl Real {
    pub(crate) fn new() -> Result<Self, String> {
        let (book, settings) = template()?;
        let folder = folder().map_err(|error| error.to_string())?;
        let path = folder.path().join("book.db");
        std::fs::write(&path, book).map_err(|error| error.to_string())?;
        Ok(Self { _folder: folder, path, settings: settings.clone() })
    }

    /// Takes in what keypads had before the day.
    pub(crate) fn begin(&self, before: Vec<(JournalId, Vec<Stored>)>) -> Result<(), String> {
        let mut work = self.open()?;
        for (journal, records) in before {
            let records = records.into_iter().map(|record| (record, None));
            work.take_in(journal, records).map_err(|error| error.to_string())?;
        }
        Ok(())
    }

    /// What opens it.
    pub(crate) fn place(&self) -> (Place, Settings) {
        (Place::from(&self.path), self.settings.clone())
    }

    pub(crate) fn open(&self) -> Result<Work, String> {
        Work::open(&self.path, self.settings.clone()).map_err(|error| error.to_string())
    }

    /// The state of a job, if it was ordered.
    pub(crate) fn state(&self, job: JobId) -> Result<Option<JobState>, String> {
        Ok(self.open()?.job(job).ok().map(|job| job.state))
    }

    /// How many lenses fitted in frames like that of a job, in other jobs.
    pub(crate) fn fitted(&self, job: JobId) -> Result<u8, String> {
        let work = self.open()?;
        let ordered = work.job(job).map_err(|error| error.to_string())?;
        let alike = work.sized_of(&ordered.order.frame).map_err(|error| error.to_string())?;
        let others = alike.iter().filter(|other| other.id != job);
        Ok(u8::try_from(others.map(|other| other.fits().count()).sum::<usize>()).unwrap_or(u8::MAX))
    }

    /// Whether it has the same records of a journal as the model.
    pub(crate) fn agrees(&self, journal: JournalId, model: &Content) -> Result<(), String> {
        let lines = self.open()?.log_of(journal).map_err(|error| error.to_string())?;
        // A fact under another job by filing is none here: nothing is filed.
        let here: Vec<(u32, &Fact)> = lines.iter().map(|line| (line.id.seq, &line.fact)).collect();
        let read =
            model.of(journal).map(|row| (row.record.seq, Fact::read(row.record.kind, &row.record.data)));
        let model: Vec<(u32, Fact)> = read.collect();
        let model: Vec<(u32, &Fact)> = model.iter().map(|(seq, fact)| (*seq, fact)).collect();
        if here == model {
            Ok(())
        } else {
            Err(format!("the real book has {here:?}\n  and the model {model:?}"))
        }
    }
}
