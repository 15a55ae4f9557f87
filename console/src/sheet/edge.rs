//! The edge of each lens unrolled: how thick it is round the lens, from the nose of the right eye, or the temple of the left,
//! over the top. Both lenses on one scale.

use super::pen::{c, mm};
use crate::plan::{Body, Edge, EyePlan, Plan, millimetres, side};
use crate::view::Figure;
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use maud::{Markup, html};

const WIDTH: f64 = 90.0;
const HEIGHT: f64 = 12.8;
/// Where the scale begins and ends, and where thickness none and the thickest of both lenses stand.
const ENDS: (f64, f64) = (6.0, 88.0);
const FLOOR: f64 = 10.2;
const ROOF: f64 = 3.2;

/// The curve of one lens, where it could be worked out as a body.
pub(super) fn edge(plan: &Plan, eye: &EyePlan) -> Option<Markup> {
    let thickest = |eye: &EyePlan| eye.body.as_ref().ok().map(|body| body.thickest.thickness);
    let most = plan.made().filter_map(thickest).max().map_or(1.0, millimetres);
    eye.body.as_ref().ok().map(|body| Strip { eye, body, most }.drawn())
}

struct Strip<'a> {
    eye: &'a EyePlan,
    body: &'a Body,
    /// The thickest of both lenses, in millimetres.
    most: f64,
}

impl Strip<'_> {
    fn drawn(&self) -> Markup {
        let Body { thickest, thinnest, least, .. } = self.body;
        let told = [("thickest", thickest), ("thinnest", thinnest)].map(|(name, edge)| self.told(name, edge));
        html! {
            svg.strip role="img" width=(mm(WIDTH)) height=(mm(HEIGHT)) viewBox=(format!("0 0 {WIDTH} {HEIGHT}")) {
                title { "Edge of the " (self.eye.eye) " lens: " (told.join(", ")) }
                (self.ground())
                (self.level("least", least.edge.thickness))
                polyline.edge data-part="edge" points=(self.curve()) {}
                text x=(c(ENDS.0 - 0.6)) y=(c(ROOF)) text-anchor="end" { "mm" }
                @for edge in [thinnest, thickest] { (self.mark(edge)) }
            }
        }
    }

    fn told(&self, name: &str, edge: &Edge) -> String {
        format!("{name} {} {}", said(edge), side(self.eye.eye, edge.toward))
    }

    fn across(&self, degrees: f64) -> f64 {
        ENDS.0 + degrees / 360.0 * (ENDS.1 - ENDS.0)
    }

    fn high(&self, thick: Length) -> f64 {
        FLOOR - millimetres(thick) / self.most * (FLOOR - ROOF)
    }

    /// The points of the edge; the last before a whole turn stands before the first as well, the first behind the last.
    fn curve(&self) -> String {
        let degrees = |edge: &Edge| f64::from(edge.toward.milli()) / 1000.0;
        let around = &self.body.around;
        let before = around.last().map(|edge| (degrees(edge) - 360.0, edge));
        let behind = around.first().map(|edge| (degrees(edge) + 360.0, edge));
        let points = before.into_iter().chain(around.iter().map(|edge| (degrees(edge), edge))).chain(behind);
        let points = points.map(|(at, edge)| {
            let at = self.across(at.clamp(0.0, 360.0));
            format!("{},{}", c(at), c(self.high(edge.thickness)))
        });
        points.collect::<Vec<_>>().join(" ")
    }

    /// The floor, and where nose, top, temple and bottom are.
    fn ground(&self) -> Markup {
        let quarters = [0.0, 90.0, 180.0, 270.0, 360.0];
        html! {
            line.ruler x1=(c(ENDS.0)) y1=(c(FLOOR)) x2=(c(ENDS.1)) y2=(c(FLOOR)) {}
            @for degrees in quarters {
                @let x = c(self.across(degrees));
                line.quarter x1=(x) y1=(c(ROOF)) x2=(x) y2=(c(FLOOR)) {}
                text x=(x) y=(c(HEIGHT - 0.4)) text-anchor=(anchor(degrees)) { (self.place(degrees)) }
            }
        }
    }

    fn place(&self, degrees: f64) -> &'static str {
        let right = self.eye.eye == Eye::Right;
        match degrees {
            90.0 => "top",
            270.0 => "bottom",
            _ if (degrees == 180.0) == right => "temple",
            _ => "nose",
        }
    }

    /// A thickness as a line across.
    fn level(&self, name: &str, thick: Length) -> Markup {
        let y = self.high(thick);
        html! {
            line.least data-part=(name) x1=(c(ENDS.0)) y1=(c(y)) x2=(c(ENDS.1)) y2=(c(y)) {}
            text x=(c(ENDS.0 - 0.6)) y=(c(y + 0.8)) text-anchor="end" { (Figure::from(thick).to(1, 2).to_string()) }
        }
    }

    /// The figure of the thickest stands over the curve, that of the thinnest below it where there is room.
    fn mark(&self, edge: &Edge) -> Markup {
        let degrees = f64::from(edge.toward.milli()) / 1000.0;
        let (x, y) = (self.across(degrees), self.high(edge.thickness));
        let is_below = edge == &self.body.thinnest && y < FLOOR - 3.0;
        html! {
            circle.dot cx=(c(x)) cy=(c(y)) r="0.7" {}
            text x=(c(x)) y=(c(y + if is_below { 2.6 } else { -1.2 })) text-anchor=(anchor(degrees)) { (said(edge)) }
        }
    }
}

fn said(edge: &Edge) -> String {
    format!("{} at {:#}", Figure::from(edge.thickness).to(2, 2), Figure::direction(edge.toward))
}

/// Which end of a text stands at a place of the scale, so that it stays on the paper.
fn anchor(degrees: f64) -> &'static str {
    if degrees < 80.0 {
        "start"
    } else if degrees > 280.0 {
        "end"
    } else {
        "middle"
    }
}
