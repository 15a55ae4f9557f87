//! The hand that tries a lens, and the pen that writes it down.

use crate::chance::Chance;
use crate::shop::{Kind, Truth, WINDOW};
use bevelbook::belief::{End, TooBig, Tried};
use bevelbook_core::sizing::Outcome;

/// What is felt of a lens of size `at`.
pub(crate) fn felt(lens: &Truth, at: f64) -> Outcome {
    match at - lens.largest {
        over if over > lens.touch => Outcome::FarTooBig,
        over if over > 0.0 => Outcome::JustTooBig,
        over if over >= -WINDOW => Outcome::Fits,
        _ => Outcome::Loose,
    }
}

/// Writes a pass down, now and then wrongly: what was felt as its neighbour, or the size a step off.
///
/// A lens that is too big is never put down as one that fits: it does not go in, and whoever holds it sees that. One
/// that fits may be put down as a touch too big, and nothing follows.
pub(crate) fn write(tried: &mut Tried, kind: &Kind, pen: &mut Chance, at: f64, felt: Outcome) {
    use Outcome::{FarTooBig, Fits, JustTooBig, Loose};
    let (slips, of_size, other) = (pen.unit() < kind.slips, pen.unit() < 0.5, pen.unit() < 0.5);
    let at = if slips && of_size { at + if other { kind.step } else { -kind.step } } else { at };
    let written = match felt {
        FarTooBig if slips && !of_size => JustTooBig,
        JustTooBig if slips && !of_size => FarTooBig,
        Fits if slips && !of_size => [JustTooBig, Loose][usize::from(other)],
        Loose if slips && !of_size => Fits,
        as_it_is => as_it_is,
    };
    match written {
        FarTooBig | JustTooBig => tried.too_big.push(TooBig { at, much: written == FarTooBig }),
        Fits => tried.end = Some(End::Fits(at)),
        _ => tried.end = Some(End::Loose(at)),
    }
}
