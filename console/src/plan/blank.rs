//! Which blank serves.

use crate::settings::Blanks;
use bevelbook_core::frame::{Decentration, FrameSize, least_blank, stocked_blank};
use bevelbook_core::units::Length;

/// The blank for one lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BlankPlan {
    /// The effective diameter that it was worked out from.
    pub effective: Length,
    /// Whether that is the ordered ED; else it is the diagonal of the box, an upper bound.
    pub measured: bool,
    /// The least blank without allowance.
    pub theoretical: Length,
    /// The least blank with the shop's allowance.
    pub least: Length,
    /// The smallest stocked diameter that serves; none when none is large enough.
    pub stocked: Option<Length>,
}

impl BlankPlan {
    pub(super) fn of(size: &FrameSize, centre: &Decentration, blanks: &Blanks) -> Self {
        let effective = size.ed.unwrap_or_else(|| diagonal(size));
        let theoretical = least_blank(effective, centre, Length::ZERO);
        let least = least_blank(effective, centre, blanks.allowance);
        let stocked = stocked_blank(least, &blanks.stocked);
        Self { effective, measured: size.ed.is_some(), theoretical, least, stocked }
    }
}

/// A least diameter as it is shown: rounded up to a tenth of a millimetre, so that it never understates.
#[must_use]
pub fn tenth_up(length: Length) -> Length {
    length + Length::from_milli((-length.milli()).rem_euclid(100))
}

/// The diagonal of the box, rounded up: no shape in it has a longer effective diameter.
fn diagonal(size: &FrameSize) -> Length {
    let square = |side: Length| u64::from(side.milli().unsigned_abs()).pow(2);
    Length::from_milli(bevelbook_core::maths::sqrt_up(square(size.a) + square(size.b)) as i32)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::Settings;

    fn plan(ed: Option<i32>, inward: i32) -> BlankPlan {
        let mm = Length::from_milli;
        let size = FrameSize { a: mm(48_000), b: mm(36_000), dbl: mm(18_000), ed: ed.map(mm) };
        let centre = Decentration { inward: mm(inward), up: Length::ZERO };
        BlankPlan::of(&size, &centre, &Settings::defaults().unwrap().blank)
    }

    #[test]
    fn the_shelf_serves_with_the_allowance_or_not_at_all() {
        let snug = plan(Some(50_000), 1500);
        assert_eq!((snug.theoretical.milli(), snug.least.milli()), (53_000, 55_000));
        assert_eq!(snug.stocked.map(Length::milli), Some(55_000));
        assert_eq!(plan(Some(50_000), 1501).stocked.map(Length::milli), Some(60_000));
        assert_eq!(plan(Some(50_000), 15_000).stocked, None);
    }

    #[test]
    fn a_least_diameter_is_shown_rounded_up() {
        let shown = |milli| tenth_up(Length::from_milli(milli)).milli();
        assert_eq!([62_403, 62_400, 62_499].map(shown), [62_500, 62_400, 62_500]);
    }

    #[test]
    fn without_an_ed_the_diagonal_of_the_box_is_taken() {
        let plan = plan(None, 0);
        assert_eq!((plan.effective.milli(), plan.measured), (60_000, false));
    }
}
