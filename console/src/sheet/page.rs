//! The bench's page: head, order, plan and drawings; below them what was done and how it is judged.

use super::bar_code::bar_code;
use super::document::{Content, document, entry};
use super::drawing::hundredths;
use super::plan_table::plan_table;
use super::words::{condition, own};
use super::{drawing, log, verdict};
use crate::desk::Order;
use crate::view::plan::Sheet;
use crate::work::{Job, job_code};
use maud::{Markup, html};

const CAUTIONS: &str = "Eye and hand protection on, guards closed; keep clear of dust and coolant. No lens is \
    unbreakable. Only a licensed prescriber changes a prescription. Local law says who may verify and dispense. \
    Impact resistance is tested by the local rule. The verdict is an aid at the bench, not a certificate.";

pub(super) fn page(&Content { job, plan, inspection, name, now }: &Content<'_>) -> Markup {
    let body = html! {
        (header(job, &inspection.status, name))
        main {
            (order(&job.order, &plan.plan.material.name))
            (plan_table(plan.rows.iter().filter(|row| row.sheet != Sheet::Left), &plan.card(name)))
            (drawing::drawings(&plan.plan))
            (log::log(job, now.time_zone()))
            (verdict::verdict(inspection, now.time_zone()))
        }
        footer {
            (CAUTIONS) " bevelbook " (env!("CARGO_PKG_VERSION")) ", printed "
            (now.strftime("%Y-%m-%d %H:%M %:z")) ", job " (job.order.number) " (" (job.id) ")."
        }
    };
    document("bench", &format!("Job {}", job.order.number), &body)
}

fn header(job: &Job, status: &str, name: Option<&str>) -> Markup {
    let order = &job.order;
    html! {
        header {
            h1 { "Job " (order.number) }
            dl {
                (entry("tray", order.tray.as_deref().unwrap_or("none")))
                (entry("customer", &order.customer))
                @if let Some(name) = name { (entry("name", name)) }
                (entry("due", &order.due.map_or_else(|| "no due date".into(), |date| date.to_string())))
                (entry("prescribed", &order.prescribed.map_or_else(|| "no date".into(), |date| date.to_string())))
                (entry("status", status))
            }
            (bar_code(&job_code(order.number)))
        }
    }
}

fn order(order: &Order, material: &str) -> Markup {
    let frame = &order.frame;
    let ed = frame.size.ed.map_or_else(|| "not given".into(), |ed| hundredths(ed).to_string());
    let listed = |treatments: &[String]| match treatments {
        [] => own("none"),
        some => own(&some.join(", ")),
    };
    html! {
        section.order {
            p.facts {
                b { "Frame " } (own(&frame.model)) ", " (frame.label()) ", B " (hundredths(frame.size.b)) ", ED " (ed) "; "
                (frame.rim.named()) @if !frame.material.is_empty() { " of " (own(&frame.material)) }
                "; " (condition(frame.condition)) ". "
                b { "Lenses " } (own(material)) ", " (order.lens.design) "; treatments: "
                (listed(&order.lens.treatments)) ". "
                b { "PD " } (order.far_pd)
                @if let Some(near) = order.near_pd { ", near " (near) }
                @if let Some([right, left]) = order.heights { ". " b { "Heights " } (right) "/" (left) }
                "."
            }
        }
    }
}
