//! A lens from the front, as who faces the wearer sees it: its edge, the nose beside it, and what is marked on it.

use super::super::{MarkedLens, Marks};
use super::ink::Ink;
use super::turn::{arc, ray};
use bevelbook_core::prescription::Eye;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;

/// The pixels that the nose takes beside a lens.
pub(super) const NOSE: i32 = 4;

/// The edge of a round lens, and the nose.
pub(super) fn edge(eye: Eye, centre: Point, radius: i32, ink: &mut Ink<'_>) {
    arc(centre, radius, 0, 360, ink);
    for out in 0..NOSE - 1 {
        let x = centre.x + eye.inward() * (radius + 1 + out);
        ink.line(Point::new(x, centre.y - 2 + out), Point::new(x, centre.y + 4));
    }
}

/// Draws `lens` as large as `area` lets it be, its nose side toward the nose.
pub(super) fn uncut(lens: &MarkedLens, area: Rectangle, ink: &mut Ink<'_>) {
    let radius = (area.size.height.min(area.size.width - 2 * NOSE as u32) as i32 - 1) / 2;
    let below = Point::new(area.size.width as i32 / 2, area.size.height as i32 / 2);
    let (centre, inward) = (area.top_left + below, lens.eye.inward());
    edge(lens.eye, centre, radius, &mut ink.dimmed());
    if lens.marks == Marks::Segment {
        let (half, top) = (radius * 2 / 5, centre + Point::new(inward * radius / 7, radius / 4 + 1));
        arc(top, half, 180, 360, ink);
        ink.line(top - Point::new(half, 0), top + Point::new(half, 0));
    }
    if let Some(axis) = lens.axis {
        // Bold at its ends, thin where the dots are.
        let [out, inside] = [radius - 1, radius - 5].map(|length| ray(axis.min(180), length));
        ink.dimmed().line(centre - out, centre + out);
        ink.bar(centre - out, centre - inside);
        ink.bar(centre + inside, centre + out);
    }
    let beside = |pixels| [centre - Point::new(pixels, 0), centre + Point::new(pixels, 0)];
    let mut marked = centre;
    if lens.marks == Marks::Cross {
        ink.dimmed().line(centre - Point::new(radius, 0), centre + Point::new(radius, 0));
        // Two engravings 34 mm apart on a lens of 70 (ISO 8980-2; from memory, unconfirmed).
        for at in beside(radius / 2) {
            ink.square(at, 1);
            ink.inverted().dot(at);
        }
        marked.y -= radius * 2 / 5;
    } else {
        let far = if lens.blocked { radius * 3 / 4 } else { radius / 2 };
        beside(far).into_iter().for_each(|at| dot(at, 1, ink));
    }
    if lens.blocked {
        // The block, and the line of 180 on it.
        let round = radius / 2;
        for end in (0..=90).step_by(6).map(|degrees| ray(degrees, round)) {
            ink.span(marked - end, marked + Point::new(end.x, -end.y));
            ink.span(marked + end, marked + Point::new(-end.x, end.y));
        }
        let mut ink = ink.inverted();
        ink.line(marked - Point::new(round, 0), marked + Point::new(round, 0));
        ink.square(marked, 1);
    } else if lens.marks == Marks::Cross {
        for arm in [Point::new(4, 1), Point::new(1, 4)] {
            ink.span(marked - arm, marked + arm);
        }
    } else {
        dot(marked, 2, ink);
    }
}

/// A dot of so many pixels round its middle one, apart from the axis behind it.
fn dot(at: Point, round: i32, ink: &mut Ink<'_>) {
    ink.inverted().square(at, round + 1);
    ink.square(at, round);
}
