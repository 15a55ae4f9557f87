//! A plan in words, 80 columns wide.

use super::lens;
use crate::desk::Order;
use crate::plan::{EyePlan, FirstSize, Plan, tenth_up};
use crate::work::Job;
use bevelbook_core::sizing::{Basis, Size};
use bevelbook_core::units::{Length, Power};

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
    for (name, value) in rows().into_iter().chain(lens::rows()) {
        let [right, left] = plan.eyes.each_ref().map(|eye| value(order, eye));
        if !(right.is_empty() && left.is_empty()) {
            lines.push(format!("{name:<18}{right:<31}{left}").trim_end().to_owned());
        }
    }
    lines.push(String::new());
    for eye in &plan.eyes {
        let name = format!("order, {}", eye.eye);
        lines.extend(wrapped(&name, &order_words(order, plan, eye)));
    }
    if let Some(milligrams) = plan.milligrams() {
        lines.extend(wrapped(
            "pair weighs",
            &format!("{} cut, bevels not taken off", lens::grams(milligrams)),
        ));
    }
    if frame.rim.closes_round_lens() {
        lines.extend(wrapped("bevel", &format!("{}, by the shop's habit", plan.bevel)));
    }
    lines.extend(wrapped("roughing", plan.handling.roughing_words()));
    lines.extend(wrapped("grip", &plan.handling.grip_words()));
    lines.extend(wrapped("first size", &first_size_words(&plan.first_size)));
    lines.extend(wrapped("this frame", &shown_words(shown)));
    lines.join("\n")
}

pub(super) type Row = (&'static str, fn(&Order, &EyePlan) -> String);

/// What is said of each eye, in the order of work.
fn rows() -> [Row; 13] {
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
            true => format!("dot shows {}", eye.ordered.prism),
            false => "centre dot on optical centre".into(),
        }),
        ("axis line", |_, eye| match eye.minus.cylinder.is_zero() {
            true => "none, a sphere".into(),
            false => format!("at {} to the line of dots", eye.minus.axis),
        }),
        ("centre dot sits", |_, eye| centre_words(eye)),
        ("segment top", |_, eye| segment_words(eye)),
    ]
}

/// A line of the account below the table, broken between words to keep to 80 columns.
fn wrapped(name: &str, text: &str) -> Vec<String> {
    const ROOM: usize = 80 - 18;
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let used = lines.last().map_or(0, |line| line.chars().count());
        match lines.last_mut() {
            Some(line) if used == 0 => line.push_str(word),
            Some(line) if used + 1 + word.chars().count() <= ROOM => *line += &format!(" {word}"),
            _ => lines.push(word.to_owned()),
        }
    }
    let names = std::iter::once(name).chain(std::iter::repeat(""));
    names.zip(lines).map(|(name, line)| format!("{name:<18}{line}")).collect()
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
