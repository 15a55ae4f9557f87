//! What lenses are ordered.

use bevelbook_core::lens::CurveBasis;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Length, Prism};
use serde::{Deserialize, Serialize};
use std::fmt;

/// For what distance a pair is made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Viewing {
    /// For far, or for all distances: centred at the distance PD.
    #[default]
    Distance,
    /// For near alone: centred at the near PD.
    Near,
}

impl Viewing {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Distance, Self::Near];
}

impl fmt::Display for Viewing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Distance => "distance",
            Self::Near => "near",
        })
    }
}

/// The shape of a segment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SegmentShape {
    /// Round, its optical centre in its middle.
    Round,
    /// With a flat top.
    FlatTop,
    /// Across the whole lens.
    FullWidth,
}

impl SegmentShape {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Round, Self::FlatTop, Self::FullWidth];
}

impl fmt::Display for SegmentShape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Round => "round",
            Self::FlatTop => "flat top",
            Self::FullWidth => "full width",
        })
    }
}

/// A segment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Segment {
    /// Its shape.
    pub shape: SegmentShape,
    /// Its width; not said of one that goes across the whole lens.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width: Option<Length>,
}

impl fmt::Display for Segment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.width {
            Some(width) => write!(f, "{} {width}", self.shape),
            None => self.shape.fmt(f),
        }
    }
}

/// The lenses ordered.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct LensChoice {
    /// A material of the shop's table, by its key.
    pub material: String,
    /// Single vision, multifocal or progressive.
    #[serde(default)]
    pub design: Design,
    /// Treatments, in the shop's words.
    #[serde(default)]
    pub treatments: Vec<String>,
    /// For what distance they are made.
    #[serde(default)]
    pub viewing: Viewing,
    /// The segment of a multifocal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub segment: Option<Segment>,
    /// How far the prism reference point of a progressive lies below its fitting cross; by the shop's settings where it is
    /// not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reference_below: Option<Length>,
    /// Base down in both lenses to thin a progressive; by the shop's settings where it is not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thinning: Option<Prism>,
    /// In what index the order's front curve is said.
    #[serde(default)]
    pub curve_basis: CurveBasis,
    /// A rule of the shop's settings for how thick the lenses have to be.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub safety: Option<String>,
}
