//! Whether an edge carries a groove for a cord or a thin rim. How thick such an edge should be is the shop's rule.
//!
//! The figures are practice, not a standard: change them where a shop knows better.

use crate::units::Length;

/// A groove in the edge of a lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Groove {
    /// From the front edge of the lens to the middle of the groove.
    pub from_front: Length,
    /// Across the edge.
    pub width: Length,
    /// Into the edge.
    pub depth: Length,
}

/// What a groove should keep to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct GrooveLimits {
    /// The narrowest and the widest groove.
    pub width: (Length, Length),
    /// The shallowest and the deepest groove.
    pub depth: (Length, Length),
}

/// 0.5 to 0.6 mm wide and 0.3 to 0.5 mm deep: common practice (a laboratory's guide on bevels; no standard).
impl Default for GrooveLimits {
    fn default() -> Self {
        let mm = Length::from_milli;
        Self { width: (mm(500), mm(600)), depth: (mm(300), mm(500)) }
    }
}

/// What is wrong with a groove.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum GrooveWarning {
    /// The groove is narrower or wider than usual.
    #[error("groove {width} mm wide; usual {} to {} mm", .usual.0, .usual.1)]
    Width {
        /// The groove's.
        width: Length,
        /// What is usual.
        usual: (Length, Length),
    },
    /// The groove is shallower or deeper than usual.
    #[error("groove {depth} mm deep; usual {} to {} mm", .usual.0, .usual.1)]
    Depth {
        /// The groove's.
        depth: Length,
        /// What is usual.
        usual: (Length, Length),
    },
    /// The groove breaks through the front or the back edge.
    #[error("groove breaks through the edge: {front} mm left in front, {back} mm behind")]
    NoLip {
        /// What is left in front of the groove.
        front: Length,
        /// What is left behind it.
        back: Length,
    },
}

impl Groove {
    /// The most warnings one groove can have.
    pub const WARNINGS: usize = 3;

    /// What is left of the edge in front of and behind the groove, in whole µm: the odd µm of a width is taken from
    /// both. Negative where the groove breaks through.
    pub fn lips(self, edge: Length) -> (Length, Length) {
        let half = Length::from_milli(self.width.milli() / 2 + self.width.milli() % 2);
        (self.from_front - half, edge - self.from_front - half)
    }

    /// What is wrong with this groove in an edge of this thickness, the worst first. Limits are inclusive.
    pub fn warnings(
        self,
        edge: Length,
        limits: &GrooveLimits,
    ) -> heapless::Vec<GrooveWarning, { Self::WARNINGS }> {
        let outside = |value: Length, (least, most): (Length, Length)| value < least || value > most;
        let (front, back) = self.lips(edge);
        let no_lip = GrooveWarning::NoLip { front, back };
        let width = GrooveWarning::Width { width: self.width, usual: limits.width };
        let depth = GrooveWarning::Depth { depth: self.depth, usual: limits.depth };
        [
            (front <= Length::ZERO || back <= Length::ZERO).then_some(no_lip),
            outside(self.width, limits.width).then_some(width),
            outside(self.depth, limits.depth).then_some(depth),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::vec::Vec;

    fn warned(edge: i32, from_front: i32, width: i32, depth: i32) -> Vec<GrooveWarning> {
        let [edge, from_front, width, depth] = [edge, from_front, width, depth].map(Length::from_milli);
        let groove = Groove { from_front, width, depth };
        groove.warnings(edge, &GrooveLimits::default()).into_iter().collect()
    }

    #[test]
    fn a_usual_groove_in_a_good_edge_is_not_mentioned() {
        // Common practice: the limits themselves are good.
        assert_eq!(warned(2000, 1000, 500, 300), []);
        assert_eq!(warned(5000, 1500, 600, 500), []);
    }

    #[test]
    fn everything_wrong_at_once_is_all_said() {
        let all = warned(800, 300, 610, 510);
        assert_eq!(all.len(), Groove::WARNINGS);
        let (front, back) = (Length::from_milli(-5), Length::from_milli(195));
        assert_eq!(all[0], GrooveWarning::NoLip { front, back });
    }
}
