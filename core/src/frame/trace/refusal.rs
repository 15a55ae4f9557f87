//! Why a record was not read.

use super::header::{Header, Layer};
use crate::prescription::Eye;
use core::fmt;

/// A line of a record that was not read, and why.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Refusal {
    /// The number of the line, from 1.
    pub line: u32,
    /// What is wrong with it.
    pub reason: Reason,
}

/// What is wrong with a line. Its text says what would be right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[allow(missing_docs, reason = "the fields are the label, the count and the number that the text names")]
pub enum Reason {
    /// A line without `=`.
    NoLabel,
    /// One field where each eye needs its own.
    OneField { label: &'static str },
    /// More than two fields.
    ManyFields { label: &'static str },
    /// A field that is no length.
    NotMillimetres { label: &'static str, position: u32 },
    /// A format other than 1.
    Format { label: &'static str, format: i32 },
    /// A format that is no number.
    FormatNumber { label: &'static str },
    /// A header with too few or too many fields.
    HeaderFields { label: &'static str, fields: u32 },
    /// A count of points that is no number.
    PointsNumber { label: &'static str },
    /// A count of points that is not taken.
    Points { label: &'static str, points: i32 },
    /// A spacing that is not known.
    Spacing { label: &'static str, found: Option<char> },
    /// A side that is neither right nor left.
    Side { label: &'static str, found: Option<char> },
    /// A second block of the same eye.
    Again { label: &'static str, eye: Eye, first: u32 },
    /// Numbers without a header above them.
    NoHeader { layer: Layer, label: &'static str },
    /// Angles under a header that says equal spacing.
    AnglesUnderEqual { layer: Layer, header: u32 },
    /// A number that is not whole.
    NotWhole { label: &'static str, position: u32 },
    /// A number out of range.
    Range { label: &'static str, position: u32, value: i32, least: i32, most: i32 },
    /// An angle that is not above the one before it.
    AngleOrder { label: &'static str, position: u32, value: i32, before: i32 },
    /// More numbers than the header says.
    More { label: &'static str, eye: Eye, header: u32, expected: u32, found: u32 },
    /// Fewer numbers than the header says; the line is that of the header.
    Fewer { label: &'static str, eye: Eye, expected: u32, found: u32 },
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.reason)
    }
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NoLabel => f.write_str("no `=`: expected LABEL=value, for example `DBL=18.00`"),
            Self::OneField { label } => write!(
                f,
                "{label} has one value, which does not say whose: expected right;left, `33;` for the right alone, \
                 `;33` for the left alone"
            ),
            Self::ManyFields { label } => {
                write!(f, "{label} has more than two values: expected right;left, for example `50.40;50.40`")
            }
            Self::NotMillimetres { label, position } => write!(
                f,
                "{label}, value {position}: expected millimetres with a decimal point, for example `50.40`, or `?`"
            ),
            Self::Range { label, position, value, least, most } => {
                write!(f, "{label}, number {position} is {value}: expected {least} to {most}")
            }
            Self::NotWhole { label, position } => write!(
                f,
                "{label}, number {position}: expected a whole number, 1/100 mm or 1/100 degree, parted by `;`"
            ),
            Self::AngleOrder { label, position, value, before } => {
                write!(f, "{label}, number {position} is {value} after {before}: expected growing angles")
            }
            _ => self.of_block(f),
        }
    }
}

impl Reason {
    /// What is wrong with a header or with how it fits the numbers below it.
    fn of_block(self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let letter = |f: &mut fmt::Formatter<'_>, found: Option<char>| match found {
            Some(found) => write!(f, "{found}"),
            None => f.write_str("missing"),
        };
        match self {
            Self::Format { label, format } => {
                write!(
                    f,
                    "{label} format {format} is not read: expected format 1, whole numbers in plain text"
                )
            }
            Self::FormatNumber { label } => {
                write!(
                    f,
                    "{label} does not begin with a format: expected 1, for example `{label}=1;360;E;R;F`"
                )
            }
            Self::HeaderFields { label, fields } => write!(
                f,
                "{label} has {fields} fields: expected format;points;spacing;side;type, for example \
                 `{label}=1;360;E;R;F`"
            ),
            Self::PointsNumber { label } => {
                write!(f, "{label} has no number of points: expected one, for example `{label}=1;360;E;R;F`")
            }
            Self::Points { label, points } => {
                let (least, most) = (Header::POINTS.start(), Header::POINTS.end());
                write!(f, "{label} says {points} points: expected {least} to {most}")
            }
            Self::Spacing { label, found } => {
                write!(f, "{label} spacing is ")?;
                letter(f, found)?;
                f.write_str(": expected E for equal, or U with the angles given")
            }
            Self::Side { label, found } => {
                write!(f, "{label} side is ")?;
                letter(f, found)?;
                f.write_str(": expected R or L")
            }
            Self::Again { label, eye, first } => {
                write!(
                    f,
                    "a second {label} of the {eye} eye, the first is on line {first}: expected one of each eye"
                )
            }
            Self::NoHeader { layer, label } => {
                write!(f, "{label} without a header: expected {} above it", layer.header_label())
            }
            Self::AnglesUnderEqual { layer, header } => write!(
                f,
                "{} though line {header} says equal spacing: expected none, or spacing U there",
                layer.angle_label()
            ),
            Self::More { label, eye, header, expected, found } => {
                write!(f, "{found} numbers so far in {label} of the {eye} eye: line {header} says {expected}")
            }
            Self::Fewer { label, eye, expected, found } => {
                write!(
                    f,
                    "{found} numbers in {label} of the {eye} eye: expected {expected} as this line says"
                )
            }
            _ => Ok(()),
        }
    }
}

impl core::error::Error for Refusal {}
