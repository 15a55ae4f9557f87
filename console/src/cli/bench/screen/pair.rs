//! The pair in hand as it is shown: what is ordered, how far each lens is sized, what was read of it, and what comes next.
//!
//! Every judgement is the inspection's, every figure the view's; here they are only put into rows.

use super::gauge::Gauge;
use crate::cli::paint::{Said, Tone};
use crate::inspection::Inspection;
use crate::settings::Tolerances;
use crate::view::inspection::{EyeView, FindingView, InspectionView};
use crate::view::plan::{SizeView, to_dial, why};
use crate::view::{EnteredView, ordered_words};
use crate::work::{Fact, Job, JobStatus, Line, Unfiled};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, Reading, RecordId, Step};
use bevelbook_core::sizing::{Advice, Dial, Dialled, Habit, Rim, Sizing};
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
    /// Why the book tells the next size, at length and in brief; none where it does not.
    pub(super) why: Option<[String; 2]>,
    pub(super) gauge: Option<Gauge>,
    /// Each pass: its number, the figure on the dial, what the hand felt.
    pub(super) passes: Vec<String>,
    /// What was read, and each quantity against its limit, what is out first.
    pub(super) read: Vec<Said>,
    /// The same with all that is within in one row.
    pub(super) brief: Vec<Said>,
}

/// What says how big to cut next.
#[derive(Clone, Copy)]
pub(super) struct Advised<'b> {
    pub(super) habit: &'b Habit,
    pub(super) dial: Option<&'b Dial>,
    /// What the book tells of the frame.
    pub(super) book: Option<&'b Advice>,
}

impl<'b> Advised<'b> {
    fn next(&self, job: &Job, eye: Eye) -> Option<Dialled> {
        SizeView::of(job, eye, self.habit, self.dial?, self.book).next
    }

    /// What the book tells, where the next size of a lens follows it.
    fn book(&self, job: &Job, eye: Eye) -> Option<&'b Advice> {
        let known = job.state.known(eye).by_book(self.book);
        let follows = job.made(eye).is_ok() && known.follows_book() && known.over_rim.is_none();
        self.book.filter(|_| follows && known.told().is_some())
    }
}

impl Pair {
    /// A job that was ordered, and what the book tells of its frame.
    pub(super) fn of(job: &Job, standard: &Tolerances, bench: &Advised<'_>) -> Self {
        let view = InspectionView::of(&Inspection::of(job, standard));
        let status = job.status(standard);
        let next = next(job, &status, bench);
        let in_hand = status.next().and_then(Step::eye);
        let [right, left] = view.eyes();
        let eyes = [(Eye::Right, right), (Eye::Left, left)].map(|(eye, seen)| Lens {
            in_hand: in_hand == Some(eye),
            ..lens(job, eye, (seen, &view.findings), bench)
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
fn next(job: &Job, status: &JobStatus, bench: &Advised<'_>) -> Said {
    let more = match status {
        JobStatus::InWork { next: Step::Size(eye), .. } => {
            bench.next(job, *eye).map_or(String::new(), |next| format!("; {}", to_dial(next)))
        }
        // Whoever has the lenses in hand need not note that they came.
        JobStatus::Waiting { next, .. } => format!("; then {next}"),
        _ => String::new(),
    };
    let tone = if status.is_out() { Tone::Bad } else { Tone::Strong };
    Said::new(tone, format!("{status}{more}"))
}

fn lens(job: &Job, eye: Eye, (seen, findings): (&EyeView, &[FindingView]), bench: &Advised<'_>) -> Lens {
    let state = job.state.lens(eye);
    let made = job.made(eye);
    let again =
        if made.is_ok() && state.number > 1 { format!(", lens {}", state.number) } else { String::new() };
    let (passes, after) = passes(job, eye);
    let first = || bench.next(job, eye).map(|next| format!("first cut: {}", to_dial(next)));
    let book = bench.book(job, eye);
    let size = match (&made, state.sizing.size) {
        (Err(_), _) => String::new(),
        (_, None) => first().unwrap_or_else(|| size(&state.sizing)),
        _ => size(&state.sizing),
    };
    let [read, brief] = read(job, eye, seen, findings);
    Lens {
        heading: format!("{eye}{again}"),
        in_hand: false,
        ordered: ordered_words(job.order.eye(eye)),
        size,
        why: book.zip(bench.dial).map(|(book, dial)| why(book, dial.basis)),
        gauge: Gauge::of(&after, book),
        passes,
        read,
        brief,
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
    for line in job.standing() {
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

/// What was read in the frame against its limits; before that, what was read uncut. At length and in brief.
fn read(job: &Job, eye: Eye, seen: &EyeView, findings: &[FindingView]) -> [Vec<Said>; 2] {
    let state = job.state.lens(eye);
    let said = |words: String, entered: Option<&EnteredView>, found: Vec<&FindingView>| {
        let within = found.iter().filter(|found| found.within).map(|found| found.name);
        let names = within.collect::<Vec<_>>().join(", ");
        let names = (!names.is_empty()).then(|| Said::new(Tone::Good, format!("✓ within: {names}")));
        let entered = entered.and_then(EnteredView::words).map(|how| Said::new(Tone::Look, how));
        let words: Vec<Said> = [Said::plain(words)].into_iter().chain(entered).collect();
        let out = rows(found.iter().copied().filter(|found| !found.within));
        let long = words.iter().cloned().chain(rows(found.into_iter())).collect();
        [long, words.into_iter().chain(out).chain(names).collect()]
    };
    let power = |reading: &Reading| reading.read.power().minus_cylinder();
    match (&state.mounted, &state.uncut.zip(seen.uncut.as_ref())) {
        _ if !job.order.eye(eye).wanted.is_made() => Default::default(),
        _ if !job.order.eye(eye).wanted.is_judged() => said(seen.said.clone(), None, Vec::new()),
        (Some(reading), _) => {
            let of = findings.iter().filter(|found| found.subject == seen.name).collect();
            said(format!("read in the frame {}", power(reading)), seen.entered.as_ref(), of)
        }
        (None, Some((reading, uncut))) => {
            let words = format!("read uncut {}", power(reading));
            said(words, uncut.entered.as_ref(), uncut.findings.iter().collect())
        }
        (None, None) => said("not read yet".to_owned(), None, Vec::new()),
    }
}

/// Each quantity against its limit, what is out first; the sign stands before the figures, so that none cuts it off.
fn rows<'f>(findings: impl Iterator<Item = &'f FindingView>) -> Vec<Said> {
    let (within, out): (Vec<_>, Vec<_>) = findings.partition(|found| found.within);
    let said = |found: &FindingView| {
        let (tone, sign) = match (found.within, found.at_limit) {
            (false, _) => (Tone::Bad, "✗ OUT"),
            (true, true) => (Tone::Look, "✓ at the limit:"),
            (true, false) => (Tone::Good, "✓"),
        };
        let figures = if found.within { found.brief() } else { format!("{} {}", found.name, found.off()) };
        Said::new(tone, format!("{sign} {figures}"))
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
