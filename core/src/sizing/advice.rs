//! The size to try next, by what this rim has shown, by the book and by the shop's habit.

use super::{Advice, Basis, Counting, Dial, Dialled, Habit, Ladder, Outcome, Rim, RimShown, Size, Sizing};
use crate::units::Length;

/// What is known of a lens and its rim when its next size is chosen.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Evidence<'k> {
    /// The account of the lens itself.
    pub sizing: &'k Sizing,
    /// What the lenses before it showed of its rim.
    pub shown: &'k RimShown,
    /// The size at which the lens of the other eye fits, once it does.
    pub other_fits: Option<Size>,
    /// How much longer round the lens is than its rim, as measured at its present size.
    pub over_rim: Option<Length>,
    /// What the book tells of the frame.
    pub advice: Option<&'k Advice>,
}

impl<'k> Evidence<'k> {
    /// The same, with what the book tells of the frame.
    #[must_use]
    pub const fn by_book(self, advice: Option<&'k Advice>) -> Self {
        Self { advice, ..self }
    }

    /// What the book tells of this eye, if anything, unless the rim itself has shown more: a lens fitted it before.
    pub fn told(&self) -> Option<&'k Advice> {
        let told = |advice: &&Advice| advice.ladder(self.other_fits.is_some()).first().is_some();
        self.advice.filter(told).filter(|_| self.shown.floor(self.sizing).is_none())
    }

    /// Whether the next size of the lens may hang on what the book tells: it is ground on, and no lens fitted its rim before.
    pub fn follows_book(&self) -> bool {
        !self.sizing.is_done() && !self.sizing.is_scrap() && self.shown.floor(self.sizing).is_none()
    }
}

impl Habit {
    /// The size to stand there, as an offset from the traced shape on the dial's basis: on the dial, and never past a fit.
    ///
    /// Measured girths say it at once. Else a lens made anew starts a step above the size at which the one before fitted,
    /// or half way to where it was too big. Else the book's ladder is followed, where it tells of this eye. Else the second
    /// eye starts a step above the first's fit, and the first eye at the shop's first size.
    pub fn advised(&self, rim: Rim, dial: &Dial, known: &Evidence<'_>) -> Length {
        let Evidence { sizing, shown, other_fits, over_rim, .. } = *known;
        let on = |size: Option<Size>| size.map(|size| size.on(dial.basis));
        let before = shown.floor(sizing);
        let book = known.told();
        let ladder = match book {
            Some(advice) => advice.on(dial, other_fits),
            None => self.ladder(rim, dial, on(before.or(other_fits))),
        };
        let next = match (sizing.at_most(dial.basis), sizing.last, over_rim) {
            (Some(now), Some(Outcome::FarTooBig | Outcome::JustTooBig), Some(over)) => {
                size_of_rim(now, over, dial)
            }
            (Some(now), Some(outcome @ (Outcome::FarTooBig | Outcome::JustTooBig)), None) => {
                let step = now - self.step(outcome, dial);
                let first = ladder.first().filter(|first| book.is_some() && *first < now);
                ladder.next(now, outcome).unwrap_or(match (first, outcome) {
                    // Who began larger than the book comes to its first size, after a touch by no more than the shop's step.
                    (Some(first), Outcome::FarTooBig) => first,
                    (Some(first), _) => first.max(step),
                    // Below the ladder its last step goes on.
                    (None, _) => step,
                })
            }
            (Some(now), Some(_), _) => now,
            (None, Some(_), _) => sizing.present(dial.basis).map_or(Length::ZERO, |span| span.low),
            (_, None, _) => self.below_too_big(ladder.first().unwrap_or_default(), shown, dial),
        };
        // Nor where one was loose in this rim before, which the guard would ask about, as long as there is a size between.
        let now = sizing.at_most(dial.basis);
        let above_loose = on(shown.loose_for(sizing)).map(|loose| dial.up(loose + Length::from_milli(1)));
        let above_loose = above_loose.filter(|least| now.is_none_or(|now| *least < now));
        let floor = on(sizing.fits.or(before)).max(above_loose);
        dial.up(floor.map_or(next, |floor| next.max(floor)))
    }

    /// What is dialled for it; nothing for a lens that fits or is scrap.
    pub fn next_dialled(&self, rim: Rim, dial: &Dial, known: &Evidence<'_>) -> Option<Dialled> {
        let size = known.sizing.goes_on().then(|| self.advised(rim, dial, known))?;
        Some(dial.leaving(size, known.sizing.at_most(dial.basis)))
    }

    /// The shop's ladder as sizes that the dial can leave: of the eye that is sized first, or from the size `fits` on.
    fn ladder(&self, rim: Rim, dial: &Dial, fits: Option<Length>) -> Ladder {
        let (first, second) = self.ladders(rim, dial);
        fits.map_or(first, |fits| second.map(&|size| dial.up(fits + size)))
    }

    /// A first size at which the lens before was still too big is a pass for nothing: half way from there to where one fitted
    /// or was loose, or a step below.
    fn below_too_big(&self, usual: Length, shown: &RimShown, dial: &Dial) -> Length {
        let on = |size: Option<Size>| size.map(|size| size.on(dial.basis));
        let Some(big) = on(shown.too_big).filter(|big| usual >= *big) else { return usual };
        let half_way = |low: Length| low + Length::from_milli((big - low).milli().max(0) / 2);
        on(shown.fits.or(shown.loose))
            .map_or_else(|| big - self.step(Outcome::JustTooBig, dial), half_way)
            .min(usual)
    }
}

/// The size at which a lens of size `now`, which is `over` longer round than its rim, is as long round as it: on the dial,
/// not smaller but for half a micrometre of rounding, and not above `now`.
///
/// A finished lens is as long round as the inside of its rim, not shorter (common practice, no source).
pub fn size_of_rim(now: Length, over: Length, dial: &Dial) -> Length {
    let over = Size { basis: Basis::Girth, offset: over };
    dial.up(now - over.on(dial.basis)).min(now)
}

/// What is dialled to grind a lens that is `over` longer round than its rim down to it, where its size is known or the dial
/// counts what it takes off; rounded so that the lens is not left smaller than its rim.
pub fn dialled_for_rim(now: Option<Length>, over: Length, dial: &Dial) -> Option<Dialled> {
    match (now, dial.counting) {
        (Some(now), _) => Some(dial.leaving(size_of_rim(now, over, dial), Some(now))),
        // Counted from any size, the amount is the same.
        (None, Counting::TakeOff { from }) => Some(dial.leaving(size_of_rim(from, over, dial), Some(from))),
        (None, Counting::Absolute) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_passes::absolute;
    use super::*;

    const fn mm(milli: i32) -> Length {
        Length::from_milli(milli)
    }

    const DIAL: Dial = Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: mm(50) };

    fn sized(passes: &[(i32, Outcome)]) -> Sizing {
        let mut sizing = Sizing::new();
        passes.iter().for_each(|(at, felt)| sizing.apply(&absolute(Basis::Diameter, *at), *felt));
        sizing
    }

    fn advised(sizing: &Sizing, shown: &RimShown, other: Option<i32>, over_rim: Option<i32>) -> i32 {
        let other_fits = other.map(|at| Size { basis: Basis::Diameter, offset: mm(at) });
        let known = Evidence { sizing, shown, other_fits, over_rim: over_rim.map(mm), advice: None };
        Habit::COMMON.advised(Rim::Metal, &DIAL, &known).milli()
    }

    fn after(passes: &[(i32, Outcome)]) -> RimShown {
        let mut shown = RimShown::new();
        shown.take(&sized(passes));
        shown
    }

    use Outcome::{FarTooBig, Fits, JustTooBig, Loose};

    #[test]
    fn without_anything_known_it_is_the_habit() {
        let none = RimShown::new();
        // First 0.40, steps 0.20 and 0.10.
        assert_eq!(advised(&Sizing::new(), &none, None, None), 400);
        assert_eq!(advised(&sized(&[(400, FarTooBig)]), &none, None, None), 200);
        assert_eq!(advised(&sized(&[(200, JustTooBig)]), &none, None, None), 100);
        assert_eq!(advised(&sized(&[(100, Fits)]), &none, None, None), 100);
        assert_eq!(advised(&Sizing::new(), &none, Some(150), None), 250);
    }

    #[test]
    fn a_lens_made_anew_starts_above_the_fit_of_the_one_before() {
        let shown = after(&[(400, FarTooBig), (200, JustTooBig), (100, Fits)]);
        assert_eq!(advised(&Sizing::new(), &shown, None, None), 150);
        assert_eq!(advised(&Sizing::new(), &after(&[(400, FarTooBig), (100, Fits)]), None, None), 200);
        // It says more than the other eye.
        assert_eq!(advised(&Sizing::new(), &shown, Some(0), None), 150);
        // Never below that fit, while this lens was not too big there.
        assert_eq!(advised(&sized(&[(150, JustTooBig)]), &shown, None, None), 100);
        assert_eq!(advised(&sized(&[(200, FarTooBig)]), &shown, None, None), 100);
        assert_eq!(advised(&sized(&[(100, JustTooBig)]), &shown, None, None), 0);
    }

    #[test]
    fn a_lens_made_anew_starts_between_too_big_and_loose() {
        let shown = after(&[(400, FarTooBig), (200, JustTooBig), (0, Loose)]);
        assert_eq!(advised(&Sizing::new(), &shown, None, None), 100);
        let close = after(&[(200, JustTooBig), (150, Loose)]);
        assert_eq!(advised(&Sizing::new(), &close, None, None), 200);
        // A rim that was never reached from above tells nothing of where to start.
        assert_eq!(advised(&Sizing::new(), &after(&[(0, Loose)]), None, None), 400);
    }

    #[test]
    fn measured_girths_are_a_figure_on_the_dial() {
        let none = RimShown::new();
        // 0.70 longer round is 0.2228 across: from +0.40 to +0.1772, and not below on steps of 0.05.
        assert_eq!(advised(&sized(&[(400, FarTooBig)]), &none, None, Some(700)), 200);
        // As long as its rim: not ground further.
        assert_eq!(advised(&sized(&[(400, JustTooBig)]), &none, None, Some(-20)), 400);
        let taken = |counting, now: Option<i32>| {
            dialled_for_rim(now.map(mm), mm(700), &Dial { counting, ..DIAL }).map(|d| d.amount.milli())
        };
        assert_eq!(taken(Counting::Absolute, Some(400)), Some(200));
        assert_eq!(taken(Counting::Absolute, None), None);
        assert_eq!(taken(Counting::TakeOff { from: mm(500) }, Some(400)), Some(200));
        assert_eq!(taken(Counting::TakeOff { from: mm(500) }, None), Some(200));
    }

    /// On every basis and step the lens is left as long round as its rim, or longer by less than a step.
    #[test]
    fn no_lens_is_ground_below_its_rim() {
        for basis in Basis::ALL {
            for step in [10, 25, 50, 100] {
                let dial = Dial { basis, counting: Counting::Absolute, step: mm(step) };
                for over in (0..3000).step_by(7) {
                    let now = mm(2000);
                    let left = size_of_rim(now, mm(over), &dial);
                    let off = Size { basis, offset: now - left }.on(Basis::Girth);
                    let longest = Size { basis, offset: dial.step }.on(Basis::Girth) + mm(4);
                    assert!(off <= mm(over + 4) && mm(over) - off <= longest, "{basis} {step} {over}");
                }
            }
        }
    }
}
