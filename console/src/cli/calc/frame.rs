//! Frame: decentration and segment. Sizes are boxed sizes (ISO 8624).

use crate::cli::arguments;
use crate::cli::figures::millimetres;
use crate::cli::{Failure, Report};
use bevelbook_core::frame::{Decentration, FrameSize, PupillaryDistance, segment_drop, segment_inset};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use clap::Args;
use serde_json::json;

/// Give the way from each boxed centre to the optical centre, inward or outward.
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

impl Decentre {
    pub(super) fn answer(&self) -> Report {
        // The height of the box has no part in the horizontal way.
        let frame = FrameSize { a: self.a, b: Length::ZERO, dbl: self.dbl, ed: None };
        let [right, left] = Eye::BOTH.map(|eye| Decentration::of(&frame, self.pd.of(eye), None).inward);
        let text = format!("right {}, left {}", way(right, "in", "out"), way(left, "in", "out"));
        let json = json!({ "right_mm": millimetres(right), "left_mm": millimetres(left) });
        Report::new(text, json)
    }
}

/// A way in words, by the direction of its sign.
pub(super) fn way(length: Length, positive: &str, negative: &str) -> String {
    match length.milli() {
        0 => "0 mm".to_owned(),
        1.. => format!("{length} mm {positive}"),
        _ => format!("{} mm {negative}", length.abs()),
    }
}

/// Give the place of a segment: from the middle line of the box, and from the distance centre.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc segment --b 50 --height 22 --far-pd 64 --near-pd 60")]
pub(crate) struct Segment {
    /// Height of the boxed lens, B.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    b: Length,
    /// Segment height, from the lower side of the box to the top of the segment.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    height: Length,
    /// Pupillary distance for far, one figure across.
    #[arg(long, value_name = "MM", value_parser = across, requires = "near_pd")]
    far_pd: Option<PupillaryDistance>,
    /// Pupillary distance for near, one figure across.
    #[arg(long, value_name = "MM", value_parser = across, requires = "far_pd")]
    near_pd: Option<PupillaryDistance>,
}

/// A pupillary distance in one figure: the inset is one figure too.
fn across(text: &str) -> Result<PupillaryDistance, String> {
    match arguments::pupillary_distance(text)? {
        PupillaryDistance::Monocular { .. } => Err("expected one figure across\n  write it like: 64\n  \
             with a figure for each eye, the inset of an eye is its far less its near PD"
            .to_owned()),
        pd @ PupillaryDistance::Binocular(_) => Ok(pd),
    }
}

impl Segment {
    pub(super) fn answer(&self) -> Result<Report, Failure> {
        if self.height > self.b {
            let (height, b) = (self.height, self.b);
            return Err(Failure::Use(format!(
                "--height {height} lies above the box, whose B is {b} mm; give the height from the lower side of \
                 the box, for example 22"
            )));
        }
        let drop = segment_drop(self.b, self.height);
        let inset = self.far_pd.zip(self.near_pd).map(|(far, near)| segment_inset(far, near, Eye::Right));
        if inset.is_some_and(|inset| inset < Length::ZERO) {
            return Err(Failure::Use(
                "--near-pd is larger than --far-pd; the eyes turn in for near, for example --far-pd 64 --near-pd 60"
                    .to_owned(),
            ));
        }
        let mut text = match drop.is_zero() {
            true => "top on the middle line".to_owned(),
            false => format!("top {}", way(drop, "above the middle line", "below the middle line")),
        };
        if let Some(inset) = inset {
            text = format!("{text}, inset {inset} mm for each eye");
        }
        let json = json!({
            "drop_mm": millimetres(drop),
            "inset_mm": inset.map(millimetres),
        });
        Ok(Report::new(text, json))
    }
}
