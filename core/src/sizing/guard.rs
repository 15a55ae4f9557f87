//! Never past it: the guard on the next size.

use super::{Dialled, Size, Sizing};
use core::cmp::Ordering;
use core::fmt;

/// Why a size must be insisted on before it is ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Refusal {
    /// This lens already fits this rim at a larger size: grinding on makes it loose.
    PastFit {
        /// The smallest size at which it fitted.
        fits: Size,
        /// How small it could become.
        asked: Size,
    },
    /// This lens was already loose: nothing is gained by grinding it further.
    AlreadyLoose {
        /// The size at which it was loose.
        loose: Size,
    },
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::PastFit { fits, asked } => {
                write!(f, "this lens fits this rim at {fits}; {asked} would go past it")
            }
            Self::AlreadyLoose { loose } => {
                write!(f, "this lens was already loose at {loose}; remake it instead of grinding on")
            }
        }
    }
}

impl core::error::Error for Refusal {}

impl Sizing {
    /// Whether `dialled` may be ground without insisting.
    ///
    /// Judged by the smallest size that the pass could leave, so a size that is only known to lie in a span is
    /// taken at its lower end.
    ///
    /// # Errors
    /// The lens would become smaller than the smallest size at which it fits this rim, or is already loose.
    pub fn guard(&self, dialled: &Dialled) -> Result<(), Refusal> {
        if let Some(loose) = self.loose {
            return Err(Refusal::AlreadyLoose { loose });
        }
        let asked = Size { basis: dialled.basis, offset: self.after(dialled, false).low };
        match self.fits {
            Some(fits) if asked.compare(fits) == Ordering::Less => Err(Refusal::PastFit { fits, asked }),
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_passes::{absolute, pass, take_off};
    use super::super::{Basis, Outcome};
    use super::*;
    use crate::units::Length;

    #[test]
    fn a_lens_that_fits_is_not_ground_further() {
        let mut sizing = Sizing::default();
        sizing.apply(&pass(absolute(Basis::Diameter, 300), Outcome::JustTooBig));
        assert_eq!(sizing.guard(&absolute(Basis::Diameter, 100)), Ok(()));
        sizing.apply(&pass(absolute(Basis::Diameter, 200), Outcome::Fits));
        assert_eq!(sizing.guard(&absolute(Basis::Diameter, 200)), Ok(()), "the same size again is no loss");
        let at = |milli| Size { basis: Basis::Diameter, offset: Length::from_milli(milli) };
        let refusal = Refusal::PastFit { fits: at(200), asked: at(199) };
        assert_eq!(sizing.guard(&absolute(Basis::Diameter, 199)), Err(refusal));
        assert!(sizing.guard(&take_off(Basis::Diameter, 500, 50)).is_err());
        assert!(sizing.guard(&absolute(Basis::Radius, 99)).is_err(), "0.198 mm across");
    }

    #[test]
    fn insisting_moves_the_guard_to_the_new_fit() {
        let mut sizing = Sizing::default();
        sizing.apply(&pass(absolute(Basis::Diameter, 200), Outcome::Fits));
        sizing.apply(&pass(absolute(Basis::Diameter, 150), Outcome::Fits));
        assert_eq!(sizing.guard(&absolute(Basis::Diameter, 150)), Ok(()));
        assert!(sizing.guard(&absolute(Basis::Diameter, 100)).is_err());
    }

    #[test]
    fn a_loose_lens_is_scrap_whatever_is_dialled() {
        let mut sizing = Sizing::default();
        sizing.apply(&pass(absolute(Basis::Diameter, 100), Outcome::Loose));
        assert!(matches!(sizing.guard(&absolute(Basis::Diameter, 300)), Err(Refusal::AlreadyLoose { .. })));
        assert!(sizing.is_scrap());
    }
}
