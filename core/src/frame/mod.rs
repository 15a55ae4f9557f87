//! Boxed frame sizes, and where the lens must sit in them.
//!
//! Sizes are those of the boxing system (ISO 8624): the rectangles round the two lens shapes, taken at the
//! apex of the bevel or the bottom of the groove. The lower side of the box is where heights begin.
//!
//! Signs follow the wearer's nose and head: inward and up are positive.
//!
//! Where a shape was traced, [`trace`] reads its record and an [`Outline`] measures it; where nobody has traced,
//! [`Outline::made`] makes a shape from A, B and ED, and the [`Ellipse`] in a box is measured in closed form.
//!
//! ```
//! use bevelbook_core::frame::{Decentration, FrameSize, Outline, Point, least_blank};
//! use bevelbook_core::units::Length;
//! let mm = |micrometres| Length::from_milli(micrometres);
//! let frame = FrameSize { a: mm(50_000), b: mm(38_000), dbl: mm(18_000), ed: Some(mm(53_000)) };
//! // (50 + 18)/2 − 31.5 mm inward, and 20 − 38/2 mm up.
//! let way = Decentration::of(&frame, mm(31_500), Some(mm(20_000)));
//! assert_eq!((way.inward, way.up), (mm(2500), mm(1000)));
//! // ED and twice the way, and 2 mm of allowance.
//! assert_eq!(least_blank(mm(53_000), &way, mm(2000)), mm(60_386));
//! let mut points = [Point::ORIGIN; 400];
//! let shape = Outline::made(frame.a, frame.b, frame.ed, &mut points)?;
//! assert_eq!(shape.boxed().a, frame.a);
//! # Ok::<(), bevelbook_core::frame::ShapeError>(())
//! ```

mod blank;
mod decentration;
mod ellipse;
mod outline;
mod point;
mod pupillary_distance;
mod segment;
mod size;
pub mod trace;
mod wrap;

pub use blank::{least_blank, stocked_blank};
pub use decentration::Decentration;
pub use ellipse::Ellipse;
pub use outline::{Bend, Boxed, Cover, LowCorners, OffsetError, Outline, OutlineError, ShapeError};
pub use point::Point;
pub use pupillary_distance::PupillaryDistance;
pub use segment::{SegmentBlank, SegmentOutline, segment_drop, segment_inset, segment_place};
pub use size::FrameSize;
pub use wrap::along_front;
