//! `plan`: what is to be done at the bench, 80 columns wide.

use super::page::Page;
use super::{Failure, Report, shop::Shop};
use crate::advice::Earlier;
use crate::plan::Plan;
use crate::view::plan::{PlanView, Row};
use crate::work::{Job, Work};
use clap::Args;
use serde_json::json;

/// How many lines a screen has room for, the next prompt apart.
const SCREEN: usize = 23;

#[derive(Args)]
#[command(after_help = "Example: bevelbook plan T4 --full\n\n\
    What the bench needs is on one screen, in the order of work; positions are from the boxed centre.")]
pub(crate) struct PlanArgs {
    /// Number, tray or customer's reference.
    job: String,
    /// All that is known: thickness, curves, weight, shape, spare, every caution whole.
    #[arg(long)]
    full: bool,
}

pub(crate) fn run(shop: &Shop, args: &PlanArgs) -> Result<Report, Failure> {
    let work = shop.look()?;
    let (view, name) = work.at_one_moment(|| {
        let job = job(&work, &args.job)?;
        let customer = &job.order.customer;
        work.ahead(|work| {
            let _ = work.customer_name(customer);
            Earlier::ask(work, &job);
        })?;
        Ok::<_, Failure>((view(&work, &job)?, work.customer_name(customer)?))
    })?;
    let report = |text: String| Report::new(text, json!(view));
    if !args.full {
        return Ok(report(one_screen(&view, name.as_deref())));
    }
    Ok(report(whole(&view, name.as_deref())).hints(view.hints.iter().map(ToString::to_string)))
}

/// The job that is meant, whose plan is made next.
pub(crate) fn job(work: &Work, wanted: &str) -> Result<Job, Failure> {
    Ok(work.find_ahead(wanted, |work| drop((work.stations(), work.station())))?)
}

/// The plan of a job, made anew.
pub(crate) fn view(work: &Work, job: &Job) -> Result<PlanView, Failure> {
    work.at_one_moment(|| {
        work.ahead(|work| {
            let _ = work.station();
            Earlier::ask(work, job);
        })?;
        let measured = job.made.map(|making| making?.thickness);
        let plan = Plan::of(&job.order, work.settings(), work.station()?.as_ref(), measured)?;
        Ok(PlanView::of(job, plan, &Earlier::of(work, job)?))
    })
}

/// What the hand goes by.
pub(crate) fn one_screen(view: &PlanView, name: Option<&str>) -> String {
    let card = view.card(name);
    page(&card.head, card.rows.into_iter(), card.account.into_iter(), &[], card.warnings.into_iter())
        .within(SCREEN)
        .text()
}

/// All of it.
fn whole(view: &PlanView, name: Option<&str>) -> String {
    let ladders = view.advice.as_ref().map_or(&[][..], |advice| &advice.ladders);
    page(&view.head(name), view.rows.iter(), view.account.iter(), ladders, view.cautions()).text()
}

fn page<'v>(
    head: &[(&str, String)],
    rows: impl Iterator<Item = &'v Row>,
    account: impl Iterator<Item = &'v (&'static str, String)>,
    ladders: &[Row],
    cautions: impl Iterator<Item = String>,
) -> Page {
    let mut page = Page::default();
    page.flowed(head.iter().map(|(name, words)| format!("{name} {words}").trim_start().to_owned()));
    let columns = |name: &str, one: &str, other: &str| format!("{name:<17}{one:<32}{other}");
    let row = |Row { name, eyes: [one, other], .. }: &Row| columns(name, one, other);
    page.line(columns("", "right", "left"));
    rows.for_each(|one| page.line(row(one)));
    page.line("");
    for (name, words) in account {
        page.wrapped(&format!("{name:<17}"), words);
    }
    ladders.iter().for_each(|ladder| page.line(row(ladder)));
    for caution in cautions {
        page.wrapped("! ", &caution);
    }
    page
}
