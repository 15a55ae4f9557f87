//! The rows of a plan: what is said of each eye, in the order of work. An eye's words keep to 30 columns.

use super::eye::{BodyView, EyeView};
use super::off_centre::ReadingView;
use super::segment::SegmentView;
use crate::plan::{Given, LaidOutBy};
use crate::view::{Figure, Lens, Prescription, what_is_made};
use bevelbook_core::prescription::Wanted;
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
    /// What it is for the right and the left lens.
    pub eyes: [String; 2],
}

/// Those that have anything to say of either eye. One for which nothing is made has but the first of them.
pub(super) fn rows(wanted: [Wanted; 2], eyes: [Option<&EyeView>; 2]) -> Vec<Row> {
    let lens = (wanted != [Wanted::Lens; 2]).then(|| Row {
        name: "lens",
        sheet: Bold,
        eyes: wanted.map(|wanted| what_is_made(wanted).to_owned()),
    });
    let of_eye = |&(name, sheet, words): &(_, _, Words<EyeView>)| Row {
        name,
        sheet,
        eyes: eyes.map(|eye| eye.map_or_else(String::new, words)),
    };
    let of_body = |&(name, sheet, words): &(_, _, Words<BodyView>)| {
        let missing =
            || if name == "centre thickness" { "not worked out, see below".into() } else { String::new() };
        let body = |eye: &EyeView| eye.thickness.as_ref().map_or_else(missing, words);
        Row { name, sheet, eyes: eyes.map(|eye| eye.map_or_else(String::new, body)) }
    };
    let rows = lens.into_iter().chain(ROWS.iter().map(of_eye)).chain(BODY_ROWS.iter().map(of_body));
    rows.filter(|row| row.eyes.iter().any(|words| !words.is_empty())).collect()
}

type Words<T> = fn(&T) -> String;

const ROWS: &[(&str, Sheet, Words<EyeView>)] = &[
    ("minus cylinder", Bold, |eye| lens(eye.minus)),
    ("plus cylinder", Shown, |eye| lens(eye.plus)),
    ("ordered power", Shown, |eye| beside(eye, |of| lens(of.lens))),
    ("prism", Bold, |eye| match eye.shown_prism {
        PrismPair::NONE => String::new(),
        prism => prism.to_string(),
    }),
    ("of it thinning", Shown, |eye| match eye.layout.thinning_pd {
        thinning if thinning.signum() == 0 => String::new(),
        thinning if eye.layout.thinning_assumed => format!("{thinning} down, assumed"),
        thinning => format!("{thinning} down"),
    }),
    ("ordered prism", Shown, |eye| {
        beside(eye, |of| of.prism.map_or_else(|| "none".into(), |prism| prism.to_string()))
    }),
    ("addition", Bold, |eye| said(eye.expected.add_d, |add| add.to_string())),
    ("ordered addition", Shown, |eye| beside(eye, |of| said(of.add_d, |add| add.to_string()))),
    ("power at 90, 180", Shown, |eye| {
        said(eye.at_90_d.zip(eye.at_180_d), |(at_90, at_180)| format!("{at_90}, {at_180}"))
    }),
    ("first line", Shown, |eye| line(eye.first_line_d, eye.first_line_deg)),
    ("second line", Shown, |eye| line(eye.second_line_d, eye.second_line_deg)),
    ("power read", Left, |eye| read_at(eye.layout.power_read_at)),
    ("addition read", Left, |eye| read_at(eye.layout.addition_read_at)),
    ("prism read", Left, |eye| read_at(eye.layout.prism_read_at)),
    ("three dots", Left, |eye| match eye.expected.prism {
        _ if eye.design == Design::Progressive => String::new(),
        Some(prism) => format!("dot shows {prism}"),
        None => "centre dot on optical centre".into(),
    }),
    ("centre dot sits", Bold, |eye| match eye.layout.fitting_cross_in_mm {
        None if !eye.segment.as_ref().is_some_and(SegmentView::is_placed) => at_pupil(eye),
        _ => String::new(),
    }),
    ("fitting cross", Bold, |eye| said(eye.layout.fitting_cross_in_mm, |_| at_pupil(eye))),
    ("reference point", Shown, |eye| {
        said(eye.layout.fitting_cross_in_mm, |_| {
            place(eye.layout.reference_in_mm, eye.layout.reference_up_mm)
        })
    }),
    ("blank's middle", Left, |eye| match &eye.layout {
        layout if layout.middle_is_at_pupil => String::new(),
        layout if layout.by != LaidOutBy::Segment && layout.middle_is_reference => {
            "at the reference point".into()
        }
        layout => place(layout.blank_middle_in_mm, layout.blank_middle_up_mm),
    }),
    ("block on", Shown, |eye| eye.layout.blocked_on.into()),
    ("segment", Shown, |eye| of_segment(eye, SegmentView::shape)),
    ("segment top", Bold, |eye| of_segment(eye, SegmentView::top)),
    ("near inset", Left, |eye| of_segment(eye, SegmentView::near_inset)),
    ("OC falls", Bold, |eye| of_segment(eye, SegmentView::falls)),
    ("prism at the PD", Shown, |eye| of_segment(eye, SegmentView::prism_at_pd)),
    ("segment jump", Left, |eye| of_segment(eye, SegmentView::jump)),
    ("prism, reading", Shown, |eye| of_reading(eye, ReadingView::total)),
    ("segment's own", Left, |eye| match eye.design {
        Design::Multifocal => of_reading(eye, ReadingView::of_segment),
        _ => String::new(),
    }),
    ("optical centre", Bold, |eye| match (eye.optical_centre_in_mm, eye.optical_centre_up_mm) {
        _ if eye.dot_is_optical_centre => String::new(),
        (Some(way), Some(up)) if up.signum() == 0 => format!("{} from dot", way.inward()),
        (Some(way), Some(up)) => format!("{} from dot", place(way, up)),
        _ if eye.design == Design::Progressive => String::new(),
        _ => "nowhere on the lens".into(),
    }),
    ("shape", Left, |eye| eye.shape.from.words().into()),
    ("box", Left, |eye| format!("{} x {}, ED {}", eye.shape.a_mm, eye.shape.b_mm, eye.shape.ed_mm)),
    ("girth", Left, |eye| format!("{:#}, 2-D chords", eye.shape.girth_mm)),
    ("girth in space", Left, |eye| eye.shape.in_space.clone()),
    ("CIRC of record", Left, |eye| {
        said(eye.shape.circ_mm, |circ| format!("{circ}, {}", eye.shape.circ_basis.unwrap_or_default()))
    }),
    ("least blank", Shown, |eye| match eye.blank.by_mm {
        None => format!("{:#}, exact", eye.least_blank_mm),
        Some(size) => format!("{:#} ({} {size})", eye.least_blank_mm, eye.blank.by),
    }),
    ("farthest", Left, |eye| format!("{} {:#}", eye.blank.farthest_at, eye.blank.farthest_deg)),
    ("stocked blank", Left, |eye| match eye.stocked_blank_mm {
        Some(diameter) => format!("⌀ {diameter:#} serves"),
        None => "none is large enough".into(),
    }),
    ("covers with", Left, |eye| match (eye.blank.spare_mm, eye.blank.spare_deg, eye.blank.spare_at) {
        (Some(spare), Some(toward), Some(at)) if spare.signum() < 0 => {
            format!("{} short {at} {toward:#}", spare.abs())
        }
        (Some(spare), Some(toward), _) => format!("{spare} to spare at {toward:#}"),
        _ => String::new(),
    }),
    ("decentres to", Left, |eye| {
        let most = eye.blank.largest_decentration_in_mm.map_or_else(|| "nowhere".into(), Figure::inward);
        said(eye.blank.looked_at_mm, |blank| format!("{most} on ⌀ {blank}"))
    }),
    ("blank if moved", Left, |eye| {
        said(eye.blank.if_moved_for_prism_mm, |least| format!("{least:#} + allowance"))
    }),
];

/// What is said of the lens as a body, where it can be worked out.
const BODY_ROWS: &[(&str, Sheet, Words<BodyView>)] = &[
    ("front curve", Shown, |body| format!("{}, {}", body.front_curve, given(body.front_curve_from))),
    ("centre thickness", Shown, |body| {
        let for_edge = || format!(" for {:#} edge", body.least_edge_mm.to(1, 2));
        let edge = if body.bound_by_edge { for_edge() } else { String::new() };
        format!("{:#} {}{edge}", body.centre_mm, given(body.centre_from))
    }),
    ("thickest edge", Shown, |body| edge(body.thickest_mm, body.thickest_at, body.thickest_deg)),
    ("thinnest edge", Shown, |body| edge(body.thinnest_mm, body.thinnest_at, body.thinnest_deg)),
    ("bevel, thickest", Left, |body| body.bevel.clone()),
    ("bevel curve", Left, |body| body.bevel_curve.clone()),
    ("weight cut", Left, |body| {
        body.weight_g.map_or("density not known".into(), |weight| format!("{weight:#}"))
    }),
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

/// Where what goes before the pupil lies.
fn at_pupil(eye: &EyeView) -> String {
    match eye.up_mm {
        up if up.signum() == 0 && !eye.height_ordered => format!("{}, on the datum", eye.in_mm.inward()),
        up => place(eye.in_mm, up),
    }
}

fn place(way: Figure, up: Figure) -> String {
    format!("{}, {}", way.inward(), up.upward())
}

const fn given(given: Given) -> &'static str {
    match given {
        Given::Ordered => "ordered",
        Given::Measured => "measured",
        Given::Taken => "taken",
    }
}
