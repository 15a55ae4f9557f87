//! Where a bevel stands on the edge. Exact in µm but for a ratio, which is rounded.

use crate::maths::divide_nearest;
use crate::units::Length;
use thiserror::Error;

/// How the place of the bevel is chosen (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum BevelPlacement {
    /// So many parts of the edge in front of the bevel, of so many in all: 1 of 3.
    Ratio {
        /// Parts in front.
        front: u8,
        /// Parts in all.
        of: u8,
    },
    /// Half of the edge in front.
    Middle,
    /// Everywhere the same distance behind the front edge.
    FrontCurve {
        /// That distance.
        distance: Length,
    },
}

impl BevelPlacement {
    /// One third in front (common practice, no source).
    pub const THIRD: Self = Self::Ratio { front: 1, of: 3 };
}

/// A bevel on an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct BevelFit {
    /// From the front edge of the lens to the top of the bevel.
    pub before: Length,
    /// From the top of the bevel to the back edge.
    pub behind: Length,
}

/// Where a bevel is of no use, or shows. Which figures these are is practice, not a standard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct BevelLimits {
    /// How wide a bevel is at its foot.
    pub foot: Length,
    /// How much of the edge may lie in front of it.
    pub most_in_front: Length,
}

/// What is odd about a bevel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum BevelWarning {
    /// The edge is thinner than the bevel's foot, as that of many a plus lens: its place cannot be chosen.
    #[error("the whole edge is bevel")]
    AllBevel {
        /// The edge.
        edge: Length,
        /// The bevel's foot.
        foot: Length,
    },
    /// Much of the edge lies in front of the bevel.
    #[error(
        "{before} mm of the edge lie in front of the bevel, above {most} mm: there the lens stands out of its rim"
    )]
    StandsOut {
        /// How much.
        before: Length,
        /// How much may.
        most: Length,
    },
}

/// A bevel that an edge cannot carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum BevelError {
    /// There is no edge: its thickness, zero or less.
    #[error("an edge of {0} mm carries no bevel")]
    NoEdge(Length),
    /// A ratio without parts, or with more in front than there are.
    #[error("{front} of {of} parts in front is no ratio; 1 of 3 puts one third in front")]
    Ratio {
        /// Parts in front.
        front: u8,
        /// Parts in all.
        of: u8,
    },
    /// The bevel would lie before or behind the edge.
    #[error("a bevel {distance} mm behind the front lies off an edge of {edge} mm")]
    Off {
        /// Its distance from the front edge.
        distance: Length,
        /// How thick the edge is.
        edge: Length,
    },
}

impl BevelFit {
    /// The bevel on an edge of this thickness. A ratio is rounded to the nearest µm, halves to the back.
    ///
    /// # Errors
    /// There is no edge, the ratio is none, or the bevel lies off the edge.
    pub fn of(edge: Length, placement: BevelPlacement) -> Result<Self, BevelError> {
        if edge <= Length::ZERO {
            return Err(BevelError::NoEdge(edge));
        }
        let parts = |front: u8, of: u8| {
            let before = divide_nearest(i64::from(edge.milli()) * i64::from(front), of.into());
            Length::from_milli(before as i32)
        };
        let before = match placement {
            BevelPlacement::Ratio { front, of } if of == 0 || front > of => {
                return Err(BevelError::Ratio { front, of });
            }
            BevelPlacement::Ratio { front, of } => parts(front, of),
            BevelPlacement::Middle => parts(1, 2),
            BevelPlacement::FrontCurve { distance } if distance < Length::ZERO || distance > edge => {
                return Err(BevelError::Off { distance, edge });
            }
            BevelPlacement::FrontCurve { distance } => distance,
        };
        Ok(Self { before, behind: edge - before })
    }

    /// What is odd about this bevel on the thickest place of an edge. Limits are inclusive.
    pub fn warning(&self, limits: &BevelLimits) -> Option<BevelWarning> {
        let (edge, foot, before, most) =
            (self.before + self.behind, limits.foot, self.before, limits.most_in_front);
        let stands_out = (before > most).then_some(BevelWarning::StandsOut { before, most });
        if edge < foot { Some(BevelWarning::AllBevel { edge, foot }) } else { stands_out }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts(edge: i32, placement: BevelPlacement) -> Result<(i32, i32), BevelError> {
        let fit = BevelFit::of(Length::from_milli(edge), placement)?;
        Ok((fit.before.milli(), fit.behind.milli()))
    }

    #[test]
    fn an_edge_is_parted_by_its_bevel() {
        assert_eq!(parts(6000, BevelPlacement::THIRD), Ok((2000, 4000)));
        assert_eq!(parts(6000, BevelPlacement::Middle), Ok((3000, 3000)));
        let follow = BevelPlacement::FrontCurve { distance: Length::from_milli(1000) };
        assert_eq!(parts(6000, follow), Ok((1000, 5000)));
        assert_eq!(parts(1001, BevelPlacement::THIRD), Ok((334, 667)));
    }

    #[test]
    fn an_edge_that_is_all_bevel_and_one_that_stands_out_are_warned_of() {
        let [foot, most_in_front] = [1600, 2500].map(Length::from_milli);
        let warning = |edge: i32, placement| {
            let fit = BevelFit::of(Length::from_milli(edge), placement).unwrap();
            fit.warning(&BevelLimits { foot, most_in_front })
        };
        let edge = Length::from_milli(1599);
        assert_eq!(warning(1599, BevelPlacement::THIRD), Some(BevelWarning::AllBevel { edge, foot }));
        assert_eq!(
            (warning(1600, BevelPlacement::THIRD), warning(7500, BevelPlacement::THIRD)),
            (None, None)
        );
        let before = Length::from_milli(4000);
        let stands_out = BevelWarning::StandsOut { before, most: most_in_front };
        assert_eq!(warning(12_000, BevelPlacement::THIRD), Some(stands_out));
        let follow = BevelPlacement::FrontCurve { distance: Length::from_milli(1000) };
        assert_eq!(warning(12_000, follow), None);
    }

    #[test]
    fn a_bevel_off_the_edge_is_refused() {
        let (edge, distance) = (Length::from_milli(900), Length::from_milli(1000));
        assert_eq!(
            parts(900, BevelPlacement::FrontCurve { distance }),
            Err(BevelError::Off { distance, edge })
        );
        assert_eq!(parts(0, BevelPlacement::Middle), Err(BevelError::NoEdge(Length::ZERO)));
        let none = BevelPlacement::Ratio { front: 4, of: 3 };
        assert_eq!(parts(900, none), Err(BevelError::Ratio { front: 4, of: 3 }));
        assert!(parts(900, BevelPlacement::Ratio { front: 0, of: 0 }).is_err());
    }
}
