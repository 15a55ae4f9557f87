//! The girth of a rim that lies on a curve.

use super::curve::{CLOCK_INDEX_1_530, CurveError, radius};
use crate::frame::{Outline, Point};
use crate::units::{Length, Power};

/// The girth in space of an outline that lies on a sphere of this power in 1.530, its vertex at `vertex`: within 0.6 µm up
/// to 1000 points.
///
/// # Errors
/// The sphere ends before the outline.
pub fn girth_on_curve(outline: &Outline<'_>, curve: Power, vertex: Point) -> Result<Length, CurveError> {
    let radius = match radius(curve, CLOCK_INDEX_1_530) {
        Err(CurveError::Flat) => return Ok(outline.girth()),
        radius => radius?,
    };
    outline.girth_on_sphere(radius, vertex).ok_or_else(|| {
        let at = outline.points().iter().map(|point| point.distance(vertex)).max().unwrap_or_default();
        CurveError::Beyond { at, radius }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_circle_keeps_its_girth_and_a_long_shape_gains() {
        let mut into = [Point::ORIGIN; 360];
        let mm = Length::from_milli;
        let round = Outline::from_radii([mm(25_000); 360], &mut into).unwrap();
        let six = Power::from_milli(6000);
        assert_eq!(girth_on_curve(&round, six, Point::ORIGIN), Ok(round.girth()));
        let mut into = [Point::ORIGIN; 360];
        let long = Outline::made(mm(52_000), mm(30_000), None, &mut into).unwrap();
        assert_eq!(girth_on_curve(&long, Power::ZERO, Point::ORIGIN), Ok(long.girth()));
        let [six, other] =
            [6000, -6000].map(|milli| girth_on_curve(&long, Power::from_milli(milli), Point::ORIGIN));
        assert!(six == other && six.unwrap() > long.girth());
        assert_eq!(
            girth_on_curve(&long, Power::from_milli(25_000), Point::ORIGIN),
            Err(CurveError::Beyond { at: mm(26_000), radius: mm(21_200) })
        );
    }
}
