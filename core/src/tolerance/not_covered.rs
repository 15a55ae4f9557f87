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
    /// The limit, where one is known and it is the measurement that is lacking.
    pub limit: Option<Limit>,
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
        match self.subject {
            Subject::Eye(eye) => write!(f, "{what} of the {eye} lens")?,
            Subject::Pair => what.fmt(f)?,
        }
        match self.limit {
            None => f.write_str(": no limit at hand"),
            Some(limit) if what.unit() == Unit::Degree => write!(f, ": ±{limit}°, not measured"),
            Some(limit) => write!(f, ": ±{limit} {}, not measured", what.unit().symbol()),
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
            NotCovered { subject, what, limit: limit.map(Limit::from_milli) }.to_string()
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
