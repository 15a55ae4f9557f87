//! How the figures of a fact came about.
//!
//! A keypad shows each figure as it is to be, and one press accepts it. A figure that was accepted so says less than one
//! that was moved to where it was read: whoever looks at the record later should see which is which. It changes no
//! verdict.

use super::{Bench, CentreDistance, Reading};
use crate::prescription::Eye;
use core::fmt;
use heapless::Vec;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// What a keypad asks and shows as it is to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Asked {
    /// The power of a sphere line.
    Sphere,
    /// The power of a cylinder line.
    Cylinder,
    /// An axis.
    Axis,
    /// A prism; that there is none, too.
    Prism,
    /// An addition.
    Add,
    /// The PD across.
    Pd,
    /// The PD of one eye.
    Half(Eye),
    /// The height of one eye.
    Height(Eye),
    /// Whether what was looked at is good.
    Good,
}

impl Asked {
    /// Its bit among those of its own fact.
    const fn bit(self) -> u8 {
        1 << match self {
            Self::Sphere | Self::Pd | Self::Good => 0,
            Self::Cylinder => 1,
            Self::Axis => 2,
            Self::Prism => 3,
            Self::Add => 4,
            Self::Half(eye) => eye as u8,
            Self::Height(eye) => 2 + eye as u8,
        }
    }
}

impl fmt::Display for Asked {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sphere => f.write_str("sphere line"),
            Self::Cylinder => f.write_str("cylinder line"),
            Self::Axis => f.write_str("axis"),
            Self::Prism => f.write_str("prism"),
            Self::Add => f.write_str("add"),
            Self::Pd => f.write_str("PD"),
            Self::Half(eye) => write!(f, "PD {eye}"),
            Self::Height(eye) => write!(f, "height {eye}"),
            Self::Good => f.write_str("good"),
        }
    }
}

/// What of a fact was accepted as it stood there, where that was told.
///
/// The highest bit says that it was told; the others are one of each [`Asked`], set as long as nobody has moved it. A bit
/// of what the fact does not have means nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[serde(transparent)]
pub struct Entered(u8);

impl Entered {
    /// Nothing was told of it: a record of an earlier version.
    pub const UNTOLD: Self = Self(0);
    /// Everything was read, or typed.
    pub const READ: Self = Self(0x80);
    /// Everything stands as it was preset.
    pub const PRESET: Self = Self(0xff);

    /// Somebody moved it. That counts as read, also when it is moved back.
    pub const fn moved(&mut self, asked: Asked) {
        self.0 &= !asked.bit();
    }

    /// Whether anything was told of it.
    pub const fn is_told(self) -> bool {
        self.0 & Self::READ.0 != 0
    }

    /// Whether this was accepted as it was preset.
    pub const fn was_preset(self, asked: Asked) -> bool {
        self.is_told() && self.0 & asked.bit() != 0
    }
}

impl Bench {
    /// How it was entered; nothing is told of facts that have nothing preset.
    pub const fn entered(&self) -> Entered {
        match self {
            Self::Mark(mark) => mark.entered,
            Self::Reading(reading) => reading.entered,
            Self::CentreDistance(distance) => distance.entered,
            Self::Check(check) => check.entered,
            _ => Entered::UNTOLD,
        }
    }

    /// What of it a keypad asks, in the order in which it does.
    pub fn asked(&self) -> Vec<Asked, 5> {
        let all: &[(Asked, bool)] = match self {
            Self::Mark(_) => &[(Asked::Axis, true), (Asked::Prism, true)],
            Self::Reading(Reading { read, prism, add, .. }) => &[
                (Asked::Sphere, true),
                (Asked::Cylinder, true),
                (Asked::Axis, !read.power().cylinder.is_zero()),
                (Asked::Prism, prism.is_some()),
                (Asked::Add, add.is_some()),
            ],
            Self::CentreDistance(distance) => &of_centres(distance),
            Self::Check(_) => &[(Asked::Good, true)],
            _ => &[],
        };
        all.iter().filter_map(|(asked, has)| has.then_some(*asked)).collect()
    }
}

fn of_centres(distance: &CentreDistance) -> [(Asked, bool); 5] {
    let half = |eye| (Asked::Half(eye), distance.centres.half(eye).is_some());
    let height = |eye| (Asked::Height(eye), distance.height(eye).is_some());
    let [right, left] = Eye::BOTH;
    let across = Eye::BOTH.into_iter().all(|eye| !half(eye).1);
    [(Asked::Pd, across), half(right), half(left), height(right), height(left)]
}

#[cfg(test)]
mod tests {
    use super::super::test_facts::every_kind;
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn what_was_moved_counts_as_read_and_nothing_else_does() {
        for fact in every_kind() {
            for moved in fact.asked() {
                let mut entered = Entered::PRESET;
                entered.moved(moved);
                for asked in fact.asked() {
                    assert_eq!(entered.was_preset(asked), asked != moved, "{fact:?}");
                }
            }
        }
        assert!(!Entered::UNTOLD.is_told() && !Entered::UNTOLD.was_preset(Asked::Axis));
        assert!(Entered::READ.is_told() && !Entered::READ.was_preset(Asked::Axis));
    }

    #[test]
    fn what_one_fact_asks_has_a_bit_each_and_none_is_that_of_being_told() {
        for fact in every_kind() {
            let bits: HashSet<u8> = fact.asked().into_iter().map(Asked::bit).collect();
            assert_eq!(bits.len(), fact.asked().len());
            assert!(!bits.contains(&Entered::READ.0));
        }
    }
}
