//! Frame records in the plain ASCII form of the open interchange standard: DCS/ISO 16284 style, no edition claimed.
//!
//! A record is lines `LABEL=value`, ended by CR LF; LF or CR alone is read too, and the bytes that wrap a
//! message on a wire (0x1C, 0x1D, 0x1E) part lines like an end of line. Fields are parted by `;`.
//!
//! - Two fields are right;left: `33;` has no left one, `;33` no right one, `?` is one not known. One field without
//!   `;` says nothing about its eye and is refused.
//! - `TRCFMT=format;points;spacing;side;type`, then the radii of that eye in `R=` lines: whole numbers of 1/100 mm,
//!   absolute, anticlockwise from the viewer's right as one faces the wearer. Only format 1, these numbers in plain
//!   text, is read; every other is refused by its number. `points` must equal the radii given.
//! - Spacing `E` is equal; `U` (and `A`, seen once) has an angle to each radius in `A=` lines, 1/100 degree.
//! - `ZFMT=`, `Z=` and `ZA=` are the same for depths, signed, with a count and angles of their own.
//! - Any other label, and one that begins with `_`, is kept as it came. What stands under another label that ends in
//!   `FMT` (a ring of thickness, say) belongs to that label and is kept too.
//!
//! No code list is known here: a code is a number to be shown.
//!
//! [`lines`] cuts text into lines, [`Reader`] turns each into an [`Event`] or a [`Refusal`] with its number.

mod field;
mod header;
mod layer;
mod line;
mod number;
mod reader;
mod refusal;

pub use field::{Field, Pair};
pub use header::{Header, Spacing};
pub use layer::Layer;
pub use line::{Line, lines};
pub use number::{Angles, Values};
pub use reader::{Event, Reader, Traced};
pub use refusal::{Reason, Refusal};

/// Where the mirrored point of `point` stands among `points` at equal angles from 0°, radius(θ) = other
/// radius(180° − θ): the radii of one eye from those of the other. `None` when the count is odd, for which no
/// point stands at 180° − θ, or when there is no such point.
///
/// ```
/// use bevelbook_core::frame::trace::mirrored;
/// assert_eq!(mirrored(0, 36), Some(18));
/// assert_eq!(mirrored(19, 36), Some(35));
/// ```
pub const fn mirrored(point: usize, points: usize) -> Option<usize> {
    if points % 2 == 1 || point >= points {
        return None;
    }
    Some((points + points / 2 - point) % points)
}

#[cfg(test)]
mod tests;
