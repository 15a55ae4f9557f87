//! An order before it is saved, whole: what it says, the pair as it will be laid out, and what the plan will warn of.

use super::Failure;
use super::order_understood::Before;
use crate::advice::Earlier;
use crate::desk::Order;
use crate::plan::Plan;
use crate::view::plan::PlanView;
use crate::view::{OrderLines, PairDrawing};
use crate::work::Job;

/// The rows of the plan that tell whether an order was meant.
const ROWS: [&str; 5] = ["decentration", "fitting cross", "segment top", "axis", "minimum blank"];

/// The order, the drawing below it, and the plan's cautions.
pub(crate) fn whole(before: &Before, order: &Order) -> Result<String, Failure> {
    let job = Job::drafted(order.clone())?;
    let (dial, earlier) = match &before.work {
        Some(work) => (work.station()?, Earlier::of(work, &job)?),
        None => (None, Earlier::default()),
    };
    let plan = Plan::of(order, &before.settings, dial.as_ref(), [None; 2])?;
    let drawing = PairDrawing::of(order, &plan).to_string();
    let view = PlanView::of(&job, plan, &earlier);
    let rows = view.rows.iter().filter(|row| ROWS.contains(&row.name)).map(|row| {
        let [right, left] = &row.eyes;
        format!("  {:<14}{right:<31}{left}", row.name).trim_end().to_owned()
    });
    let advised = view.advised().map(|(name, words)| format!("  {name:<14}{words}"));
    let cautions = view.cautions().map(|caution| format!("! {caution}"));
    let order = format!("\nThe order as it was understood:{}\n", OrderLines(order));
    let parts = [order, drawing].into_iter().chain(rows).chain(advised).chain(cautions);
    Ok(parts.collect::<Vec<_>>().join("\n"))
}
