//! `job`: opening, looking up, changing and closing jobs.

use super::order_flags::{Emptied, OrderFlags};
use super::traced::Traced;
use super::{Failure, Report, arguments, job_text, shop::Shop};
use crate::desk::{Bearer, Cause, Remark, Severity};
use crate::work::{Job, Jobs, Remade, Work};
use bevelbook_core::prescription::Eye;
use clap::Subcommand;

#[derive(Subcommand)]
pub(crate) enum JobCommand {
    /// Open a job from an order.
    #[command(after_help = "Example: bevelbook job new --customer K-17 --right \"-1.25 -0.75 x 15\" --left \
        \"-1.50 -0.50 x 170\" --pd 31.5/31 --frame \"Lindgren 7\" --a 50 --b 38 --dbl 18 --ed 53 --rim metal \
        --material cr39")]
    New {
        /// Take everything that is not given from this job.
        #[arg(long, value_name = "JOB")]
        like: Option<String>,
        #[command(flatten)]
        order: Box<OrderFlags>,
    },
    /// List the open jobs.
    List {
        /// List closed jobs too.
        #[arg(long)]
        all: bool,
    },
    /// Show a job and all its records.
    Show {
        /// Number, tray or customer's reference.
        job: String,
    },
    /// Change the order of an open job.
    #[command(after_help = "Example: bevelbook job amend 3 --pd 31/30.5 --why \"measured again\"")]
    Amend {
        /// Number, tray or customer's reference.
        job: String,
        /// Why; it stands beside the change for good.
        #[arg(long, value_parser = arguments::filled)]
        why: String,
        #[command(flatten)]
        order: Box<OrderFlags>,
        /// A field to empty; may be given more than once.
        #[arg(long, value_name = "FIELD")]
        empty: Vec<Emptied>,
    },
    /// Close a job.
    #[command(after_help = "Example: bevelbook job close 3 --how \"handed over\"")]
    Close {
        /// Number, tray or customer's reference.
        job: String,
        /// How it ended.
        #[arg(long, default_value = "handed over", value_parser = arguments::filled)]
        how: String,
    },
    /// Make the lens of one eye again; the eye goes on with a new lens number. Opens a closed job.
    #[command(after_help = "Example: bevelbook job remake 3 left --cause slipped --bearer shop")]
    Remake {
        /// Number, tray or customer's reference.
        job: String,
        /// Which eye.
        #[arg(value_parser = arguments::eye)]
        eye: Eye,
        /// Why it is made again.
        #[arg(long)]
        cause: Cause,
        /// Who bears the cost.
        #[arg(long)]
        bearer: Bearer,
        /// What happened.
        #[arg(long, default_value = "")]
        story: String,
    },
    /// Put what was logged under a job opened at the keypad under the job it belongs to.
    #[command(after_help = "Example: bevelbook job file 3fa9 12")]
    File {
        /// The beginning of the keypad's job, as `job list` tells it.
        own: String,
        /// Number, tray or customer's reference of the job it belongs to.
        job: String,
    },
    /// Note that the lens of one eye came in.
    Arrive {
        /// Number, tray or customer's reference.
        job: String,
        /// Which eye.
        #[arg(value_parser = arguments::eye)]
        eye: Eye,
        /// What came: supplier, diameter, base curve.
        #[arg(long, default_value = "")]
        what: String,
    },
}

pub(crate) fn run(shop: &Shop, command: JobCommand) -> Result<Report, Failure> {
    let mut work = shop.open()?;
    match command {
        JobCommand::New { like, order } => new(&mut work, like.as_deref(), &order),
        JobCommand::List { all } => list(&work, all),
        JobCommand::Show { job } => show(&work, &work.find(&job)?),
        JobCommand::Amend { job, why, order, empty } => amend(&mut work, &job, &why, &order, &empty),
        JobCommand::Close { job, how } => {
            let id = work.find(&job)?.id;
            let closed = work.close(id, &how)?;
            let unsigned = closed.signed.is_none();
            let report = brief(&closed);
            Ok(if unsigned {
                report.hint("the pair was not signed off: bevelbook inspect shows what is missing")
            } else {
                report
            })
        }
        JobCommand::Remake { job, eye, cause, bearer, story } => {
            let id = work.find(&job)?.id;
            let Remade { job, begun } = work.remake(id, eye, cause, bearer, &story)?;
            let lens = job.lens_number(eye);
            Ok(brief(&job).hint(match begun {
                true => format!("the {eye} eye goes on with lens {lens}; its sizing starts anew"),
                false => format!("cause noted for lens {lens} of the {eye} eye, which the bench has begun"),
            }))
        }
        JobCommand::File { own, job } => {
            let from = work.find_unfiled(&own.to_lowercase())?;
            let id = work.find(&job)?.id;
            let job = work.file(from.id, id)?;
            let many = from.lines.len();
            Ok(brief(&job).hint(format!("{many} records of job {} of the keypad stand there now", from.id)))
        }
        JobCommand::Arrive { job, eye, what } => {
            let id = work.find(&job)?.id;
            work.arrive(id, eye, &what)?;
            Ok(brief(&work.job(id)?))
        }
    }
}

fn new(work: &mut Work, like: Option<&str>, flags: &OrderFlags) -> Result<Report, Failure> {
    let traced = flags.traced()?;
    let mut left_behind = false;
    let order = match like {
        Some(like) => {
            let mut order = work.find(like)?.order;
            left_behind = flags.leaves_trace_behind(&order.frame.model) && order.trace.take().is_some();
            // What belongs to one job only is not carried over.
            order.tray = None;
            order.due = None;
            flags.apply(&mut order, traced.as_ref());
            order
        }
        None => flags.order(traced.as_ref())?,
    };
    let (job, unusual) = work.open_job(order, flags.name.as_deref())?;
    let text = format!("opened {}", job_text::order(&job));
    let report = remarked(Report::new(text, job_text::json(&job)), flags, &unusual);
    Ok(about_trace(report, traced.as_ref(), left_behind))
}

fn amend(
    work: &mut Work,
    wanted: &str,
    why: &str,
    flags: &OrderFlags,
    empty: &[Emptied],
) -> Result<Report, Failure> {
    let traced = flags.traced()?;
    let job = work.find(wanted)?;
    let mut left_behind = false;
    let (job, unusual) = work.amend(job.id, why, flags.name.as_deref(), |order| {
        left_behind = flags.leaves_trace_behind(&order.frame.model) && order.trace.take().is_some();
        flags.apply(order, traced.as_ref());
        for field in empty {
            field.empty(order);
        }
    })?;
    let text = format!("amended {}", job_text::order(&job));
    let report = remarked(Report::new(text, job_text::json(&job)), flags, &unusual);
    Ok(about_trace(report, traced.as_ref(), left_behind))
}

/// Adds what is to be known of a trace that was taken in, or that was left behind.
fn about_trace(report: Report, traced: Option<&Traced>, left_behind: bool) -> Report {
    let hints = traced.map(Traced::hints).unwrap_or_default();
    let report = hints.into_iter().fold(report, Report::hint);
    match left_behind {
        true => report
            .hint("the trace was that of the earlier model and was left out; --trace FILE gives its own"),
        false => report,
    }
}

/// Adds what had to be interpreted and what is unusual.
fn remarked(report: Report, flags: &OrderFlags, unusual: &[Remark]) -> Report {
    let unusual = unusual.iter().filter(|remark| remark.severity == Severity::Unusual);
    let hints = flags.interpreted().into_iter();
    hints
        .chain(unusual.map(|remark| format!("unusual: {}: {}", remark.place, remark.text)))
        .fold(report, Report::hint)
}

fn brief(job: &Job) -> Report {
    Report::new(job_text::line(job), job_text::json(job))
}

fn list(work: &Work, all: bool) -> Result<Report, Failure> {
    let Jobs { whole: jobs, damaged } = work.jobs()?;
    let shown: Vec<&Job> = jobs.iter().filter(|job| all || job.closed.is_none()).collect();
    let json = shown.iter().map(|job| job_text::json(job)).collect();
    let report = Report::new(job_text::table(&shown), json);
    let report = damaged.iter().fold(report, |report, what| report.hint(format!("left out: {what}")));
    let report = work.unfiled()?.iter().fold(report, |report, own| {
        report.hint(format!(
            "job {} was opened at the keypad ({} records) and belongs to no order yet: bevelbook job file {:.4} JOB",
            own.id,
            own.lines.len(),
            own.id.to_string()
        ))
    });
    Ok(match (shown.len(), jobs.len()) {
        (0, 0) => report.hint("the book has no jobs yet; `bevelbook job new` opens one"),
        (0, closed) => report.hint(format!("no job is open; {closed} are closed, --all lists them")),
        _ => report,
    })
}

fn show(work: &Work, job: &Job) -> Result<Report, Failure> {
    let name = work.customer_name(&job.order.customer)?;
    let own = work.own_journal()?;
    let mut text = job_text::order(job);
    if let Some(name) = &name {
        text.push_str(&format!("\n  customer     {name}"));
    }
    text.push_str(&format!("\n  stands       {}\n\n{}", job.standing(), job_text::records(job, own)));
    let mut json = job_text::json(job);
    json["customer_name"] = name.into();
    json["records"] = job_text::records_json(job);
    Ok(Report::new(text, json))
}
