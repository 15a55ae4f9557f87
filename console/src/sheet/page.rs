//! The page: head, order, plan and drawings; below them what was done and how it is judged.

use super::drawing::hundredths;
use super::words::{condition, own};
use super::{drawing, log, plan_table, verdict};
use crate::desk::Order;
use crate::view::inspection::InspectionView;
use crate::view::plan::PlanView;
use crate::work::Job;
use jiff::ZonedDateTime;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// What tells a sheet from any other file; it stands near the file's beginning.
pub(super) const MARKER: &str = "<meta name=\"generator\" content=\"bevelbook sheet\"/>";

const STYLE: &str = include_str!("style.css");

const CAUTIONS: &str = "Eye and hand protection on, guards closed; keep clear of dust and coolant. No lens is \
    unbreakable. Only a licensed prescriber changes a prescription. Local law says who may verify and dispense. \
    Impact resistance is tested by the local rule. The verdict is an aid at the bench, not a certificate.";

pub(super) fn page(
    job: &Job,
    plan: &PlanView,
    inspection: &InspectionView,
    name: Option<&str>,
    now: &ZonedDateTime,
) -> Markup {
    let zone = now.time_zone();
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                // Written out, so that the page is well-formed XML too: maud leaves such elements open.
                (PreEscaped("<meta charset=\"utf-8\"/>"))
                (PreEscaped(MARKER))
                title { "Job " (job.order.number) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                (header(job, &inspection.status, name))
                (order(&job.order, &plan.plan.material.name))
                (plan_table::plan_table(plan))
                (drawing::drawings(&plan.plan))
                (log::log(job, zone))
                (verdict::verdict(inspection, zone))
                footer {
                    p { (CAUTIONS) }
                    p {
                        "bevelbook " (env!("CARGO_PKG_VERSION")) ", printed "
                        (now.strftime("%Y-%m-%d %H:%M %:z")) ", job " (job.order.number) " (" (job.id) ")"
                    }
                }
            }
        }
    }
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
                (entry("due", &order.due.map_or_else(|| "not promised".into(), |date| date.to_string())))
                (entry("prescribed", &order.prescribed.map_or_else(|| "no date".into(), |date| date.to_string())))
                (entry("status", status))
            }
        }
    }
}

fn entry(name: &str, value: &str) -> Markup {
    html! { div { dt { (name) } dd { (own(value)) } } }
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
                "; " (condition(frame.condition)) "."
            }
            p.facts {
                b { "Lenses " } (own(material)) ", " (order.lens.design) "; treatments: "
                (listed(&order.lens.treatments)) ". "
                b { "PD " } (order.far_pd)
                @if let Some(near) = order.near_pd { ", near " (near) }
                @if let Some([right, left]) = order.heights { ". " b { "Heights " } (right) "/" (left) }
                ". All lengths in mm."
            }
        }
    }
}
