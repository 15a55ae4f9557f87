//! `job`: opening, looking up, changing and closing jobs.

use super::order_flags::{Emptying, FIELDS_TO_EMPTY, OrderFlags};
use super::trace_file::TraceFile;
use super::{Failure, Report, arguments, order_new, order_understood, shop::Shop};
use crate::desk::{Bearer, Cause, Remark, ReopenedFor};
use crate::view::{JobTable, JobView, Listing, RecordRow, WholeJob};
use crate::work::{Job, Jobs, Line, Remade, Work};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use clap::Subcommand;
use clap::builder::{PossibleValue, TypedValueParser};
use serde_json::json;

#[derive(Subcommand)]
pub(crate) enum JobCommand {
    /// Open a job from an order: given by flags or a file, or asked for step by step.
    #[command(after_help = order_new::HELP)]
    New(order_new::NewArgs),
    /// List the open jobs.
    List {
        /// List closed jobs too.
        #[arg(long)]
        all: bool,
    },
    /// Find jobs by what is known of one: a name, a frame, a tray, a day.
    #[command(
        after_help = "Examples: bevelbook job find wolff\n          bevelbook job find lindgren fri\n\n\
        A word may be a part of the customer's name or reference or of the frame's model, the job's number, and of an open job \
        its tray (T4) and the day for which it is promised. With several words a job has to fit all of them."
    )]
    Find {
        /// What is known of it.
        #[arg(value_name = "WORD", required = true, value_parser = arguments::filled)]
        words: Vec<String>,
    },
    /// Show a job and all its records.
    Show {
        /// Number, T4 for a tray, or customer's reference.
        job: String,
    },
    /// Change the order of an open job.
    #[command(after_help = "Example: bevelbook job amend 3 --pd 31/30.5 --why \"measured again\"")]
    Amend {
        /// Number, T4 for a tray, or customer's reference.
        job: String,
        /// Why; it stays beside the change for good.
        #[arg(long, value_parser = arguments::filled)]
        why: String,
        #[command(flatten)]
        order: Box<OrderFlags>,
        /// A field to empty; may be given more than once.
        #[arg(long = "clear", alias = "empty", value_name = "FIELD", value_parser = arguments::one_of(FIELDS_TO_EMPTY))]
        empty: Vec<Emptying>,
    },
    /// Close a job.
    #[command(
        after_help = "Examples: bevelbook job close 3\n          bevelbook job close 3 --how cancelled --despite \"the \
        customer moved away\"\n\n\
        A job that is not signed off within is closed only with --despite and the reason, however it ends."
    )]
    Close {
        /// Number, T4 for a tray, or customer's reference.
        job: String,
        /// How it ended.
        #[arg(long, default_value = "handed over", value_parser = arguments::filled)]
        how: String,
        /// Why it is closed although it is not signed off within.
        #[arg(long, value_name = "WHY", value_parser = arguments::filled)]
        despite: Option<String>,
    },
    /// Open a closed job again without a new lens; it has to be signed off again.
    #[command(
        after_help = "Example: bevelbook job reopen 3 --for adjustment --why \"the left temple was bent\""
    )]
    Reopen {
        /// Its number.
        job: String,
        /// What for.
        #[arg(long = "for", value_name = "REASON")]
        reason: ReopenedFor,
        /// Why; it stays in the log for good.
        #[arg(long, value_parser = arguments::filled)]
        why: String,
    },
    /// Remake the lens of one eye: it gets a new lens number. Opens a closed job.
    #[command(after_help = "Example: bevelbook job remake 3 left --cause slipped --charged-to shop")]
    Remake {
        /// Number, T4 for a tray, or customer's reference.
        job: String,
        /// Which eye.
        #[arg(value_parser = arguments::eye)]
        eye: Eye,
        /// Which lens of that eye was spoiled, where it is not the present one: its cause is told, and nothing else changes.
        #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u8).range(1..))]
        lens: Option<u8>,
        /// Why it is made again.
        #[arg(long, value_parser = cause())]
        cause: Cause,
        /// Who is charged for it.
        #[arg(long, alias = "bearer", value_name = "WHO")]
        charged_to: Bearer,
        /// What happened.
        #[arg(long, alias = "story", default_value = "", value_parser = arguments::words)]
        remark: String,
    },
    /// Attach a walk-in, opened at the keypad, to its order: its records become that job's.
    #[command(alias = "file", after_help = "Example: bevelbook job attach 3fa9 12")]
    Attach {
        /// The beginning of the walk-in's code, as `job list` tells it.
        #[arg(value_name = "WALK-IN")]
        own: String,
        /// The job it belongs to: number, T4 for a tray, or customer's reference.
        job: String,
    },
    /// Note that the lens of one eye came in.
    #[command(after_help = "Example: bevelbook job arrive 3 left --blank 70 --what \"base 6\"")]
    Arrive {
        /// Number, T4 for a tray, or customer's reference.
        job: String,
        /// Which eye.
        #[arg(value_parser = arguments::eye)]
        eye: Eye,
        /// Diameter of its blank: the plan then says whether it is enough.
        #[arg(long, value_name = "MM", value_parser = arguments::size)]
        blank: Option<Length>,
        /// What came: supplier, base curve.
        #[arg(long, default_value = "", value_parser = arguments::words)]
        what: String,
    },
}

pub(crate) fn run(shop: &Shop, command: JobCommand, json: bool) -> Result<Report, Failure> {
    let mut work = match command {
        JobCommand::New(args) => return order_new::run(shop, &args),
        JobCommand::List { .. } | JobCommand::Find { .. } | JobCommand::Show { .. } => shop.look()?,
        _ => shop.open()?,
    };
    match command {
        JobCommand::New(args) => order_new::run(shop, &args),
        JobCommand::List { all } => list(&work, all, json),
        JobCommand::Find { words } => super::find::find(&work, &words, json),
        JobCommand::Show { job } => work.at_one_moment(|| {
            let job = work.find_ahead(&job, |work| drop(work.stations()))?;
            let (customer_name, stations) = (work.customer_name(&job.order.customer)?, work.stations()?);
            let row = |line: &Line| -> Result<RecordRow, Failure> {
                let called = super::record::short(&work, line.id)?;
                let known = (job.order.number, job.order.frame.rim);
                Ok(RecordRow::of(line, Some(known), format!("  {called:>6}"), String::new(), &stations))
            };
            let records = Listing(job.lines.iter().map(row).collect::<Result<_, _>>()?);
            Ok(Report::of(&WholeJob { job: view(&work, &job)?, customer_name, records }))
        }),
        JobCommand::Amend { job, why, order, empty } => amend(&mut work, &job, &why, &order, &empty),
        JobCommand::Close { job, how, despite } => {
            let id = work.find(&job)?.id;
            let closed = work.close(id, &how, despite.as_deref())?;
            Ok(brief(&work, &closed)?.hints(uncaused(&closed)))
        }
        JobCommand::Reopen { job, reason, why } => {
            let id = work.find(&job)?.id;
            let (opened, in_use) = work.open_again(id, reason, &why)?;
            Ok(brief(&work, &opened)?.hints(order_understood::unusual(in_use.as_slice())))
        }
        JobCommand::Remake { job, eye, lens, cause, charged_to, remark } => {
            let id = work.find(&job)?.id;
            let Remade { job, spoiled, begun } = work.remake(id, eye, lens, cause, charged_to, &remark)?;
            let present = job.lens_number(eye);
            let done = match begun {
                true => format!("{eye}: lens {present} now; its sizing starts from the beginning"),
                false => format!("cause noted for {eye} lens {spoiled}; lens {present} stays as it is"),
            };
            Ok(brief(&work, &job)?.hint(done).hints(uncaused(&job)))
        }
        JobCommand::Attach { own, job } => {
            let from = work.find_unfiled(&own.to_lowercase())?;
            let id = work.find(&job)?.id;
            let job = work.file(from.id, id)?;
            let many = from.lines.len();
            let done = format!("{many} records of walk-in {} are of this job now", from.id);
            Ok(brief(&work, &job)?.hint(done).hints(uncaused(&job)))
        }
        JobCommand::Arrive { job, eye, blank, what } => {
            let id = work.find(&job)?.id;
            work.arrive(id, eye, blank, &what)?;
            brief(&work, &work.job(id)?)
        }
    }
}

/// What nobody told of its spoiled lenses, and how to tell it.
fn uncaused(job: &Job) -> impl Iterator<Item = String> {
    job.uncaused().map(|lens| lens.to_string())
}

/// A cause by the name that a record gives it.
fn cause() -> impl TypedValueParser<Value = Cause> {
    arguments::one_of(Cause::ALL.map(|cause| (PossibleValue::new(cause.name()).help(cause.words()), cause)))
}

fn view(work: &Work, job: &Job) -> Result<JobView, Failure> {
    Ok(JobView::of(job, &work.settings().tolerances()?))
}

fn brief(work: &Work, job: &Job) -> Result<Report, Failure> {
    let view = view(work, job)?;
    Ok(Report::new(view.line(), json!(view)))
}

fn amend(
    work: &mut Work,
    wanted: &str,
    why: &str,
    flags: &OrderFlags,
    empty: &[Emptying],
) -> Result<Report, Failure> {
    let traced = flags.traced()?;
    let before = work.find(wanted)?;
    let mut left_behind = false;
    let (job, remarks) = work.amend(before.id, why, flags.name.as_deref(), |order| {
        left_behind = flags.apply(order, traced.as_ref());
        empty.iter().for_each(|empty| empty(order));
    })?;
    let overtaken = job.overtaken().into_iter().map(|done| format!("warning: {done}"));
    let shown = view(work, &job)?;
    let report = ordered("amended", &shown, &remarks, flags, traced.as_ref(), left_behind).hints(overtaken);
    Ok(if job.signed.is_none() { super::record::unsigned(report, &before) } else { report })
}

/// The order as it was understood, with what had to be interpreted, what is unusual, and what is to be known of a trace
/// that was taken in or left behind.
fn ordered(
    what: &str,
    view: &JobView,
    remarks: &[Remark],
    flags: &OrderFlags,
    traced: Option<&TraceFile>,
    left_behind: bool,
) -> Report {
    Report::new(format!("{what} {view}"), json!(view))
        .hints(flags.interpreted())
        .hints(order_understood::unusual(remarks))
        .hints(traced.map(TraceFile::hints).unwrap_or_default())
        .hints(left_behind.then(|| order_understood::LEFT_BEHIND.into()))
}

fn list(work: &Work, all: bool, json: bool) -> Result<Report, Failure> {
    let standard = work.settings().tolerances()?;
    let view = |job: Job| JobView::of(&job, &standard);
    let Jobs { whole: shown, damaged } = if all { work.all_jobs(view)? } else { work.open_jobs(view)? };
    let closed = if shown.is_empty() { work.closed()? } else { 0 };
    let empty = match (shown.len(), closed) {
        (0, 0) => Some("the book has no jobs yet; `bevelbook job new` opens one".into()),
        (0, closed) => Some(format!("no job is open; {closed} are closed, --all lists them")),
        _ => None,
    };
    let unfiled = work.unfiled()?.into_iter().map(|own| {
        format!(
            "walk-in {} ({} records) belongs to no order yet: bevelbook job attach {:.4} JOB",
            own.id,
            own.lines.len(),
            own.id.to_string()
        )
    });
    let damaged = damaged.iter().map(|what| format!("left out: {what}"));
    Ok(Report::of_one(&JobTable(shown), json).hints(damaged.chain(unfiled).chain(empty)))
}
