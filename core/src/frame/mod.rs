//! Boxed frame sizes, and where the lens must sit in them.
//!
//! Sizes are those of the boxing system (ISO 8624): the rectangles round the two lens shapes, taken at the
//! apex of the bevel or the bottom of the groove. The lower side of the box is where heights begin.
//!
//! Signs follow the wearer's nose and head: inward and up are positive.
//!
//! Where a shape was traced, [`trace`] reads its record and an [`Outline`] measures it; where nobody has traced,
//! [`Outline::made`] makes a shape from A, B and ED, and the [`Ellipse`] in a box is measured in closed form.

mod blank;
mod decentration;
mod ellipse;
mod outline;
mod point;
mod pupillary_distance;
mod segment;
mod size;
pub mod trace;

pub use blank::{least_blank, stocked_blank};
pub use decentration::Decentration;
pub use ellipse::Ellipse;
pub use outline::{Bend, Boxed, Cover, LowCorners, OffsetError, Outline, OutlineError, ShapeError};
pub use point::Point;
pub use pupillary_distance::PupillaryDistance;
pub use segment::{segment_drop, segment_inset};
pub use size::FrameSize;
