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
        /// The size that was dialled.
        asked: Size,
        /// How small it could be already.
        least: Size,
    },
    /// This lens was already loose at this size: nothing is gained by grinding it further.
    AlreadyLoose(Size),
    /// The lens before this one fitted the same rim at a larger size.
    PastEarlierFit {
        /// The smallest size at which it fitted.
        fits: Size,
        /// The size that was dialled.
        asked: Size,
    },
    /// A lens before this one was already loose in the same rim at this size, or a larger one.
    EarlierLoose {
        /// The largest size at which one was loose.
        loose: Size,
        /// The size that was dialled.
        asked: Size,
    },
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::PastFit { fits, asked, least } => {
                write!(f, "this lens fits this rim at {fits}; {asked} would go past it")?;
                match least.compare(*asked) {
                    Ordering::Less => write!(f, ", and it could be at {least} already"),
                    _ => Ok(()),
                }
            }
            Self::PastEarlierFit { fits, asked } => {
                write!(f, "the lens before fitted this rim at {fits}; {asked} would go past it")
            }
            Self::EarlierLoose { loose, asked } => {
                write!(f, "the lens before was loose in this rim at {loose}; {asked} is no larger")
            }
            Self::AlreadyLoose(loose) => {
                write!(f, "this lens was already loose at {loose}; remake it instead of grinding on")
            }
        }
    }
}

impl core::error::Error for Refusal {}

impl Sizing {
    /// Whether `dialled` may be ground without insisting.
    ///
    /// Grinding never adds, so a dial at or above the largest size that the lens can have takes nothing off, and may
    /// always be ground; however small the lens may be already, it is not made worse.
    ///
    /// # Errors
    /// The pass could grind the lens below the smallest size at which it fits this rim, or it is already loose.
    pub fn guard(&self, dialled: &Dialled) -> Result<(), Refusal> {
        if let Some(loose) = self.loose {
            return Err(Refusal::AlreadyLoose(loose));
        }
        let (before, after) = (self.present(dialled.basis), self.after(dialled, false));
        // A lens that fits was cut to its end, so its size has an upper end, and that does not lie above the fit.
        let (Some(fits), Some(before), Some(left)) = (self.fits, before, after.high) else { return Ok(()) };
        let at = |offset| Size { basis: dialled.basis, offset };
        if before == after || at(left).compare(fits) != Ordering::Less {
            return Ok(());
        }
        Err(Refusal::PastFit { fits, asked: at(left), least: at(before.low) })
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_passes::{absolute, take_off};
    use super::super::{Basis, Counting, Outcome};
    use super::*;
    use crate::units::Length;

    #[test]
    fn a_lens_that_fits_is_not_ground_further() {
        let mut sizing = Sizing::default();
        sizing.apply(&absolute(Basis::Diameter, 300), Outcome::JustTooBig);
        assert_eq!(sizing.guard(&absolute(Basis::Diameter, 100)), Ok(()));
        sizing.apply(&absolute(Basis::Diameter, 200), Outcome::Fits);
        assert_eq!(sizing.guard(&absolute(Basis::Diameter, 200)), Ok(()), "the same size again is no loss");
        let at = |milli| Size { basis: Basis::Diameter, offset: Length::from_milli(milli) };
        let refusal = Refusal::PastFit { fits: at(200), asked: at(199), least: at(200) };
        assert_eq!(sizing.guard(&absolute(Basis::Diameter, 199)), Err(refusal));
        assert!(sizing.guard(&take_off(Basis::Diameter, 500, 50)).is_err());
        assert!(sizing.guard(&absolute(Basis::Radius, 99)).is_err(), "0.198 mm across");
    }

    /// Every size that a lens can have, in tenths of a millimetre of diameter, walked through one by one: what the
    /// exact account says in two figures.
    #[derive(Clone)]
    struct Naive {
        /// Rough before the first pass that ran to its end.
        rough: bool,
        sizes: std::vec::Vec<i32>,
        fits: Option<i32>,
    }

    /// No first cut leaves more, in tenths of a millimetre.
    const ROUGH: i32 = 6;

    impl Naive {
        fn new() -> Self {
            Self { rough: true, sizes: std::vec![ROUGH], fits: None }
        }

        /// What a lens of `size` is ground down to.
        fn left(&self, size: i32, dialled: &Dialled) -> i32 {
            let across = |length: Length| {
                Size { basis: dialled.basis, offset: length }.on(Basis::Diameter).milli() / 100
            };
            match dialled.counting {
                Counting::Absolute => size.min(across(dialled.amount)),
                Counting::TakeOff { from } if self.rough => size.min(across(from - dialled.amount)),
                Counting::TakeOff { .. } => size - across(dialled.amount),
            }
        }

        fn pass(&mut self, dialled: &Dialled, outcome: Outcome) {
            let broken_off = outcome == Outcome::Abandoned;
            let mut sizes: std::vec::Vec<i32> = std::vec::Vec::new();
            for size in &self.sizes {
                let left = self.left(*size, dialled);
                sizes.extend(left..=if broken_off { *size } else { left });
            }
            sizes.sort_unstable();
            sizes.dedup();
            self.sizes = sizes;
            self.rough &= broken_off;
            if outcome == Outcome::Fits {
                // It fitted at one of them; at the largest it certainly did not rattle.
                let most = *self.sizes.last().unwrap();
                self.fits = Some(self.fits.map_or(most, |fits| fits.min(most)));
            }
        }

        /// Whether a lens of one of the sizes would lose material and then be smaller than it fits.
        fn refuses(&self, dialled: &Dialled) -> bool {
            self.fits.is_some_and(|fits| {
                self.sizes.iter().any(|size| {
                    let left = self.left(*size, dialled);
                    left < *size && left < fits
                })
            })
        }
    }

    fn every_dial() -> std::vec::Vec<Dialled> {
        let mut dials: std::vec::Vec<Dialled> = (0..5).map(|n| absolute(Basis::Diameter, n * 100)).collect();
        dials.extend((0..3).map(|n| absolute(Basis::Radius, n * 100)));
        dials.extend((0..3).map(|n| take_off(Basis::Diameter, 400, n * 100)));
        dials.push(take_off(Basis::Radius, 200, 50));
        dials
    }

    /// Compares after every sequence of passes that goes on from `sizing`; how many were refused and allowed.
    fn compare(sizing: &Sizing, naive: &Naive, passes: u32, seen: &mut [u32; 2]) {
        for dialled in &every_dial() {
            let refusal = sizing.guard(dialled);
            assert_eq!(refusal.is_err(), naive.refuses(dialled), "{dialled:?} {sizing:?}");
            seen[usize::from(refusal.is_err())] += 1;
            if let Err(Refusal::PastFit { fits, asked, least }) = refusal {
                let across = |size: Size| size.on(Basis::Diameter).milli() / 100;
                let largest = *naive.sizes.last().unwrap();
                assert_eq!(asked.basis, dialled.basis);
                assert_eq!(across(asked), naive.left(largest, dialled), "the size dialled: {dialled:?}");
                assert_eq!((across(least), Some(across(fits))), (naive.sizes[0], naive.fits));
            }
        }
        if passes == 0 {
            return;
        }
        for dialled in every_dial() {
            for outcome in [Outcome::JustTooBig, Outcome::Fits, Outcome::Abandoned] {
                let (mut sizing, mut naive) = (*sizing, naive.clone());
                sizing.apply(&dialled, outcome);
                naive.pass(&dialled, outcome);
                compare(&sizing, &naive, passes - 1, seen);
            }
        }
    }

    #[test]
    fn it_refuses_what_could_take_a_lens_below_its_fit_and_nothing_else() {
        let mut seen = [0; 2];
        compare(&Sizing::new(), &Naive::new(), 3, &mut seen);
        let [allowed, refused] = seen;
        assert!(allowed > 100_000 && refused > 50_000, "{allowed} {refused}");
    }

    #[test]
    fn a_pass_broken_off_below_the_fit_leaves_the_sizes_above_it_free() {
        let mut sizing = Sizing::default();
        sizing.apply(&absolute(Basis::Diameter, 300), Outcome::Fits);
        sizing.apply(&absolute(Basis::Diameter, 200), Outcome::Abandoned);
        assert_eq!(sizing.guard(&absolute(Basis::Diameter, 300)), Ok(()), "takes nothing off");
        let at = |milli| Size { basis: Basis::Diameter, offset: Length::from_milli(milli) };
        let refusal = Refusal::PastFit { fits: at(300), asked: at(250), least: at(200) };
        assert_eq!(sizing.guard(&absolute(Basis::Diameter, 250)), Err(refusal));
        let said = std::format!("{refusal}");
        assert!(said.contains("+0.25 mm on diameter would go past it"), "{said}");
        assert!(said.contains("could be at +0.20 mm on diameter already"), "{said}");
    }

    #[test]
    fn insisting_moves_the_guard_to_the_new_fit() {
        let mut sizing = Sizing::default();
        sizing.apply(&absolute(Basis::Diameter, 200), Outcome::Fits);
        sizing.apply(&absolute(Basis::Diameter, 150), Outcome::Fits);
        assert_eq!(sizing.guard(&absolute(Basis::Diameter, 150)), Ok(()));
        assert!(sizing.guard(&absolute(Basis::Diameter, 100)).is_err());
    }

    #[test]
    fn a_loose_lens_is_scrap_whatever_is_dialled() {
        let mut sizing = Sizing::default();
        sizing.apply(&absolute(Basis::Diameter, 100), Outcome::Loose);
        assert!(matches!(sizing.guard(&absolute(Basis::Diameter, 300)), Err(Refusal::AlreadyLoose(_))));
        assert!(sizing.is_scrap());
    }
}
