//! What one job adds to the history.

use super::bench_time::{at_the_bench, is_work};
use crate::desk::{Bearer, Cause};
use crate::work::{Fact, Job, Line, Uncaused};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, Flow, LensId, Step};
use jiff::{SignedDuration, Timestamp, civil::Date, tz::TimeZone};

/// A pair that was finished: each lens that is made fits, and nothing is left to log, or it was signed off or closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FinishedPair {
    /// The day of its last record at the bench, where one is known.
    pub day: Option<Date>,
    /// How long it was in hand, as far as that is known.
    pub time: Option<SignedDuration>,
}

/// A lens that came to fit, whatever became of it afterwards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fitted {
    /// The day of its last pass, where that is known.
    pub day: Option<Date>,
    /// How many passes it took.
    pub passes: u16,
}

/// A lens that was spoiled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lost {
    /// When, where that is known.
    pub day: Option<Date>,
    /// Why, if anybody told.
    pub cause: Option<Cause>,
    /// Who bears it, if anybody told.
    pub bearer: Option<Bearer>,
    /// How that is asked, where nobody did.
    pub ask: Option<Uncaused>,
}

/// What one job adds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Done {
    /// Its pair, if that is finished; a pair that was made again counts once, when it was finished last.
    pub pair: Option<FinishedPair>,
    /// Its lenses that came to fit.
    pub fitted: Vec<Fitted>,
    /// Its lenses that were spoiled.
    pub lost: Vec<Lost>,
}

impl Done {
    /// What `job` adds in a shop that goes along the line like this, by the days of `zone`.
    #[must_use]
    pub fn of(job: &Job, flow: Flow, zone: &TimeZone) -> Self {
        let day = |at: Timestamp| at.to_zoned_datetime(zone.clone()).date();
        let work = || job.standing().filter(|line| is_work(line));
        let pair = is_finished(job, flow).then(|| FinishedPair {
            day: work().filter_map(|line| line.at).max().map(day),
            time: at_the_bench(work()),
        });
        let fitted = Eye::BOTH.into_iter().flat_map(|eye| {
            let done = job.lenses[eye.index()].iter().filter(|lens| lens.sizing.is_done());
            done.map(move |lens| {
                let id = LensId { number: lens.number, ..job.pair().lens(eye) };
                let last = job.standing().rfind(|line| is_pass_of(line, id));
                Fitted { day: last.and_then(|line| line.at).map(day), passes: lens.sizing.passes }
            })
        });
        let lost = job.spoiled().map(|spoiled| Lost {
            day: spoiled.at.map(day),
            cause: spoiled.cause(),
            bearer: spoiled.told.map(|remake| remake.bearer),
            ask: job.asks_of(&spoiled),
        });
        Self { pair, fitted: fitted.collect(), lost: lost.collect() }
    }
}

fn is_finished(job: &Job, flow: Flow) -> bool {
    let mut made = Eye::BOTH.into_iter().filter(|eye| job.made(*eye).is_ok()).peekable();
    let over = job.closed.is_some() || job.signed.is_some() || job.next(flow) == Step::Done;
    over && made.peek().is_some() && made.all(|eye| job.state.lens(eye).sizing.is_done())
}

fn is_pass_of(line: &Line, lens: LensId) -> bool {
    matches!(&line.fact, Fact::Bench(Bench::Pass(pass)) if pass.lens == lens)
}
