//! What wants a sentence beside a plan.

use super::caution::Caution;
use super::rounding::least;
use super::{seat, worn};
use crate::desk::{Order, Viewing};
use crate::plan::{BlankBy, EyePlan, Given, NoBody, OffCentre, Plan, side};
use crate::settings::{Least, LeastOfLens};
use crate::trace::{GirthBasis, Note};
use crate::view::Figure;
use bevelbook_core::lens::{BaseCurve, LensForm};
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Length, Prism};

/// Common practice, no source.
const MATCHED: &str =
    "one with the other eye's equivalent sphere, of the same thickness, keeps the weight and looks alike";

/// What a person should know of one lens.
pub(super) fn of_eye(plan: &EyePlan, off: Option<OffCentre>, arrived: Option<Length>) -> Vec<Caution> {
    let mut said = Vec::new();
    if let Some(short) = arrived.filter(|blank| *blank < plan.blank.least) {
        let by = least(plan.blank.least - short);
        let words = format!("the {short} mm blank that arrived is {by:#} short of the minimum");
        said.push(Caution::of(&words, format!("{words}, the shop's allowance included")));
    }
    if let Some(Err(error)) = &plan.optical_centre {
        let ground = "its prism has to be ground, no decentring gives it";
        said.push(Caution::of(ground, format!("{ground}: {error}")));
    }
    match &plan.body {
        Err(error @ NoBody::Untold) => said.push(Caution::of(
            format!("thickness not worked out: {error}"),
            format!("thickness not worked out: {error}; {MATCHED}"),
        )),
        Err(error @ NoBody::Meet { centre, toward, least, needed }) => {
            said.push(Caution::short(&format!("no thickness: {error} {}", side(plan.eye, *toward))));
            said.extend(thin(*centre, Length::ZERO, least, *needed));
        }
        Err(error) => said.push(Caution::short(&format!("no thickness: {error}"))),
        Ok(body) => {
            said.extend(thin(body.centre, body.thinnest.thickness, &body.least, body.needed));
            said.extend(body.seat.groove.iter().map(Caution::short));
            said.extend(seat::bevel(&body.seat));
        }
    }
    let placed = plan.layout.segment.and_then(|segment| segment.placed).and(plan.ordered.add);
    let reading = placed.and(off).and_then(|off| off.reading);
    if reading.is_some_and(|reading| reading.of_segment.is_none()) {
        said.push(Caution::short("the reading level lies outside the segment"));
    }
    said.extend(seat::rim(&plan.shape.rim));
    let stated = plan.shape.stated.filter(|stated| stated.basis() != GirthBasis::Plane);
    said.extend(stated.map(|stated| {
        let by = Figure::from(stated.circ - stated.chords).to(2, 2).signed();
        Caution::of(format!("CIRC is {by:#} off the chords of its own points"), stated.to_string())
    }));
    said.extend(worn::cautions(plan.eye, &plan.worn));
    said
}

/// What a person should know of the trace.
pub(super) fn of_trace(note: &Note) -> Caution {
    let brief = match note {
        Note::Mirrored { eye } => format!("the {eye} eye is the mirror of the other"),
        Note::LooksSwapped { eye, .. } => format!("the {eye} shape may be the other eye's, or reversed"),
        Note::BoxDiffers { eye, field, .. } => format!("{field} of the {eye} eye is not that of its points"),
        Note::Kept { .. } => return Caution::of_detail(note.to_string()),
    };
    Caution::of(brief, note.to_string())
}

/// Where a lens is thinner than a rule asks for, and what mends it. What is assumed is not.
fn thin(
    centre: Length,
    edge: Length,
    least: &LeastOfLens,
    needed: Option<Length>,
) -> impl Iterator<Item = Caution> {
    let short = move |what: &str, found: Length, least: &Least| {
        let (figure, at_least) = (Figure::from(found).to(2, 3), Figure::from(least.thickness).to(1, 3));
        let words = format!("{what} {figure:#}, at least {at_least:#}");
        let caution = Caution::of(&words, format!("{words} {}{}", least.rule, thicker(needed)));
        (found < least.thickness).then_some(caution)
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
pub(super) fn of_order(order: &Order, plan: &Plan) -> Vec<Caution> {
    let any = |of: fn(&EyePlan) -> bool| plan.made().any(of);
    let design = order.lens.design;
    let (multifocal, progressive) = (design == Design::Multifocal, design == Design::Progressive);
    // Equal thinning makes no imbalance (public note of a trade article of 1998 on prism thinning); unequal does.
    let thinned = plan.made().count() == 1 && any(|eye| eye.thinning.prism != Prism::ZERO);
    let cautions = [
        (any(EyePlan::assumes_inset), INSET),
        (multifocal && order.lens.segment.is_none(), SEGMENT),
        (multifocal && order.lens.segment.is_some(), CHART),
        (order.lens.viewing == Viewing::Near && order.near_pd.is_none(), NEAR),
        (any(EyePlan::dot_is_off_optical_centre), DOT),
        (progressive, ENGRAVINGS),
        (thinned, THINNED),
        (any(|eye| matches!(eye.blank.by, BlankBy::Diagonal(_))), ED),
        (order.heights.is_none(), heights(design)),
        (assumed_curves_apart(plan), CURVES),
    ];
    let held = held(cautions).into_iter().map(|(brief, whole)| Caution::of(brief, whole));
    let round = "thickness is that of the distance power alone with round surfaces; this design differs";
    held.chain((design != Design::SingleVision).then(|| Caution::of_detail(round))).collect()
}

/// In short and whole.
type Both = (&'static str, &'static str);

const INSET: Both = (
    "no near PD: the shop's near inset is assumed, ask before marking",
    "no near PD was ordered: the shop's near inset is assumed, so ask before the lenses are marked",
);
const SEGMENT: Both = (
    "segment not said: OC and blank centre assumed at the distance PD",
    "what segment is not said (for example --segment \"flat top 28\"): where the middle of its blank and the optical centre \
     fall is not known, and both are assumed at the distance PD",
);
const CHART: Both = (
    "OC and blank centre as the settings' chart has them: does the supplier's?",
    "where segment and optical centre lie in a blank is from memory until you put in what your supplier's chart says: \
     [segment] of the settings",
);
const NEAR: Both = (
    "near pair without a near PD: centred at the distance PD, ask before marking",
    "this pair is for near and no near PD was ordered: the distance PD stands in its place, so ask before the lenses are \
     marked",
);
const DOT: Both = (
    "prism: the dot is where the focimeter shows it, not the OC; block on the dot",
    "with prescribed prism the centre dot is where the focimeter shows the prism, and the optical centre lies elsewhere: \
     centre and block on the dot",
);
const ENGRAVINGS: Both = (
    "lay out by the engravings; the maker's chart goes before this plan",
    "a progressive is laid out by its engravings, and the middle of its blank is assumed at its prism reference point: the \
     chart of the lens goes before, and says where its circles are",
);
const THINNED: Both = (
    "one lens alone is thinned: has the one that stays as much base down?",
    "one lens alone is thinned: unless the one that stays has as much base down, the pair differs by it; order what that \
     one has with --thinning, 0 for none",
);
const ED: Both = (
    "no ED: using the box diagonal for the minimum blank",
    "no ED was ordered: the minimum blank is an upper bound from the diagonal of the box",
);
const CURVES: Both = (
    "the assumed base curves do not match",
    "the assumed base curves do not match: a pair is usually ordered on curves that do, see --base-curve",
);

const fn heights(design: Design) -> Both {
    match design {
        Design::Progressive => (
            "no fitting heights: the crosses are put level with the boxed centres",
            "no fitting heights were ordered: the fitting crosses are put on the horizontal through the boxed centres until \
             they are",
        ),
        Design::Multifocal => (
            "no heights: how high the segments go is not known",
            "no heights were ordered: how high the segments go is not known, nor the optical centres with them",
        ),
        Design::SingleVision => (
            "no heights: level with the boxed centres",
            "no heights were ordered: the lenses are centred on the horizontal through the boxed centres",
        ),
    }
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
    let assumed = plan.made().filter_map(|eye| eye.body.as_ref().ok());
    let assumed =
        assumed.flat_map(|body| [body.front_from, body.centre_from]).any(|given| given == Given::Taken);
    let rule =
        "what is assumed of a lens is a rule of the shop, not what will be made: bevelbook settings show";
    let common = "handling and first sizes are common practice, yours to change: bevelbook settings show";
    held([(assumed, rule), (true, common)])
}

fn held<T, const N: usize>(notes: [(bool, T); N]) -> Vec<T> {
    notes.into_iter().filter_map(|(holds, words)| holds.then_some(words)).collect()
}
