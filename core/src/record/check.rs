//! Checks by eye and hand: one item, good or not.

use super::{Entered, LensId, PairId};
use crate::bytes::coded;
use crate::units::words;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// What is looked at. Common practice, no source, except the impact items: 21 CFR 801.410 as summarised by the
    /// public regulations that repeat it; local rules decide.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "kebab-case")]
    pub enum CheckItem {
        /// The block sits on the centre dot, along the line of dots.
        Blocked,
        /// The axis still stands after roughing: the lens has not slipped on its pad.
        Slip,
        /// Both edges carry a pin bevel (safety chamfer).
        Bevel,
        /// The lens is firm in the rim.
        Firm,
        /// The lens shows no strain.
        Strain,
        /// Surfaces and coating are free of scratches, chips and crazing.
        Surfaces,
        /// The frame is true: level and aligned.
        Alignment,
        /// Impact (drop ball): this lens was tested.
        #[serde(rename = "drop-ball-tested", alias = "impact-tested")]
        ImpactTested,
        /// Impact: the supplier vouches for the batch.
        #[serde(rename = "drop-ball-batch", alias = "impact-sample")]
        ImpactSample,
        /// Impact: a type of lens that is exempt from the test.
        #[serde(rename = "drop-ball-exempt", alias = "impact-exempt")]
        ImpactExempt,
        /// Impact: waived in writing by the prescriber.
        #[serde(rename = "drop-ball-waived", alias = "impact-excepted")]
        ImpactExcepted,
    }
}

impl CheckItem {
    /// What each finished lens is looked at for, beside the impact record.
    pub const FINISH: [Self; 4] = [Self::Bevel, Self::Firm, Self::Strain, Self::Surfaces];

    /// The ways in which impact resistance is accounted for; one is enough.
    pub const IMPACT: [Self; 4] =
        [Self::ImpactTested, Self::ImpactSample, Self::ImpactExempt, Self::ImpactExcepted];

    /// What it is called where there is little room.
    pub const fn short(self) -> &'static str {
        match self {
            Self::Blocked => "block",
            Self::Slip => "slip",
            Self::Bevel => "bevel",
            Self::Firm => "firm",
            Self::Strain => "strain",
            Self::Surfaces => "surface",
            Self::Alignment => "align",
            Self::ImpactTested | Self::ImpactSample | Self::ImpactExempt | Self::ImpactExcepted => "impact",
        }
    }

    /// Whether the pair is looked at rather than one lens.
    pub const fn is_of_pair(self) -> bool {
        matches!(self, Self::Alignment)
    }
}

words! {
    /// Every item, in the order of work.
    ALL CheckItem {
        Blocked => "block on the centre dot and the 180 line",
        Slip => "axis unmoved after roughing",
        Bevel => "pin bevel (safety chamfer), both edges",
        Firm => "lens firm in the rim",
        Strain => "no strain in the lens",
        Surfaces => "surfaces free of scratches and chips",
        Alignment => "frame true",
        ImpactTested => "drop ball: tested",
        ImpactSample => "drop ball: by batch",
        ImpactExempt => "drop ball: exempt",
        ImpactExcepted => "drop ball: waived in writing by the prescriber",
    }
}

coded! {
    /// What a check was made on.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "lowercase")]
    pub enum Subject {
        /// One lens.
        Lens(LensId),
        /// The pair in its frame.
        Pair(PairId),
    }
}

coded! {
    /// One check.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Check {
        /// Whether it was accepted along with others by one press. It is written first.
        pub entered: Entered,
        /// What was looked at.
        pub of: Subject,
        /// What it was looked at for.
        pub item: CheckItem,
        /// Whether it was as it should be.
        pub good: bool,
    }
}

coded! {
    /// The latest result of each item.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Checks {
        seen: u16,
        good: u16,
    }
}

impl Checks {
    /// Nothing looked at yet.
    pub const fn new() -> Self {
        Self { seen: 0, good: 0 }
    }

    /// Takes a result into account; the latest counts.
    pub fn set(&mut self, item: CheckItem, good: bool) {
        let bit = 1 << item as u16;
        self.seen |= bit;
        self.good = if good { self.good | bit } else { self.good & !bit };
    }

    /// The latest result of an item, or `None` when it was not looked at.
    pub fn get(&self, item: CheckItem) -> Option<bool> {
        let bit = 1 << item as u16;
        (self.seen & bit != 0).then_some(self.good & bit != 0)
    }

    /// Forgets an item, so that it must be looked at again.
    pub fn reset(&mut self, item: CheckItem) {
        self.seen &= !(1 << item as u16);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_latest_result_counts_and_items_keep_apart() {
        let mut checks = Checks::default();
        for (place, item) in CheckItem::ALL.into_iter().enumerate() {
            assert_eq!(checks.get(item), None);
            checks.set(item, place % 2 == 0);
        }
        for (place, item) in CheckItem::ALL.into_iter().enumerate() {
            assert_eq!(checks.get(item), Some(place % 2 == 0));
        }
        checks.set(CheckItem::Firm, true);
        assert_eq!(checks.get(CheckItem::Firm), Some(true));
        checks.reset(CheckItem::Firm);
        assert_eq!(checks.get(CheckItem::Firm), None);
    }
}
