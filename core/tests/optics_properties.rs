//! What must hold for all lenses, whatever their numbers.
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

mod common;

use bevelbook_core::prescription::{Eye, LensPoint, ObliquePrism, SphereCylinder, combine};
use bevelbook_core::units::{Angle, Axis, Length, Power, Prism, PrismPair, RefractiveIndex};

/// A seeded source of cases (xorshift64*, Vigna 2016).
struct Draw(u64);

impl Draw {
    fn number(&mut self, low: i32, high: i32) -> i32 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let bits = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33;
        low + (bits % (high - low + 1) as u64) as i32
    }

    fn lens(&mut self) -> SphereCylinder {
        let [sphere, cylinder] = [self.number(-12_000, 12_000), self.number(-6000, 6000)];
        let axis = Axis::from_degrees(self.number(1, 180) as i16);
        SphereCylinder::new(Power::from_milli(sphere), Power::from_milli(cylinder), axis)
    }

    fn eye(&mut self) -> Eye {
        Eye::BOTH[self.number(0, 1) as usize]
    }

    fn prism(&mut self, reach: i32) -> PrismPair {
        let [base_in, base_up] = [self.number(-reach, reach), self.number(-reach, reach)];
        PrismPair { base_in: Prism::from_milli(base_in), base_up: Prism::from_milli(base_up) }
    }
}

/// The largest difference of two lenses in any whole-degree meridian, in 1/1000 D.
fn apart(one: SphereCylinder, other: SphereCylinder) -> i32 {
    let differ = |degree| {
        let at = Angle::from_degrees(degree);
        (one.meridian(at) - other.meridian(at)).abs().milli()
    };
    (1..=180).map(differ).max().unwrap()
}

#[test]
fn the_order_of_lenses_makes_no_difference() {
    let mut draw = Draw(1);
    for _ in 0..2000 {
        let [a, b, c] = [draw.lens(), draw.lens(), draw.lens()];
        let sum = combine([a, b, c]);
        assert_eq!(sum, combine([c, a, b]));
        assert_eq!(sum, combine([b, a, c]));
        assert_eq!(combine([a.transposed(), b, c]), sum);
    }
}

#[test]
fn grouping_costs_no_more_than_the_rounding_between() {
    let mut draw = Draw(2);
    let mut worst = 0;
    for _ in 0..2000 {
        let [a, b, c] = [draw.lens(), draw.lens(), draw.lens()];
        let left = combine([combine([a, b]).unwrap(), c]).unwrap();
        let right = combine([a, combine([b, c]).unwrap()]).unwrap();
        worst = worst.max(apart(left, right));
    }
    // One unit for the sphere and one for the cylinder on either side, and the rounding of the meridian read
    // here.
    assert!(worst <= 3, "{worst}");
}

#[test]
fn the_other_form_of_a_lens_has_the_same_prism_everywhere() {
    let mut draw = Draw(3);
    for _ in 0..5000 {
        let (lens, eye) = (draw.lens(), draw.eye());
        let point = common::point(draw.number(-30_000, 30_000), draw.number(-30_000, 30_000));
        let [one, other] = [lens, lens.transposed()].map(|lens| lens.prism_at(eye, point).unwrap());
        let differ = one - other;
        assert!(differ.base_in.abs() <= Prism::from_milli(1) && differ.base_up.abs() <= Prism::from_milli(1));
    }
}

#[test]
fn the_point_of_a_wanted_prism_gives_that_prism() {
    let mut draw = Draw(4);
    let mut found = 0;
    for _ in 0..5000 {
        let (lens, eye, wanted) = (draw.lens(), draw.eye(), draw.prism(14_000));
        let weakest = lens.sphere.abs().min(lens.combined_power().abs());
        if weakest < Power::from_milli(125) {
            continue;
        }
        let Ok(point) = lens.point_for(eye, wanted) else { continue };
        // Half a micrometre of a lens of 18 D is 0.0009 Δ, and both parts may be off.
        let differ = lens.prism_at(eye, point).unwrap() - wanted;
        assert!(differ.base_in.abs() <= Prism::from_milli(2), "{lens} {wanted}");
        assert!(differ.base_up.abs() <= Prism::from_milli(2), "{lens} {wanted}");
        found += 1;
    }
    assert!(found > 4000, "{found}");
}

#[test]
fn splitting_undoes_combining() {
    let mut draw = Draw(5);
    for _ in 0..20_000 {
        let (eye, parts) = (draw.eye(), draw.prism(28_000));
        let prism = ObliquePrism::combine(parts, eye);
        let differ = prism.split(eye) - parts;
        assert!(differ.base_in.abs().milli() <= 1 && differ.base_up.abs().milli() <= 1, "{parts}");
        let again = ObliquePrism::combine(prism.split(eye), eye).total - prism.total;
        assert!(again.abs().milli() <= 1, "{parts}");
    }
}

#[test]
fn moving_a_lens_there_and_back_returns_it() {
    let mut draw = Draw(6);
    for _ in 0..5000 {
        let (lens, by) = (draw.lens(), Length::from_milli(draw.number(0, 14_000)));
        let back = lens.moved_toward_eye(by).unwrap().moved_toward_eye(-by).unwrap();
        assert_eq!(back.cylinder.is_zero(), lens.cylinder.is_zero());
        assert!(apart(back, lens) <= 3, "{lens} by {by}: {back}");
    }
}

#[test]
fn no_tilt_changes_nothing_and_its_sense_does_not_matter() {
    let mut draw = Draw(7);
    let index = RefractiveIndex::parse("1.6").unwrap();
    for _ in 0..2000 {
        let (lens, about) = (draw.lens(), Axis::from_degrees(draw.number(1, 180) as i16));
        let still = lens.tilted(Angle::ZERO, about, index).unwrap();
        // A cylinder of 0.014 D may lose a thousandth of a degree on the way through its vector.
        assert_eq!((still.sphere, still.cylinder), (lens.sphere, lens.cylinder));
        assert!(apart(still, lens) <= 1, "{lens}: {still}");
        let by = Angle::from_milli(draw.number(0, 20_000));
        assert_eq!(lens.tilted(by, about, index), lens.tilted(-by, about, index));
        let turned = lens.transposed().tilted(by, about, index).unwrap();
        let differ = apart(turned, lens.tilted(by, about, index).unwrap());
        assert!(differ <= 2, "{lens} by {by} about {about}: {differ} {turned}");
    }
    let one = SphereCylinder::sphere(Power::from_milli(1000));
    assert!(one.tilted(Angle::from_degrees(31), Axis::HORIZONTAL, index).is_err());
}

#[test]
fn the_tilt_formula_is_as_near_to_an_exact_ray_as_documented() {
    // Thin lens, index 1.5: (n cos α' − cos α)/(n − 1) against 1 + sin² α/(2n), the exact one larger.
    for (degrees, least, most) in [(10, 0.000_1, 0.000_2), (20, 0.002, 0.002_6), (30, 0.01, 0.015)] {
        let sin = f64::from(degrees).to_radians().sin();
        let exact = (1.5 * (1.0 - (sin / 1.5).powi(2)).sqrt() - (1.0 - sin * sin).sqrt()) / 0.5;
        let lens = SphereCylinder::sphere(Power::from_milli(10_000));
        let tilted = lens.tilted(
            Angle::from_degrees(degrees as i16),
            Axis::HORIZONTAL,
            RefractiveIndex::parse("1.5").unwrap(),
        );
        let ours = f64::from(tilted.unwrap().sphere.milli()) / 10_000.0;
        let short = exact / ours - 1.0;
        assert!((least..=most).contains(&short), "{degrees}: {short}");
    }
}

#[test]
fn the_base_of_little_prism_is_as_right_as_that_of_much() {
    // Long 1976 in double precision (Rust's own sin, cos, atan2), before any part is rounded.
    let mut draw = Draw(8);
    let (mut worst, mut seen) = ([0.0_f64; 3], 0);
    for _ in 0..40_000 {
        let (lens, eye) = (draw.lens(), draw.eye());
        let reach = if draw.number(0, 1) == 0 { 700 } else { 25_000 };
        let [inward, up] = [draw.number(-reach, reach), draw.number(-reach, reach)];
        let point = LensPoint { inward: Length::from_milli(inward), up: Length::from_milli(up) };
        let Ok(found) = lens.oblique_prism_at(eye, point) else { continue };
        let (sin, cos) = f64::from(lens.axis.milli() / 1000).to_radians().sin_cos();
        let [s, c] = [lens.sphere, lens.cylinder].map(|power| f64::from(power.milli()) / 1000.0);
        let (x, y) = (f64::from(eye.inward() * inward) / 10.0, f64::from(up) / 10.0);
        let [px, py] =
            [-((s + c * sin * sin) * x - c * sin * cos * y), -((s + c * cos * cos) * y - c * sin * cos * x)];
        let total = px.hypot(py);
        if total > 40_000.0 {
            continue;
        }
        worst[0] = worst[0].max((f64::from(found.total.milli()) - total).abs());
        let Some(base) = found.base else { continue };
        let turn = f64::from(base.milli()) - py.atan2(px).to_degrees().rem_euclid(360.0) * 1000.0;
        let turn = turn.abs().min(360_000.0 - turn.abs());
        let class = if total >= 1000.0 { 1 } else { 2 };
        if total >= 100.0 {
            worst[class] = worst[class].max(turn);
            seen += 1;
        }
    }
    assert!(seen > 20_000, "{seen}");
    assert!(worst[0] <= 0.503 && worst[1] <= 0.7 && worst[2] <= 2.0, "{worst:?}");
}
