//! What the lenses of one job may be off: figures that travel.
//!
//! A judgement has two steps. From a table, a design and an order follow the limits: that is done once, where the
//! tables are ([`Limits::of`]). From limits, order and reading follows what is out ([`Limits::eye`] and its
//! neighbours): that needs no table, and is the same code at the console and at a keypad.
//!
//! What these figures do not carry, and a keypad leaves to the console: where a figure was published, whether it is
//! confirmed, and the words of its rule; what is made beside the optics (segments, thickness, base curve, warpage).

use super::{Basis, Deviation, Limit};
use crate::bytes::coded;
use crate::units::{Length, Power};
use heapless::String;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// What every figure of a job may be off, by whatever the console judges the job by.
    ///
    /// Encoded it takes some 75 bytes, and at most 161.
    #[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Limits {
        /// What it is judged by; shortened, and plain ASCII, so that a small display can show it.
        pub by: String<{ Limits::NAME }>,
        /// Of each lens, right and left.
        pub eyes: [EyeLimits; 2],
        /// The reference point of an uncut lens.
        pub reference: Option<ReferenceLimits>,
        /// What cylinder a lens without one may show, D.
        pub no_cylinder: Option<Limit>,
        /// Vertical and horizontal prism of each mounted lens, Δ; `None` where only the pair's counts.
        pub each: [Option<Limit>; 2],
        /// Vertical prism between the eyes.
        pub vertical: Option<PrismLimit>,
        /// Horizontal prism between the eyes, or that the PD holds in its place.
        pub horizontal: Option<Horizontal>,
        /// The PD.
        pub pd: PdLimits,
        /// Heights of segments or fitting crosses.
        pub heights: Allowed<HeightLimits>,
    }
}

const _: () = assert!(Limits::POSTCARD_MAX_SIZE == 161);

impl Limits {
    /// Most bytes of the name.
    pub const NAME: usize = 20;
}

coded! {
    /// A limit where there may be nothing to hold to.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub enum Allowed<T = Limit> {
        /// Anything will do.
        Any,
        /// Nothing is known: neither passed nor failed.
        NotCovered,
        /// So much.
        To(T),
    }
}

impl<T: Copy> Allowed<T> {
    /// The limit, where there is one.
    pub const fn limit(self) -> Option<T> {
        match self {
            Self::To(limit) => Some(limit),
            Self::Any | Self::NotCovered => None,
        }
    }
}

coded! {
    /// What one lens may be off. `None` is not covered.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct EyeLimits {
        /// Which power the limit is for.
        pub judged: JudgedPower,
        /// D, of the judged power, of each when both are judged.
        pub power: Option<Limit>,
        /// D.
        pub cylinder: Option<Limit>,
        /// Degrees.
        pub axis: Allowed,
        /// Whether the axis counts before the lens is cut, too.
        pub axis_uncut: bool,
        /// D; of an order without addition `None`.
        pub add: Option<Limit>,
    }
}

coded! {
    /// Which power of the minus-cylinder form is judged.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub enum JudgedPower {
        /// The sphere.
        Along,
        /// Sphere and cylinder together.
        Across,
        /// Both.
        Both,
    }
}

coded! {
    /// The reference point of an uncut lens.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct ReferenceLimits {
        /// Prism in any direction, Δ.
        pub prism: Limit,
        /// Place, mm; `None` when the prism alone decides.
        pub place: Option<Limit>,
        /// Whether both have to hold; else a lens that holds one passes.
        pub both: bool,
    }
}

coded! {
    /// Prism between the eyes, Δ.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct PrismLimit {
        /// What it may be off; where two readings of the rule differ, the larger.
        pub limit: Limit,
        /// Where they differ, the smaller.
        pub stricter: Option<Limit>,
        /// Whether the rule is one in prism or one in millimetres.
        pub basis: Basis,
    }
}

coded! {
    /// What holds a pair together horizontally.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub enum Horizontal {
        /// The prism.
        Prism {
            /// As read.
            prism: PrismLimit,
            /// Horizontal power of the stronger lens: while no prism was read, the PD tells what it is at worst.
            power: Power,
            /// So far off, the PD makes no more than the limit in the weaker lens: the prism has to be read.
            weaker_to: Length,
        },
        /// By the PD.
        Pd,
    }
}

coded! {
    /// The PD, mm; `None` has no limit.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct PdLimits {
        /// In total.
        pub total: Option<Limit>,
        /// Of each eye from its monocular PD.
        pub each: Option<Limit>,
    }
}

coded! {
    /// Heights of segments or fitting crosses, mm.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct HeightLimits {
        /// Of one.
        pub each: Limit,
        /// Of one against the other.
        pub pair: Option<Limit>,
    }
}

impl EyeLimits {
    /// What the judged power is off; where both are judged, the one that is further off.
    pub fn judged_power(&self, off: &Deviation) -> Power {
        match self.judged {
            JudgedPower::Along => off.power,
            JudgedPower::Across => off.across,
            JudgedPower::Both if off.across.abs() > off.power.abs() => off.across,
            JudgedPower::Both => off.power,
        }
    }

    /// Whether all are within. An axis that has a limit but could not be read does not pass.
    pub fn hold(&self, off: &Deviation) -> bool {
        self.hold_powers(off) && self.hold_axis(off)
    }

    /// Whether the powers and the cylinder are within.
    pub fn hold_powers(&self, off: &Deviation) -> bool {
        self.holds_power(off) && self.holds_cylinder(off.cylinder)
    }

    pub(super) fn holds_power(&self, off: &Deviation) -> bool {
        self.power.is_none_or(|limit| limit.holds(self.judged_power(off).milli()))
    }

    pub(super) fn holds_cylinder(&self, off: Power) -> bool {
        self.cylinder.is_none_or(|limit| limit.holds(off.milli()))
    }

    pub(super) fn hold_axis(&self, off: &Deviation) -> bool {
        self.axis.limit().is_none_or(|limit| off.axis.is_some_and(|turn| limit.holds(turn.milli())))
    }
}
