//! Rings in space against vectors made by numpy and scipy (`tests/reference/ring.py`), each within the bound that the
//! documentation of its function states.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

mod common;

use bevelbook_core::frame::{Outline, Point};
use bevelbook_core::lens::{
    BevelFit, BevelPlacement, LensForm, Place, RingCurve, RingPoint, ToricForm, Wedge,
};
use bevelbook_core::prescription::SphereCylinder;
use bevelbook_core::units::{Axis, Length, Power};
use common::{Inputs, Value, compare, plain};

const RINGS: &str = include_str!("vectors/ring.txt");

/// The bound of a curve in 1/1000 D.
const CURVE: f64 = 0.6;

/// What the whole micrometres of a point are worth, in 1/1000 D: less than 2 in every vector.
const WHOLE: f64 = 2.0;

fn ring(from: &mut Inputs<'_>) -> RingCurve {
    let points = from.number();
    let mut point = || {
        let place = Place::new(from.length(), from.length());
        RingPoint { place, depth: from.length() }
    };
    let points: Vec<RingPoint> = (0..points).map(|_| point()).collect();
    RingCurve::of(points.into_iter()).unwrap()
}

/// The top of a bevel round a lens.
fn bevel(from: &mut Inputs<'_>) -> RingCurve {
    let power = SphereCylinder::new(from.power(), Power::ZERO, Axis::from_degrees(180));
    let (front, index) = (from.power(), from.index());
    let lens = LensForm { power, prism: Wedge::NONE, front, index, toric: ToricForm::default() }
        .lens(from.length())
        .unwrap();
    let [front_parts, of] = [from.number(), from.number()].map(|parts| u8::try_from(parts).unwrap());
    let points = from.number();
    let mut point = || {
        let place = Place::new(from.length(), from.length());
        let placement = BevelPlacement::Ratio { front: front_parts, of };
        let fit = BevelFit::of(lens.thickness(place).unwrap(), placement).unwrap();
        RingPoint::behind(front, index, place, fit.before).unwrap()
    };
    let points: Vec<RingPoint> = (0..points).map(|_| point()).collect();
    RingCurve::of(points.into_iter()).unwrap()
}

fn answer(kind: &str, mut from: Inputs<'_>) -> Vec<Value> {
    match kind {
        "curve" => {
            let found = ring(&mut from);
            let lengths = [found.per_dioptre, found.off].map(|length| plain(length.milli(), 1.0));
            std::iter::once(plain(found.power.milli(), CURVE)).chain(lengths).collect()
        }
        "sphere" => vec![plain(ring(&mut from).power.milli(), CURVE + WHOLE)],
        "behind" => {
            let (power, index) = (from.power(), from.index());
            let place = Place::new(from.length(), from.length());
            let point = RingPoint::behind(power, index, place, from.length()).unwrap();
            vec![plain(point.depth.milli(), 0.5 + 0.25)]
        }
        "bevel" => vec![plain(bevel(&mut from).power.milli(), CURVE + WHOLE)],
        "girth" => {
            let points = from.number();
            let (radius, vertex) =
                (Length::from_milli(from.number()), Point::new(from.length(), from.length()));
            let mut places = vec![Point::ORIGIN; usize::try_from(points).unwrap()];
            let radii: Vec<Length> = places.iter().map(|_| from.length()).collect();
            let outline = Outline::from_radii(radii, &mut places).unwrap();
            vec![plain(outline.girth_on_sphere(radius, vertex).unwrap().milli(), 0.6)]
        }
        _ => panic!("no such ring: {kind}"),
    }
}

#[test]
fn curves_and_girths_of_rings_are_within_their_bounds() {
    let kinds = compare(RINGS, answer).unwrap();
    assert_eq!((kinds.len(), kinds.values().all(|worst| worst.cases >= 12)), (5, true), "{kinds:?}");
    let unit = |kind: &str, value| {
        if (kind, value) == ("curve", 0) || ["sphere", "bevel"].contains(&kind) { "0.001 D" } else { "µm" }
    };
    common::tell(&kinds, unit);
}

#[test]
fn one_altered_vector_of_any_kind_is_noticed() {
    for kind in compare(RINGS, answer).unwrap().keys() {
        let line = RINGS.lines().find(|line| line.split(' ').next() == Some(kind)).unwrap();
        let (case, expected) = line.split_once(" = ").unwrap();
        let (first, rest) = expected.split_once(' ').unwrap_or((expected, ""));
        let altered = format!("{case} = {} {rest}", first.parse::<f64>().unwrap() + 6.0);
        let refused = compare(&RINGS.replacen(line, altered.trim_end(), 1), answer).unwrap_err();
        assert!(refused.starts_with(case), "{refused}");
    }
}
