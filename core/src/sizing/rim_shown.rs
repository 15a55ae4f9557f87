//! What earlier lenses have shown of a rim.
//!
//! A lens that is made anew goes into the same rim, and is cut by the same station to the same shape: the sizes at which the
//! lens before was too big, fitted or was loose tell where this one has to end. Its own passes say more than those of any
//! lens before it.

use super::tally::{larger, smaller};
use super::{Dialled, Refusal, Size, Sizing};
use crate::bytes::coded;
use core::cmp::Ordering;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// What the lenses before the present one have shown of their rim.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct RimShown {
        /// The smallest size at which one was still too big.
        pub too_big: Option<Size>,
        /// The smallest size at which one fitted.
        pub fits: Option<Size>,
        /// The largest size at which one was loose.
        pub loose: Option<Size>,
    }
}

impl RimShown {
    /// Nothing yet.
    pub const fn new() -> Self {
        Self { too_big: None, fits: None, loose: None }
    }

    /// Takes what one more lens showed into account. Where it belies an earlier lens, the later one is believed.
    pub fn take(&mut self, sizing: &Sizing) {
        self.fits =
            self.fits.filter(|fits| !was_too_big(sizing, *fits) && !at_most(Some(*fits), sizing.loose));
        self.loose =
            self.loose.filter(|loose| !was_too_big(sizing, *loose) && !at_most(sizing.fits, Some(*loose)));
        self.too_big = self.too_big.filter(|big| !at_most(Some(*big), sizing.loose.or(sizing.fits)));
        self.too_big = smaller(self.too_big, sizing.too_big);
        self.fits = smaller(self.fits, sizing.fits);
        self.loose = larger(self.loose, sizing.loose);
    }

    /// The least size that the lens of `sizing` may be given, as far as the lenses before it tell: the one at which they
    /// fitted, unless this one was too big there.
    pub fn floor(&self, sizing: &Sizing) -> Option<Size> {
        self.fits.filter(|fits| !was_too_big(sizing, *fits))
    }

    /// The size at which a lens before it was loose, unless this one was too big there.
    pub fn loose_for(&self, sizing: &Sizing) -> Option<Size> {
        self.loose.filter(|loose| !was_too_big(sizing, *loose))
    }

    /// Whether the lens of `sizing` may be ground at `dialled` without insisting, as far as its own passes and the lenses
    /// before it tell.
    ///
    /// # Errors
    /// As [`Sizing::guard`]; or the pass would leave it smaller than the lens before that fitted, or no larger than one that
    /// was loose, and it was not too big there itself.
    pub fn guard(&self, sizing: &Sizing, dialled: &Dialled) -> Result<(), Refusal> {
        sizing.guard(dialled)?;
        let (before, after) = (sizing.present(dialled.basis), sizing.after(dialled, false));
        // What fits itself is guarded by its own fit.
        let Some(left) = after.high.filter(|_| sizing.fits.is_none() && before != Some(after)) else {
            return Ok(());
        };
        let asked = Size { basis: dialled.basis, offset: left };
        if let Some(fits) = self.floor(sizing)
            && asked.compare(fits) == Ordering::Less
        {
            return Err(Refusal::PastEarlierFit { fits, asked });
        }
        match self.loose_for(sizing) {
            Some(loose) if at_most(Some(asked), Some(loose)) => Err(Refusal::EarlierLoose { loose, asked }),
            _ => Ok(()),
        }
    }
}

/// Whether a lens was itself still too big at a size, or at a smaller one.
fn was_too_big(sizing: &Sizing, at: Size) -> bool {
    at_most(sizing.too_big, Some(at))
}

/// Whether there are both, and the one is no larger than the other.
fn at_most(one: Option<Size>, other: Option<Size>) -> bool {
    one.zip(other).is_some_and(|(one, other)| one.compare(other) != Ordering::Greater)
}

#[cfg(test)]
mod tests {
    use super::super::test_passes::absolute;
    use super::super::{Basis, Outcome};
    use super::*;
    use crate::units::Length;

    fn sized(passes: &[(i32, Outcome)]) -> Sizing {
        let mut sizing = Sizing::new();
        for (at, outcome) in passes {
            sizing.apply(&absolute(Basis::Diameter, *at), *outcome);
        }
        sizing
    }

    fn shown(lenses: &[&[(i32, Outcome)]]) -> RimShown {
        let mut shown = RimShown::new();
        lenses.iter().for_each(|passes| shown.take(&sized(passes)));
        shown
    }

    fn sizes(shown: &RimShown) -> [Option<i32>; 3] {
        [shown.too_big, shown.fits, shown.loose].map(|size| size.map(|size| size.offset.milli()))
    }

    use Outcome::{Fits, JustTooBig, Loose};

    #[test]
    fn a_lens_leaves_behind_what_it_showed() {
        assert_eq!(sizes(&shown(&[&[(300, JustTooBig), (150, Fits)]])), [Some(300), Some(150), None]);
        assert_eq!(sizes(&shown(&[&[(200, JustTooBig), (50, Loose)]])), [Some(200), None, Some(50)]);
        let both: &[&[_]] = &[&[(200, JustTooBig), (50, Loose)], &[(150, JustTooBig), (100, Fits)]];
        assert_eq!(sizes(&shown(both)), [Some(150), Some(100), Some(50)]);
    }

    #[test]
    fn the_later_lens_is_believed_where_it_belies_the_earlier() {
        assert_eq!(
            sizes(&shown(&[&[(100, Fits)], &[(100, JustTooBig), (50, Fits)]])),
            [Some(100), Some(50), None]
        );
        assert_eq!(sizes(&shown(&[&[(100, Fits)], &[(150, Loose)]])), [None, None, Some(150)]);
        assert_eq!(sizes(&shown(&[&[(100, Loose)], &[(50, Fits)]])), [None, Some(50), None]);
        assert_eq!(sizes(&shown(&[&[(100, JustTooBig)], &[(150, Fits)]])), [None, Some(150), None]);
    }

    #[test]
    fn a_new_lens_is_not_ground_past_the_fit_of_the_one_before() {
        let shown = shown(&[&[(300, JustTooBig), (150, Fits)]]);
        let guard = |sizing: &Sizing, at| shown.guard(sizing, &absolute(Basis::Diameter, at));
        let at = |milli| Size { basis: Basis::Diameter, offset: Length::from_milli(milli) };
        let new = Sizing::new();
        assert_eq!(guard(&new, 150), Ok(()));
        let past = Err(Refusal::PastEarlierFit { fits: at(150), asked: at(100) });
        assert_eq!(guard(&new, 100), past);
        assert_eq!(guard(&sized(&[(200, JustTooBig)]), 100), past);
        // It is too big where the one before fitted: it goes by itself.
        assert_eq!(guard(&sized(&[(150, JustTooBig)]), 100), Ok(()));
        // It fits itself: its own guard holds.
        assert_eq!(guard(&sized(&[(200, Fits)]), 200), Ok(()));
        assert!(matches!(guard(&sized(&[(200, Fits)]), 150), Err(Refusal::PastFit { .. })));
        // A dial that takes nothing off may always be ground.
        assert_eq!(guard(&sized(&[(100, Outcome::FarTooBig)]), 100), Ok(()));
    }

    #[test]
    fn a_size_at_which_the_lens_before_was_loose_is_asked_about() {
        let shown = shown(&[&[(200, JustTooBig), (50, Loose)]]);
        let guard = |sizing: &Sizing, at| shown.guard(sizing, &absolute(Basis::Diameter, at));
        assert_eq!(guard(&Sizing::new(), 100), Ok(()));
        assert!(matches!(guard(&Sizing::new(), 50), Err(Refusal::EarlierLoose { .. })));
        assert_eq!(guard(&sized(&[(50, JustTooBig)]), 0), Ok(()));
    }
}
