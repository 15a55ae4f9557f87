//! The boxed sizes of a frame.

use crate::units::Length;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// Boxed sizes of a frame (ISO 8624), the same for both eyes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct FrameSize {
    /// Width of the box.
    pub a: Length,
    /// Height of the box.
    pub b: Length,
    /// Distance between the two boxes, the bridge.
    pub dbl: Length,
    /// Effective diameter: twice the longest radius from the boxed centre. `None` when nobody has given it.
    #[serde(default)]
    pub ed: Option<Length>,
}

impl FrameSize {
    /// The distance between the boxed centres, A + DBL. Exact.
    pub fn frame_pd(&self) -> Length {
        self.a + self.dbl
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxed_centres_are_a_width_and_a_bridge_apart() {
        // 50 □ 20; ISO 8624 boxing system.
        let mm = |mm: i32| Length::from_milli(mm * 1000);
        assert_eq!(FrameSize { a: mm(50), b: mm(38), dbl: mm(20), ed: None }.frame_pd(), mm(70));
    }
}
