//! Meridian power against the formula in double precision, exhaustively.
//!
//! F(θ) = S + C·sin²(θ − A): opticianstudy, oblique meridians. The reference is f64 of the standard library, whose
//! own error is some 1e-12 of a unit here.

use bevelbook_core::prescription::SphereCylinder;
use bevelbook_core::units::{Angle, Axis, Power};

/// In units of 1/1000 D: rounding, and what the table of sines may add.
const BOUND: f64 = 0.501;

#[test]
fn every_cylinder_axis_and_meridian_is_rounded_correctly() {
    let mut worst: f64 = 0.0;
    let mut cases = 0_u32;
    for cylinder in (-10_000..=10_000).step_by(125) {
        for axis in 1..=180_i16 {
            let lens =
                SphereCylinder::new(Power::ZERO, Power::from_milli(cylinder), Axis::from_degrees(axis));
            for meridian in 1..=180_i16 {
                let sine = f64::from(meridian - axis).to_radians().sin();
                let exact = f64::from(cylinder) * sine * sine;
                let ours = lens.meridian(Angle::from_degrees(meridian)).milli();
                worst = worst.max((f64::from(ours) - exact).abs());
                cases += 1;
            }
        }
    }
    println!("accuracy|power in a meridian, exhaustive|{cases}|{worst:.4}|{BOUND}|0.001 D");
    assert_eq!(cases, 161 * 180 * 180);
    assert!(worst <= BOUND, "worst error {worst} units of 1/1000 D");
}

#[test]
fn the_sphere_adds_exactly() {
    for sphere in (-20_000..=20_000).step_by(125) {
        for meridian in (1..=180).step_by(7) {
            let at = Angle::from_degrees(meridian);
            let with = |sphere| {
                SphereCylinder::new(
                    Power::from_milli(sphere),
                    Power::from_milli(-1750),
                    Axis::from_degrees(33),
                )
                .meridian(at)
            };
            assert_eq!(with(sphere) - with(0), Power::from_milli(sphere));
        }
    }
}
