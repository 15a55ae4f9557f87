//! Why a record was not read.

use super::layer::Layer;
use crate::prescription::Eye;
use core::fmt;
use thiserror::Error;

/// A line of a record that was not read, and why.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[error("line {line}: {reason}")]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Refusal {
    /// The number of the line, from 1.
    pub line: u32,
    /// What is wrong with it.
    pub reason: Reason,
}

/// What is wrong with a line. Its text says what would be right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[allow(missing_docs, reason = "the text says what a variant is, and the fields are what it names")]
pub enum Reason {
    #[error("no `=`: expected LABEL=value, for example `DBL=18.00`")]
    NoLabel,
    #[error(
        "{label} has one value, which does not say whose: expected right;left, `33;` for the right alone, `;33` for \
         the left alone"
    )]
    OneField { label: &'static str },
    #[error("{label} has more than two values: expected right;left, for example `50.40;50.40`")]
    ManyFields { label: &'static str },
    #[error(
        "{label}, value {position}: expected millimetres with a decimal point, for example `50.40`, or `?`"
    )]
    NotMillimetres { label: &'static str, position: u32 },
    #[error("{label} format {format} is not read: expected format 1, whole numbers in plain text")]
    Format { label: &'static str, format: i32 },
    #[error("{label} does not begin with a format: expected 1, for example `{label}=1;360;E;R;F`")]
    FormatNumber { label: &'static str },
    #[error(
        "{label} has {fields} fields: expected format;points;spacing;side;type, for example `{label}=1;360;E;R;F`"
    )]
    HeaderFields { label: &'static str, fields: u32 },
    #[error("{label} has no number of points: expected one, for example `{label}=1;360;E;R;F`")]
    PointsNumber { label: &'static str },
    #[error("{label} says {points} points: expected {least} to {most}")]
    Points { label: &'static str, points: i32, least: u16, most: u16 },
    #[error("{label} spacing is {}: expected E for equal, or U with the angles given", Found(*.found))]
    Spacing { label: &'static str, found: Option<char> },
    #[error("{label} side is {}: expected R or L", Found(*.found))]
    Side { label: &'static str, found: Option<char> },
    #[error("a second {label} of the {eye} eye, the first is on line {first}: expected one of each eye")]
    Again { label: &'static str, eye: Eye, first: u32 },
    #[error("{label} without a header: expected {} above it", .layer.header_label())]
    NoHeader { layer: Layer, label: &'static str },
    #[error(
        "{} though line {header} says equal spacing: expected none, or spacing U there", .layer.angle_label()
    )]
    AnglesUnderEqual { layer: Layer, header: u32 },
    #[error("{label}, number {position}: expected a whole number, 1/100 mm or 1/100 degree, parted by `;`")]
    NotWhole { label: &'static str, position: u32 },
    #[error("{label}, number {position} is {value}: expected {least} to {most}")]
    Range { label: &'static str, position: u32, value: i32, least: i32, most: i32 },
    #[error("{label}, number {position} is {value} after {before}: expected growing angles")]
    AngleOrder { label: &'static str, position: u32, value: i32, before: i32 },
    #[error("{found} numbers so far in {label} of the {eye} eye: line {header} says {expected}")]
    More { label: &'static str, eye: Eye, header: u32, expected: u32, found: u32 },
    /// The line is that of the header.
    #[error("{found} numbers in {label} of the {eye} eye: expected {expected} as this line says")]
    Fewer { label: &'static str, eye: Eye, expected: u32, found: u32 },
}

/// What stands where a letter is expected.
struct Found(Option<char>);

impl fmt::Display for Found {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Some(found) => write!(f, "{found}"),
            None => f.write_str("missing"),
        }
    }
}
