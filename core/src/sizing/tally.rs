//! The exact account of a lens's size, pass by pass.

use super::{Basis, Counting, Dialled, Outcome, Size, Span};
use crate::bytes::coded;
use crate::units::Length;
use core::cmp::Ordering;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// What the passes so far say of one lens.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Sizing {
        /// How many passes were logged.
        pub passes: u16,
        /// The size now, on the basis last dialled.
        pub size: Option<(Basis, Span)>,
        /// The smallest size at which it was still too big.
        pub too_big: Option<Size>,
        /// The smallest size at which it fitted.
        pub fits: Option<Size>,
        /// The largest size at which it was loose: the lens is scrap.
        pub loose: Option<Size>,
        /// What the hand felt last.
        pub last: Option<Outcome>,
    }
}

impl Sizing {
    /// Nothing ground yet.
    pub const fn new() -> Self {
        Self { passes: 0, size: None, too_big: None, fits: None, loose: None, last: None }
    }

    /// The size now on `basis`, once it was cut: exact on the basis last dialled, else to the micrometre.
    pub fn present(&self, basis: Basis) -> Option<Span> {
        let (dialled, span) = self.size?;
        let convert = |offset: Length| Size { basis: dialled, offset }.on(basis);
        Some(Span { low: convert(span.low), high: span.high.map(convert) })
    }

    /// The upper end of that, where it has one.
    pub fn at_most(&self, basis: Basis) -> Option<Length> {
        self.present(basis)?.high
    }

    /// What the size would be after `dialled` ran to its end, or was broken off.
    ///
    /// Grinding never adds: a pass at or above the present size changes nothing. A pass broken off leaves the lens
    /// anywhere between where it was and where it was meant to be. Sums are exact on one basis; where the basis
    /// changed between two passes, the earlier size is converted once to the micrometre. A sum that no lens has, a metre
    /// off its shape, stays at that metre, so that any passes whatever can be added up and sent on a card.
    pub fn after(&self, dialled: &Dialled, broken_off: bool) -> Span {
        let before = self.present(dialled.basis);
        let amount = dialled.amount;
        // Absolute figures, and the first cut of any lens, count from the traced shape.
        let target = match (dialled.counting, before) {
            (Counting::Absolute, _) => amount,
            (Counting::TakeOff { .. }, Some(Span { low, high: Some(high) })) => {
                let high = if broken_off { high } else { high - amount };
                return Span { low: held(low - amount), high: Some(held(high)) };
            }
            (Counting::TakeOff { from }, _) => from - amount,
        };
        let low = before.map_or(target, |span| span.low.min(target));
        let high = match before.and_then(|span| span.high) {
            high if broken_off => high,
            Some(high) => Some(high.min(target)),
            None => Some(target),
        };
        Span { low: held(low), high: high.map(held) }
    }

    /// Takes one more pass into the account: what was dialled, and what the hand felt.
    pub fn apply(&mut self, dialled: &Dialled, outcome: Outcome) {
        let basis = dialled.basis;
        let span = self.after(dialled, outcome == Outcome::Abandoned);
        self.passes = self.passes.saturating_add(1);
        self.last = Some(outcome);
        self.size = Some((basis, span));
        let at = |offset| Some(Size { basis, offset });
        // Each bound takes the end of the span for which it certainly holds.
        match (outcome, span.high) {
            (Outcome::FarTooBig | Outcome::JustTooBig, Some(high)) => {
                self.too_big = smaller(self.too_big, at(high));
            }
            (Outcome::Fits, Some(high)) => self.fits = smaller(self.fits, at(high)),
            (Outcome::Loose, _) => self.loose = self.loose.or(at(span.low)),
            _ => {}
        }
    }

    /// The lens fits but is strained by its rim: its fit counts as a touch too big, and sizing goes on.
    pub fn reopen(&mut self) {
        if let Some(fits) = self.fits.take() {
            self.too_big = smaller(self.too_big, Some(fits));
            self.last = Some(Outcome::JustTooBig);
        }
    }

    /// Whether the lens fits and was not ground any further since.
    pub fn is_done(&self) -> bool {
        self.last == Some(Outcome::Fits) && self.loose.is_none()
    }

    /// Whether it is still to be ground.
    pub fn goes_on(&self) -> bool {
        !self.is_done() && !self.is_scrap()
    }

    /// Whether the lens went past its fit.
    pub fn is_scrap(&self) -> bool {
        self.loose.is_some()
    }
}

/// A size as far as a record can say it.
fn held(size: Length) -> Length {
    size.clamp(Length::from_milli(-Length::LIMIT), Length::from_milli(Length::LIMIT))
}

pub(super) fn smaller(one: Option<Size>, other: Option<Size>) -> Option<Size> {
    further(Ordering::Less, one, other)
}

pub(super) fn larger(one: Option<Size>, other: Option<Size>) -> Option<Size> {
    further(Ordering::Greater, one, other)
}

/// The one that there is; of both the one that lies further that way, of equal ones the first.
fn further(way: Ordering, one: Option<Size>, other: Option<Size>) -> Option<Size> {
    match (one, other) {
        (Some(a), Some(b)) => Some(if b.compare(a) == way { b } else { a }),
        (a, b) => a.or(b),
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_passes::{absolute, take_off};
    use super::*;

    fn mm(milli: i32) -> Length {
        Length::from_milli(milli)
    }

    fn tally(passes: &[(Dialled, Outcome)]) -> Sizing {
        let mut sizing = Sizing::default();
        for (dialled, outcome) in passes {
            sizing.apply(dialled, *outcome);
        }
        sizing
    }

    #[test]
    fn an_absolute_dial_says_the_size_itself_on_every_basis() {
        for basis in Basis::ALL {
            let sizing = tally(&[
                (absolute(basis, 500), Outcome::FarTooBig),
                (absolute(basis, 250), Outcome::JustTooBig),
                (absolute(basis, 150), Outcome::Fits),
            ]);
            assert_eq!(sizing.size, Some((basis, Span::exactly(mm(150)))));
            assert_eq!(sizing.too_big, Some(Size { basis, offset: mm(250) }));
            assert_eq!(sizing.fits, Some(Size { basis, offset: mm(150) }));
            assert!(sizing.is_done());
        }
    }

    #[test]
    fn a_take_off_dial_sums_its_steps_exactly_on_every_basis() {
        for basis in Basis::ALL {
            let mut passes = std::vec![(take_off(basis, 500, 0), Outcome::FarTooBig)];
            passes.extend([(take_off(basis, 500, 25), Outcome::JustTooBig); 13]);
            passes.push((take_off(basis, 500, 100), Outcome::Fits));
            let sizing = tally(&passes);
            assert_eq!(sizing.size, Some((basis, Span::exactly(mm(500 - 13 * 25 - 100)))));
            assert_eq!(sizing.passes, 15);
        }
    }

    #[test]
    fn a_size_above_the_present_one_takes_nothing_off() {
        let sizing = tally(&[
            (absolute(Basis::Diameter, 200), Outcome::JustTooBig),
            (absolute(Basis::Diameter, 300), Outcome::JustTooBig),
        ]);
        assert_eq!(sizing.size, Some((Basis::Diameter, Span::exactly(mm(200)))));
    }

    #[test]
    fn a_pass_broken_off_leaves_a_span_until_a_smaller_size_settles_it() {
        let mut passes = std::vec![
            (absolute(Basis::Diameter, 400), Outcome::FarTooBig),
            (absolute(Basis::Diameter, 200), Outcome::Abandoned),
        ];
        let span = |sizing: Sizing| sizing.size.unwrap().1;
        assert_eq!(span(tally(&passes)), Span { low: mm(200), high: Some(mm(400)) });
        passes.push((absolute(Basis::Diameter, 300), Outcome::JustTooBig));
        assert_eq!(span(tally(&passes)), Span { low: mm(200), high: Some(mm(300)) });
        passes.push((absolute(Basis::Diameter, 200), Outcome::Fits));
        assert_eq!(span(tally(&passes)), Span::exactly(mm(200)));
    }

    #[test]
    fn a_first_cut_broken_off_is_cut_again() {
        for dialled in [absolute(Basis::Radius, 400), take_off(Basis::Radius, 500, 100)] {
            let mut passes = std::vec![(dialled, Outcome::Abandoned)];
            assert_eq!(tally(&passes).size, Some((Basis::Radius, Span { low: mm(400), high: None })));
            passes.push((dialled, Outcome::FarTooBig));
            assert_eq!(tally(&passes).size, Some((Basis::Radius, Span::exactly(mm(400)))));
        }
    }

    #[test]
    fn a_take_off_broken_off_may_have_taken_anything() {
        let sizing = tally(&[
            (take_off(Basis::Diameter, 500, 0), Outcome::FarTooBig),
            (take_off(Basis::Diameter, 500, 200), Outcome::Abandoned),
            (take_off(Basis::Diameter, 500, 100), Outcome::JustTooBig),
        ]);
        assert_eq!(sizing.size, Some((Basis::Diameter, Span { low: mm(200), high: Some(mm(400)) })));
        assert_eq!(sizing.too_big, Some(Size { basis: Basis::Diameter, offset: mm(400) }));
    }

    #[test]
    fn a_lens_that_is_loose_at_a_size_known_as_a_span_is_loose_at_its_lower_end_for_certain() {
        let sizing = tally(&[
            (absolute(Basis::Diameter, 400), Outcome::FarTooBig),
            (absolute(Basis::Diameter, 200), Outcome::Abandoned),
            (absolute(Basis::Diameter, 300), Outcome::Loose),
        ]);
        assert_eq!(sizing.loose, Some(Size { basis: Basis::Diameter, offset: mm(200) }));
    }

    #[test]
    fn a_strained_lens_is_too_big_after_all() {
        let mut sizing = tally(&[(absolute(Basis::Diameter, 200), Outcome::Fits)]);
        sizing.reopen();
        assert!(!sizing.is_done());
        assert_eq!(sizing.too_big, Some(Size { basis: Basis::Diameter, offset: mm(200) }));
        assert_eq!(sizing.guard(&absolute(Basis::Diameter, 150)), Ok(()));
    }

    #[test]
    fn passes_without_end_and_without_sense_stay_within_what_a_record_can_say() {
        let mut sizing = Sizing::default();
        let limits = [-Length::LIMIT, Length::LIMIT];
        for pass in 0..100_000 {
            let (basis, amount) = (Basis::ALL[pass % 7 % 3], limits[usize::from(pass % 5 > 0)]);
            let dialled =
                if pass % 11 == 0 { absolute(basis, amount) } else { take_off(basis, amount, amount) };
            sizing.apply(&dialled, Outcome::ALL[pass % 4]);
            let Some((_, Span { low, high })) = sizing.size else { panic!() };
            let sizes = [Some(low), high, sizing.fits.map(|fits| fits.offset)];
            assert!(sizes.iter().flatten().all(|size| Length::try_from(size.milli()).is_ok()), "{sizing:?}");
            let _ = sizing.guard(&dialled);
        }
    }

    #[test]
    fn a_changed_basis_converts_the_size_once() {
        let sizing = tally(&[
            (absolute(Basis::Radius, 200), Outcome::FarTooBig),
            (take_off(Basis::Diameter, 500, 100), Outcome::Fits),
        ]);
        assert_eq!(sizing.size, Some((Basis::Diameter, Span::exactly(mm(300)))));
    }
}
