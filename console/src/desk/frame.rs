//! The customer's frame.

use bevelbook_core::frame::{FrameSize, along_front};
use bevelbook_core::sizing::Rim;
use bevelbook_core::units::{Angle, Length, Power};
use serde::{Deserialize, Serialize};

/// In what state the frame came in. A worn one may give or break.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, clap::ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Condition {
    /// From stock.
    #[default]
    New,
    /// The customer's own, sound.
    Own,
    /// The customer's own, brittle, bent or repaired: handed in at the owner's risk.
    Worn,
}

/// A frame as ordered.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Frame {
    /// Its model name: what the shop knows it by.
    pub model: String,
    /// Its boxed sizes.
    #[serde(flatten)]
    pub size: FrameSize,
    /// What holds the lens.
    pub rim: Rim,
    /// What the rim is made of.
    #[serde(default)]
    pub material: String,
    /// Its pantoscopic tilt in degrees, lower edge toward the face, where it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tilt: Option<Angle>,
    /// The wrap of its front in degrees, temples toward the face, where it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wrap: Option<Angle>,
    /// The curve of its rim as a power in 1.530, where it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub curve: Option<Power>,
    /// In what state it came in.
    #[serde(default)]
    pub condition: Condition,
}

impl Frame {
    /// A new frame of which no more is said.
    #[must_use]
    pub fn new(model: &str, size: FrameSize, rim: Rim) -> Self {
        let (material, condition) = (String::new(), Condition::New);
        let model = model.to_owned();
        Self { model, size, rim, material, tilt: None, wrap: None, curve: None, condition }
    }

    /// How far from the middle of the bridge, along its wrapped front, lies what stands straight before a pupil.
    pub fn along_front(&self, monocular_pd: Length) -> Length {
        self.wrap.and_then(|wrap| along_front(monocular_pd, wrap)).unwrap_or(monocular_pd)
    }

    /// Its size as the trade writes it: A□DBL, to the nearest tenth of a millimetre.
    pub fn label(&self) -> String {
        let tenth = |length: Length| Length::from_milli((length.milli() + 50).div_euclid(100) * 100);
        format!("{}□{}", tenth(self.size.a), tenth(self.size.dbl))
    }
}
