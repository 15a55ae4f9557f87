//! Writing a record.

use super::field::{Field, Pair};
use super::header::Header;
use super::layer::Layer;
use crate::maths::divide_nearest;
use crate::units::{Angle, Length};
use core::fmt;

/// Numbers on a line, as in every sample seen.
const A_LINE: usize = 10;

/// Writes `HBOX=50.40;50.40` and its end of line; nothing for an eye that has none. Exact: two decimals, the third
/// when it is needed.
///
/// # Errors
/// Only those of `to`.
pub fn write_pair(to: &mut impl fmt::Write, field: Field, pair: Pair) -> fmt::Result {
    write!(to, "{field}=")?;
    if let Some(right) = pair.right {
        write!(to, "{}", right.fine())?;
    }
    to.write_char(';')?;
    if let Some(left) = pair.left {
        write!(to, "{}", left.fine())?;
    }
    to.write_str("\r\n")
}

/// Writes a field that has one length, such as `DBL=18.00`, and its end of line. `label` stands as given.
///
/// # Errors
/// Only those of `to`.
pub fn write_single(to: &mut impl fmt::Write, label: &str, length: Length) -> fmt::Result {
    write!(to, "{label}={}\r\n", length.fine())
}

/// Writes `TRCFMT=1;36;E;R;F` or `ZFMT=…` and its end of line. The numbers are the caller's to follow, as many as
/// the header says.
///
/// # Errors
/// Only those of `to`.
pub fn write_header(to: &mut impl fmt::Write, header: &Header) -> fmt::Result {
    write!(to, "{}={header}\r\n", header.layer.header_label())
}

/// Writes radii or depths, ten a line, each to the nearest 1/100 mm, halves away from zero.
///
/// # Errors
/// Only those of `to`.
pub fn write_values(
    to: &mut impl fmt::Write,
    layer: Layer,
    values: impl IntoIterator<Item = Length>,
) -> fmt::Result {
    write_numbers(to, layer.value_label(), values.into_iter().map(Length::milli))
}

/// Writes angles, ten a line, each to the nearest 1/100 degree, halves away from zero.
///
/// # Errors
/// Only those of `to`.
pub fn write_angles(
    to: &mut impl fmt::Write,
    layer: Layer,
    angles: impl IntoIterator<Item = Angle>,
) -> fmt::Result {
    write_numbers(to, layer.angle_label(), angles.into_iter().map(Angle::milli))
}

fn write_numbers(
    to: &mut impl fmt::Write,
    label: &str,
    thousandths: impl Iterator<Item = i32>,
) -> fmt::Result {
    let mut written = 0;
    for number in thousandths.map(|number| divide_nearest(number.into(), 10)) {
        match written % A_LINE {
            0 if written > 0 => write!(to, "\r\n{label}={number}")?,
            0 => write!(to, "{label}={number}")?,
            _ => write!(to, ";{number}")?,
        }
        written += 1;
    }
    if written > 0 { to.write_str("\r\n") } else { Ok(()) }
}
