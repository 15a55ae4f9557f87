//! The lens as a body: curves, sagittae, thickness, what shows at the edge, material and weight.
//!
//! - `base_curve`: a front curve in the material and in 1.530.
//! - `curve`: power and radius of a surface, lens clock.
//! - `ring_curve`: the curve that a rim or the top of a bevel runs on.
//! - `sagitta`: the exact depth of a spherical curve.
//! - `surface`: the depth of a sphere or of a toric surface of a stated form at any place.
//! - `wedge`: the tilt of the back surface that gives a lens its prism.
//! - `form`: a lens with a spherical front and the back surface that its back vertex power asks for; its thickness.
//! - `centre`: the centre thickness that an edge asks for.
//! - `edge`: thickness along an outline, its thickest and its thinnest place.
//! - `bevel`, `groove`: where the bevel stands in the rim; whether an edge carries a groove.
//! - `girth`: the girth of a rim that lies on a curve.
//! - `material`: index, Abbe number and density of lens materials.
//! - `weight`: volume and mass of an edged lens.
//! - `wide`: products and quotients of more than 64 bits.
//!
//! Places are counted from the centre dot as one faces the wearer: x to the viewer's right, y up, angles by
//! ISO 8429. The axis through the dot is that of the front surface and goes through the vertices of both surfaces;
//! thickness is measured along it. Surfaces are spherical or toric: aspheric lenses are flatter, and their edges differ
//! from what is said here. A lens with prism is as it is ground: centred on its dot, its back surface tilted.
//!
//! ```
//! use bevelbook_core::lens::{LensForm, Place, ToricForm, Wedge, material, sagitta};
//! use bevelbook_core::prescription::SphereCylinder;
//! use bevelbook_core::units::{Length, Notation, Power};
//! let mm = |micrometres| Length::from_milli(micrometres);
//! // 5² = 3² + 4².
//! assert_eq!(sagitta(mm(50_000), mm(30_000)), Ok(mm(10_000)));
//! let power = SphereCylinder::parse("-4.00 DS", Notation::Order).unwrap();
//! let index = material("cr39").unwrap().index;
//! let (prism, toric) = (Wedge::NONE, ToricForm::default());
//! let form = LensForm { power, prism, front: Power::from_milli(4000), index, toric };
//! let lens = form.lens(mm(2000))?;
//! // 25 mm from the middle, about y²·F/2(n − 1) thicker than there.
//! let edge = lens.thickness(Place::new(mm(25_000), mm(0)))?;
//! assert!(edge > mm(4500) && edge < mm(4900), "{edge}");
//! # Ok::<(), bevelbook_core::lens::LensError>(())
//! ```

mod base_curve;
mod bevel;
mod centre;
mod curve;
mod edge;
mod error;
mod form;
mod girth;
mod groove;
mod material;
mod ring_curve;
mod sagitta;
mod surface;
mod wedge;
mod weight;
mod wide;

pub use base_curve::{BaseCurve, CurveBasis};
pub use bevel::{BevelError, BevelFit, BevelLimits, BevelPlacement, BevelWarning};
pub use centre::{BoundBy, LeastCentre};
pub use curve::{CLOCK_INDEX_1_523, CLOCK_INDEX_1_530, CurveError, power_from_clock, radius, surface_power};
pub use edge::{EdgePoint, Extremes};
pub use error::{LensError, Side};
pub use form::{Lens, LensForm};
pub use girth::girth_on_curve;
pub use groove::{Groove, GrooveLimits, GrooveWarning};
pub use material::{Density, MATERIALS, Material, material};
pub use ring_curve::{RingCurve, RingError, RingPoint};
pub use sagitta::{sagitta, sagitta_of};
pub use surface::{Place, ToricForm};
pub use wedge::Wedge;
pub use weight::{Mass, Volume};
