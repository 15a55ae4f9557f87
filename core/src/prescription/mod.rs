//! What a prescription says of one eye, and what follows from it by calculation.
//!
//! Lenses are thin unless a thickness is asked for, and paraxial throughout. Sums, differences and means of
//! lenses are made in [`PowerVector`]; effects at a point of a lens come from its power matrix.
//!
//! Signs: distances and bases are counted inward (to the nose) and up; ISO 8429 angles begin at the viewer's
//! right and run anticlockwise, the same for both eyes.

mod crossed;
mod eye;
mod imbalance;
mod magnification;
mod matrix;
mod meridian;
mod oblique_prism;
mod order;
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
mod wanted_prism;

pub use crossed::CrossedCylinders;
pub use eye::Eye;
pub use imbalance::{PrismImbalance, prism_imbalance};
pub use magnification::SpectacleMagnification;
pub use oblique_prism::ObliquePrism;
pub use order::EyeOrder;
pub use point::LensPoint;
pub use power_vector::PowerVector;
pub use reading::from_lines;
pub use repeated::{RepeatedReadings, SpreadError};
pub use sphere_cylinder::SphereCylinder;
pub use sum::{blur_strength, combine, residual};
pub use text::OrderText;
pub use thick_lens::{ThickLens, back_surface};
pub use tilt::TiltError;
pub use vergence::VergenceError;
pub use wanted_prism::WantedPrismError;
