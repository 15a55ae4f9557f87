//! What no verdict is given on.

use super::{Limit, Subject, Unit};
use core::fmt;

/// Something that is neither passed nor failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct NotCovered {
    /// Whose.
    pub subject: Subject,
    /// What.
    pub what: Uncovered,
    /// Why.
    pub why: NoVerdict,
}

/// Why no verdict is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum NoVerdict {
    /// There is no limit at hand.
    NoLimit,
    /// This is the limit; nobody measured what it is for.
    NotMeasured(Limit),
    /// It is a balance lens, or the other lens is one.
    Balance,
    /// The power of the lens that stays in the other eye is not known, or there is none.
    OtherUnknown,
}

/// What may be left uncovered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Uncovered {
    /// Power, D.
    Power,
    /// Cylinder, D.
    Cylinder,
    /// Axis, degrees.
    Axis,
    /// Addition, D.
    Add,
    /// Prism at, and place of, the reference point of an uncut lens.
    ReferencePoint,
    /// Vertical prism between the eyes.
    Vertical,
    /// Horizontal prism between the eyes.
    Horizontal,
    /// Prism between the eyes, in any direction.
    Between,
    /// Heights of segments or fitting crosses.
    Heights,
    /// Distance between the segments, mm.
    SegmentPlace,
    /// Tilt of the segments, degrees.
    SegmentTilt,
    /// Width and depth of the segments, mm.
    SegmentSize,
    /// Base curve, D.
    BaseCurve,
    /// Warpage, D.
    Warpage,
    /// Centre thickness, mm.
    Thickness,
}

impl Uncovered {
    const fn unit(self) -> Unit {
        self.facts().1
    }

    const fn facts(self) -> (&'static str, Unit) {
        use Unit::{Degree, Dioptre, Millimetre, PrismDioptre};
        match self {
            Self::Power => ("power", Dioptre),
            Self::Cylinder => ("cylinder", Dioptre),
            Self::Axis => ("axis", Degree),
            Self::Add => ("addition", Dioptre),
            Self::ReferencePoint => ("reference point", PrismDioptre),
            Self::Vertical => ("vertical prism between the eyes", PrismDioptre),
            Self::Horizontal => ("horizontal prism between the eyes", PrismDioptre),
            Self::Between => ("prism between the eyes", PrismDioptre),
            Self::Heights => ("heights of the segments or fitting crosses", Millimetre),
            Self::SegmentPlace => ("distance between the segments", Millimetre),
            Self::SegmentTilt => ("tilt of the segments", Degree),
            Self::SegmentSize => ("size of the segments", Millimetre),
            Self::BaseCurve => ("base curve", Dioptre),
            Self::Warpage => ("warpage", Dioptre),
            Self::Thickness => ("centre thickness, where it is specified", Millimetre),
        }
    }
}

impl fmt::Display for Uncovered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.facts().0)
    }
}

impl fmt::Display for NotCovered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = self.what;
        match (self.subject, self.why) {
            (Subject::Eye(eye), NoVerdict::Balance) => {
                return write!(f, "{eye} eye, balance lens: {what} not judged");
            }
            (Subject::Eye(eye), _) => write!(f, "{what} of the {eye} lens")?,
            (Subject::Pair, _) => what.fmt(f)?,
        }
        match self.why {
            NoVerdict::NoLimit => f.write_str(": no limit at hand"),
            NoVerdict::NotMeasured(limit) if what.unit() == Unit::Degree => {
                write!(f, ": ±{limit}°, not measured")
            }
            NoVerdict::NotMeasured(limit) => write!(f, ": ±{limit} {}, not measured", what.unit().symbol()),
            NoVerdict::Balance => f.write_str(": one lens is a balance lens"),
            NoVerdict::OtherUnknown => f.write_str(": the other lens's power is not known"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::prescription::Eye;
    use std::string::ToString;

    #[test]
    fn says_whether_the_limit_or_the_measurement_is_lacking() {
        let of = |subject, what, limit: Option<i32>| {
            let why =
                limit.map_or(NoVerdict::NoLimit, |limit| NoVerdict::NotMeasured(Limit::from_milli(limit)));
            NotCovered { subject, what, why }.to_string()
        };
        assert_eq!(
            of(Subject::Eye(Eye::Left), Uncovered::Axis, None),
            "axis of the left lens: no limit at hand"
        );
        assert_eq!(
            of(Subject::Pair, Uncovered::SegmentTilt, Some(2000)),
            "tilt of the segments: ±2°, not measured"
        );
        assert_eq!(of(Subject::Pair, Uncovered::Warpage, Some(1000)), "warpage: ±1 D, not measured");
    }
}
