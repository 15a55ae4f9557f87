//! What a prescription says of one eye, and what follows from it by calculation.

mod eye;
mod meridian;
mod order;
mod power_vector;
mod reading;
mod sphere_cylinder;
mod text;

pub use eye::Eye;
pub use order::EyeOrder;
pub use power_vector::{PowerVector, combine, residual};
pub use reading::from_lines;
pub use sphere_cylinder::SphereCylinder;
pub use text::OrderText;
