//! Boxed frame sizes, and where the lens must sit in them.
//!
//! Sizes are those of the boxing system (ISO 8624): the rectangles round the two lens shapes, taken at the
//! apex of the bevel or the bottom of the groove. The lower side of the box is where heights begin.
//!
//! Signs follow the wearer's nose and head: inward and up are positive.

mod blank;
mod decentration;
mod pupillary_distance;
mod segment;
mod size;

pub use blank::{least_blank, stocked_blank};
pub use decentration::Decentration;
pub use pupillary_distance::PupillaryDistance;
pub use segment::{segment_drop, segment_inset};
pub use size::FrameSize;
