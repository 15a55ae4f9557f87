//! The pair in hand as it is shown: what is ordered, how far each lens is sized, what was read of it, and what comes next.
//!
//! Every judgement is the inspection's, every figure the view's; here they are only put into rows.

use super::gauge::Gauge;
use super::paint::{Said, Tone};
use crate::inspection::Inspection;
use crate::settings::Tolerances;
use crate::view::inspection::{EyeView, FindingView, InspectionView};
use crate::view::ordered_words;
use crate::view::plan::SizeView;
use crate::work::{Fact, Job, JobStatus, Line, Unfiled};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, RecordId, Step};
use bevelbook_core::sizing::{Dial, Habit, Rim, Sizing};
use bevelbook_core::tolerance::Verdict;

/// One pair.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Pair {
    /// The job in a line.
    pub(super) heading: String,
    /// What comes next.
    pub(super) next: Said,
    /// Right and left; none where nothing is ordered.
    pub(super) eyes: Option<[Lens; 2]>,
    /// What is judged of both together, what is out first, and what is to be looked at.
    pub(super) together: Vec<Said>,
    /// The last record that can be undone, and what it says.
    pub(super) last: Option<(RecordId, String)>,
}

/// One lens.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Lens {
    /// Whose it is, and which one for that eye.
    pub(super) heading: String,
    /// Whether the next step is about it.
    pub(super) in_hand: bool,
    pub(super) ordered: String,
    /// How large it is now, or what is cut first.
    pub(super) size: String,
    pub(super) gauge: Option<Gauge>,
    /// Each pass: its number, the figure on the dial, what the hand felt.
    pub(super) passes: Vec<String>,
    /// What was read, and each quantity against its limit, what is out first.
    pub(super) read: Vec<Said>,
}

impl Pair {
    /// A job that was ordered.
    pub(super) fn of(job: &Job, standard: &Tolerances, habit: &Habit, dial: Option<&Dial>) -> Self {
        let view = InspectionView::of(&Inspection::of(job, standard));
        let status = job.status(standard);
        let next = next(job, &status, habit, dial);
        let in_hand = status.next().and_then(Step::eye);
        let [right, left] = view.eyes();
        let eyes = [(Eye::Right, right), (Eye::Left, left)].map(|(eye, seen)| Lens {
            in_hand: in_hand == Some(eye),
            ..lens(job, eye, (seen, &view.findings), habit, dial)
        });
        let verdict = Said::new(tone(view.verdict), format!("pair: {}", view.said));
        let findings = rows(view.findings.iter().filter(|found| found.subject == "pair"));
        let look =
            view.warnings.iter().map(|warning| Said::new(Tone::Look, format!("look: {}", warning.text)));
        let together = [verdict].into_iter().chain(look).chain(findings).collect();
        Self {
            heading: heading(job),
            next,
            eyes: Some(eyes),
            together,
            last: last(&job.lines, job.order.frame.rim),
        }
    }

    /// No pair, and why.
    pub(super) fn none(heading: &str, next: Said) -> Self {
        Self { heading: heading.into(), next, ..Self::default() }
    }

    /// A walk-in: what was opened at the keypad and has no order yet.
    pub(super) fn of_walk_in(job: &Unfiled) -> Self {
        let id = job.id.to_string();
        let heading = format!("walk-in {id:.4}, {}: no order yet", job.rim.named());
        let attach = format!("attach it to its order: bevelbook job attach {id:.4} JOB");
        let sizing = |eye| &job.state.lens(eye).sizing;
        let sized = |eye| Said::plain(format!("{eye}: {}", size(sizing(eye))));
        let together = Eye::BOTH.into_iter().map(sized).collect();
        Self { heading, next: Said::plain(attach), eyes: None, together, last: last(&job.lines, job.rim) }
    }
}

fn heading(job: &Job) -> String {
    let order = &job.order;
    let tray = order.tray.as_ref().map_or(String::new(), |tray| format!(", tray {tray}"));
    let due = order.due.map_or(String::new(), |due| format!(", due {}", due.strftime("%a %-d %b")));
    let frame = format!("{}, {}", order.frame.model, order.frame.rim.named());
    format!("job {}{tray}, {}{due}: {frame}", order.number, order.customer)
}

/// What the job waits for; at a size with the figure to dial.
fn next(job: &Job, status: &JobStatus, habit: &Habit, dial: Option<&Dial>) -> Said {
    let more = match (status, dial) {
        (JobStatus::InWork { next: Step::Size(eye), .. }, Some(dial)) => {
            let next = SizeView::of(job, *eye, habit, dial).next;
            next.map_or(String::new(), |next| format!("; dial {next} on {}", next.basis))
        }
        // Whoever has the lenses in hand need not note that they came.
        (JobStatus::Waiting { next, .. }, _) => format!("; then {next}"),
        _ => String::new(),
    };
    let tone = if status.is_out() { Tone::Bad } else { Tone::Strong };
    Said::new(tone, format!("{status}{more}"))
}

fn lens(
    job: &Job,
    eye: Eye,
    (seen, findings): (&EyeView, &[FindingView]),
    habit: &Habit,
    dial: Option<&Dial>,
) -> Lens {
    let state = job.state.lens(eye);
    let made = job.made(eye);
    let again =
        if made.is_ok() && state.number > 1 { format!(", lens {}", state.number) } else { String::new() };
    let (passes, after) = passes(job, eye);
    let first = || {
        let next = SizeView::of(job, eye, habit, dial?).next?;
        Some(format!("first cut: dial {next} on {}", next.basis))
    };
    let size = match (&made, state.sizing.size) {
        (Err(_), _) => String::new(),
        (_, None) => first().unwrap_or_else(|| size(&state.sizing)),
        _ => size(&state.sizing),
    };
    Lens {
        heading: format!("{eye}{again}"),
        in_hand: false,
        ordered: ordered_words(job.order.eye(eye)),
        size,
        gauge: Gauge::of(&after),
        passes,
        read: read(job, eye, seen, findings),
    }
}

fn size(sizing: &Sizing) -> String {
    sizing.size.map_or("not cut yet".into(), |(basis, span)| {
        let now = if span.exact().is_some() { "now " } else { "" };
        format!("{now}{span} on {basis}")
    })
}

/// The passes of the present lens that hold, in words, and the account after each.
fn passes(job: &Job, eye: Eye) -> (Vec<String>, Vec<Sizing>) {
    let lens = job.pair().lens(eye);
    let course = job.course(lens);
    let mut said = Vec::new();
    let mut accounts = Vec::new();
    for line in job.lines.iter().filter(|line| !line.void) {
        if let Fact::Bench(Bench::Pass(pass)) = &line.fact
            && pass.lens == lens
            && let Some((_, state)) = course.iter().find(|(id, _)| *id == line.id)
        {
            accounts.push(state.sizing);
            said.push(format!("{} {} {}", accounts.len(), pass.dialled, pass.outcome));
        }
    }
    (said, accounts)
}

/// What was read in the frame against its limits; before that, what was read uncut.
fn read(job: &Job, eye: Eye, seen: &EyeView, findings: &[FindingView]) -> Vec<Said> {
    let state = job.state.lens(eye);
    let wanted = job.order.eye(eye).wanted;
    match (&state.mounted, &seen.uncut) {
        _ if !wanted.is_judged() => vec![Said::plain(seen.said.clone())],
        (Some(reading), _) => {
            let words = format!("read in the frame {}", reading.read.power().minus_cylinder());
            let judged = rows(findings.iter().filter(|found| found.subject == seen.name));
            [Said::plain(words)].into_iter().chain(judged).collect()
        }
        (None, Some(uncut)) => {
            let words = format!("read uncut {}", uncut.said);
            [Said::plain(words)].into_iter().chain(rows(uncut.findings.iter())).collect()
        }
        (None, None) => vec![Said::plain("not read yet")],
    }
}

/// Each quantity against its limit, what is out first; the word stands before the figures, so that none cuts it off.
fn rows<'f>(findings: impl Iterator<Item = &'f FindingView>) -> Vec<Said> {
    let (within, out): (Vec<_>, Vec<_>) = findings.partition(|found| found.within);
    let said = |found: &FindingView| {
        let [_, _, error, limit, _] = found.figures;
        let (tone, held) = (if found.within { Tone::Good } else { Tone::Bad }, found.held());
        Said::new(tone, format!("{held}: {} {error} off, limit {limit:#}", found.name))
    };
    out.into_iter().chain(within).map(said).collect()
}

const fn tone(verdict: Verdict) -> Tone {
    match verdict {
        Verdict::Within => Tone::Good,
        Verdict::Out => Tone::Bad,
        Verdict::NotJudged => Tone::Plain,
    }
}

/// The newest fact of the bench that holds: what is undone next.
fn last(lines: &[Line], rim: Rim) -> Option<(RecordId, String)> {
    let undoable = |line: &&Line| {
        let fact =
            matches!(&line.fact, Fact::Bench(fact) if !matches!(fact, Bench::Void(_) | Bench::Opened(_)));
        fact && !line.void && line.apart.is_none()
    };
    let line = lines.iter().filter(undoable).max_by_key(|line| line.position)?;
    Some((line.id, line.fact.describe(rim)))
}
