//! The rows of a plan: what is said of each eye, in the order of work. An eye's words keep to 30 columns.

use super::eye::{BodyView, EyeView};
use crate::plan::Given;
use crate::view::{Figure, Lens};
use bevelbook_core::prescription::Wanted;
use bevelbook_core::tolerance::Design;

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
    let of_eye = |(name, sheet, words): (_, _, Words<EyeView>)| Row {
        name,
        sheet,
        eyes: eyes.map(|eye| eye.map_or_else(String::new, words)),
    };
    let of_body = |(name, sheet, words): (_, _, Words<BodyView>)| {
        let missing =
            || if name == "centre thickness" { "not worked out, see below".into() } else { String::new() };
        let body = |eye: &EyeView| eye.thickness.as_ref().map_or_else(missing, words);
        Row { name, sheet, eyes: eyes.map(|eye| eye.map_or_else(String::new, body)) }
    };
    let rows = lens.into_iter().chain(ROWS.map(of_eye)).chain(BODY_ROWS.map(of_body));
    rows.filter(|row| row.eyes.iter().any(|words| !words.is_empty())).collect()
}

const fn what_is_made(wanted: Wanted) -> &'static str {
    match wanted {
        Wanted::Lens => "as ordered",
        Wanted::Balance { known: true } => "balance lens",
        Wanted::Balance { known: false } => "balance lens, power not told",
        Wanted::Nothing { known: true } => "no lens: the old one stays",
        Wanted::Nothing { known: false } => "no lens",
    }
}

type Words<T> = fn(&T) -> String;

const ROWS: [(&str, Sheet, Words<EyeView>); 21] = [
    ("minus cylinder", Bold, |eye| lens(eye.minus)),
    ("plus cylinder", Shown, |eye| lens(eye.plus)),
    ("prism", Bold, |eye| eye.ordered.prism.map_or_else(String::new, |prism| prism.to_string())),
    ("addition", Bold, |eye| said(eye.ordered.add_d, |add| add.to_string())),
    ("power at 90, 180", Shown, |eye| {
        eye.at_90_d.zip(eye.at_180_d).map_or_else(String::new, |(at_90, at_180)| format!("{at_90}, {at_180}"))
    }),
    ("first line", Shown, |eye| line(eye.first_line_d, eye.first_line_deg)),
    ("second line", Shown, |eye| line(eye.second_line_d, eye.second_line_deg)),
    ("three dots", Left, |eye| match eye.ordered.prism {
        _ if eye.design == Design::Progressive => "dot is the fitting cross".into(),
        Some(prism) => format!("dot shows {prism}"),
        None => "centre dot on optical centre".into(),
    }),
    ("centre dot sits", Bold, |eye| match eye.up_mm {
        up if up.signum() == 0 && !eye.height_ordered => format!("{}, on the datum", inward(eye.in_mm)),
        up => format!("{}, {}", inward(eye.in_mm), upward(up)),
    }),
    ("segment top", Bold, |eye| match eye.segment_drop_mm.map(|drop| drop.way("above", "below")) {
        None if eye.design != Design::Multifocal => String::new(),
        drop => {
            let inset = said(eye.segment_inset_mm, |inset| format!(", {inset} inset"));
            drop.unwrap_or_else(|| "height not given".into()) + &inset
        }
    }),
    ("optical centre", Bold, |eye| match (eye.optical_centre_in_mm, eye.optical_centre_up_mm) {
        _ if eye.dot_is_optical_centre => String::new(),
        (Some(way), Some(up)) if up.signum() == 0 => format!("{} from dot", inward(way)),
        (Some(way), Some(up)) => format!("{}, {} from dot", inward(way), upward(up)),
        _ => "nowhere on the lens".into(),
    }),
    ("shape", Left, |eye| eye.shape.from.words().into()),
    ("box", Left, |eye| format!("{} x {}, ED {}", eye.shape.a_mm, eye.shape.b_mm, eye.shape.ed_mm)),
    ("girth", Left, |eye| format!("{:#}, 2-D chords", eye.shape.girth_mm)),
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
        let most = eye.blank.largest_decentration_in_mm.map_or_else(|| "nowhere".into(), inward);
        said(eye.blank.looked_at_mm, |blank| format!("{most} on ⌀ {blank}"))
    }),
    ("blank if moved", Left, |eye| {
        said(eye.blank.if_moved_for_prism_mm, |least| format!("{least:#} + allowance"))
    }),
];

/// What is said of the lens as a body, where it can be worked out.
const BODY_ROWS: [(&str, Sheet, Words<BodyView>); 6] = [
    ("front curve", Shown, |body| format!("{:#} {}", body.front_curve_d, given(body.front_curve_from))),
    ("centre thickness", Shown, |body| {
        let edge = if body.bound_by_edge { " for the edge" } else { "" };
        format!("{:#} {}{edge}", body.centre_mm, given(body.centre_from))
    }),
    ("thickest edge", Shown, |body| edge(body.thickest_mm, body.thickest_at, body.thickest_deg)),
    ("thinnest edge", Shown, |body| edge(body.thinnest_mm, body.thinnest_at, body.thinnest_deg)),
    ("bevel, thickest", Left, |body| match (body.before_bevel_mm, body.behind_bevel_mm) {
        (Some(before), Some(behind)) => format!("{before} before, {behind} behind it"),
        _ => String::new(),
    }),
    ("weight cut", Left, |body| {
        body.weight_g.map_or("density not known".into(), |weight| format!("{weight:#}"))
    }),
];

/// What there is, in words.
fn said(figure: Option<Figure>, words: impl Fn(Figure) -> String) -> String {
    figure.map_or_else(String::new, words)
}

fn edge(thickness: Figure, at: &str, toward: Figure) -> String {
    format!("{thickness:#} {at} {toward:#}")
}

fn lens(power: Option<Lens>) -> String {
    power.map_or_else(String::new, |power| power.to_string())
}

fn line(power: Option<Figure>, axis: Option<Figure>) -> String {
    said(power, |power| {
        axis.map_or_else(|| format!("{power} at every axis"), |axis| format!("{power} at {axis}"))
    })
}

fn inward(figure: Figure) -> String {
    figure.way("in", "out")
}

fn upward(figure: Figure) -> String {
    figure.way("up", "down")
}

const fn given(given: Given) -> &'static str {
    match given {
        Given::Ordered => "ordered",
        Given::Taken => "taken",
    }
}
