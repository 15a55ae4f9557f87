//! `plan`: what is to be done at the bench, 80 columns wide.

use super::page::Page;
use super::{Failure, Report, shop::Shop};
use crate::plan::Plan;
use crate::view::plan::PlanView;
use crate::work::{Job, Work};
use clap::Args;
use serde_json::json;

#[derive(Args)]
pub(crate) struct PlanArgs {
    /// Number, tray or customer's reference.
    job: String,
}

pub(crate) fn run(shop: &Shop, args: &PlanArgs) -> Result<Report, Failure> {
    let work = shop.look()?;
    let view = view(&work, &work.find(&args.job)?)?;
    let hints = view.cautions().chain(view.hints.iter().map(ToString::to_string));
    Ok(Report::new(text(&view), json!(view)).hints(hints))
}

/// The plan of a job, made anew.
pub(crate) fn view(work: &Work, job: &Job) -> Result<PlanView, Failure> {
    let measured = job.made.map(|making| making?.thickness);
    let plan = Plan::of_measured(&job.order, work.settings(), work.station()?.as_ref(), measured)?;
    Ok(PlanView::of(job, plan, &work.fits_of(&job.order.frame)?))
}

pub(crate) fn text(view: &PlanView) -> String {
    let mut page = Page::default();
    page.line(&view.heading);
    page.line("");
    page.line(format!("{:<18}{:<31}left", "", "right"));
    for row in &view.rows {
        let [right, left] = &row.eyes;
        page.line(format!("{:<18}{right:<31}{left}", row.name));
    }
    page.line("");
    for (name, words) in &view.account {
        page.wrapped(&format!("{name:<18}"), words);
    }
    page.text()
}
