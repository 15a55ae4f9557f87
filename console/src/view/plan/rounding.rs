//! To how many decimals the figures of a plan are shown that are worked out, and how a place is said.

use crate::view::Figure;
use bevelbook_core::units::{Length, Power};

/// To the hundredth: what was traced is known no better.
pub(super) fn place(length: Length) -> Figure {
    Figure::from(length).to(1, 2)
}

pub(super) fn size(length: Length) -> Figure {
    Figure::from(length).to(2, 2)
}

/// A power or a curve that was worked out.
pub(super) fn power(power: Power) -> Figure {
    Figure::from(power).to(2, 2)
}

/// Never understated.
pub(super) fn least(length: Length) -> Figure {
    Figure::from(length).to(1, 1).up()
}

/// Toward the nose or the temple, and up or down.
pub(super) fn place_words(way: Figure, up: Figure) -> String {
    format!("{}, {}", inward(way), if up.signum() == 0 { "0 up".into() } else { up.upward() })
}

pub(super) fn inward(way: Figure) -> String {
    if way.signum() == 0 { "0 in".into() } else { way.inward() }
}
