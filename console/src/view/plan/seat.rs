//! How a lens sits in its rim, in words: bevel or groove, and the curves of bevel and rim.

use super::caution::Caution;
use super::rounding::{power, size};
use crate::plan::{BevelCurve, NoBevelCurve, Plan, RimCurve, RimFrom, Seat, SpaceBy, SpaceGirth};
use bevelbook_core::lens::{BevelWarning, RingError};
use bevelbook_core::sizing::Rim;
use bevelbook_core::units::Power;

/// What the edge is given, by the shop's settings.
pub(super) fn edge(rim: Rim, plan: &Plan) -> (&'static str, Option<String>) {
    match rim {
        Rim::Metal | Rim::Plastic => ("bevel", Some(format!("{} (shop default)", plan.bevel))),
        Rim::Grooved => ("edge", Some(format!("flat; {}", plan.groove))),
        Rim::Rimless => ("edge", Some("flat, drilled".into())),
    }
}

/// Where the bevel stands on the thickest edge.
pub(super) fn fit(seat: &Seat) -> String {
    match (&seat.bevel, seat.warning) {
        (_, Some(all @ BevelWarning::AllBevel { .. })) => all.to_string(),
        (Some(Ok(fit)), _) => format!("{} front, {} back", size(fit.before), size(fit.behind)),
        (Some(Err(_)), _) => "none, see below".into(),
        (None, _) => String::new(),
    }
}

/// The curve that the bevel runs on, beside that of the rim.
pub(super) fn curve(seat: &Seat) -> String {
    match &seat.curve {
        Some(Ok(BevelCurve { bevel, rim: Some((rim, _)), .. })) => {
            format!("{:#}, rim {:#}", power(bevel.power), power(*rim))
        }
        Some(Ok(BevelCurve { bevel, .. })) => format!("{:#} in 1.530", power(bevel.power)),
        Some(Err(NoBevelCurve::Ring(RingError::Round(_)))) => "round: runs with any rim".into(),
        _ => String::new(),
    }
}

/// What a person should know of the bevel.
pub(super) fn bevel(seat: &Seat) -> impl Iterator<Item = Caution> {
    let error = seat.bevel.as_ref().and_then(|bevel| Some(Caution::short(bevel.as_ref().err()?)));
    // On the thickest edge there is a bevel, on a thinner one there is not.
    let thinner = match &seat.curve {
        Some(Err(NoBevelCurve::Bevel(thinner))) if error.is_none() => Some(Caution::short(thinner)),
        _ => None,
    };
    let course = seat.curve.as_ref().and_then(|course| course.as_ref().ok());
    let apart = course.filter(|course| course.apart).and_then(runs_apart);
    let shows = |warning: &BevelWarning| matches!(warning, BevelWarning::StandsOut { .. });
    let warning = seat.warning.filter(shows).as_ref().map(Caution::short);
    [error, thinner, warning, apart].into_iter().flatten()
}

/// A bevel that does not run with its rim, and what would make it.
fn runs_apart(course: &BevelCurve) -> Option<Caution> {
    let (rim, from) = course.rim?;
    let bevel = course.bevel.power;
    let by = match from {
        RimFrom::Depths => "by the trace's depths",
        RimFrom::Stated => "as ordered",
    };
    let apart = size(course.bevel.parts_from(rim));
    let other = if rim > bevel { "steeper" } else { "flatter" };
    let place = match course.tenths_before {
        Some(tenths) => {
            format!("with about {tenths} tenths of the edge in front it would run with the rim; else ")
        }
        None => "no place on this edge runs with the rim: ".into(),
    };
    let [bevel, rim] = [bevel, rim].map(power);
    Some(Caution::of(
        format!("the bevel runs on {bevel:#}, the rim on {rim:#}: {apart:#} apart"),
        format!(
            "the bevel runs on {bevel:#}, the rim on {rim:#} ({by}): round the lens they part by {apart:#}; {place}a {other} \
             base curve or the frame re-curved toward {bevel:#}"
        ),
    ))
}

/// What a person should know of the rim's curve.
pub(super) fn rim(rim: &RimCurve) -> Option<Caution> {
    let traced = match rim.traced? {
        Ok(ring) => ring.power,
        Err(error) => return Some(Caution::short(&format!("the depths of the trace: {error}"))),
    };
    if traced.milli() < 0 {
        let hollow = "the depths of the trace bend the rim away from the face";
        return Some(Caution::of(hollow, format!("{hollow}: does the tracer count them toward the viewer?")));
    }
    let stated = rim.stated.filter(|stated| (*stated - traced).abs() > RimCurve::SAME)?;
    let (traced, stated) = (power(traced), power(stated));
    let differ = format!("the rim is ordered as {stated:#} and traced as {traced:#}");
    Some(Caution::of(&differ, format!("{differ}: the plan goes by the trace")))
}

/// The girth in space, and what it goes by.
pub(super) fn girth(space: SpaceGirth) -> String {
    let by = match space.by {
        SpaceBy::Depths => "with its depths".into(),
        SpaceBy::Rim(curve) => format!("rim at {:#}", power(curve)),
        SpaceBy::Front(curve) => format!("front at {:#}", power(curve)),
    };
    format!("{:#}, {by}", size(space.girth))
}

/// The power of the sphere that a girth in space goes by, and whose curve it is; none for depths.
pub(super) const fn curve_of(by: SpaceBy) -> Option<(Power, &'static str)> {
    match by {
        SpaceBy::Depths => None,
        SpaceBy::Rim(curve) => Some((curve, "rim")),
        SpaceBy::Front(curve) => Some((curve, "front")),
    }
}
