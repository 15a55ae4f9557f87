//! What is specified, or made, beside the optics.

use super::Rule;

/// Limits of what is specified, or made, beside the optics.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Made {
    /// Distance between the segments, µm in total.
    pub segment_place: Option<Rule>,
    /// Tilt of a segment, 1/1000°.
    pub segment_tilt: Option<Rule>,
    /// Width and depth of a segment, µm.
    pub segment_size: Option<Rule>,
    /// Base curve, 1/1000 D.
    pub base_curve: Option<Rule>,
    /// Warpage, 1/1000 D.
    pub warpage: Option<Rule>,
    /// Centre thickness, when it is specified, µm.
    pub thickness: Option<Rule>,
}

impl Made {
    /// Nothing is covered.
    pub const NONE: Self = Self {
        segment_place: None,
        segment_tilt: None,
        segment_size: None,
        base_curve: None,
        warpage: None,
        thickness: None,
    };
}
