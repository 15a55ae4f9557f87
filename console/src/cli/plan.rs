//! `plan`: what is to be done at the bench.

use super::{Failure, Report, figures, shop::Shop};
use crate::desk::Order;
use crate::plan::{EyePlan, FirstSize, Plan, tenth_up};
use crate::settings::Roughing;
use crate::work::Job;
use bevelbook_core::sizing::{Basis, Size};
use bevelbook_core::units::{Length, Power};
use clap::Args;
use serde_json::{Value, json};

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
    let report = Report::new(text(&job, &plan, &shown), plan_json(&job, &plan, &shown));
    Ok(hints(&job.order, &plan).into_iter().fold(report, Report::hint))
}

/// A plan in words.
pub(crate) fn text(job: &Job, plan: &Plan, shown: &[Size]) -> String {
    let order = &job.order;
    let tray = order.tray.as_ref().map_or(String::new(), |tray| format!(", tray {tray}"));
    let frame = &order.frame;
    let mut lines = vec![
        format!("job {}{tray}: {} {}, {} rim", order.number, frame.model, frame.label(), frame.rim),
        String::new(),
        format!("{:<18}{:<31}{}", "", "right", "left"),
    ];
    for (name, value) in rows() {
        let [right, left] = plan.eyes.each_ref().map(|eye| value(order, eye));
        if !(right.is_empty() && left.is_empty()) {
            lines.push(format!("{name:<18}{right:<31}{left}").trim_end().to_owned());
        }
    }
    lines.push(String::new());
    for eye in &plan.eyes {
        let name = format!("order, {}", eye.eye);
        lines.push(format!("{name:<18}{}", order_words(order, plan, eye)));
    }
    lines.push(format!("roughing          {}", plan.handling.roughing_words()));
    lines.push(format!("grip              {}", plan.handling.grip_words()));
    lines.push(format!("first size        {}", first_size_words(&plan.first_size)));
    lines.push(format!("this frame        {}", shown_words(shown)));
    lines.join("\n")
}

type Row = (&'static str, fn(&Order, &EyePlan) -> String);

/// What is said of each eye, in the order of work.
fn rows() -> [Row; 15] {
    [
        ("minus cylinder", |_, eye| eye.minus.to_string()),
        ("plus cylinder", |_, eye| eye.plus.to_string()),
        (
            "prism",
            |_, eye| if eye.ordered.prism.is_none() { String::new() } else { eye.ordered.prism.to_string() },
        ),
        ("addition", |_, eye| eye.ordered.add.map_or(String::new(), |add| add.to_string())),
        ("power at 90", |_, eye| meridian_words(eye.at_90)),
        ("power at 180", |_, eye| meridian_words(eye.at_180)),
        ("combined power", |_, eye| eye.minus.combined_power().to_string()),
        ("first line", |_, eye| match eye.minus.cylinder.is_zero() {
            true => format!("{}, at every axis", eye.minus.sphere),
            false => format!("{} at axis {}", eye.minus.sphere, eye.minus.axis),
        }),
        ("second line", |_, eye| match eye.minus.cylinder.is_zero() {
            true => format!("{}, the same", eye.minus.sphere),
            false => format!("{} at {}", eye.minus.combined_power(), eye.minus.axis.crossed()),
        }),
        ("three dots", |_, eye| match eye.dot_is_off_optical_centre() {
            true => format!("centre dot where {} shows", eye.ordered.prism),
            false => "centre dot on optical centre".into(),
        }),
        ("axis line", |_, eye| match eye.minus.cylinder.is_zero() {
            true => "none, a sphere".into(),
            false => format!("at {} to the line of dots", eye.minus.axis),
        }),
        ("centre dot sits", |_, eye| centre_words(eye)),
        ("segment top", |_, eye| segment_words(eye)),
        ("least blank", |_, eye| {
            let (ed, least) = (eye.blank.effective, eye.blank.least);
            format!(
                "{:.1} mm ({} {ed:.1})",
                tenth_up(least),
                if eye.blank.measured { "ED" } else { "diagonal" }
            )
        }),
        ("stocked blank", |_, eye| match eye.blank.stocked {
            Some(diameter) => format!("⌀ {diameter} mm serves"),
            None => "none is large enough".into(),
        }),
    ]
}

/// The lens to order for one eye.
fn order_words(order: &Order, plan: &Plan, eye: &EyePlan) -> String {
    let treatments = order.lens.treatments.iter().map(|t| format!(", {t}")).collect::<String>();
    let diameter = match eye.blank.stocked {
        Some(diameter) => format!("⌀ {diameter} mm"),
        None => format!("at least ⌀ {:.1} mm", tenth_up(eye.blank.least)),
    };
    format!("{} {}, {}, {diameter}{treatments}", plan.material.name, order.lens.design, eye.ordered)
}

/// A power between the principal ones is rounded for showing; an eighth is shown whole.
fn meridian_words(power: Power) -> String {
    if power.milli() % 125 == 0 { power.to_string() } else { format!("{power:.2}") }
}

fn centre_words(eye: &EyePlan) -> String {
    let way = |length: Length, plus: &str, minus: &str| match length.milli() {
        0 => None,
        milli => Some(format!("{:.1} {}", length.abs(), if milli > 0 { plus } else { minus })),
    };
    let inward = way(eye.centre_dot.inward, "in", "out").unwrap_or_else(|| "0 in".into());
    let up = match (eye.height, way(eye.centre_dot.up, "up", "down")) {
        (_, Some(up)) => up,
        (Some(_), None) => "0 up".into(),
        (None, None) => "on the datum".into(),
    };
    format!("{inward}, {up}")
}

fn segment_words(eye: &EyePlan) -> String {
    let Some((drop, inset)) = eye.segment else { return String::new() };
    let drop = drop.map_or("height not given".to_owned(), |drop| {
        format!("{:.1} {}", drop.abs(), if drop < Length::ZERO { "below" } else { "above" })
    });
    let inset = inset.map_or(String::new(), |inset| format!(", {inset:.1} inset"));
    format!("{drop}{inset}")
}

fn first_size_words(first: &FirstSize) -> String {
    let habit = format!("{} by the shop's habit", first.habit);
    match first.dialled {
        None => habit,
        Some(dialled) => format!("dial {dialled} on {} ({habit})", dialled.basis),
    }
}

/// What earlier lenses in this model and size have shown; no statistics.
fn shown_words(shown: &[Size]) -> String {
    if shown.is_empty() {
        return "nothing known yet of this model and size".into();
    }
    let mut sizes: Vec<Length> = shown.iter().map(|size| size.on(Basis::Diameter)).collect();
    sizes.sort_unstable();
    let list: Vec<String> = sizes.iter().map(|size| format!("{:+}", size.fine())).collect();
    let lenses = if sizes.len() == 1 { "1 lens".into() } else { format!("{} lenses", sizes.len()) };
    format!("{lenses} of this model and size fitted at {} mm on diameter", list.join(", "))
}

fn hints(order: &Order, plan: &Plan) -> Vec<String> {
    let mut hints = Vec::new();
    if plan.eyes.iter().any(EyePlan::dot_is_off_optical_centre) {
        hints.push(
            "with prescribed prism the centre dot is not the optical centre: spot it where the focimeter shows the \
             prism, and centre and block on the dot"
                .into(),
        );
    }
    if plan.first_size.dialled.is_none() {
        hints.push("the station has not stated its dial: bevelbook station dial --help".into());
    }
    if plan.eyes.iter().any(|eye| !eye.blank.measured) {
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

fn plan_json(job: &Job, plan: &Plan, shown: &[Size]) -> Value {
    let first = &plan.first_size;
    let [right, left] = plan.eyes.each_ref().map(eye_json);
    json!({
        "job": job.order.number,
        "right": right,
        "left": left,
        "material": plan.material.name,
        "roughing": match plan.handling.roughing { Roughing::Wet => "wet", Roughing::Dry => "dry" },
        "grip": if plan.handling.light_because.is_some() { "light" } else { "full" },
        "first_size": {
            "habit_mm": figures::millimetres(first.habit.offset),
            "habit_basis": first.habit.basis,
            "dialled_mm": first.dialled.map(|dialled| figures::millimetres(dialled.amount)),
            "dialled_basis": first.dialled.map(|dialled| dialled.basis),
        },
        "fitted_before_on_diameter_mm":
            shown.iter().map(|size| figures::millimetres(size.on(Basis::Diameter))).collect::<Vec<_>>(),
    })
}

fn eye_json(eye: &EyePlan) -> Value {
    json!({
        "minus": figures::lens(eye.minus),
        "plus": figures::lens(eye.plus),
        "at_90_d": figures::dioptres(eye.at_90),
        "at_180_d": figures::dioptres(eye.at_180),
        "combined_d": figures::dioptres(eye.minus.combined_power()),
        "in_mm": figures::millimetres(eye.centre_dot.inward),
        "up_mm": figures::millimetres(eye.centre_dot.up),
        "dot_is_optical_centre": !eye.dot_is_off_optical_centre(),
        "theoretical_blank_mm": figures::millimetres(eye.blank.theoretical),
        "least_blank_mm": figures::millimetres(eye.blank.least),
        "stocked_blank_mm": eye.blank.stocked.map(figures::millimetres),
        "segment_drop_mm": eye.segment.and_then(|segment| segment.0).map(figures::millimetres),
        "segment_inset_mm": eye.segment.and_then(|segment| segment.1).map(figures::millimetres),
    })
}
