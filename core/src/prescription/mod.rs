//! What a prescription says of one eye, and what follows from it by calculation.
//!
//! Lenses are thin unless a thickness is asked for, and paraxial throughout. Sums, differences and means of
//! lenses are made in [`PowerVector`]; effects at a point of a lens come from its power matrix.
//!
//! Signs: distances and bases are counted inward (to the nose) and up; ISO 8429 angles begin at the viewer's
//! right and run anticlockwise, the same for both eyes.
//!
//! ```
//! use bevelbook_core::prescription::{Eye, LensPoint, SphereCylinder};
//! use bevelbook_core::units::{Angle, Length, Notation};
//! let lens = SphereCylinder::parse("-4.00 -2.00 x 90", Notation::Order)?;
//! assert_eq!(lens.transposed().to_string(), "-6.00 +2.00 x 180");
//! // sphere + cylinder · sin² of the angle from the axis: halfway it has half of the cylinder.
//! assert_eq!(lens.meridian(Angle::from_degrees(135)).to_string(), "-5.00");
//! // Prentice's rule: looking 5 mm nasally through 6 D across.
//! let point = LensPoint { inward: Length::from_milli(5000), up: Length::ZERO };
//! let prism = lens.prism_at(Eye::Right, point).map(|prism| prism.to_string());
//! assert_eq!(prism.as_deref(), Ok("3.00 in"));
//! # Ok::<(), bevelbook_core::units::TextError>(())
//! ```

mod crossed;
mod eye;
mod imbalance;
mod magnification;
mod matrix;
mod meridian;
mod oblique_prism;
mod order;
mod order_text;
mod point;
mod power_vector;
mod prentice;
mod reading;
mod repeated;
mod sphere_cylinder;
mod sum;
mod text;
mod thick_lens;
mod tilt;
mod vergence;
mod vertex;
mod wanted;
mod wanted_prism;

pub use crossed::CrossedCylinders;
pub use eye::Eye;
pub use imbalance::{PrismImbalance, prism_imbalance};
pub use magnification::SpectacleMagnification;
pub use oblique_prism::ObliquePrism;
pub use order::EyeOrder;
pub use order_text::OrderText;
pub use point::LensPoint;
pub use power_vector::PowerVector;
pub use reading::from_lines;
pub use repeated::{RepeatedReadings, SpreadError};
pub use sphere_cylinder::SphereCylinder;
pub use sum::{blur_strength, combine, residual};
pub use thick_lens::{ThickLens, back_surface};
pub use tilt::TiltError;
pub use vergence::VergenceError;
pub use wanted::Wanted;
pub use wanted_prism::WantedPrismError;
