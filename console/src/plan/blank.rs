//! Which blank serves.
//!
//! A traced shape says exactly what its blank must cover, and that is what is to be ordered. A made shape does not: a
//! real one of the same sizes may reach farther. There the least blank is ED + 2 x decentration, the upper bound, and
//! what the made shape would need stands beside it.

use super::shape::Shape;
use crate::settings::Blanks;
use bevelbook_core::frame::{Cover, Decentration, FrameSize, OutlineError, least_blank, stocked_blank};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::{Angle, Length};

/// What the least blank was worked out from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BlankBy {
    /// The traced outline: exact.
    Outline,
    /// The ordered ED and the decentration: an upper bound.
    Ed(Length),
    /// The diagonal of the box and the decentration: an upper bound of the upper bound.
    Diagonal(Length),
}

/// The blank for one lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BlankPlan {
    /// What it was worked out from.
    pub by: BlankBy,
    /// The least blank without allowance.
    pub theoretical: Length,
    /// The least blank with the shop's allowance.
    pub least: Length,
    /// The smallest stocked diameter that serves; none when none is large enough.
    pub stocked: Option<Length>,
    /// The exact least blank of the shape that is drawn, without allowance.
    pub of_shape: Length,
    /// How the smallest stocked diameter that serves, else the largest, covers the drawn shape and the allowance, and
    /// where least, seen from its middle; none when nothing is stocked.
    pub cover: Option<(Length, Cover)>,
    /// Where the drawn shape lies farthest from the blank's middle.
    pub farthest: Angle,
    /// The largest decentration toward the nose, from the boxed centre and level with it, with which that diameter
    /// still covers the drawn shape and the allowance.
    pub decentration: Option<Length>,
}

impl BlankPlan {
    /// The blank whose middle comes to lie at `middle`, seen from the boxed centre: wherever the lens is laid out by.
    pub(super) fn of(
        shape: &Shape,
        eye: Eye,
        middle: &Decentration,
        blanks: &Blanks,
    ) -> Result<Self, OutlineError> {
        let outline = shape.outline()?;
        let centre = outline.optical_centre(eye, middle);
        let by = match (shape.from.is_traced(), shape.size.ed) {
            (true, _) => BlankBy::Outline,
            (false, Some(ed)) => BlankBy::Ed(ed),
            (false, None) => BlankBy::Diagonal(diagonal(&shape.size)),
        };
        let needs = |allowance| match by {
            BlankBy::Outline => outline.least_blank(centre, allowance),
            BlankBy::Ed(ed) | BlankBy::Diagonal(ed) => least_blank(ed, middle, allowance),
        };
        let least = needs(blanks.allowance);
        let stocked = stocked_blank(least, &blanks.stocked);
        let looked_at = stocked.or_else(|| blanks.stocked.iter().copied().max());
        let nose = Angle::from_degrees(if eye == Eye::Right { 0 } else { 180 });
        let of_shape = outline.least_blank(centre, Length::ZERO);
        Ok(Self {
            by,
            theoretical: needs(Length::ZERO),
            least,
            stocked,
            of_shape,
            cover: looked_at.map(|blank| (blank, outline.cover(blank, centre, blanks.allowance))),
            farthest: outline.cover(of_shape, centre, Length::ZERO).toward,
            decentration: looked_at
                .and_then(|blank| outline.largest_decentration(blank, nose, blanks.allowance)),
        })
    }
}

/// The diagonal of the box, rounded up: no shape in it has a longer effective diameter.
fn diagonal(size: &FrameSize) -> Length {
    let square = |side: Length| u64::from(side.milli().unsigned_abs()).pow(2);
    Length::from_milli(bevelbook_core::maths::sqrt_up(square(size.a) + square(size.b)) as i32)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::{Order, RECORD, kept, sample};
    use crate::plan::Plan;
    use crate::settings::Settings;
    use bevelbook_core::frame::PupillaryDistance;

    /// The right blank of an order with these sizes, `inward` µm in.
    fn plan(a: i32, b: i32, ed: Option<i32>, inward: i32, change: impl FnOnce(&mut Order)) -> BlankPlan {
        let mut order = sample();
        let mm = Length::from_milli;
        order.frame.size = FrameSize { a: mm(a), b: mm(b), dbl: mm(18_000), ed: ed.map(mm) };
        let pd = mm((a + 18_000) / 2 - inward);
        order.far_pd = PupillaryDistance::Monocular { right: pd, left: pd };
        change(&mut order);
        let [right, _] = Plan::of(&order, &Settings::defaults().unwrap(), None, [None; 2]).unwrap().eyes;
        right.unwrap().blank
    }

    #[test]
    fn the_shelf_serves_with_the_allowance_or_not_at_all() {
        let snug = plan(48_000, 36_000, Some(50_000), 1500, |_| ());
        assert_eq!((snug.theoretical.milli(), snug.least.milli()), (53_000, 55_000));
        assert_eq!(snug.stocked.map(Length::milli), Some(55_000));
        let over = plan(48_000, 36_000, Some(50_000), 1501, |_| ());
        assert_eq!(over.stocked.map(Length::milli), Some(60_000));
        let none = plan(48_000, 36_000, Some(50_000), 15_000, |_| ());
        assert_eq!(none.stocked, None);
        // The largest on the shelf is looked at; the made shape is short of it by less than the bound says.
        let (blank, _) = none.cover.unwrap();
        assert_eq!(blank.milli(), 80_000);
    }

    #[test]
    fn a_circle_and_an_ellipse_have_closed_forms() {
        // A circle of radius 25 decentred by 3: 2 · (25 + 3).
        let circle = plan(50_000, 50_000, Some(50_000), 3000, |_| ());
        assert_eq!((circle.of_shape.milli(), circle.theoretical.milli()), (56_000, 56_000));
        // Toward the temple of the right eye.
        assert_eq!(circle.farthest.milli(), 180_000);
        // What is left of ⌀ 60 with 2 of allowance is 1 all round: so much farther may it go.
        let (blank, cover) = circle.cover.unwrap();
        assert_eq!((blank.milli(), cover.spare.milli(), cover.toward.milli()), (60_000, 1000, 180_000));
        assert_eq!(circle.decentration.map(Length::milli), Some(4000));
        // An ellipse of half sides 25 and 20, decentred along its longer side: its end lies farthest, 25 + 3.
        let ellipse = plan(50_000, 40_000, None, 3000, |_| ());
        assert_eq!(ellipse.of_shape.milli(), 56_000);
        assert_eq!(ellipse.by, BlankBy::Diagonal(Length::from_milli(64_032)));
    }

    #[test]
    fn a_trace_is_exact_where_sizes_give_an_upper_bound() {
        let traced = plan(50_400, 38_092, None, 2000, |order| order.trace = Some(kept(RECORD)));
        let bound = plan(50_400, 38_092, Some(54_000), 2000, |_| ());
        assert_eq!((traced.by, traced.theoretical), (BlankBy::Outline, traced.of_shape));
        assert!(traced.theoretical < bound.theoretical && bound.of_shape <= bound.theoretical);
        // No stocked size, and it is short by half of what is missing.
        let order = |order: &mut Order| order.trace = Some(kept(RECORD));
        let short = plan(50_400, 38_092, None, 16_000, order);
        let (blank, cover) = short.cover.unwrap();
        let missing = short.least.milli() - blank.milli();
        assert!(short.stocked.is_none() && (cover.spare.milli() * 2 + missing).abs() <= 2, "{short:?}");
    }
}
