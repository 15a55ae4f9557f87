//! The lens as a body against vectors made by mpmath, numpy and scipy (`tests/reference/lens.py`, those with prism
//! `wedge.py`), each within the bound that the documentation of its function states.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

mod common;

use bevelbook_core::lens::{
    Lens, LensForm, Place, ToricForm, Wedge, power_from_clock, radius, sagitta, sagitta_of, surface_power,
};
use bevelbook_core::units::{Length, Prism};
use common::{Inputs, Value, compare, plain};

const CURVES: &str = include_str!("vectors/lens_curve.txt");
const THICKNESSES: &str = include_str!("vectors/lens_thickness.txt");
const VOLUMES: &str = include_str!("vectors/lens_volume.txt");
const WEDGES: &str = include_str!("vectors/lens_wedge.txt");

/// Half a unit of rounding, with what f64 and the digits of a vector leave.
const ROUNDED: f64 = 0.5 + 1e-6;

/// The bound of thicknesses and of centres, in µm.
const FINE: f64 = 0.501;

/// The same of a lens with prism and cylinder.
const FINE_WEDGE: f64 = 0.51;

fn toric(kind: &str) -> ToricForm {
    if kind.ends_with("barrel") { ToricForm::Barrel } else { ToricForm::Tyre }
}

fn form(from: &mut Inputs<'_>, kind: &str) -> LensForm {
    LensForm {
        power: from.lens(),
        prism: Wedge::NONE,
        front: from.power(),
        index: from.index(),
        toric: toric(kind),
    }
}

fn wedge(from: &mut Inputs<'_>, kind: &str) -> Lens {
    let power = from.lens();
    let [right, up] = [from.number(), from.number()].map(|milli| Prism::try_from(milli).unwrap());
    let prism = Wedge { right, up };
    let form = LensForm { power, prism, front: from.power(), index: from.index(), toric: toric(kind) };
    form.lens(from.length()).unwrap()
}

fn lens(from: &mut Inputs<'_>, kind: &str) -> Lens {
    form(from, kind).lens(from.length()).unwrap()
}

fn place(from: &mut Inputs<'_>) -> Place {
    Place::new(from.length(), from.length())
}

fn curve(kind: &str, mut from: Inputs<'_>) -> Vec<Value> {
    let ours = match kind {
        "radius" => radius(from.power(), from.index()).unwrap().milli(),
        "power" => surface_power(Length::from_milli(from.number()), from.index()).unwrap().milli(),
        "clock" => power_from_clock(from.power(), from.index(), from.index()).unwrap().milli(),
        "sagitta" => sagitta_of(from.power(), from.index(), from.length()).unwrap().milli(),
        "sagitta_of_radius" => sagitta(from.length(), from.length()).unwrap().milli(),
        _ => panic!("no such curve: {kind}"),
    };
    vec![plain(ours, ROUNDED)]
}

fn thickness(kind: &str, mut from: Inputs<'_>) -> Vec<Value> {
    match kind {
        "thickness_tyre" | "thickness_barrel" => {
            let lens = lens(&mut from, kind);
            vec![plain(lens.thickness(place(&mut from)).unwrap().milli(), FINE)]
        }
        "back" => {
            let back = lens(&mut from, kind).back();
            vec![plain(back.sphere.milli(), ROUNDED), plain(back.combined_power().milli(), ROUNDED)]
        }
        "centre_tyre" | "centre_barrel" => {
            let (form, edge) = (form(&mut from, kind), from.length());
            vec![plain(form.centre_for_edge(edge, place(&mut from)).unwrap().milli(), FINE)]
        }
        _ => panic!("no such thickness: {kind}"),
    }
}

/// One part in a million, and 1/1000 mm³.
fn volume(kind: &str, mut from: Inputs<'_>) -> Vec<Value> {
    let ours = thousandths(&lens(&mut from, kind), from);
    vec![plain(ours, 1.0 + f64::from(ours) * 1e-6)]
}

fn thousandths(lens: &Lens, mut from: Inputs<'_>) -> i32 {
    let points = from.number();
    let outline: Vec<Place> = (0..points).map(|_| place(&mut from)).collect();
    i32::try_from(lens.volume(outline.into_iter()).unwrap().thousandths()).unwrap()
}

/// With prism: a thickness or a volume, and that the edge leads back to its centre.
fn tilted(kind: &str, mut from: Inputs<'_>) -> Vec<Value> {
    let lens = wedge(&mut from, kind);
    if kind.starts_with("volume") {
        let ours = thousandths(&lens, from);
        return vec![plain(ours, 1.0 + f64::from(ours) * 1e-5)];
    }
    let at = place(&mut from);
    let edge = lens.thickness(at).unwrap();
    let back = lens.form().centre_for_edge(edge, at).unwrap();
    assert!((back - lens.centre()).abs() <= Length::from_milli(2), "{kind} {lens:?} {back}");
    let bound = if kind == "wedge_sphere" { FINE } else { FINE_WEDGE };
    vec![plain(edge.milli(), bound)]
}

#[test]
fn curves_and_sagittae_are_correctly_rounded() {
    let kinds = compare(CURVES, curve).unwrap();
    assert_eq!((kinds.len(), kinds.values().all(|worst| worst.cases >= 20)), (5, true), "{kinds:?}");
    common::tell(&kinds, unit);
}

#[test]
fn thicknesses_back_surfaces_and_centres_are_within_their_bounds() {
    let kinds = compare(THICKNESSES, thickness).unwrap();
    assert_eq!((kinds.len(), kinds.values().all(|worst| worst.cases >= 20)), (5, true), "{kinds:?}");
    common::tell(&kinds, unit);
}

#[test]
fn volumes_are_within_their_bound() {
    let kinds = compare(VOLUMES, volume).unwrap();
    assert_eq!((kinds.len(), kinds.values().all(|worst| worst.cases >= 12)), (2, true), "{kinds:?}");
    common::tell(&kinds, unit);
}

#[test]
fn lenses_with_prism_are_those_of_tilted_surfaces() {
    let kinds = compare(WEDGES, tilted).unwrap();
    assert_eq!((kinds.len(), kinds.values().all(|worst| worst.cases >= 8)), (5, true), "{kinds:?}");
    common::tell(&kinds, unit);
}

/// The unit of a value, as its bound has it.
fn unit(kind: &str, _: usize) -> &'static str {
    match kind {
        "power" | "clock" | "back" => "0.001 D",
        kind if kind.starts_with("volume") => "0.001 mm³",
        _ => "µm",
    }
}

type Answer = fn(&str, Inputs<'_>) -> Vec<Value>;

#[test]
fn one_altered_vector_of_any_kind_is_noticed() {
    let answer = |kind: &str, from: Inputs<'_>| match kind.split('_').next() {
        Some("volume") => volume(kind, from),
        Some("thickness" | "back" | "centre") => thickness(kind, from),
        _ => curve(kind, from),
    };
    for (vectors, answer) in
        [(CURVES, answer as Answer), (THICKNESSES, answer), (VOLUMES, answer), (WEDGES, tilted)]
    {
        for kind in compare(vectors, answer).unwrap().keys() {
            let line = vectors.lines().find(|line| line.split(' ').next() == Some(kind)).unwrap();
            let (case, expected) = line.split_once(" = ").unwrap();
            let (first, rest) = expected.split_once(' ').unwrap_or((expected, ""));
            let first: f64 = first.parse().unwrap();
            // A volume is known to a millionth, with prism to a hundred thousandth.
            let by = if kind.starts_with("volume") { 30.0 + first * 3e-5 } else { 2.0 };
            let altered = format!("{case} = {} {rest}", first + by);
            let altered = vectors.replacen(line, altered.trim_end(), 1);
            let refused = compare(&altered, answer).unwrap_err();
            assert!(refused.starts_with(case), "{refused}");
        }
    }
}
