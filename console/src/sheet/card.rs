//! What the hand goes by, as the one screen of `plan` has it: a card for the tray, half a page high.

use super::bar_code::bar_code;
use super::document::{Content, document, entry};
use super::plan_table::plan_table;
use crate::work::job_code;
use maud::{Markup, html};

pub(super) fn page(&Content { job, plan, inspection, name, now }: &Content<'_>) -> Markup {
    let card = plan.card(name);
    let body = html! {
        header {
            h1 { "Job " (job.order.number) }
            dl {
                @for (name, words) in card.head.iter().skip(1) { (entry(name, words)) }
                (entry("status", &inspection.status))
            }
            (bar_code(&job_code(job.order.number)))
        }
        main { (plan_table(card.rows.iter().copied(), &card)) }
        footer { "Printed " (now.strftime("%Y-%m-%d %H:%M")) "; places are seen from the boxed centre, in mm." }
    };
    document("card", &format!("Job {}, card", job.order.number), &body)
}
