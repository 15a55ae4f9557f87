//! `record pass`: what was dialled, what the hand felt, and what the lens is now.

use super::answer;
use super::typed::{OfLens, felt};
use crate::advice::{Learned, Telling};
use crate::cli::arguments;
use crate::cli::{Failure, Report};
use crate::view::plan::{self, to_leave};
use crate::view::{CountingView, Figure, SizeView};
use crate::work::{Job, Logging, PassEntry, SizedJob, Work, WorkError};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, CheckItem, Pass, Possible, Step};
use bevelbook_core::sizing::{Counting, Dialled, Outcome, Size, Sizing, Span};
use bevelbook_core::units::Length;
use clap::Args;
use std::cmp::Ordering;

/// Log a sizing pass: what was dialled, and what the hand felt.
#[derive(Args)]
#[command(
    after_help = "Examples: bevelbook record pass 3 r 0.35 touch\n          bevelbook record pass 3 l -0.05 fits\n\n\
        The figure means what the station's dial counts: see `bevelbook station`.\n\
        A size below the smallest at which this lens fits this rim is refused (STOP) unless --past is given."
)]
pub(crate) struct PassArgs {
    #[command(flatten)]
    of: OfLens,
    /// Figure on the dial, in millimetres; on an absolute dial it may be negative.
    #[arg(value_name = "SIZE", value_parser = figure)]
    size: Length,
    /// What the hand felt.
    #[arg(value_name = "OUTCOME", ignore_case = true, value_parser = felt())]
    outcome: Outcome,
    /// Cut in spite of STOP: the lens already fits, or is loose.
    #[arg(long)]
    past: bool,
}

fn figure(text: &str) -> Result<Length, String> {
    arguments::bounded(text, Possible::DIALLED, "0.35")
}

impl PassArgs {
    pub(super) fn record(&self, work: &mut Work) -> Result<Report, Failure> {
        let (job, eye, learned) = work.at_one_moment(|| {
            let (job, eye) = self.of.find_to_advise(work)?;
            let learned = learned(work, &job)?;
            Ok::<_, Failure>((job, eye, learned))
        })?;
        let entry = PassEntry { eye, amount: self.size, outcome: self.outcome, insist: self.past };
        let (logging, told) = logged(work, &job, &entry, learned.as_ref())?;
        let Bench::Pass(pass) = logging.fact else {
            return Err(Failure::Fault("a pass was logged as another kind".into()));
        };
        let (before, after) = (lens(&logging.before, eye), lens(&logging.after, eye));
        let hints = hints(&logging.before, &logging.after, &pass);
        let next = next_sizes(work, &logging.after, told.as_ref())?;
        let mut more = vec![change(before, after)];
        more.extend(next[eye.index()].map(|next| format!("{} next", to_leave(next))));
        let mut report = answer(work, &logging, &more)?;
        if logging.after.next(work.settings().bench) == Step::Size(eye.other()) {
            report.text +=
                &next[eye.other().index()].map_or_else(String::new, |next| format!(": {}", to_leave(next)));
        }
        Ok(report
            .with("kind", "pass")
            .with("basis", pass.dialled.basis)
            .with_all(CountingView::of(pass.dialled.counting))
            .with("dialled_mm", Figure::from(pass.dialled.amount))
            .with("advised_mm", pass.advised.map(Figure::from))
            .with("outcome", pass.outcome)
            .with("past", pass.past)
            .with("size", after.size.map(SizeView::of))
            .with("next_dialled_mm", next.map(|next| Some(Figure::from(next?.amount))))
            .hints(hints.iter().map(|hint| format!("hint: {hint}"))))
    }
}

/// What the book tells of a job, and what frames like its own showed.
fn learned(work: &Work, job: &Job) -> Result<Option<(Learned, Vec<SizedJob>)>, Failure> {
    work.ahead(|work| Learned::ask(work, job))?;
    let learned = Learned::for_job(work, job)?;
    Ok(learned.map(|learned| Ok::<_, WorkError>((learned, work.sized_of(&job.order.frame)?))).transpose()?)
}

/// Logs a pass beside what was advised, by the book too; and what the book tells with it.
fn logged(
    work: &mut Work,
    job: &Job,
    entry: &PassEntry,
    learned: Option<&(Learned, Vec<SizedJob>)>,
) -> Result<(Logging, Option<Telling>), Failure> {
    let frame = learned.and_then(|(learned, alike)| learned.of_frame(work.settings(), job, alike));
    let told = frame.as_ref().map(|frame| frame.tells(job));
    let logging = work.log_advised(job.id, entry, told.as_ref().map(|told| &told.advice))?;
    let after = &logging.after;
    let told = match frame {
        Some(frame) => Some(frame.tells(after)),
        // What is insisted on may open a lens again that was done.
        None if entry.insist => {
            let learned = Learned::for_job(work, after)?;
            learned.map(|learned| learned.tells(work, after)).transpose()?.flatten()
        }
        None => None,
    };
    Ok((logging, told))
}

/// What to dial next for the right and the left lens; none of one that is done or not made.
fn next_sizes(work: &Work, job: &Job, told: Option<&Telling>) -> Result<[Option<Dialled>; 2], Failure> {
    let (dial, habit) = (work.station()?, &work.settings().sizing);
    let advice = told.map(|told| &told.advice);
    let next = |eye| plan::SizeView::of(job, eye, habit, dial.as_ref()?, advice).next;
    Ok(Eye::BOTH.map(|eye| job.made(eye).ok().and_then(|_| next(eye))))
}

fn lens(job: &Job, eye: Eye) -> &Sizing {
    &job.state.lens(eye).sizing
}

/// What the size is, and what it was when that was something else.
fn change(before: &Sizing, after: &Sizing) -> String {
    match before.size {
        Some(_) if before.size != after.size => format!("{}, was {}", now(after), size_words(before)),
        _ => now(after),
    }
}

/// What the size of a lens is now.
pub(super) fn now(sizing: &Sizing) -> String {
    format!("size now {}", size_words(sizing))
}

fn size_words(sizing: &Sizing) -> String {
    sizing.size.map_or("not cut yet".to_owned(), |(basis, span)| format!("{span} on {basis}"))
}

/// What a person should know beside a pass.
fn hints(before: &Job, after: &Job, pass: &Pass) -> Vec<String> {
    let eye = pass.lens.eye;
    let sizing = lens(before, eye);
    let mut hints = Vec::new();
    let shown = before.state.known(eye).shown;
    if let (true, Err(refusal)) = (pass.past, shown.guard(sizing, &pass.dialled)) {
        hints.push(format!("cut in spite of STOP: {refusal}"));
    }
    if let Some(size) = taken_nothing(sizing, pass) {
        hints.push(format!("this took nothing off: the lens was at {size} already"));
    }
    hints.extend(against_other_eye(after, pass));
    match pass.outcome {
        Outcome::Loose => {
            hints.extend(after.uncaused().filter(|lens| lens.eye == eye && !lens.replaced).map(|lens| {
                format!("the lens went past its fit; remake it with: bevelbook {}", lens.command())
            }));
        }
        Outcome::Abandoned => hints.extend(settling(lens(after, eye), pass)),
        _ => {}
    }
    if before.state.lens(eye).checks.get(CheckItem::Strain) == Some(false) {
        hints.push(format!("the {eye} lens was strained by its rim; look for strain again once it fits"));
    }
    hints
}

/// The size that a pass left as it was, when it could not take anything off.
fn taken_nothing(before: &Sizing, pass: &Pass) -> Option<Size> {
    let (basis, span) = before.size?;
    let convert = |offset| Size { basis, offset }.on(pass.dialled.basis);
    let high = convert(span.high?);
    let unchanged = Span { low: convert(span.low), high: Some(high) };
    let nothing = before.after(&pass.dialled, false) == unchanged;
    nothing.then_some(Size { basis: pass.dialled.basis, offset: high })
}

/// A warning when this lens is now below the size at which the other one fitted. It does not stop anyone: two
/// rims of a frame differ.
fn against_other_eye(job: &Job, pass: &Pass) -> Option<String> {
    let eye = pass.lens.eye;
    let fits = lens(job, eye.other()).fits?;
    let (basis, span) = lens(job, eye).size?;
    let size = Size { basis, offset: span.low };
    let below = pass.outcome != Outcome::Abandoned && size.compare(fits) == Ordering::Less;
    below.then(|| format!("the {} lens of this job fitted larger, at {fits}", eye.other()))
}

/// How a size that is only known as a span becomes known.
fn settling(sizing: &Sizing, pass: &Pass) -> Option<String> {
    let (basis, span) = sizing.size?;
    Some(match (span.high, pass.dialled.counting) {
        (None, _) => {
            format!("the first cut was not finished; cut it again, at {:+} mm on {basis}", span.low.fine())
        }
        (Some(_), Counting::Absolute) => {
            format!("the size is known again once {:+} mm has run to its end", span.low.fine())
        }
        (Some(_), Counting::TakeOff { .. }) => format!(
            "what this pass took off is not known; STOP counts with the smaller end, {:+} mm on {basis}",
            span.low.fine()
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::record::{JobId, LensId};
    use bevelbook_core::sizing::{Basis, Dialled};

    fn pass(basis: Basis, counting: Counting, milli: i32, outcome: Outcome) -> Pass {
        let lens = LensId { job: JobId(7), eye: Eye::Right, number: 1 };
        let dialled = Dialled { basis, counting, amount: Length::from_milli(milli) };
        Pass { advised: None, lens, dialled, outcome, past: false }
    }

    fn sized(passes: &[Pass]) -> Sizing {
        let mut sizing = Sizing::default();
        passes.iter().for_each(|pass| sizing.apply(&pass.dialled, pass.outcome));
        sizing
    }

    const ABSOLUTE: Counting = Counting::Absolute;
    const TAKE_OFF: Counting = Counting::TakeOff { from: Length::from_milli(500) };

    #[test]
    fn a_size_at_or_above_the_present_one_takes_nothing_off() {
        let sizing = sized(&[pass(Basis::Diameter, ABSOLUTE, 200, Outcome::JustTooBig)]);
        let nothing = |pass: Pass| taken_nothing(&sizing, &pass).map(|size| size.to_string());
        for milli in [200, 250] {
            let at = nothing(pass(Basis::Diameter, ABSOLUTE, milli, Outcome::JustTooBig));
            assert_eq!(at.as_deref(), Some("+0.20 mm on diameter"));
        }
        assert_eq!(nothing(pass(Basis::Diameter, ABSOLUTE, 150, Outcome::Fits)), None);
        // 0.1 mm of radius is 0.2 mm across.
        let at = nothing(pass(Basis::Radius, ABSOLUTE, 100, Outcome::JustTooBig));
        assert_eq!(at.as_deref(), Some("+0.10 mm on radius"));
        assert!(nothing(pass(Basis::Diameter, TAKE_OFF, 0, Outcome::JustTooBig)).is_some());
        assert_eq!(nothing(pass(Basis::Diameter, TAKE_OFF, 50, Outcome::JustTooBig)), None);
    }

    #[test]
    fn a_first_cut_always_takes_something_off() {
        let first = pass(Basis::Girth, TAKE_OFF, 0, Outcome::FarTooBig);
        assert_eq!(taken_nothing(&Sizing::default(), &first), None);
        let broken = sized(&[pass(Basis::Girth, TAKE_OFF, 0, Outcome::Abandoned)]);
        assert_eq!(taken_nothing(&broken, &first), None);
    }

    #[test]
    fn a_span_becomes_known_in_the_way_its_dial_allows() {
        let first = pass(Basis::Diameter, ABSOLUTE, 400, Outcome::FarTooBig);
        let broken = pass(Basis::Diameter, ABSOLUTE, 200, Outcome::Abandoned);
        let words = |passes: &[Pass]| settling(&sized(passes), &passes[passes.len() - 1]).unwrap();
        assert!(words(&[broken]).contains("cut it again, at +0.20 mm on diameter"));
        assert!(words(&[first, broken]).contains("once +0.20 mm has run to its end"));
        let off = pass(Basis::Diameter, TAKE_OFF, 200, Outcome::Abandoned);
        assert!(words(&[first, off]).contains("smaller end, +0.20 mm on diameter"));
    }

    #[test]
    fn a_figure_without_its_point_is_not_taken_for_a_size() {
        assert!(figure("35").unwrap_err().contains("decimal point"));
        assert_eq!(figure("−0.05").map(Length::milli), Ok(-50));
        assert_eq!(figure("20").map(Length::milli), Ok(20_000));
    }
}
