//! Which girth the CIRC of a record is. The label does not say whether it was taken in two dimensions or in three,
//! so it is compared with both girths of the record's own points.

use super::Trace;
use bevelbook_core::frame::OutlineError;
use bevelbook_core::frame::trace::Field;
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use std::fmt;

/// A CIRC beside the girths of the points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StatedGirth {
    /// The CIRC of the record.
    pub circ: Length,
    /// The closed chords of its points in the plane.
    pub chords: Length,
    /// The same with the depths of the record, where it has them at equal angles.
    pub in_space: Option<Length>,
}

/// What a CIRC is, as far as the record shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GirthBasis {
    /// The chords in the plane.
    Plane,
    /// The chords in space.
    Space,
    /// Longer than either: taken in three dimensions, or on another basis.
    Longer,
    /// Shorter than the chords in the plane: another basis.
    Shorter,
}

impl StatedGirth {
    /// How far two girths may differ to be the same: 0.05 mm. Common practice, no source: more than the rounding of
    /// radii and CIRC to 1/100 mm, much less than a frame's bow adds.
    pub const SAME: Length = Length::from_milli(50);

    /// Which girth it is.
    pub fn basis(&self) -> GirthBasis {
        let same = |girth: Length| (self.circ - girth).abs() <= Self::SAME;
        match self.in_space {
            _ if same(self.chords) => GirthBasis::Plane,
            Some(in_space) if same(in_space) => GirthBasis::Space,
            _ if self.circ > self.chords => GirthBasis::Longer,
            _ => GirthBasis::Shorter,
        }
    }
}

impl Trace {
    /// The CIRC of an eye beside its girths; `None` without a CIRC.
    ///
    /// # Errors
    /// As [`super::Shape::outline`].
    pub fn stated_girth(&self, eye: Eye) -> Result<Option<StatedGirth>, OutlineError> {
        let Some(circ) = self.stated(Field::Girth, eye) else { return Ok(None) };
        let shape = self.shape(eye);
        let chords = shape.outline()?.girth();
        Ok(Some(StatedGirth { circ, chords, in_space: shape.girth_in_space() }))
    }
}

impl fmt::Display for StatedGirth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { circ, chords, in_space } = self;
        let by = (*circ - *chords).abs();
        match self.basis() {
            GirthBasis::Plane => write!(f, "CIRC {circ} mm is the chord length of its own points: 2-D"),
            GirthBasis::Space => {
                write!(f, "CIRC {circ} mm is the chord length with the record's depths: 3-D")
            }
            GirthBasis::Longer => write!(
                f,
                "CIRC {circ} mm is {by} mm longer than the chords of its own points ({chords} mm): 3-D or another basis; \
                 never mix the two"
            ),
            GirthBasis::Shorter => write!(
                f,
                "CIRC {circ} mm is {by} mm shorter than the chords of its own points ({chords} mm): another basis; \
                 never mix the two"
            ),
        }?;
        match in_space.filter(|_| self.basis() != GirthBasis::Space) {
            Some(in_space) => write!(f, "; with the record's depths the chords are {in_space} mm"),
            None => Ok(()),
        }
    }
}
