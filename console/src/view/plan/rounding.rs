//! To how many decimals the lengths of a plan are shown.

use crate::view::Figure;
use bevelbook_core::units::Length;

/// To the hundredth: what was traced is known no better.
pub(super) fn place(length: Length) -> Figure {
    Figure::from(length).to(1, 2)
}

pub(super) fn size(length: Length) -> Figure {
    Figure::from(length).to(2, 2)
}

/// Never understated.
pub(super) fn least(length: Length) -> Figure {
    Figure::from(length).to(1, 1).up()
}
