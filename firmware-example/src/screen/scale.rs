//! The scale of the gauge: which place of a row of places a size stands at.
//!
//! The scale reaches over every size that is known, and a quarter of that again at either end; it never shows less
//! than 0.3 mm, so that one step of a fine dial does not fill it. Larger sizes lie to the right.

use bevelbook_core::units::Length;

/// The least that the known sizes are taken to be apart, in micrometres.
const LEAST_SPAN_UM: i32 = 200;

/// A scale over some sizes.
pub(super) struct Scale {
    /// The size at the first place, in micrometres.
    low_um: i32,
    /// From the first place to the last, in micrometres; never 0.
    total_um: i32,
}

impl Scale {
    /// The scale for a size and the two that bracket the fit, as far as they are known.
    pub(super) fn over(now: Length, too_big: Option<Length>, fits: Option<Length>) -> Self {
        let known = || [Some(now), too_big, fits].into_iter().flatten().map(Length::milli);
        let low_um = known().fold(now.milli(), i32::min);
        let high_um = known().fold(now.milli(), i32::max);
        let span_um = (high_um - low_um).max(LEAST_SPAN_UM);
        let total_um = span_um + span_um / 2;
        Self { low_um: (low_um + high_um) / 2 - total_um / 2, total_um }
    }

    /// The place of `size` among `places` (from 0), rounded to the nearest; beyond an end, that end.
    pub(super) fn place(&self, size: Length, places: i32) -> i32 {
        let from_low = (size.milli() - self.low_um).clamp(0, self.total_um);
        // Some three metres, times the places of a display: 32 bits hold it.
        (2 * from_low * (places - 1).max(0) + self.total_um) / (2 * self.total_um)
    }

    /// The sizes that are whole multiples of `step_um` on the scale, smallest first, in micrometres.
    pub(super) fn multiples(&self, step_um: i32) -> impl Iterator<Item = Length> + '_ {
        let first = self.low_um.div_euclid(step_um) + 1;
        let last = (self.low_um + self.total_um).div_euclid(step_um);
        (first..=last).filter_map(move |count| Length::try_from(count * step_um).ok())
    }

    /// From the first place to the last, in micrometres.
    pub(super) const fn total_um(&self) -> i32 {
        self.total_um
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn mm(milli: i32) -> Length {
        Length::from_milli(milli)
    }

    #[test]
    fn a_lone_size_stands_in_the_middle() {
        assert_eq!(Scale::over(mm(500), None, None).place(mm(500), 21), 10);
        assert_eq!(Scale::over(mm(-500), None, None).place(mm(-500), 21), 10);
    }

    #[test]
    fn the_known_sizes_keep_their_order_and_leave_room_at_both_ends() {
        let scale = Scale::over(mm(350), Some(mm(500)), Some(mm(200)));
        let places = [200, 350, 500].map(|size| scale.place(mm(size), 21));
        assert_eq!(places, [3, 10, 17]);
        assert_eq!(scale.place(mm(9_000), 21), 20);
        assert_eq!(scale.place(mm(-9_000), 21), 0);
    }

    #[test]
    fn the_longest_lengths_do_not_wrap() {
        let scale = Scale::over(mm(0), Some(mm(1_000_000)), Some(mm(-1_000_000)));
        assert_eq!(scale.place(mm(0), 128), 64);
    }

    #[test]
    fn multiples_lie_on_the_scale() {
        let scale = Scale::over(mm(350), Some(mm(500)), Some(mm(200)));
        let ticks: std::vec::Vec<i32> = scale.multiples(100).map(Length::milli).collect();
        assert_eq!(ticks, [200, 300, 400, 500]);
    }
}
