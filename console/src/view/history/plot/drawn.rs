//! The part of a plot below its title.

use maud::Markup;

/// From the edge to what is drawn, and from the top to the first panel, in units of the drawing: pixels at its own size.
pub(super) const MARGIN: f64 = 16.0;
pub(super) const HEAD: f64 = 64.0;

/// What is drawn, and how wide and high it comes.
pub(super) struct Drawn {
    pub(super) width: f64,
    pub(super) height: f64,
    pub(super) markup: Markup,
}
