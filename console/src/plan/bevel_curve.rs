//! The curve that the top of the bevel runs on round a lens, beside that of the rim it goes into.
//!
//! The rim's curve is that of the depths of its trace, else the one ordered. Both are powers in 1.530. A bevel that runs
//! on another curve than its rim stands out of it in two places and in of it in two others, or bends the frame.

use crate::desk::Order;
use crate::settings::Bevel;
use crate::trace;
use bevelbook_core::lens::{
    BaseCurve, BevelError, BevelFit, BevelPlacement, CurveError, EdgePoint, RingCurve, RingError, RingPoint,
};
use bevelbook_core::units::{Power, RefractiveIndex};
use serde::Serialize;

/// Where the curve of a rim is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum RimFrom {
    /// The depths of its trace.
    #[serde(rename = "trace")]
    Depths,
    /// It is ordered.
    #[serde(rename = "order")]
    Stated,
}

/// The curve of a rim, as far as it is known.
#[derive(Clone, Copy, Debug)]
pub struct RimCurve {
    /// By the depths of its trace, where that has any.
    pub traced: Option<Result<RingCurve, RingError>>,
    /// As it is ordered.
    pub stated: Option<Power>,
}

impl RimCurve {
    /// How far an ordered curve may lie from the traced one to be the same: 1.00 D (common practice, no source).
    pub const SAME: Power = Power::from_milli(1000);

    pub(super) fn of(order: &Order, traced: Option<&trace::Shape>) -> Self {
        let ring = traced.and_then(trace::Shape::in_space);
        Self { traced: ring.map(|ring| RingCurve::of(ring.into_iter())), stated: order.frame.curve }
    }

    /// The curve that counts: as measured, else as stated.
    #[must_use]
    pub fn power(&self) -> Option<(Power, RimFrom)> {
        let traced = self.traced.and_then(Result::ok).map(|ring| (ring.power, RimFrom::Depths));
        traced.or(self.stated.map(|power| (power, RimFrom::Stated)))
    }
}

/// Why the top of a bevel has no curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoBevelCurve {
    /// The edge carries no such bevel somewhere.
    #[error(transparent)]
    Bevel(#[from] BevelError),
    /// Its points show none.
    #[error(transparent)]
    Ring(#[from] RingError),
    /// The front surface does not reach them.
    #[error(transparent)]
    Front(#[from] CurveError),
}

/// The curve of a bevel, and what it lacks of the rim's.
#[derive(Clone, Copy, Debug)]
pub struct BevelCurve {
    /// Of the top of the bevel.
    pub bevel: RingCurve,
    /// Of the rim, where it is known.
    pub rim: Option<(Power, RimFrom)>,
    /// How many tenths of the edge before the bevel would bring it onto the rim's curve; none where no place on the edge
    /// would.
    pub tenths_before: Option<i32>,
    /// Whether the two are farther apart than the shop lets pass.
    pub apart: bool,
}

impl BevelCurve {
    /// The curve of the bevel on these edges of a lens with such a front.
    pub(super) fn of(
        edges: &[EdgePoint],
        (front, index): (&BaseCurve, RefractiveIndex),
        shop: &Bevel,
        rim: &RimCurve,
    ) -> Result<Self, NoBevelCurve> {
        let curve = |placement| course(edges, front.in_material, index, placement);
        let bevel = curve(shop.placement())?;
        let rim = rim.power();
        let apart = rim.map(|(rim, _)| (rim - bevel.power).abs());
        let [first, last] = [0, 10].map(|front| curve(BevelPlacement::Ratio { front, of: 10 }));
        let tenths_before = rim.and_then(|(rim, _)| tenths(first.ok()?.power, last.ok()?.power, rim));
        Ok(Self { bevel, rim, tenths_before, apart: apart.is_some_and(|apart| apart > shop.curve_apart) })
    }
}

/// The curve of the points that a bevel placed like this has for its top.
fn course(
    edges: &[EdgePoint],
    front: Power,
    index: RefractiveIndex,
    placement: BevelPlacement,
) -> Result<RingCurve, NoBevelCurve> {
    let point = |edge: &EdgePoint| {
        let fit = BevelFit::of(edge.thickness, placement)?;
        Ok(RingPoint::behind(front, index, edge.place, fit.before)?)
    };
    let ring = edges.iter().map(point).collect::<Result<Vec<_>, NoBevelCurve>>()?;
    Ok(RingCurve::of(ring.into_iter())?)
}

/// How many tenths of the way from the front edge's curve to the back edge's the rim's lies, from 1 to 9; none beyond, where
/// a bevel would run off the edge.
fn tenths(front: Power, back: Power, rim: Power) -> Option<i32> {
    let [front, back, rim] = [front, back, rim].map(Power::milli);
    let tenths = (10.0 * f64::from(rim - front) / f64::from(back - front)).round();
    (1.0..=9.0).contains(&tenths).then_some(tenths as i32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rim_between_the_edges_of_a_lens_is_met_part_way() {
        let tenths = |front, back, rim| super::tenths(front, back, rim);
        let [four, five, six, eight] = [4000, 5000, 6000, 8000].map(Power::from_milli);
        assert_eq!(tenths(four, eight, six), Some(5));
        assert_eq!(tenths(eight, four, five), Some(8));
        // Beyond either edge, or both alike.
        assert_eq!(
            (tenths(five, eight, four), tenths(four, five, eight), tenths(five, five, six)),
            (None, None, None)
        );
    }
}
