//! What a bench record says, kind by kind.

use super::{Entered, JobId, LensId, PairId, RecordId};
use crate::bytes::coded;
use crate::frame::PupillaryDistance;
use crate::prescription::{Eye, SphereCylinder, from_lines};
use crate::sizing::{Dial, Dialled, Outcome, Rim};
use crate::tolerance::{EyeReading, Stage};
use crate::units::{Axis, Length, Power, PrismPair};
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// An uncut lens was lined up and its three dots spotted.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Mark {
        /// What of it was accepted as it was preset. It is written first.
        pub entered: Entered,
        /// The lens.
        pub lens: LensId,
        /// The axis at which it was lined up.
        pub axis: Axis,
        /// The prism shown at the centre dot; none when the dot is the optical centre.
        pub prism: PrismPair,
    }
}

coded! {
    /// One sizing pass.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Pass {
        /// The figure that stood there advised, as the dial counts; none where nothing was, or before it was told. It is written
        /// first.
        pub advised: Option<Length>,
        /// Which lens was ground.
        pub lens: LensId,
        /// What was dialled.
        pub dialled: Dialled,
        /// What the hand felt.
        pub outcome: Outcome,
        /// Whether the guard was insisted past.
        pub past: bool,
    }
}

impl Pass {
    /// What was advised in its place, where that was something else.
    pub fn refused(&self) -> Option<Dialled> {
        let advised = Dialled { amount: self.advised?, ..self.dialled };
        (advised != self.dialled).then_some(advised)
    }
}

coded! {
    /// What was read off the focimeter, as it was read.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "lowercase")]
    pub enum Read {
        /// Sphere, cylinder and axis.
        Direct(SphereCylinder),
        /// The powers at which the first and the second line are sharp, and the axis wheel.
        Lines {
            /// First line.
            first: Power,
            /// Second line.
            second: Power,
            /// Axis wheel at the first line.
            wheel: Axis,
        },
    }
}

impl Read {
    /// The power that was read.
    pub fn power(self) -> SphereCylinder {
        match self {
            Self::Direct(power) => power,
            Self::Lines { first, second, wheel } => from_lines(first, second, wheel),
        }
    }
}

coded! {
    /// One lens was read on the focimeter.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Reading {
        /// What of it was accepted as it was preset. It is written first.
        pub entered: Entered,
        /// The lens.
        pub lens: LensId,
        /// Uncut or mounted.
        pub stage: Stage,
        /// Its power.
        pub read: Read,
        /// The prism at the point that counts (the centre dot, or the wearer's pupil as ordered); `None` when it was
        /// not looked at.
        pub prism: Option<PrismPair>,
        /// The addition, where it was read.
        pub add: Option<Power>,
    }
}

impl Reading {
    /// What of it is compared with limits.
    pub fn read(&self) -> EyeReading {
        EyeReading { prism: self.prism, add: self.add, ..EyeReading::of_power(self.read.power()) }
    }
}

coded! {
    /// The pair's optical centres, and segment or fitting heights where there are any, measured in the frame.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct CentreDistance {
        /// What of it was accepted as it was preset. It is written first.
        pub entered: Entered,
        /// The pair.
        pub pair: PairId,
        /// Distance between the centres, in all or for each eye.
        pub centres: PupillaryDistance,
        /// Heights above the lower side of the box, right and left; beside the centre of one eye alone both are that eye's.
        pub heights: Option<[Length; 2]>,
    }
}

impl CentreDistance {
    /// The height of one eye, where it was measured.
    pub fn height(&self, eye: Eye) -> Option<Length> {
        let told = self.centres.whole().is_some() || self.centres.half(eye).is_some();
        self.heights.filter(|_| told).map(|heights| heights[eye.index()])
    }
}

coded! {
    /// What a girth was measured on.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "lowercase")]
    pub enum GirthOf {
        /// The edged lens.
        Lens,
        /// The rim it belongs in.
        Rim,
    }
}

coded! {
    /// A length round a lens or a rim.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Girth {
        /// The lens, or the lens whose rim was measured.
        pub lens: LensId,
        /// Which of the two.
        pub of: GirthOf,
        /// The girth.
        pub girth: Length,
    }
}

coded! {
    /// An earlier record does not hold.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Void {
        /// The job of the voided record, if it has one.
        pub job: Option<JobId>,
        /// The voided record.
        pub target: RecordId,
    }
}

coded! {
    /// An eye goes on with a new lens, because the one before is spoiled. Why, and who bears it, is told at the console.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct NewLens {
        /// The new lens.
        pub lens: LensId,
    }
}

coded! {
    /// A job was opened at the bench, without an order. The console files it under one afterwards.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Opened {
        /// The job that this record opens: [`JobId::opened_by`] of the record itself.
        pub job: JobId,
        /// What holds the lenses; it chooses the words for a fit.
        pub rim: Rim,
    }
}

coded! {
    /// What the clock of a keypad that has one said as it was started; it stands before the first other record of that start,
    /// and dates them where no console does. A keypad without a clock has no such record.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Clock {
        /// Seconds since 1970-01-01 UTC; none where it stood still meanwhile or was never set.
        pub utc_s: Option<u32>,
    }
}

coded! {
    /// Something happened to the station itself.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "kebab-case")]
    pub enum StationEvent {
        /// Its dial was stated.
        Dial(Dial),
        /// Its wheel was renewed.
        NewWheel,
        /// It was recalibrated.
        Recalibrated,
    }
}
