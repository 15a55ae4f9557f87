//! The tilt of a back surface that makes a lens show its prism at the centre dot.
//!
//! A ray along the axis through the dot meets the front surface at right angles and goes on as it came. At the back,
//! turned by α about its vertex, it is deviated by δ with tan δ = P/100 when n·sin α = sin(α + δ) (Snell's law), that is
//! tan α = sin δ/(n − cos δ). The thickness grows toward the base. For thin wedges this is the rule δ = (n − 1)·α.

use super::wide::product;
use crate::maths::{divide_nearest, sqrt_nearest};
use crate::prescription::Eye;
use crate::units::{Prism, PrismPair, RefractiveIndex};

/// Prism at the centre dot, by the sides toward which its base lies as one faces the wearer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Wedge {
    /// To the viewer's right.
    pub right: Prism,
    /// Up.
    pub up: Prism,
}

impl Wedge {
    /// No prism: the optical centre lies on the dot.
    pub const NONE: Self = Self { right: Prism::ZERO, up: Prism::ZERO };

    /// The prism that is ordered for an eye.
    pub const fn of(prism: PrismPair, eye: Eye) -> Self {
        let right = Prism::from_milli(eye.inward() * prism.base_in.milli());
        Self { right, up: prism.base_up }
    }
}

/// Fractional bits of a sine.
const SINE_BITS: u32 = 30;
const ONE: i64 = 1 << SINE_BITS;

/// `length` times a sine or the like.
pub(super) fn share(length: i64, sine: i64) -> i64 {
    (product(length, sine) >> SINE_BITS) as i64
}

/// How far a surface is turned about its vertex: its axis leans away from the base. With 30 fractional bits, each within
/// a hundred millionth.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tilt {
    /// The sine of the tilt, laid toward the base: to the viewer's right, and up.
    pub(super) sin: [i64; 2],
    /// The cosine c.
    pub(super) cos: i64,
    /// 1/c.
    pub(super) secant: i64,
    /// 1/(1 + c).
    pub(super) half: i64,
}

impl Tilt {
    pub(super) const NONE: Self = Self { sin: [0; 2], cos: ONE, secant: ONE, half: ONE / 2 };

    /// The tilt that gives this prism in a material that is not air; none where its ray would not leave the material, or
    /// where a part is beyond ±100 Δ.
    pub(super) fn of(wedge: Wedge, index: RefractiveIndex) -> Option<Self> {
        /// 100 Δ: the length to which a prism is the height.
        const LEVEL: u32 = 100_000;
        const BITS: u32 = 12;
        let parts = [wedge.right, wedge.up].map(Prism::milli);
        let [right, up] = parts.map(i32::unsigned_abs);
        if right.max(up) > LEVEL {
            return None;
        }
        let denser = |length: u32| u64::from(length) * u64::from(index.ten_thousandths()) / 10_000;
        let square = |length: u32| u64::from(length) * u64::from(length);
        let height = square(right) + square(up);
        // sin δ is height/ray and cos δ is level/ray; at n·cos δ = 1 the ray would leave along the surface.
        let ray = sqrt_nearest((height + square(LEVEL)) << (2 * BITS)) as u32;
        if denser(LEVEL << BITS) <= u64::from(ray) {
            return None;
        }
        // The tangent of the tilt is height over this.
        let over = (denser(ray) - u64::from(LEVEL << BITS)) as u32;
        let whole = sqrt_nearest((height << (2 * BITS)) + square(over)) as i64;
        let cos = ratio(over.into(), whole);
        let sin = parts.map(|part| ratio(i64::from(part) << BITS, whole));
        Some(Self { sin, cos, secant: ratio(ONE, cos), half: ratio(ONE, cos + ONE) })
    }
}

/// One number over another that is positive.
#[inline(never)]
fn ratio(part: i64, whole: i64) -> i64 {
    divide_nearest(part << SINE_BITS, whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tilt(right: i32, up: i32, index: &str) -> Tilt {
        let wedge = Wedge { right: Prism::from_milli(right), up: Prism::from_milli(up) };
        Tilt::of(wedge, RefractiveIndex::parse(index).unwrap()).unwrap()
    }

    #[test]
    fn a_ray_through_the_dot_is_deviated_by_the_prism() {
        // By the law itself in f64, not by the tangent: arrives at α within the glass, leaves at α + δ.
        let mut worst: f64 = 0.0;
        for (right, up) in
            [(2000, 0), (-1250, 10_000), (0, -500), (1, 0), (20_000, -20_000), (50_000, 50_000)]
        {
            for index in ["1.3", "1.498", "1.74", "2"] {
                let tilt = tilt(right, up, index);
                let part = |bits: i64| bits as f64 / f64::from(1 << SINE_BITS);
                let [x, y] = tilt.sin.map(part);
                let sine = x.hypot(y);
                worst = worst.max((sine.hypot(part(tilt.cos)) - 1.0).abs());
                let n: f64 = index.parse().unwrap();
                let deviated = (n * sine).asin() - sine.atan2(part(tilt.cos));
                let wanted = f64::from(right).hypot(f64::from(up)) / 1e5;
                worst = worst.max((deviated.tan() - wanted).abs() / 10.0);
                worst = worst.max(
                    (x * f64::from(up) - y * f64::from(right)).abs() / f64::from(right).hypot(f64::from(up)),
                );
            }
        }
        assert!(worst < 1e-8, "{worst:e}");
    }

    #[test]
    fn no_prism_leaves_the_back_where_it_is_and_too_much_is_refused() {
        let none = tilt(0, 0, "1.5");
        assert_eq!((none.sin, none.cos), (Tilt::NONE.sin, Tilt::NONE.cos));
        // The last is more than leaves the material: cos δ = 1/n is tan δ = √(n² − 1), 1.118 for 1.5.
        let index = RefractiveIndex::parse("1.5").unwrap();
        for (right, up, refused) in [(100_000, 49_900, false), (100_001, 0, true), (100_000, 50_100, true)] {
            let wedge = Wedge { right: Prism::from_milli(right), up: Prism::from_milli(up) };
            assert_eq!(Tilt::of(wedge, index).is_none(), refused, "{wedge:?}");
        }
        let left = Wedge::of(PrismPair::parse("2 in 1 down").unwrap(), Eye::Left);
        assert_eq!((left.right.milli(), left.up.milli()), (-2000, -1000));
    }
}
