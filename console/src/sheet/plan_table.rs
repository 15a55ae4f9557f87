//! The plan as a table: the right eye on the left, as one faces the wearer, and what is meant between the two.

use super::words::{decentration, eye_order, lens, number, offset, said, way};
use crate::desk::Order;
use crate::plan::{BlankBy, Edge, EyePlan, FirstSize, Given, Plan, side, tenth_up};
use bevelbook_core::frame::Decentration;
use bevelbook_core::sizing::Counting;
use bevelbook_core::tolerance::Design;
use maud::{Markup, html};

/// A row: what is meant, and what it is for each eye.
struct Row {
    name: &'static str,
    eyes: [String; 2],
    strong: bool,
}

/// The table.
pub(super) fn plan_table(order: &Order, plan: &Plan) -> Markup {
    html! {
        section {
            table.plan {
                thead {
                    tr { th.r scope="col" { "right eye" } th.what { "plan" } th.l scope="col" { "left eye" } }
                }
                tbody {
                    @for row in rows(order, plan) {
                        tr.strong[row.strong] {
                            td.r { (row.eyes[0]) }
                            th.what scope="row" { (row.name) }
                            td.l { (row.eyes[1]) }
                        }
                    }
                }
            }
            p.facts {
                b { "Roughing " } (plan.handling.roughing_words()) ". "
                b { "Grip " } (said(&plan.handling.grip_words())) ". "
                b { "First size " } (first_size(&plan.first_size)) ". "
                @if let Some(caution) = caution(order, plan) { (caution) }
            }
        }
    }
}

fn rows(order: &Order, plan: &Plan) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut row = |name, strong, of: &dyn Fn(&EyePlan) -> String| {
        rows.push(Row { name, eyes: [of(&plan.eyes[0]), of(&plan.eyes[1])], strong });
    };
    row("ordered", true, &|eye| eye_order(&eye.ordered));
    // The form that is ordered stands above; the other one is told, and both for a mixed pair.
    let ordered_in =
        |sign: i32| plan.eyes.iter().any(|eye| eye.ordered.power.cylinder.milli().signum() == sign);
    if ordered_in(1) {
        row("minus cylinder", false, &|eye| lens(eye.minus));
    }
    if ordered_in(-1) {
        row("plus cylinder", false, &|eye| lens(eye.plus));
    }
    row("power at 90, at 180", false, &|eye| number(format!("{:.2}, {:.2}", eye.at_90, eye.at_180)));
    row("first line to expect", false, &first_line);
    row("second line = combined power", false, &second_line);
    row("centre dot, from the boxed centre", true, &|eye| place(order, eye));
    if order.lens.design == Design::Multifocal {
        row("segment top, set in", false, &segment);
    }
    if plan.eyes.iter().any(EyePlan::dot_is_off_optical_centre) {
        row("optical centre, from the dot", true, &optical_centre);
    }
    row("least blank", false, &least_blank);
    row("front curve, centre thickness", false, &curve_and_centre);
    row("edge thickest; thinnest", false, &edges);
    row("lens to order", true, &|eye| lens_to_order(plan, eye));
    rows
}

/// Where the dot is, and what it is not, in a few words.
fn place(order: &Order, plan: &EyePlan) -> String {
    let place = decentration(&plan.centre_dot);
    match order.lens.design {
        Design::Progressive => format!("{place} (fitting cross)"),
        _ if plan.dot_is_off_optical_centre() => format!("{place} (not the optical centre)"),
        _ => place,
    }
}

/// What to know of the dots on the drawings, if anything.
fn caution(order: &Order, plan: &Plan) -> Option<&'static str> {
    match order.lens.design {
        Design::Progressive => {
            Some("Prism is read where the maker of the lens says, not at the fitting cross.")
        }
        _ if plan.eyes.iter().any(EyePlan::dot_is_off_optical_centre) => Some(
            "With prescribed prism the centre dot is where the focimeter shows that prism; the optical centre lies \
             elsewhere.",
        ),
        _ => None,
    }
}

fn first_line(eye: &EyePlan) -> String {
    let power = eye.ordered.power;
    match power.cylinder.is_zero() {
        true => format!("{}, all lines together", number(power.sphere)),
        false => format!("{} at {}", number(power.sphere), power.axis),
    }
}

fn second_line(eye: &EyePlan) -> String {
    let power = eye.ordered.power;
    match power.cylinder.is_zero() {
        true => number(power.combined_power()),
        false => format!("{} at {}", number(power.combined_power()), power.axis.crossed()),
    }
}

fn segment(eye: &EyePlan) -> String {
    let Some((drop, inset)) = eye.segment else { return "none".into() };
    let drop = drop.map_or_else(
        || "no height ordered".into(),
        |drop| format!("{} the middle", way(drop, "above", "below")),
    );
    let inset = inset.map_or_else(|| "no near PD ordered".into(), |inset| way(inset, "in", "out"));
    format!("{drop}, {inset}")
}

fn least_blank(eye: &EyePlan) -> String {
    let blank = &eye.blank;
    let from = match blank.by {
        BlankBy::Outline => ", exact",
        BlankBy::Ed(_) => "",
        BlankBy::Diagonal(_) => ", no ED: from the diagonal",
    };
    format!("⌀ {} ({} without allowance{from})", tenth_up(blank.least), tenth_up(blank.theoretical))
}

fn optical_centre(eye: &EyePlan) -> String {
    match eye.optical_centre {
        Ok(_) if !eye.dot_is_off_optical_centre() => "on the dot".into(),
        Ok(way) => decentration(&Decentration { inward: way.inward, up: way.up }),
        Err(_) => "nowhere on the lens".into(),
    }
}

/// A figure that is not ordered is said to be taken.
fn curve_and_centre(eye: &EyePlan) -> String {
    let Ok(body) = &eye.body else { return "not worked out".into() };
    let given = |given: Given| if given == Given::Taken { " taken" } else { "" };
    let (curve, centre) = (number(format!("{:+.2}", body.front.0)), body.centre);
    format!("{curve}{}, {centre:.1}{}", given(body.front.1), given(body.centre_from))
}

fn edges(eye: &EyePlan) -> String {
    let Ok(body) = &eye.body else { return "not worked out".into() };
    let edge = |edge: Edge| {
        let degrees = (edge.toward.milli() + 500) / 1000 % 360;
        format!("{:.1} {} {degrees}°", edge.thickness, side(eye.eye, edge.toward))
    };
    format!("{}; {}", edge(body.thickest), edge(body.thinnest))
}

fn lens_to_order(plan: &Plan, eye: &EyePlan) -> String {
    let blank = match eye.blank.stocked {
        Some(stocked) => format!("⌀ {stocked} stocked"),
        None => format!("⌀ {} or more: NO STOCKED SIZE SERVES", tenth_up(eye.blank.least)),
    };
    format!("{} {}, {blank}", said(&plan.material.name), eye_order(&eye.ordered))
}

/// The habit, and what to dial for it.
fn first_size(first: &FirstSize) -> String {
    let habit = format!("{} mm on {}, by the shop's habit", offset(first.habit.offset), first.habit.basis);
    match first.dialled {
        None => format!("{habit}; the station has not stated its dial"),
        Some(dialled) => {
            let counting = match dialled.counting {
                Counting::Absolute => format!("{} mm", offset(dialled.amount)),
                Counting::TakeOff { .. } => format!("{} mm off", number(dialled.amount)),
            };
            format!("{habit}: dial {counting} on {}", dialled.basis)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::sample;
    use crate::settings::Settings;
    use bevelbook_core::prescription::EyeOrder;
    use bevelbook_core::units::Length;

    fn shown(change: impl FnOnce(&mut Order)) -> Vec<(&'static str, [String; 2])> {
        let mut order = sample();
        change(&mut order);
        let plan = Plan::of(&order, &Settings::defaults().unwrap(), None).unwrap();
        rows(&order, &plan).into_iter().map(|row| (row.name, row.eyes)).collect()
    }

    fn row(rows: &[(&'static str, [String; 2])], name: &str) -> [String; 2] {
        rows.iter().find(|row| row.0 == name).unwrap().1.clone()
    }

    #[test]
    fn the_lines_to_expect_are_those_of_the_form_ordered() {
        let rows = shown(|order| order.left = EyeOrder::parse("-2.00 +0.50 x 80").unwrap());
        assert_eq!(row(&rows, "first line to expect"), ["−1.25 at 15", "−2.00 at 80"]);
        assert_eq!(row(&rows, "second line = combined power"), ["−2.00 at 105", "−1.50 at 170"]);
        assert_eq!(row(&rows, "plus cylinder"), ["−2.00 +0.75 × 105", "−2.00 +0.50 × 80"]);
    }

    #[test]
    fn a_blank_that_is_not_stocked_is_said_loudly() {
        let rows = shown(|order| order.frame.size.ed = Some(Length::from_milli(62_000)));
        assert!(row(&rows, "lens to order")[0].contains("⌀ 70 stocked"));
        let rows = shown(|order| {
            order.frame.size.a = Length::from_milli(70_000);
            order.frame.size.ed = Some(Length::from_milli(75_001));
        });
        let [right, _] = row(&rows, "lens to order");
        assert!(right.contains("NO STOCKED SIZE SERVES") && right.contains("⌀ 102.1"), "{right}");
    }

    #[test]
    fn a_segment_lacks_no_word_when_the_order_lacks_its_height() {
        let rows = shown(|order| order.lens.design = Design::Multifocal);
        let [right, _] = row(&rows, "segment top, set in");
        assert_eq!(right, "no height ordered, no near PD ordered");
    }
}
