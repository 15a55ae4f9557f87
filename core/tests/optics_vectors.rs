//! The optics against vectors made by mpmath and numpy (`tests/reference/optics.py`), each within the bound
//! that the documentation of its function states.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

mod common;

use bevelbook_core::prescription::{
    Eye, ObliquePrism, PowerVector, RepeatedReadings, SpectacleMagnification, SphereCylinder, ThickLens,
    blur_strength, combine, prism_imbalance, residual,
};
use bevelbook_core::units::{Angle, Axis, Power, Prism, PrismPair};
use common::{Inputs, Value, compare, degrees, plain, wrapping};

const VECTORS: &str = include_str!("vectors/optics.txt");

/// What half a unit of rounding becomes where it is correct but for what f64 and 14 digits leave.
const ROUNDED: f64 = 0.5 + 1e-6;

/// Sphere, cylinder and axis with their bounds; a cylinder that is hardly there has no axis to compare.
fn lens(lens: SphereCylinder, [sphere, cylinder]: [f64; 2], axis: f64) -> Vec<Value> {
    let axis = if lens.cylinder.is_zero() { f64::INFINITY } else { axis };
    vec![
        plain(lens.sphere.milli(), sphere),
        plain(lens.cylinder.milli(), cylinder),
        wrapping(lens.axis.milli(), axis, 180_000.0),
    ]
}

/// How far the axis of a sum of `count` lenses may be off.
fn axis_of_sum(lens: SphereCylinder, count: usize) -> f64 {
    // The cylinder is known to half a thousandth: a bound must hold for the weakest it may be.
    let cylinder = (f64::from(lens.cylinder.milli().abs()) - 0.52).max(0.001) / 1000.0;
    0.501 + 0.05 * count as f64 / cylinder
}

fn pair(pair: PrismPair, bound: f64) -> Vec<Value> {
    vec![plain(pair.base_in.milli(), bound), plain(pair.base_up.milli(), bound)]
}

fn vector(vector: PowerVector, bounds: [f64; 3]) -> Vec<Value> {
    vec![plain(vector.m, bounds[0]), plain(vector.j0, bounds[1]), plain(vector.j45, bounds[2])]
}

/// What the core makes of one case, each value with its bound.
fn answer(kind: &str, mut from: Inputs<'_>) -> Vec<Value> {
    match kind {
        "meridian" => vec![plain(from.lens().meridian(Angle::from_milli(from.number())).milli(), 0.501)],
        "vector" => vector(from.lens().into(), [1e-6, 0.6, 0.6]),
        "combine" => {
            let lenses = from.lenses();
            let sum = combine(lenses.iter().copied()).unwrap();
            lens(sum, [0.52; 2], axis_of_sum(sum, lenses.len()))
        }
        "combine_plus" => {
            let lenses = from.lenses();
            let sum = PowerVector::sum(lenses.iter().copied()).unwrap().plus_cylinder().unwrap();
            lens(sum, [0.52; 2], axis_of_sum(sum, lenses.len()))
        }
        "residual" => {
            let [ordered, read] = [from.lens(), from.lens()];
            let left = residual(ordered, read).unwrap();
            let mut values = lens(left, [0.505; 2], axis_of_sum(left, 2));
            values.push(plain(blur_strength(ordered, read).unwrap().milli(), 0.502));
            values
        }
        "vertex" => lens(from.lens().moved_toward_eye(from.length()).unwrap(), [ROUNDED, 0.501], 1e-6),
        "prism" => {
            let (eye, lens) = (from.eye(), from.lens());
            pair(lens.prism_at(eye, from.point()).unwrap(), 0.501)
        }
        "point" => {
            let (eye, lens) = (from.eye(), from.lens());
            let point = lens.point_for(eye, from.prism()).unwrap();
            vec![plain(point.inward.milli(), 0.51), plain(point.up.milli(), 0.51)]
        }
        "imbalance" => {
            let imbalance =
                prism_imbalance([from.lens(), from.lens()], [from.point(), from.point()]).unwrap();
            vec![plain(imbalance.base_in.milli(), 0.502), plain(imbalance.right_up.milli(), 0.502)]
        }
        "oblique" => {
            let eye = from.eye();
            let prism = ObliquePrism::combine(from.prism(), eye);
            let base = wrapping(prism.base.unwrap().milli(), 0.501, 360_000.0);
            vec![plain(prism.total.milli(), ROUNDED), base]
        }
        "split" => {
            let eye = from.eye();
            let [total, base] = [from.number(), from.number()];
            let prism = ObliquePrism { total: Prism::from_milli(total), base: Some(Angle::from_milli(base)) };
            pair(prism.split(eye), 0.501)
        }
        _ => thick_answer(kind, from),
    }
}

fn thick_answer(kind: &str, mut from: Inputs<'_>) -> Vec<Value> {
    match kind {
        "thick" => {
            let [front, back] = [from.power(), from.power()];
            let lens = ThickLens { front, back, centre: from.length(), index: from.index() };
            [lens.back_vertex(), lens.front_vertex()].map(|f| plain(f.unwrap().milli(), ROUNDED)).into()
        }
        "magnify" => {
            let [bvp, front] = [from.power(), from.power()];
            let (centre, index, vertex) = (from.length(), from.index(), from.length());
            let seen = SpectacleMagnification::of(bvp, front, centre, index, vertex).unwrap();
            vec![
                plain(seen.shape_micro, ROUNDED),
                plain(seen.power_micro, ROUNDED),
                plain(seen.total_micro, 0.51),
            ]
        }
        "tilt" => {
            let (tilted, by, about) = (from.lens(), from.number(), from.number());
            let result = tilted.tilted(Angle::from_milli(by), Axis::from_milli(about), from.index()).unwrap();
            let cylinder = (f64::from(result.cylinder.milli().abs()) - 0.51).max(0.001) / 1000.0;
            lens(result, [0.51; 2], 0.51 + 0.5 / cylinder)
        }
        "spread" => {
            let readings = RepeatedReadings::of(&from.lenses()).unwrap();
            let mut values = vector(readings.mean, [1.1; 3]);
            values.extend(vector(readings.deviation.unwrap(), [3.0; 3]));
            values.push(plain(readings.spread().unwrap().milli(), 0.506));
            values
        }
        other => panic!("a kind that nothing here computes: {other}"),
    }
}

#[test]
fn every_vector_is_within_its_bound() {
    let kinds = compare(VECTORS, answer).unwrap();
    assert!(kinds.values().all(|kind| kind.cases >= 20), "{kinds:?}");
    assert_eq!(kinds.len(), 15);
}

#[test]
fn one_altered_vector_of_any_kind_is_found() {
    let kinds = compare(VECTORS, answer).unwrap();
    for kind in kinds.keys() {
        let line = VECTORS.lines().find(|line| line.split(' ').next() == Some(kind)).unwrap();
        let (inputs, expected) = line.split_once(" = ").unwrap();
        let mut values: Vec<f64> = expected.split(' ').map(|value| value.parse().unwrap()).collect();
        // Two units at most: as little as an error in the last place.
        values[0] += if *kind == "spread" { 4.0 } else { 1.1 };
        let values: Vec<String> = values.iter().map(f64::to_string).collect();
        let altered = VECTORS.replace(line, &format!("{inputs} = {}", values.join(" ")));
        let error = compare(&altered, answer).unwrap_err();
        assert!(error.starts_with(&format!("{inputs}:")), "{error}");
    }
}

/// Prints rows for `tests/accuracy`.
#[test]
fn worst_errors_are_told() {
    common::tell(&compare(VECTORS, answer).unwrap(), unit);
}

/// The unit of a value, as its bound has it.
fn unit(kind: &str, at: usize) -> &'static str {
    match (kind, at) {
        ("combine" | "combine_plus" | "residual" | "vertex" | "tilt", 2) | ("oblique", 1) => "0.001°",
        ("prism" | "imbalance" | "split" | "oblique", _) => "0.001 Δ",
        ("point", _) => "µm",
        ("vector", _) | ("spread", 0..6) => "1e-6 D",
        ("magnify", _) => "1e-6",
        _ => "0.001 D",
    }
}

#[test]
fn prism_up_to_40_is_within_its_bound_on_a_grid() {
    // Powers ±20 D in 2.5, cylinders to ±10 in 1.25, axes in 7.5°, points ±40 mm in 8: what is up to 40 Δ in
    // total.
    let mut cases = 0_u32;
    let mut worst: f64 = 0.0;
    let steps = |reach: i32, step: usize| (-reach..=reach).step_by(step);
    for (sphere, cylinder) in steps(20_000, 2500).flat_map(|s| steps(10_000, 1250).map(move |c| (s, c))) {
        for axis in (7500..=180_000).step_by(7500) {
            let lens = SphereCylinder::new(
                Power::from_milli(sphere),
                Power::from_milli(cylinder),
                Axis::from_milli(axis),
            );
            let (sin, cos) = degrees(axis).sin_cos();
            // 1/1000 D times µm is 1e-4 of 1/1000 Δ.
            let [s, c] = [sphere, cylinder].map(|milli| f64::from(milli) / 1e4);
            for (x, y) in steps(40_000, 8000).flat_map(|x| steps(40_000, 8000).map(move |y| (x, y))) {
                let across = c * (f64::from(y) * cos - f64::from(x) * sin);
                let (px, py) = (-s * f64::from(x) + across * sin, -s * f64::from(y) - across * cos);
                if px.hypot(py) > 40_000.0 {
                    continue;
                }
                let point = common::point(x, y);
                let prism = lens.prism_at(Eye::Right, point).unwrap();
                worst = worst.max((f64::from(prism.base_in.milli()) - px).abs());
                worst = worst.max((f64::from(prism.base_up.milli()) - py).abs());
                cases += 1;
            }
        }
    }
    common::accuracy("prism up to 40 Δ, grid", cases as usize, worst, "0.501", "0.001 Δ");
    assert!(cases > 200_000, "{cases}");
    assert!(worst <= 0.501, "{worst}");
}
