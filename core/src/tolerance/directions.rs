//! The ordered powers that decide how a pair is centred: horizontally and vertically, of the stronger lens.

use super::rule::Bound;
use super::table::CentringRow;
use crate::prescription::{EyeOrder, SphereCylinder};
use crate::units::Power;

/// The ordered powers of both eyes in a direction, as magnitudes.
pub(super) struct Powers<'o> {
    eyes: &'o [EyeOrder; 2],
    /// The most in any meridian of either lens.
    most: u32,
    /// Horizontally and vertically, the weaker lens first; once they were needed.
    exact: Option<[[Power; 2]; 2]>,
}

impl<'o> Powers<'o> {
    pub(super) fn of(eyes: &'o [EyeOrder; 2]) -> Self {
        let most = |lens: &SphereCylinder| {
            lens.sphere.milli().unsigned_abs().max(lens.combined_power().milli().unsigned_abs())
        };
        Self { eyes, most: most(&eyes[0].power).max(most(&eyes[1].power)), exact: None }
    }

    /// Of the stronger lens, in the direction that `of` takes out of horizontal and vertical. Where not even the
    /// strongest meridian comes above a switch of the row, that is known without a cosine, and it stands for the others.
    pub(super) fn for_row(&mut self, row: &CentringRow, of: impl Fn([[Power; 2]; 2]) -> [Power; 2]) -> Power {
        let least = row.switch_or.map_or(row.switch, |other| other.min(row.switch));
        let below = least >= 0 && self.most <= least.cast_unsigned();
        if below && !matches!(row.prism.bound, Bound::Effect { .. }) {
            return Power::from_milli(self.most as i32);
        }
        let [_, strong] = of(self.exact());
        strong
    }

    /// Horizontally and vertically.
    pub(super) fn exact(&mut self) -> [[Power; 2]; 2] {
        let eyes = self.eyes;
        *self.exact.get_or_insert_with(|| {
            let [right, left] = [&eyes[0], &eyes[1]].map(|eye| eye.power.horizontal_and_vertical());
            [rising(right[0], left[0]), rising(right[1], left[1])]
        })
    }
}

fn rising(one: Power, other: Power) -> [Power; 2] {
    let (one, other) = (one.abs(), other.abs());
    if one < other { [one, other] } else { [other, one] }
}
