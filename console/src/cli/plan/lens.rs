//! The rows of a plan that say what lens is to come: its shape, its blank, its body.
//!
//! Each keeps to the 30 columns that an eye has.

use super::text::Row;
use crate::plan::{BlankBy, Body, Edge, EyePlan, Given, side, tenth_up};
use crate::trace::GirthBasis;
use bevelbook_core::prescription::{Eye, LensPoint};
use bevelbook_core::units::{Angle, Length};

pub(super) fn rows() -> [Row; 18] {
    [
        ("optical centre", |_, eye| match (eye.dot_is_off_optical_centre(), &eye.optical_centre) {
            (false, _) => String::new(),
            (true, Ok(way)) => format!("{} from dot", way_words(*way)),
            (true, Err(_)) => "nowhere on the lens".into(),
        }),
        ("shape", |_, eye| match eye.shape.from.is_traced() {
            true => eye.shape.from.words().into(),
            false => eye.shape.from.words().replace(", not traced", ""),
        }),
        ("box", |_, eye| match eye.shape.from.is_traced() {
            true => {
                format!("{:.2} x {:.2}, ED {:.1}", eye.shape.size.a, eye.shape.size.b, eye.shape.boxed.ed)
            }
            false => String::new(),
        }),
        ("girth", |_, eye| format!("{:.2} mm, 2-D chords", eye.shape.girth)),
        ("CIRC of record", |_, eye| {
            eye.shape.stated.map_or_else(String::new, |stated| {
                let basis = match stated.basis() {
                    GirthBasis::Plane => "the same: 2-D",
                    GirthBasis::Space => "with depths: 3-D",
                    GirthBasis::Longer => "3-D or other basis",
                    GirthBasis::Shorter => "another basis",
                };
                format!("{:.2}, {basis}", stated.circ)
            })
        }),
        ("least blank", |_, eye| least_blank_words(eye)),
        ("farthest", |_, eye| at(eye.eye, eye.blank.farthest)),
        ("stocked blank", |_, eye| match eye.blank.stocked {
            Some(diameter) => format!("⌀ {diameter} mm serves"),
            None => "none is large enough".into(),
        }),
        ("covers with", |_, eye| cover_words(eye)),
        ("decentres to", |_, eye| match (eye.blank.cover, eye.blank.decentration) {
            (Some((blank, _)), Some(most)) => format!("{} on ⌀ {blank}", inward(most)),
            (Some((blank, _)), None) => format!("nowhere on ⌀ {blank}"),
            (None, _) => String::new(),
        }),
        ("blank if moved", |_, eye| {
            eye.moved_blank.map_or_else(String::new, |least| format!("{:.1} mm + allowance", tenth_up(least)))
        }),
        ("front curve", |_, eye| {
            of_body(eye, |body| format!("{:.2} D {}", body.front.0, given(body.front.1)))
        }),
        ("centre thickness", |_, eye| match &eye.body {
            Ok(body) => centre_words(body),
            Err(_) => "not worked out, see below".into(),
        }),
        ("thickest edge", |_, eye| of_body(eye, |body| edge_words(eye.eye, body.thickest))),
        ("thinnest edge", |_, eye| of_body(eye, |body| edge_words(eye.eye, body.thinnest))),
        ("bevel, thickest", |_, eye| {
            of_body(eye, |body| match &body.bevel {
                Some(Ok(fit)) => format!("{:.2} before, {:.2} behind it", fit.before, fit.behind),
                Some(Err(_)) => "none on this edge".into(),
                None => String::new(),
            })
        }),
        ("groove", |_, eye| {
            of_body(eye, |body| match body.groove.len() {
                0 => String::new(),
                1 => "1 warning, see below".into(),
                many => format!("{many} warnings, see below"),
            })
        }),
        ("weight cut", |_, eye| {
            of_body(eye, |body| {
                body.mass.map_or_else(|| "density not known".into(), |mass| grams(mass.milligrams()))
            })
        }),
    ]
}

fn of_body(eye: &EyePlan, words: impl Fn(&Body) -> String) -> String {
    eye.body.as_ref().map_or_else(|_| String::new(), words)
}

const fn given(given: Given) -> &'static str {
    match given {
        Given::Ordered => "ordered",
        Given::Taken => "taken",
    }
}

fn centre_words(body: &Body) -> String {
    let by = match (body.centre_from, body.bound_by_edge) {
        (Given::Ordered, _) => "ordered",
        (Given::Taken, false) => "taken",
        (Given::Taken, true) => "taken for the edge",
    };
    format!("{:.2} mm {by}", body.centre)
}

fn edge_words(eye: Eye, edge: Edge) -> String {
    format!("{:.2} mm {}", edge.thickness, at(eye, edge.toward))
}

/// A direction in words and whole degrees.
fn at(eye: Eye, toward: Angle) -> String {
    format!("{} {}°", side(eye, toward), (toward.milli() + 500) / 1000 % 360)
}

fn least_blank_words(eye: &EyePlan) -> String {
    let least = tenth_up(eye.blank.least);
    match eye.blank.by {
        BlankBy::Outline => format!("{least:.1} mm, exact"),
        BlankBy::Ed(ed) => format!("{least:.1} mm (ED {ed:.1})"),
        BlankBy::Diagonal(diagonal) => format!("{least:.1} mm (diagonal {diagonal:.1})"),
    }
}

fn cover_words(eye: &EyePlan) -> String {
    let Some((_, cover)) = eye.blank.cover else { return String::new() };
    match cover.is_whole() {
        true => format!("{:.2} to spare at {}°", cover.spare, (cover.toward.milli() + 500) / 1000 % 360),
        false => format!("{:.2} short {}", cover.spare.abs(), at(eye.eye, cover.toward)),
    }
}

fn inward(length: Length) -> String {
    format!("{:.1} {}", length.abs(), if length < Length::ZERO { "out" } else { "in" })
}

/// A way from the centre dot: `5.0 out, 0.3 up`.
fn way_words(way: LensPoint) -> String {
    let up = match way.up.milli() {
        0 => String::new(),
        milli => format!(", {:.1} {}", way.up.abs(), if milli > 0 { "up" } else { "down" }),
    };
    match way.inward.milli() {
        0 if !up.is_empty() => up.trim_start_matches(", ").to_owned(),
        _ => format!("{}{up}", inward(way.inward)),
    }
}

/// A mass in grams with one decimal.
pub(super) fn grams(milligrams: i64) -> String {
    let tenths = (milligrams + 50) / 100;
    format!("{}.{} g", tenths / 10, tenths % 10)
}
