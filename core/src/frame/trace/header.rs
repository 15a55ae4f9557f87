//! The line that says what numbers follow.

use super::number::whole;
use super::refusal::Reason;
use crate::prescription::Eye;
use core::fmt;

/// What the numbers of a block are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Layer {
    /// Radii in the plane: `TRCFMT`, `R`, `A`.
    Radius,
    /// Depths toward the viewer: `ZFMT`, `Z`, `ZA`.
    Depth,
}

impl Layer {
    /// Both, in the order in which they are written.
    pub const BOTH: [Self; 2] = [Self::Radius, Self::Depth];

    /// The label of the header.
    #[must_use]
    pub const fn header_label(self) -> &'static str {
        match self {
            Self::Radius => "TRCFMT",
            Self::Depth => "ZFMT",
        }
    }

    /// The label of the numbers.
    #[must_use]
    pub const fn value_label(self) -> &'static str {
        match self {
            Self::Radius => "R",
            Self::Depth => "Z",
        }
    }

    /// The label of the angles.
    #[must_use]
    pub const fn angle_label(self) -> &'static str {
        match self {
            Self::Radius => "A",
            Self::Depth => "ZA",
        }
    }

    /// The least and the greatest number, in 1/100 mm: radii of 1 to 100 mm, depths within 50 mm of the origin.
    /// Common practice, no source.
    #[must_use]
    pub const fn range(self) -> (i32, i32) {
        match self {
            Self::Radius => (100, 10_000),
            Self::Depth => (-5000, 5000),
        }
    }
}

/// How the points are spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Spacing {
    /// `E`: at equal angles from 0°.
    Equal,
    /// `U`, or `A`: each at its own angle.
    Unequal,
}

impl Spacing {
    /// `E` or `U`.
    #[must_use]
    pub const fn letter(self) -> char {
        match self {
            Self::Equal => 'E',
            Self::Unequal => 'U',
        }
    }
}

/// What numbers follow: those of one eye.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Header {
    /// What they are.
    pub layer: Layer,
    /// How many.
    pub points: u16,
    /// How they are spread.
    pub spacing: Spacing,
    /// Whose.
    pub eye: Eye,
    /// The letter of what was traced, as it came: `F` and `P` are seen. No meaning is read into it.
    pub kind: Option<char>,
}

impl Header {
    /// The counts of points that are read.
    pub const POINTS: core::ops::RangeInclusive<u16> = 8..=10_000;

    pub(super) fn read(layer: Layer, value: &str) -> Result<Self, Reason> {
        let label = layer.header_label();
        let count = value.split(';').count();
        // What the numbers mean hangs on the format: it is looked at first.
        let mut fields = value.split(';').map(str::trim);
        let mut next = || fields.next().unwrap_or("");
        match whole(next()) {
            Some(1) => {}
            Some(format) => return Err(Reason::Format { label, format }),
            None => return Err(Reason::FormatNumber { label }),
        }
        if !(4..=5).contains(&count) {
            return Err(Reason::HeaderFields { label, fields: count as u32 });
        }
        let points = whole(next()).ok_or(Reason::PointsNumber { label })?;
        let points =
            u16::try_from(points).ok().filter(|points| Self::POINTS.contains(points)).ok_or_else(|| {
                let [least, most] = [Self::POINTS.start(), Self::POINTS.end()].map(|end| i32::from(*end));
                Reason::Points { label, points, least, most }
            })?;
        let spacing = match next() {
            "E" | "e" => Spacing::Equal,
            "U" | "u" | "A" | "a" => Spacing::Unequal,
            other => return Err(Reason::Spacing { label, found: other.chars().next() }),
        };
        let eye = match next() {
            "R" | "r" => Eye::Right,
            "L" | "l" => Eye::Left,
            other => return Err(Reason::Side { label, found: other.chars().next() }),
        };
        Ok(Self { layer, points, spacing, eye, kind: next().chars().next() })
    }
}

/// As it stands in a record: `1;36;E;R;F`.
impl fmt::Display for Header {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "1;{};{};{}", self.points, self.spacing.letter(), self.eye.letter())?;
        self.kind.map_or(Ok(()), |kind| write!(f, ";{kind}"))
    }
}
