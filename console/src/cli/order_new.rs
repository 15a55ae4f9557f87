//! `job new`: orders from flags, from a file, or asked for step by step. However they come, they are understood, remarked on
//! and saved by the same words here.

use super::order_flags::OrderFlags;
use super::order_steps::with_answers;
use super::order_understood::{Before, NOTHING_SAVED, Understood, unusual};
use super::shop::Shop;
use super::{Failure, Report, order_batch, order_steps, plan, stop};
use crate::view::plan::PlanView;
use crate::view::{JobView, OrderLines};
use crate::work::acceptable;
use clap::Args;
use serde_json::{Value, json};
use std::path::PathBuf;

#[derive(Args)]
pub(crate) struct NewArgs {
    /// Take everything that is not given from this job.
    #[arg(long, value_name = "JOB")]
    like: Option<String>,
    /// Open a job for each order in a file, or for none of them; `-` is the standard input.
    #[arg(long, value_name = "FILE", conflicts_with = "like")]
    from: Option<PathBuf>,
    /// Say whether it can be opened and as what it is understood, and save nothing.
    #[arg(long)]
    check: bool,
    #[command(flatten)]
    order: Box<OrderFlags>,
}

pub(crate) const HELP: &str = "\
Without anything behind it, it asks step by step.

Example: bevelbook job new --customer K-17 --right \"-1.25 -0.75 x 15\" --left \"-1.50 -0.50 x 170\" --pd 31.5/31 \
--frame \"Lindgren 7\" --a 50 --b 38 --dbl 18 --ed 53 --rim metal --material cr39

A model that the shop has had before brings its sizes, its rim and its curve along.

A file of --from is TOML, or JSON with the same names. A field has the name of its flag; a list is right before left, or \
treatments. One order is its fields alone; of several, each stands below [[order]], or in a JSON array:

  [[order]]
  customer = \"K-17\"
  right = \"-1.25 -0.75 x 15\"
  left = \"-1.50 -0.50 x 170\"
  pd = [31.5, 31]
  frame = \"Lindgren 7\"
  a = 50
  b = 38
  dbl = 18
  ed = 53
  rim = \"metal\"
  material = \"cr39\"
  treatment = [\"HC\", \"AR\"]
  due = 2026-12-04";

pub(crate) fn run(shop: &Shop, args: &NewArgs) -> Result<Report, Failure> {
    let before = Before::of(shop)?;
    let nothing_given = *args.order == OrderFlags::default();
    match (&args.from, &args.like) {
        (Some(_), _) if !nothing_given => {
            Err(Failure::Use("with --from the file says everything; leave the other flags out".into()))
        }
        (Some(path), _) => {
            let orders = order_batch::read(&before, path)?;
            if args.check { checked(&before, orders) } else { saved_all(shop, before, orders) }
        }
        (None, None) if nothing_given && !args.check && order_steps::can_ask() => {
            stop::end_on_signals(NOTHING_SAVED)?;
            match order_steps::asked(&before)? {
                // All of it was shown before the last answer.
                Some((order, command)) => {
                    let saved = saved_one(shop, before, order).map_err(|why| with_answers(why, &command))?;
                    let number = &saved.json["job"];
                    let text = format!("opened job {number}; what is to be done: bevelbook plan {number}");
                    Ok(Report { text, hints: Vec::new(), ..saved })
                }
                None => Ok(Report { not_within: true, ..Report::new(NOTHING_SAVED, Value::Null) }),
            }
        }
        (None, like) => {
            let find = |like: &String| match &before.work {
                Some(work) => Ok(work.find(like)?.order),
                None => Err(Failure::NotFound(format!("no job `{like}`; the book has no job yet"))),
            };
            let like = like.as_ref().map(find).transpose()?;
            let order = Understood::of(&args.order, like, before.work.as_ref())?;
            if args.check { checked(&before, vec![order]) } else { saved_one(shop, before, order) }
        }
    }
}

/// Saves one order and shows it as it was understood.
fn saved_one(shop: &Shop, before: Before, mut order: Understood) -> Result<Report, Failure> {
    // What is refused begins no book.
    acceptable(before.reviewed(&mut order.new.order)?)?;
    drop(before);
    let mut work = shop.begin()?;
    stop::is_saving();
    let (job, remarks) = work.open_job(order.new.order, order.new.name.as_deref())?;
    let view = JobView::of(&job, &work.settings().tolerances()?);
    // It is open, whatever a plan of it says.
    let plan = plan::view(&work, &job).ok();
    let advised = plan.iter().flat_map(PlanView::advised);
    let advised: String = advised.map(|(name, words)| format!("\n  {name:<13}{words}")).collect();
    let report = Report::new(format!("opened {view}{advised}"), json!(view));
    let report = report.with("advice", plan.as_ref().and_then(|plan| plan.advice.as_ref()));
    Ok(report.hints(order.hints).hints(unusual(&remarks)))
}

/// Saves all orders of a file, or none.
fn saved_all(shop: &Shop, before: Before, orders: Vec<Understood>) -> Result<Report, Failure> {
    drop(before);
    let (new, hints): (Vec<_>, Vec<_>) = orders.into_iter().map(|order| (order.new, order.hints)).unzip();
    let mut work = shop.begin()?;
    let opened = work.open_batch(new)?;
    let standard = work.settings().tolerances()?;
    let hints = hints.into_iter().zip(&opened).enumerate().flat_map(|(at, (hints, (_, remarks)))| {
        hints.into_iter().chain(unusual(remarks)).map(move |hint| order_batch::numbered(at, &hint))
    });
    let hints: Vec<String> = hints.collect();
    let views: Vec<JobView> = opened.iter().map(|(job, _)| JobView::of(job, &standard)).collect();
    let lines: Vec<String> = views.iter().map(|view| format!("opened {view}")).collect();
    Ok(Report::new(lines.join("\n"), json!(views)).hints(hints))
}

/// What orders were understood as; nothing is saved.
fn checked(before: &Before, orders: Vec<Understood>) -> Result<Report, Failure> {
    let (mut hints, mut lines) = (Vec::new(), Vec::new());
    let alone = orders.len() == 1;
    let called = |at, said: &str| if alone { said.to_owned() } else { order_batch::numbered(at, said) };
    for (at, mut order) in orders.into_iter().enumerate() {
        let remarks = acceptable(before.reviewed(&mut order.new.order)?)?;
        let said = order.hints.into_iter().chain(unusual(&remarks));
        hints.extend(said.map(|hint| called(at, &hint)));
        lines.push(called(at, &format!("can be opened{}", OrderLines(&order.new.order))));
    }
    let json = json!({ "orders": lines.len(), "saved": false });
    Ok(Report::new(lines.join("\n"), json).hints(hints).hint(NOTHING_SAVED))
}
