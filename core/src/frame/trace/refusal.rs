//! Why a record was not read.

use crate::prescription::Eye;
use core::fmt;

/// A line of a record that was not read, and why.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {reason}")]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Refusal {
    /// The number of the line, from 1.
    pub line: u32,
    /// What is wrong with it.
    pub reason: Reason,
}

/// What is wrong with a line. Its text says what would be right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[allow(missing_docs, reason = "the fields are the label, the count and the number that the text names")]
pub enum Reason {
    /// A line without `=`.
    #[error("no `=`: expected LABEL=value, for example `DBL=18.00`")]
    NoLabel,
    /// One field where each eye needs its own.
    #[error(
        "{label} has one value, which does not say whose: expected right;left, `33;` for the right alone, `;33` for \
         the left alone"
    )]
    OneField { label: &'static str },
    /// More than two fields.
    #[error("{label} has more than two values: expected right;left, for example `50.40;50.40`")]
    ManyFields { label: &'static str },
    /// A field that is no length.
    #[error(
        "{label}, value {position}: expected millimetres with a decimal point, for example `50.40`, or `?`"
    )]
    NotMillimetres { label: &'static str, position: u32 },
    /// A format other than 1.
    #[error("{label} format {format} is not read: expected format 1, whole numbers in plain text")]
    Format { label: &'static str, format: i32 },
    /// A format that is no number.
    #[error("{label} does not begin with a format: expected 1, for example `{label}=1;360;E;R;F`")]
    FormatNumber { label: &'static str },
    /// A header with too few or too many fields.
    #[error(
        "{label} has {fields} fields: expected format;points;spacing;side;type, for example `{label}=1;360;E;R;F`"
    )]
    HeaderFields { label: &'static str, fields: u32 },
    /// A count of points that is no number.
    #[error("{label} has no number of points: expected one, for example `{label}=1;360;E;R;F`")]
    PointsNumber { label: &'static str },
    /// A count of points that is not taken.
    #[error("{label} says {points} points: expected {least} to {most}")]
    Points { label: &'static str, points: i32, least: i32, most: i32 },
    /// A spacing that is not known.
    #[error("{label} spacing is {}: expected E for equal, or U with the angles given", Letter(*.found))]
    Spacing { label: &'static str, found: Option<char> },
    /// A side that is neither right nor left.
    #[error("{label} side is {}: expected R or L", Letter(*.found))]
    Side { label: &'static str, found: Option<char> },
    /// A second block of the same eye.
    #[error("a second {label} of the {eye} eye, the first is on line {first}: expected one of each eye")]
    Again { label: &'static str, eye: Eye, first: u32 },
    /// Numbers without a header above them.
    #[error("{label} without a header: expected {above} above it")]
    NoHeader { label: &'static str, above: &'static str },
    /// Angles under a header that says equal spacing.
    #[error("{label} though line {header} says equal spacing: expected none, or spacing U there")]
    AnglesUnderEqual { label: &'static str, header: u32 },
    /// A number that is not whole.
    #[error("{label}, number {position}: expected a whole number, 1/100 mm or 1/100 degree, parted by `;`")]
    NotWhole { label: &'static str, position: u32 },
    /// A number out of range.
    #[error("{label}, number {position} is {value}: expected {least} to {most}")]
    Range { label: &'static str, position: u32, value: i32, least: i32, most: i32 },
    /// An angle that is not above the one before it.
    #[error("{label}, number {position} is {value} after {before}: expected growing angles")]
    AngleOrder { label: &'static str, position: u32, value: i32, before: i32 },
    /// More numbers than the header says.
    #[error("{found} numbers so far in {label} of the {eye} eye: line {header} says {expected}")]
    More { label: &'static str, eye: Eye, header: u32, expected: u32, found: u32 },
    /// Fewer numbers than the header says; the line is that of the header.
    #[error("{found} numbers in {label} of the {eye} eye: expected {expected} as this line says")]
    Fewer { label: &'static str, eye: Eye, expected: u32, found: u32 },
}

struct Letter(Option<char>);

impl fmt::Display for Letter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Some(letter) => letter.fmt(f),
            None => f.write_str("missing"),
        }
    }
}
