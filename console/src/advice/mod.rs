//! How big to cut, by what the book holds: what it tells the bench of one frame, and why.
//!
//! [`Learned`] is what the shop's newest lenses taught, of whatever model; made once and asked for many jobs.
//! [`Learned::tells`] adds what the lenses of one model and size showed. A person's choice always wins, what was measured and
//! what a lens itself has shown go first, and the guard knows nothing of it.

mod course;
mod earlier;
mod frames;
mod learned;
mod tells;

pub use course::{Course, From, NINE_IN_TEN, Since};
pub use earlier::{At, Earlier};
pub use frames::{Begins, SizedFrame};
pub use learned::Learned;
pub(crate) use learned::on;
pub use tells::{OfFrame, Telling, beside};
