//! `demo`: a whole invented shop in a scratch book, from two orders to their sheets.
//!
//! Everything here is invented: people, frames, readings. The facts of the bench come from keys pressed on a software
//! keypad, through its journal and the link. Nothing is printed that was not folded from the records, and no verdict is
//! written down beforehand.

mod bench;
mod scenario;

use super::{Failure, Report, answer, sheet};
use crate::desk::{Bearer, Cause};
use crate::inspection::Inspection;
use crate::settings::Settings;
use crate::view::JobView;
use crate::view::inspection::FindingView;
use crate::work::{Job, Work, dial_words};
use bench::Bench;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{
    Bench as Fact, Check, CheckItem, Entered, JobId, PairId, StationEvent, Subject,
};
use bevelbook_core::tolerance::Verdict;
use bevelbook_keypad::screen::COLUMNS;
use clap::Args;
use std::io::Write;
use std::path::{Path, PathBuf};

#[derive(Args)]
pub(crate) struct DemoArgs {
    /// Where to put the scratch book and the sheets, instead of a new folder among the temporary files.
    #[arg(long, value_name = "FOLDER")]
    folder: Option<PathBuf>,
}

/// How many stages are announced.
const STAGES: usize = 9;

pub(crate) fn run(args: &DemoArgs, json: bool) -> Result<Report, Failure> {
    let folder = match &args.folder {
        Some(folder) => folder.clone(),
        None => tempfile::Builder::new()
            .prefix("bevelbook-demo-")
            .tempdir()
            .map(tempfile::TempDir::keep)
            .map_err(|e| Failure::Fault(format!("no scratch folder among the temporary files: {e}")))?,
    };
    let book = folder.join("book.db");
    if book.exists() {
        let shown = book.display();
        return Err(Failure::Use(format!(
            "{shown} is there already; the demo begins its own book, choose another folder"
        )));
    }
    play(&folder, true, json)
}

/// The demo, with the cable between keypad and console plugged in or not.
fn play(folder: &Path, plugged: bool, quiet: bool) -> Result<Report, Failure> {
    let (book, settings) = (folder.join("book.db"), Settings::defaults()?);
    let work = Work::open(&book, settings.clone())?;
    let bench = Bench::start(folder, &book, settings, plugged)?;
    Demo { work, bench, stage: 0, quiet }.play(folder)
}

struct Demo {
    work: Work,
    bench: Bench,
    stage: usize,
    quiet: bool,
}

impl Demo {
    fn play(&mut self, folder: &Path) -> Result<Report, Failure> {
        self.stage("The station says what its dial counts");
        let dial = scenario::dial();
        self.work.log_station(StationEvent::Dial(dial))?;
        self.tell(&dial_words(&dial));
        self.bench.settle()?;

        let (mut order, traced) = (scenario::first_order(), scenario::first_trace()?);
        traced.apply(&mut order);
        let first = self.order(order, scenario::FIRST_CUSTOMER)?;
        for hint in traced.hints() {
            self.tell(&hint);
        }
        self.stage("Job 1 at the bench: keys pressed, records arriving");
        self.take_up(first)?;
        self.act(scenario::FIRST_PAIR)?;
        self.account_for_impact(first)?;
        self.stage("Job 1 is inspected and signed off");
        self.inspect_and_sign(first)?;
        self.work.close(first, "handed over", None)?;

        let second = self.order(scenario::second_order(), scenario::SECOND_CUSTOMER)?;
        self.stage("Job 2 at the bench");
        self.take_up(second)?;
        self.act(scenario::SECOND_PAIR)?;
        self.stage("Job 2 is inspected: a lens is out");
        let inspection = self.inspect(second)?;
        if inspection.verdict() != Verdict::Out {
            return Err(Failure::Fault(format!(
                "the demo expected a pair that is out, not {}",
                inspection.verdict()
            )));
        }
        self.stage("The left lens is made again");
        let story = "the coating let it turn on its pad";
        let job = self.work.remake(second, Eye::Left, None, Cause::Slipped, Bearer::Shop, story)?.job;
        self.tell(&self.view(&job)?.line());
        self.bench.expect_card(second)?;
        self.act(scenario::REMADE_LEFT)?;
        self.act(&[scenario::REACH])?;
        self.tell(&framed(&self.bench.screen()));
        self.act(scenario::AFTER_REACH)?;
        self.account_for_impact(second)?;
        self.inspect_and_sign(second)?;

        self.stage("Both jobs go on paper");
        self.finish(folder, [first, second])
    }

    fn order(&mut self, order: crate::desk::Order, name: &str) -> Result<JobId, Failure> {
        let (job, unusual) = self.work.open_job(order, Some(name))?;
        self.stage(&format!("Job {} is ordered and planned", job.order.number));
        self.tell(&self.view(&job)?.to_string());
        for remark in unusual {
            self.tell(&remark.to_string());
        }
        self.tell("");
        self.tell(&super::plan::one_screen(&super::plan::view(&self.work, &job)?, None));
        Ok(job.id)
    }

    fn view(&self, job: &Job) -> Result<JobView, Failure> {
        Ok(JobView::of(job, &self.work.settings().tolerances()?))
    }

    /// The job's card reaches the keypad, and the job is chosen there.
    fn take_up(&mut self, id: JobId) -> Result<(), Failure> {
        self.bench.expect_card(id)?;
        // The job that was in hand before shows that it is done; the list of jobs follows.
        let keys = if self.bench.screen().contains("which job?") { "c" } else { "c c" };
        self.bench.press(keys)?;
        self.tell("the keypad shows:");
        self.tell(&framed(&self.bench.screen()));
        Ok(())
    }

    /// Presses the keys for each act and tells what reached the book.
    fn act(&mut self, acts: &[scenario::Act]) -> Result<(), Failure> {
        for scenario::Act(what, keys) in acts {
            self.tell(&format!("{what}: {}", bench::shown(keys)));
            for says in self.bench.press(keys)? {
                self.tell(&format!("    {says}"));
            }
        }
        Ok(())
    }

    /// What the keypad does not ask: how impact resistance is accounted for. It is typed at the console.
    fn account_for_impact(&mut self, id: JobId) -> Result<(), Failure> {
        let item = CheckItem::ImpactSample;
        let checks = |pair: PairId| {
            let check = |eye| {
                Fact::Check(Check {
                    entered: Entered::READ,
                    of: Subject::Lens(pair.lens(eye)),
                    item,
                    good: true,
                })
            };
            Eye::BOTH.map(check).to_vec()
        };
        for logging in self.work.log_all(id, checks)? {
            let rim = logging.after.order.frame.rim;
            self.tell(&format!("at the console: {}", crate::work::Fact::Bench(logging.fact).describe(rim)));
        }
        Ok(())
    }

    fn inspect(&mut self, id: JobId) -> Result<Inspection, Failure> {
        let job = self.work.job(id)?;
        let inspection = Inspection::of(&job, &self.work.settings().tolerances()?);
        for finding in inspection.pair.findings().iter().filter(|finding| !finding.is_within()) {
            let found = FindingView::of(finding);
            self.tell(&format!("{}: {}: {}", found.whose(), found.off(), found.held()));
        }
        for warning in &inspection.warnings {
            self.tell(&format!("warning: {}", warning.text));
        }
        for eye in &inspection.eyes {
            self.tell(&format!("{}: {}", eye.eye, eye.verdict));
        }
        self.tell(&format!("pair: {} by {}", inspection.verdict(), inspection.standard));
        Ok(inspection)
    }

    fn inspect_and_sign(&mut self, id: JobId) -> Result<(), Failure> {
        self.inspect(id)?;
        let standard = self.work.settings().tolerances()?;
        let by = scenario::INITIALS;
        let signed = self.work.sign_off(id, |job| Ok(Inspection::of(job, &standard).sign_off(by, None)))?;
        self.tell(&format!("signed off by {}: {}", signed.by, signed.verdict));
        Ok(())
    }

    fn finish(&mut self, folder: &Path, ids: [JobId; 2]) -> Result<Report, Failure> {
        let mut sheets = Vec::new();
        for id in ids {
            let job = self.work.job(id)?;
            let path = folder.join(format!("job-{}.html", job.order.number));
            sheet::write(&self.work, &job, &path)?;
            self.tell(&format!("sheet of job {}: {}", job.order.number, path.display()));
            sheets.push(path.display().to_string());
        }
        let jobs = self.work.jobs()?.whole;
        let shown = jobs.iter().map(|job| self.view(job)).collect::<Result<Vec<_>, _>>()?;
        let health = Work::check(self.work.place())?;
        let (last, stand) = (sheets.last().cloned(), shown.iter().map(|job| job.line() + "\n"));
        let (many, stand) = (shown.len(), stand.collect::<String>());
        let report = answer!(
            "\n{many} jobs, {records} records, {passes} sizing passes, {remakes} lens made again\n{stand}\
             look further:  bevelbook --book {book} job show 2\nopen in a browser:  {}", last.unwrap_or_default();
            book = self.work.place().to_string(),
            sheets = sheets,
            jobs = shown,
            records = health.records,
            passes = jobs.iter().map(passes).sum::<usize>(),
            remakes = jobs.iter().map(|job| job.remakes().count()).sum::<usize>(),
        );
        Ok(report.hint(
            "people, frames and readings are invented. The verdict is an aid at the bench, not a certificate.",
        ))
    }

    /// Announces the next stage.
    fn stage(&mut self, what: &str) {
        self.stage += 1;
        self.say(&format!("\n[{}/{STAGES}] {what}", self.stage));
    }

    /// Says something of the present stage, indented.
    fn tell(&self, what: &str) {
        for line in what.lines().chain(what.is_empty().then_some("")) {
            self.say(format!("      {line}").trim_end());
        }
    }

    /// A reader that has gone away is no reason to stop. With `--json` only the result is printed.
    fn say(&self, line: &str) {
        if !self.quiet {
            let _ = writeln!(std::io::stdout(), "{line}");
        }
    }
}

/// A screen in a frame.
fn framed(screen: &str) -> String {
    let edge = format!("+{}+", "-".repeat(COLUMNS));
    let rows = screen.lines().map(|row| format!("|{row:<COLUMNS$}|"));
    std::iter::once(edge.clone()).chain(rows).chain([edge]).collect::<Vec<_>>().join("\n")
}

/// How many passes stand in a job, of all its lenses.
fn passes(job: &Job) -> usize {
    let is_pass = |fact: &crate::work::Fact| matches!(fact, crate::work::Fact::Bench(Fact::Pass(_)));
    job.standing().filter(|line| is_pass(&line.fact)).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_bench_fact_comes_over_the_link() {
        let folder = tempfile::tempdir().unwrap();
        let report = play(folder.path(), true, true).unwrap();
        assert_eq!(report.json["remakes"], 1);
        let other = tempfile::tempdir().unwrap();
        let Err(Failure::Fault(why)) = play(other.path(), false, true) else {
            panic!("the demo needs its link")
        };
        assert!(why.contains("the keypad is not heard"), "{why}");
    }
}
