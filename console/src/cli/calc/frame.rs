//! Frame: decentration and segment. Sizes are boxed sizes (ISO 8624).

use super::way::along;
use crate::cli::{Failure, Report, answer, arguments};
use crate::view::Figure;
use bevelbook_core::frame::{Decentration, FrameSize, PupillaryDistance, segment_drop, segment_inset};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use clap::Args;

/// Give the decentration of each lens: how far its optical centre lies in or out of its boxed centre.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc decentre --a 50 --dbl 20 --pd 33/31")]
pub(crate) struct Decentre {
    /// Width of the boxed lens, A.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    a: Length,
    /// Distance between the boxed lenses, the bridge.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    dbl: Length,
    /// Pupillary distance: right/left, or one figure across, which is halved.
    #[arg(long, value_name = "MM", value_parser = arguments::pupillary_distance)]
    pd: PupillaryDistance,
}

pub(super) fn decentre(asked: &Decentre) -> Result<Report, Failure> {
    // The height of the box has no part in it.
    let frame = FrameSize { a: asked.a, b: Length::ZERO, dbl: asked.dbl, ed: None };
    let [right, left] = Eye::BOTH.map(|eye| Decentration::of(&frame, asked.pd.of(eye), None).inward);
    Ok(answer!(
        "right {}, left {}", along(right, "in", "out"), along(left, "in", "out");
        right_mm = Figure::from(right),
        left_mm = Figure::from(left),
    ))
}

/// Give the place of a segment: from the middle line of the box, and from the distance centre.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc segment --b 50 --height 22 --distance-pd 64 --near-pd 60")]
pub(crate) struct PlaceSegment {
    /// Height of the boxed lens, B.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    b: Length,
    /// Segment height, from the bottom of the box to the top of the segment.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    height: Length,
    /// Distance PD, one figure across.
    #[arg(long, alias = "far-pd", value_name = "MM", value_parser = across, requires = "near_pd")]
    distance_pd: Option<PupillaryDistance>,
    /// Near PD, one figure across.
    #[arg(long, value_name = "MM", value_parser = across, requires = "distance_pd")]
    near_pd: Option<PupillaryDistance>,
}

/// A pupillary distance in one figure: the inset is one figure too.
fn across(text: &str) -> Result<PupillaryDistance, String> {
    match arguments::pupillary_distance(text)? {
        pd @ PupillaryDistance::Binocular(_) => Ok(pd),
        PupillaryDistance::Monocular { .. } | PupillaryDistance::OneEye { .. } => {
            Err("expected one figure across\n  write it like: 64\n  \
             with a figure for each eye, the inset of an eye is its distance PD less its near PD"
                .to_owned())
        }
    }
}

pub(super) fn segment(asked: &PlaceSegment) -> Result<Report, Failure> {
    let (height, b) = (asked.height, asked.b);
    if height > b {
        return Err(Failure::Use(format!(
            "--height {height} lies above the box, whose B is {b} mm; give the height from the bottom of the box, \
             for example 22"
        )));
    }
    let inset = asked.distance_pd.zip(asked.near_pd).map(|(far, near)| segment_inset(far, near, Eye::Right));
    if inset.is_some_and(|inset| inset < Length::ZERO) {
        return Err(Failure::wrong(
            "--near-pd is larger than --distance-pd; the eyes turn in for near, for example --distance-pd 64 --near-pd 60",
        ));
    }
    let drop = segment_drop(b, height);
    let top = match drop.is_zero() {
        true => "on the middle line".into(),
        false => along(drop, "above the middle line", "below the middle line"),
    };
    let turned = inset.map_or(String::new(), |inset| format!(", inset {inset} mm for each eye"));
    Ok(answer!("top {top}{turned}"; drop_mm = Figure::from(drop), inset_mm = inset.map(Figure::from)))
}
