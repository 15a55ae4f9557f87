//! `plan`: what is to be done at the bench.

mod json;
mod lens;
mod text;

pub(crate) use text::text;

use super::{Failure, Report, shop::Shop};
use crate::desk::Order;
use crate::plan::{BlankBy, EyePlan, Given, Plan};
use crate::trace::GirthBasis;
use bevelbook_core::tolerance::Design;
use clap::Args;

#[derive(Args)]
pub(crate) struct PlanArgs {
    /// Number, tray or customer's reference.
    job: String,
}

pub(crate) fn run(shop: &Shop, args: &PlanArgs) -> Result<Report, Failure> {
    let work = shop.open()?;
    let job = work.find(&args.job)?;
    let plan = Plan::of(&job.order, work.settings(), work.station()?.as_ref())?;
    let shown = work.fits_of(&job.order.frame)?;
    let report = Report::new(text(&job, &plan, &shown), json::plan(&job, &plan, &shown));
    Ok(hints(&job.order, &plan).into_iter().fold(report, Report::hint))
}

fn hints(order: &Order, plan: &Plan) -> Vec<String> {
    let mut hints: Vec<String> = plan.trace_notes.iter().map(|note| format!("trace: {note}")).collect();
    if plan.eyes.iter().any(EyePlan::dot_is_off_optical_centre) {
        hints.push(
            "with prescribed prism the centre dot is where the focimeter shows the prism, and the optical centre lies \
             elsewhere: centre and block on the dot"
                .into(),
        );
    }
    for eye in &plan.eyes {
        hints.extend(lens_hints(eye));
    }
    if plan.eyes.iter().filter_map(|eye| eye.body.as_ref().ok()).any(taken) {
        hints.push(
            "what is taken for a lens is a rule of the shop, not what will be made: bevelbook settings show"
                .into(),
        );
    }
    if order.lens.design != Design::SingleVision {
        hints.push(
            "thickness is that of the distance power alone with round surfaces; this design differs".into(),
        );
    }
    if plan.first_size.dialled.is_none() {
        hints.push("the station has not stated its dial: bevelbook station dial --help".into());
    }
    if plan.eyes.iter().any(|eye| matches!(eye.blank.by, BlankBy::Diagonal(_))) {
        hints
            .push("no ED was ordered: the least blank is an upper bound from the diagonal of the box".into());
    }
    if order.heights.is_none() {
        hints.push(
            "no heights were ordered: the centre dots sit on the horizontal through the boxed centres".into(),
        );
    }
    hints.push(
        "handling and first sizes are common practice, yours to change: bevelbook settings show".into(),
    );
    hints
}

/// What of one lens wants a sentence.
fn lens_hints(eye: &EyePlan) -> Vec<String> {
    let mut hints = Vec::new();
    let name = eye.eye;
    if let Err(error) = &eye.optical_centre {
        hints.push(format!("{name}: the optical centre lies nowhere on the lens: {error}"));
    }
    match &eye.body {
        Err(error) => hints.push(format!("{name}: no thickness: {error}")),
        Ok(body) => {
            hints.extend(body.groove.iter().map(|warning| format!("{name}: {warning}")));
            if let Some(Err(error)) = &body.bevel {
                hints.push(format!("{name}: {error}"));
            }
        }
    }
    if let Some(stated) = eye.shape.stated.filter(|stated| stated.basis() != GirthBasis::Plane) {
        hints.push(format!("{name}: {stated}"));
    }
    hints
}

fn taken(body: &crate::plan::Body) -> bool {
    [body.front.1, body.centre_from].contains(&Given::Taken)
}
