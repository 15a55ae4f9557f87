//! The rows of a plan: what is said of each eye, in the order of work. An eye's words keep to 30 columns.

use super::eye::{BodyView, EyeView};
use super::off_centre::ReadingView;
use super::rounding::{inward, place_words as place};
use super::segment::SegmentView;
use super::sizes::SizeView;
use crate::plan::{Given, LaidOutBy};
use crate::view::{Figure, Lens, Prescription};
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::PrismPair;

/// Whether a row stands on the sheet; the text has all of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sheet {
    /// It does not.
    Left,
    /// It does.
    Shown,
    /// It does, in bold: what the hand goes by.
    Bold,
}

use Sheet::{Bold, Left, Shown};

/// One row.
#[derive(Debug)]
pub struct Row {
    /// What is meant.
    pub name: &'static str,
    /// Whether it stands on the sheet.
    pub sheet: Sheet,
    /// Whether it stands on the one screen.
    pub card: bool,
    /// What it is for the right and the left lens.
    pub eyes: [String; 2],
}

/// Where a row stands in the plan: among what the hand goes by, or in the whole of it alone.
const CARD: bool = true;
const FULL: bool = false;

/// Those that have anything to say of either eye. One for which nothing is made has but the first of them, its `state`.
pub(super) fn rows(
    state: [String; 2],
    eyes: [Option<&EyeView>; 2],
    sizes: [Option<&SizeView>; 2],
) -> Vec<Row> {
    let lens = Row { name: "lens", sheet: Bold, card: CARD, eyes: state };
    let body = eyes.map(|eye| eye.and_then(|eye| eye.thickness.as_ref()));
    let rows = std::iter::once(lens)
        .chain(ROWS.iter().map(|row| of(row, eyes)))
        .chain(BODY_ROWS.iter().map(|row| of(row, body)))
        .chain(SIZE_ROWS.iter().map(|row| of(row, sizes)));
    rows.filter(|row| row.eyes.iter().any(|words| !words.is_empty())).collect()
}

fn of<T>(&(name, sheet, card, words): &Said<T>, eyes: [Option<&T>; 2]) -> Row {
    Row { name, sheet, card, eyes: eyes.map(|eye| eye.map_or_else(String::new, words)) }
}

type Said<T> = (&'static str, Sheet, bool, fn(&T) -> String);

const ROWS: &[Said<EyeView>] = &[
    ("Rx", Bold, CARD, |eye| lens(eye.ordered.lens)),
    ("to read as", Bold, CARD, |eye| {
        if eye.ordered.lens == eye.expected.lens { String::new() } else { lens(eye.expected.lens) }
    }),
    ("minus cylinder", Left, FULL, |eye| {
        if eye.ordered.lens == eye.minus { String::new() } else { lens(eye.minus) }
    }),
    ("plus cylinder", Left, FULL, |eye| lens(eye.plus)),
    ("add", Bold, CARD, |eye| said(eye.expected.add_d, |add| add.to_string())),
    ("ordered add", Shown, FULL, |eye| beside(eye, |of| said(of.add_d, |add| add.to_string()))),
    ("sphere line", Shown, CARD, |eye| line(eye.first_line_d, eye.first_line_deg)),
    ("cylinder line", Shown, CARD, |eye| line(eye.second_line_d, eye.second_line_deg)),
    ("power at 90, 180", Left, FULL, |eye| {
        said(eye.at_90_d.zip(eye.at_180_d), |(at_90, at_180)| format!("{at_90}, {at_180}"))
    }),
    ("power read", Left, FULL, |eye| read_at(eye.layout.power_read_at)),
    ("add read", Left, FULL, |eye| read_at(eye.layout.addition_read_at)),
    ("prism read", Left, FULL, |eye| read_at(eye.layout.prism_read_at)),
    ("spot", Left, FULL, |eye| match eye.expected.prism {
        _ if eye.design == Design::Progressive => String::new(),
        Some(prism) => format!("dot shows {prism}"),
        None => "dot on the OC".into(),
    }),
    ("decentration", Bold, CARD, |eye| match eye.layout.fitting_cross_in_mm {
        None if !eye.segment.as_ref().is_some_and(SegmentView::is_placed) => place(eye.in_mm, eye.up_mm),
        _ => String::new(),
    }),
    ("fitting cross", Bold, CARD, |eye| {
        said(eye.layout.fitting_cross_in_mm, |_| place(eye.in_mm, eye.up_mm))
    }),
    ("reference point", Shown, CARD, |eye| {
        said(eye.layout.fitting_cross_in_mm, |_| {
            place(eye.layout.reference_in_mm, eye.layout.reference_up_mm)
        })
    }),
    ("segment", Shown, FULL, |eye| of_segment(eye, SegmentView::shape)),
    ("segment top", Bold, CARD, |eye| of_segment(eye, SegmentView::top)),
    ("near inset", Left, FULL, |eye| of_segment(eye, SegmentView::near_inset)),
    ("OC falls", Bold, CARD, |eye| of_segment(eye, SegmentView::falls)),
    ("blank centre", Left, FULL, |eye| match &eye.layout {
        layout if layout.middle_is_at_pupil => String::new(),
        layout if layout.by != LaidOutBy::Segment && layout.middle_is_reference => {
            "at the reference point".into()
        }
        layout => place(layout.blank_middle_in_mm, layout.blank_middle_up_mm),
    }),
    ("block on", Left, FULL, |eye| eye.layout.blocked_on.into()),
    ("axis", Bold, CARD, |eye| match eye.minus {
        Some(_) => eye.first_line_deg.map_or_else(|| "none".into(), |axis| axis.to_string()),
        None => String::new(),
    }),
    ("prism", Bold, CARD, |eye| match eye.shown_prism {
        PrismPair::NONE => String::new(),
        prism => prism.to_string(),
    }),
    ("of it thinning", Shown, CARD, |eye| match eye.layout.thinning_pd {
        thinning if thinning.signum() == 0 => String::new(),
        thinning if eye.layout.thinning_assumed => format!("{thinning} down, assumed"),
        thinning => format!("{thinning} down"),
    }),
    ("ordered prism", Shown, FULL, |eye| {
        beside(eye, |of| of.prism.map_or_else(|| "none".into(), |prism| prism.to_string()))
    }),
    ("optical centre", Bold, CARD, |eye| match (eye.optical_centre_in_mm, eye.optical_centre_up_mm) {
        _ if eye.dot_is_optical_centre => String::new(),
        (Some(way), Some(up)) if up.signum() == 0 => format!("{} from dot", inward(way)),
        (Some(way), Some(up)) => format!("{} from dot", place(way, up)),
        _ if eye.design == Design::Progressive => String::new(),
        _ => "nowhere on the lens".into(),
    }),
    ("prism at the PD", Shown, FULL, |eye| of_segment(eye, SegmentView::prism_at_pd)),
    ("segment jump", Left, FULL, |eye| of_segment(eye, SegmentView::jump)),
    ("prism, reading", Shown, FULL, |eye| of_reading(eye, ReadingView::total)),
    ("segment's own", Left, FULL, |eye| match eye.design {
        Design::Multifocal => of_reading(eye, ReadingView::of_segment),
        _ => String::new(),
    }),
    ("minimum blank", Shown, CARD, |eye| {
        let is = match (eye.arrived_blank_mm, eye.arrived_is_enough, eye.stocked_blank_mm) {
            (Some(arrived), Some(false), _) => format!("{arrived:#} NOT ENOUGH"),
            (Some(blank), ..) | (None, _, Some(blank)) => format!("{blank:#} blank is enough"),
            (None, _, None) => "NO STOCKED BLANK".into(),
        };
        format!("{:#}; {is}", eye.least_blank_mm)
    }),
    ("worked out from", Left, FULL, |eye| match eye.blank.by_mm {
        None => "the trace, exact".into(),
        Some(size) => format!("{} {size}", eye.blank.by),
    }),
    ("spare", Left, FULL, |eye| match (eye.blank.spare_mm, eye.blank.spare_deg, eye.blank.spare_at) {
        (Some(spare), Some(toward), Some(at)) if spare.signum() < 0 => {
            format!("{} SHORT {at} {toward:#}", spare.abs())
        }
        (Some(spare), Some(toward), _) => format!("{spare:#}, least at {toward:#}"),
        _ => String::new(),
    }),
    ("longest radius", Left, FULL, |eye| format!("{} {:#}", eye.blank.farthest_at, eye.blank.farthest_deg)),
    ("can be decentred", Left, FULL, |eye| {
        let most = eye.blank.largest_decentration_in_mm.map_or_else(|| "nowhere".into(), inward);
        said(eye.blank.looked_at_mm, |blank| format!("{most} on {blank:#} blank"))
    }),
    ("decentred prism", Left, FULL, |eye| {
        said(eye.blank.if_moved_for_prism_mm, |least| format!("{least:#} blank + allowance"))
    }),
    ("shape", Left, FULL, |eye| eye.shape.from.words().into()),
    ("box", Left, FULL, |eye| format!("{} x {}, ED {}", eye.shape.a_mm, eye.shape.b_mm, eye.shape.ed_mm)),
    ("girth", Left, FULL, |eye| format!("{:#}, 2-D chords", eye.shape.girth_mm)),
    ("girth in space", Left, FULL, |eye| eye.shape.in_space.clone()),
    ("CIRC of record", Left, FULL, |eye| {
        said(eye.shape.circ_mm, |circ| format!("{circ}, {}", eye.shape.circ_basis.unwrap_or_default()))
    }),
];

/// What is said of the lens as a body, where it can be worked out.
const BODY_ROWS: &[Said<BodyView>] = &[
    ("base curve", Shown, FULL, |body| format!("{}, {}", body.front_curve, given(body.front_curve_from))),
    ("centre thickness", Shown, FULL, |body| match body.bound_by_edge {
        true => format!("{:#}, for a {:#} edge", body.centre_mm, body.least_edge_mm.to(1, 2)),
        false => format!("{:#} {}", body.centre_mm, given(body.centre_from)),
    }),
    ("thickest edge", Left, FULL, |body| edge(body.thickest_mm, body.thickest_at, body.thickest_deg)),
    ("bevel there", Left, FULL, |body| body.bevel.clone()),
    ("thinnest edge", Left, FULL, |body| edge(body.thinnest_mm, body.thinnest_at, body.thinnest_deg)),
    ("bevel curve", Left, FULL, |body| body.bevel_curve.clone()),
    ("weight, cut", Left, FULL, |body| {
        body.weight_g.map_or("density not known".into(), |weight| format!("{weight:#}"))
    }),
];

/// How far a lens is sized.
const SIZE_ROWS: &[Said<SizeView>] = &[
    ("size so far", Left, CARD, |size| size.state.clone()),
    ("by girth", Left, CARD, |size| size.girth.clone()),
];

/// What there is, in words.
fn said<T>(figure: Option<T>, words: impl Fn(T) -> String) -> String {
    figure.map_or_else(String::new, words)
}

fn edge(thickness: Figure, at: &str, toward: Figure) -> String {
    format!("{thickness:#} {at} {toward:#}")
}

fn lens(power: Option<Lens>) -> String {
    said(power, |power| power.to_string())
}

fn line(power: Option<Figure>, axis: Option<Figure>) -> String {
    said(power, |power| {
        axis.map_or_else(|| format!("{power} at every axis"), |axis| format!("{power} at {axis}"))
    })
}

/// What is ordered, where it is not what a focimeter is to show.
fn beside(eye: &EyeView, of: fn(&Prescription) -> String) -> String {
    let [ordered, expected] = [&eye.ordered, &eye.expected].map(of);
    if ordered == expected { String::new() } else { ordered }
}

fn read_at(place: Option<&'static str>) -> String {
    said(place, |place| format!("at the {place}"))
}

fn of_segment(eye: &EyeView, words: fn(&SegmentView) -> String) -> String {
    said(eye.segment.as_ref(), words)
}

fn of_reading(eye: &EyeView, words: fn(&ReadingView) -> String) -> String {
    said(eye.reading.as_ref().filter(|_| eye.reading_is_told), words)
}

const fn given(given: Given) -> &'static str {
    match given {
        Given::Ordered => "ordered",
        Given::Measured => "measured",
        Given::Taken => "assumed",
    }
}
