//! What was measured of how a lens is made.

use bevelbook_core::prescription::Eye;
use bevelbook_core::units::{Angle, Length, Power};
use serde::{Deserialize, Serialize};

/// Measured of one lens; what a later record leaves out an earlier one still says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Making {
    /// Of which eye.
    pub eye: Eye,
    /// The number of the lens for that eye.
    pub lens: u8,
    /// Turn of its segment from the horizontal of the frame.
    #[serde(default)]
    pub segment_tilt: Option<Angle>,
    /// Centre thickness, at the reference point of the front surface.
    #[serde(default)]
    pub thickness: Option<Length>,
    /// Front curve in 1.530, as a lens clock for that index shows it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub front_curve: Option<Power>,
}

/// How far apart the middles of the segments of a pair are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Segments {
    /// The numbers of the lenses, right and left.
    pub lenses: [u8; 2],
    /// The distance, measured in the frame.
    pub distance: Length,
}

impl Segments {
    /// In words.
    pub fn words(&self) -> String {
        format!("segments {} mm apart", self.distance)
    }
}

impl Making {
    /// In words.
    pub fn words(&self) -> String {
        let tilt = self.segment_tilt.map(|tilt| format!("segment tilted by {tilt}°"));
        let thickness = self.thickness.map(|thickness| format!("centre {thickness} mm thick"));
        let curve = self.front_curve.map(|curve| format!("base curve {curve} D in 1.530"));
        let said: Vec<String> = [tilt, thickness, curve].into_iter().flatten().collect();
        format!("{} lens {}: {}", self.eye, self.lens, said.join(", "))
    }
}
