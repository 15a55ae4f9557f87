//! To how many decimals the figures of a plan are shown that are worked out.

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
