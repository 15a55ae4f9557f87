//! The line that says what numbers follow.

use super::number::whole;
use super::{Layer, Reason};
use crate::prescription::Eye;
use core::fmt;

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
        let points = u16::try_from(points).ok().filter(|points| Self::POINTS.contains(points)).ok_or(
            Reason::Points { label, points, least: *Self::POINTS.start(), most: *Self::POINTS.end() },
        )?;
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
