//! What wants a sentence beside a plan.

use super::{seat, worn};
use crate::desk::{Order, Viewing};
use crate::plan::{BlankBy, EyePlan, Given, NoBody, OffCentre, Plan, side};
use crate::settings::{Least, LeastOfLens};
use crate::trace::GirthBasis;
use crate::view::Figure;
use bevelbook_core::lens::{BaseCurve, LensForm};
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Length, Prism};

/// Common practice, no source.
const MATCHED: &str =
    "one with the other eye's equivalent sphere, of the same thickness, keeps the weight and looks alike";

/// What a person should know of one lens.
pub(super) fn of_eye(plan: &EyePlan, off: Option<OffCentre>) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(Err(error)) = &plan.optical_centre {
        said.push(format!("its prism has to be ground, no decentring gives it: {error}"));
    }
    match &plan.body {
        Err(error @ NoBody::Untold) => said.push(format!("thickness not worked out: {error}; {MATCHED}")),
        Err(error @ NoBody::Meet { centre, toward, least, needed }) => {
            said.push(format!("no thickness: {error} {}", side(plan.eye, *toward)));
            said.extend(thin(*centre, Length::ZERO, least, *needed));
        }
        Err(error) => said.push(format!("no thickness: {error}")),
        Ok(body) => {
            said.extend(thin(body.centre, body.thinnest.thickness, &body.least, body.needed));
            said.extend(body.seat.groove.iter().map(ToString::to_string));
            said.extend(seat::bevel(&body.seat));
        }
    }
    let placed = plan.layout.segment.and_then(|segment| segment.placed).and(plan.ordered.add);
    let reading = placed.and(off).and_then(|off| off.reading);
    if reading.is_some_and(|reading| reading.of_segment.is_none()) {
        said.push("the reading level lies outside the segment".into());
    }
    said.extend(seat::rim(&plan.shape.rim));
    let stated = plan.shape.stated.filter(|stated| stated.basis() != GirthBasis::Plane);
    said.extend(stated.map(|stated| stated.to_string()));
    said.extend(worn::cautions(plan.eye, &plan.worn));
    said
}

/// Where a lens is thinner than a rule asks for, and what mends it. What is taken is not.
fn thin(
    centre: Length,
    edge: Length,
    least: &LeastOfLens,
    needed: Option<Length>,
) -> impl Iterator<Item = String> {
    let short = move |what: &str, found: Length, least: &Least| {
        let (figure, at_least) = (Figure::from(found).to(2, 3), Figure::from(least.thickness).to(1, 3));
        let words = format!("{what} {figure:#}, at least {at_least:#} {}{}", least.rule, thicker(needed));
        (found < least.thickness).then_some(words)
    };
    [short("centre", centre, &least.centre), short("thinnest edge", edge, &least.edge)].into_iter().flatten()
}

fn thicker(needed: Option<Length>) -> String {
    needed.map_or_else(
        || format!("; no centre up to {} mm mends it", LensForm::THICKEST),
        |needed| format!(": the centre has to be {:#} for this shape", Figure::from(needed).to(1, 1).up()),
    )
}

/// What a person should know of the order.
pub(super) fn of_order(order: &Order, plan: &Plan) -> Vec<&'static str> {
    let any = |of: fn(&EyePlan) -> bool| plan.made().any(of);
    let prism = "with prescribed prism the centre dot is where the focimeter shows the prism, and the optical centre \
                 lies elsewhere: centre and block on the dot";
    let cross = "a progressive is laid out by its engravings, and the middle of its blank is taken to lie at its prism \
                 reference point: the chart of the lens goes before, and says where its circles are";
    let round = "thickness is that of the distance power alone with round surfaces; this design differs";
    let ed = "no ED was ordered: the least blank is an upper bound from the diagonal of the box";
    let heights = match order.lens.design {
        Design::Progressive => {
            "no fitting heights were ordered: the fitting crosses are put on the horizontal through the \
                                boxed centres until they are"
        }
        Design::Multifocal => {
            "no heights were ordered: how high the segments go is not known, nor the optical centres with them"
        }
        Design::SingleVision => {
            "no heights were ordered: the centre dots sit on the horizontal through the boxed centres"
        }
    };
    let near = "this pair is for near and no near PD was ordered: the distance PD stands in its place, so ask before the \
                lenses are marked";
    // Equal thinning makes no imbalance (public note of a trade article of 1998 on prism thinning); unequal does.
    let thinned = "one lens alone is thinned: unless the one that stays has as much base down, the pair differs by it; order \
                   what that one has with --thinning, 0 for none";
    let multifocal = order.lens.design == Design::Multifocal;
    let inset =
        "no near PD was ordered: the shop's near inset is assumed, so ask before the lenses are marked";
    let segment = "what segment is not said (for example --segment \"flat top 28\"): where the middle of its blank and \
                   the optical centre fall is not known, and both are taken to be at the distance PD";
    let curves =
        "the assumed base curves do not match: a pair is usually ordered on curves that do, see --base-curve";
    held([
        (any(EyePlan::assumes_inset), inset),
        (multifocal && order.lens.segment.is_none(), segment),
        (order.lens.viewing == Viewing::Near && order.near_pd.is_none(), near),
        (any(EyePlan::dot_is_off_optical_centre), prism),
        (order.lens.design == Design::Progressive, cross),
        (plan.made().count() == 1 && any(|eye| eye.thinning.prism != Prism::ZERO), thinned),
        (order.lens.design != Design::SingleVision, round),
        (any(|eye| matches!(eye.blank.by, BlankBy::Diagonal(_))), ed),
        (order.heights.is_none(), heights),
        (assumed_curves_apart(plan), curves),
    ])
}

/// Whether the front curves that the shop's rule gives a pair are too far apart to match.
fn assumed_curves_apart(plan: &Plan) -> bool {
    let [right, left] = plan.eyes.each_ref().map(|eye| {
        let body = eye.as_ref()?.body.as_ref().ok()?;
        (body.front_from == Given::Taken).then_some(body.front.nominal)
    });
    right.zip(left).is_some_and(|(right, left)| (right - left).abs() > BaseCurve::MATCHED)
}

/// What of the answer is the shop's to change.
pub(super) fn of_shop(plan: &Plan) -> Vec<&'static str> {
    let taken = plan.made().filter_map(|eye| eye.body.as_ref().ok());
    let taken = taken.flat_map(|body| [body.front_from, body.centre_from]).any(|given| given == Given::Taken);
    let rule =
        "what is taken for a lens is a rule of the shop, not what will be made: bevelbook settings show";
    let dial = "the station has not stated its dial: bevelbook station dial --help";
    let common = "handling and first sizes are common practice, yours to change: bevelbook settings show";
    let segment = "where segment and optical centre lie in a blank is from memory until you put in what your supplier's \
                   chart says: [segment] of the settings";
    let segments = plan.made().any(|eye| eye.layout.segment.is_some());
    held([(taken, rule), (segments, segment), (plan.first_size.dialled.is_none(), dial), (true, common)])
}

fn held<const N: usize>(notes: [(bool, &'static str); N]) -> Vec<&'static str> {
    notes.into_iter().filter_map(|(holds, words)| holds.then_some(words)).collect()
}
