//! The sizes that one lens went through, on a line of letters: smaller to the left, larger to the right.
//!
//! `●` stands at the smallest size that fitted, `○` at the smallest that was still too big, `×` where the lens was loose,
//! `│` at what any other pass left, `┄` over what a pass that was stopped early may have left; the fit lies on the double
//! line between `●` and `○`, and lenses of this model fitted between `[` and `]`. Above stand the numbers of the passes. All
//! on the basis of the last pass.

use crate::cli::paint::{Said, Tone};
use crate::view::Figure;
use bevelbook_core::sizing::{Advice, Size, Sizing};
use bevelbook_core::tolerance::Unit;
use bevelbook_core::units::Length;

/// The sizes of one lens.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Gauge {
    /// What each pass left.
    ticks: Vec<Tick>,
    fits: Option<Length>,
    too_big: Option<Length>,
    loose: Option<Length>,
    /// Between which sizes lenses of this model fitted, by the book.
    others: Option<[Length; 2]>,
}

/// What a pass left: from a size, up to one where that is known and another.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Tick {
    number: usize,
    low: Length,
    high: Length,
}

impl Gauge {
    /// From the account after each pass, oldest first, and what the book tells; none before one of them shows a size.
    pub(super) fn of(passes: &[Sizing], book: Option<&Advice>) -> Option<Self> {
        let book = book.filter(|book| book.fitted.is_some());
        let last = passes.last().copied().unwrap_or_default();
        let basis = last.size.map(|(basis, _)| basis).or(book.map(|book| book.basis))?;
        let others = book.and_then(|book| book.fitted_on(basis));
        let on = |size: Option<Size>| size.map(|size| size.on(basis));
        let tick = |(number, after): (usize, &Sizing)| {
            let span = after.present(basis)?;
            Some(Tick { number, low: span.low, high: span.high.unwrap_or(span.low) })
        };
        let ticks = (1..).zip(passes).filter_map(tick);
        let (fits, too_big, loose) = (on(last.fits), on(last.too_big), on(last.loose));
        Some(Self { ticks: ticks.collect(), fits, too_big, loose, others })
    }

    /// Three rows of `width` columns: numbers, line, and what the signs on it say.
    pub(super) fn rows(&self, width: usize) -> [Vec<Said>; 3] {
        let marks = [('│', Tone::Plain, None), ('○', Tone::Look, self.too_big), ('×', Tone::Bad, self.loose)];
        let marks = marks.into_iter().chain([('●', Tone::Good, self.fits)]);
        let bounds = [self.fits, self.too_big, self.loose].into_iter().flatten();
        let bounds = bounds.chain(self.others.into_iter().flatten());
        let shown = self.ticks.iter().flat_map(|tick| [tick.low, tick.high]).chain(bounds);
        let scale = Scale::over(shown, width);
        let mut line = vec![('─', Tone::Plain); width];
        if let (Some(fits), Some(big)) = (self.fits, self.too_big) {
            let (low, high) = (scale.place(fits.min(big)), scale.place(fits.max(big)));
            line[low..=high].fill(('═', Tone::Plain));
        }
        for (sign, size) in ['[', ']'].into_iter().zip(self.others.into_iter().flatten()) {
            line[scale.place(size)] = (sign, Tone::Strong);
        }
        let mut numbers = vec![' '; width];
        for Tick { number, low, high } in &self.ticks {
            let (low, high) = (scale.place(*low), scale.place(*high));
            line[low..=high].fill(('┄', Tone::Plain));
            line[low] = ('│', Tone::Plain);
            write_at(&mut numbers, low, &number.to_string());
        }
        for (sign, tone, size) in marks {
            if let Some(size) = size {
                line[scale.place(size)] = (sign, tone);
            }
        }
        let line = line.into_iter().map(|(sign, tone)| Said::new(tone, sign.to_string())).collect();
        [vec![Said::plain(numbers.into_iter().collect::<String>())], line, self.legend()]
    }

    fn legend(&self) -> Vec<Said> {
        let figure = |size: Length| Figure::from(size).to(2, 3).signed();
        let said = |size: Option<Length>, tone, words: &str| {
            size.map(|size| Said::new(tone, format!("{words} {}  ", figure(size))))
        };
        let parts = [
            said(self.fits, Tone::Good, "● fits"),
            said(self.too_big, Tone::Look, "○ too big"),
            said(self.loose, Tone::Bad, "× loose"),
        ];
        let mut parts: Vec<Said> = parts.into_iter().flatten().collect();
        parts.extend((!parts.is_empty()).then(|| Said::plain(Unit::Millimetre.symbol())));
        parts
    }
}

/// Places for sizes, in whole columns.
struct Scale {
    low: i64,
    high: i64,
    last: i64,
}

impl Scale {
    fn over(shown: impl Iterator<Item = Length>, width: usize) -> Self {
        let shown: Vec<i64> = shown.map(|size| size.milli().into()).collect();
        let low = shown.iter().min().copied().unwrap_or(0);
        let high = shown.iter().max().copied().unwrap_or(0);
        // At least 0.2 mm wide, with a twentieth free at both ends.
        let free = ((200 - (high - low)) / 2).max((high - low) / 20);
        Self { low: low - free, high: high + free, last: width.saturating_sub(1) as i64 }
    }

    fn place(&self, size: Length) -> usize {
        let from_low = i64::from(size.milli()) - self.low;
        let at = from_low * self.last / (self.high - self.low).max(1);
        at.clamp(0, self.last) as usize
    }
}

/// Writes a number at a place; what stands there already goes on to the left of it.
fn write_at(row: &mut [char], at: usize, number: &str) {
    let mut at = (at + 1).saturating_sub(number.len());
    while at > 0 && row.get(at..at + number.len()).is_some_and(|place| place.iter().any(|sign| *sign != ' '))
    {
        at -= 1;
    }
    for (place, sign) in row[at..].iter_mut().zip(number.chars()) {
        *place = sign;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::sizing::{Basis, Counting, Dialled, Outcome};

    fn sized(passes: &[(i32, Outcome)]) -> Vec<Sizing> {
        let mut sizing = Sizing::new();
        let mut after = Vec::new();
        for (milli, felt) in passes {
            let amount = Length::from_milli(*milli);
            sizing.apply(&Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount }, *felt);
            after.push(sizing);
        }
        after
    }

    fn letters(passes: &[(i32, Outcome)], width: usize) -> [String; 3] {
        let rows = Gauge::of(&sized(passes), None).unwrap().rows(width);
        rows.map(|row| row.iter().map(|said| said.text.as_str()).collect())
    }

    #[test]
    fn the_fit_lies_between_what_fitted_and_what_was_too_big() {
        let passes = [(400, Outcome::FarTooBig), (200, Outcome::JustTooBig), (100, Outcome::Fits)];
        let [numbers, line, legend] = letters(&passes, 31);
        assert_eq!(numbers, " 3        2                 1  ");
        assert_eq!(line, "─●════════○─────────────────│──");
        assert_eq!(legend, "● fits +0.10  ○ too big +0.20  mm");
    }

    #[test]
    fn a_loose_lens_and_two_passes_at_one_size_are_told_apart() {
        let passes = [(300, Outcome::JustTooBig), (300, Outcome::JustTooBig), (100, Outcome::Loose)];
        let [numbers, line, legend] = letters(&passes, 21);
        assert_eq!(numbers, "3                 21 ");
        assert_eq!(line, "×──────────────────○─");
        assert_eq!(legend, "○ too big +0.30  × loose +0.10  mm");
    }

    #[test]
    fn a_pass_that_was_stopped_early_may_have_left_anything_down_to_what_was_dialled() {
        let [numbers, line, _] = letters(&[(400, Outcome::FarTooBig), (200, Outcome::Abandoned)], 21);
        assert_eq!(numbers, "2                  1 ");
        assert_eq!(line, "│┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄○─");
    }

    #[test]
    fn no_width_and_no_size_is_too_much() {
        for width in [1, 2, 5, 200] {
            for passes in [
                &[(0, Outcome::Fits)][..],
                &[(1_000_000, Outcome::FarTooBig), (-1_000_000, Outcome::Fits)],
                &[(400, Outcome::Abandoned)],
                &[(100, Outcome::JustTooBig); 40],
            ] {
                let rows = letters(passes, width);
                assert!(rows[1].chars().count() == width && rows[0].chars().count() == width, "{rows:?}");
            }
        }
        assert!(Gauge::of(&[], None).is_none());
    }
}
