//! From the lines of a record to the shapes of both eyes.

use super::{Shape, TraceError};
use bevelbook_core::frame::trace::{
    Event, Field, Layer, Line, Pair, Reader, Refusal, Spacing, lines, mirrored,
};
use bevelbook_core::frame::{Outline, OutlineError, Point};
use bevelbook_core::link::plain;
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::{Angle, Length};
use std::path::Path;

/// As much of a wrong line as is shown.
const SHOWN: usize = 60;

/// The numbers of one block.
#[derive(Default)]
struct Block {
    /// The line of its header.
    line: u32,
    spacing: Option<Spacing>,
    values: Vec<Length>,
    angles: Vec<Angle>,
}

/// A record, its blocks by layer and eye.
#[derive(Default)]
struct Parts {
    blocks: [[Block; 2]; 2],
    stated: Vec<(Field, Pair)>,
    dbl: Option<Length>,
    kept: Vec<(String, String)>,
}

/// What a record says, both eyes having a shape.
#[derive(Clone, Debug)]
pub(super) struct Said {
    pub(super) shapes: [Shape; 2],
    pub(super) dbl: Option<Length>,
    pub(super) kept: Vec<(String, String)>,
    stated: Vec<(Field, Pair)>,
}

impl Said {
    /// What it states for an eye beside its points; what is stated again counts last.
    pub(super) fn stated(&self, field: Field, eye: Eye) -> Option<Length> {
        self.stated.iter().rev().find(|(stated, _)| *stated == field).and_then(|(_, pair)| pair.of(eye))
    }
}

pub(super) fn record(text: &str, file: &Path) -> Result<Said, TraceError> {
    let mut parts = Parts::default();
    let mut reader = Reader::default();
    let refused = |refusal: Refusal| TraceError::Refused {
        file: file.into(),
        refusal,
        line: shown(lines(text).find(|line| line.number == refusal.line)),
    };
    for line in lines(text) {
        let event = reader.push(line).map_err(refused)?;
        parts.take(event, line.number);
    }
    reader.finish().map_err(refused)?;
    let [mut radii, mut depths] = parts.blocks;
    let mut traced = [None, None];
    for eye in Eye::BOTH {
        let block = std::mem::take(&mut radii[eye.index()]);
        if block.spacing.is_none() {
            continue;
        }
        let line = block.line;
        let wrong = |source| TraceError::NoOutline { file: file.into(), line, eye, source };
        let points = block.points().map_err(wrong)?;
        let depths = std::mem::take(&mut depths[eye.index()]).ring();
        traced[eye.index()] = Some(Shape { points, depths, mirrored: false });
    }
    let shapes = match traced {
        [Some(right), Some(left)] => [right, left],
        [Some(right), None] => {
            let left = mirror(&right);
            [right, left]
        }
        [None, Some(left)] => [mirror(&left), left],
        [None, None] => return Err(TraceError::NoRadii(file.into())),
    };
    Ok(Said { shapes, dbl: parts.dbl, stated: parts.stated, kept: parts.kept })
}

impl Parts {
    fn take(&mut self, event: Event<'_>, line: u32) {
        match event {
            Event::Pair(field, pair) => self.stated.push((field, pair)),
            Event::Bridge(dbl) => self.dbl = dbl,
            Event::Begins(header) => {
                let block = &mut self.blocks[header.layer as usize][header.eye.index()];
                (block.line, block.spacing) = (line, Some(header.spacing));
            }
            Event::Values { of, values, .. } => {
                self.blocks[of.layer as usize][of.eye.index()].values.extend(values.iter());
            }
            Event::Angles { of, angles, .. } => {
                self.blocks[of.layer as usize][of.eye.index()].angles.extend(angles.iter());
            }
            Event::Kept { label, value } => self.kept.push((label.into(), value.into())),
        }
    }
}

impl Block {
    /// The points of an outline.
    fn points(self) -> Result<Vec<Point>, OutlineError> {
        let mut points = vec![Point::ORIGIN; self.values.len()];
        let outline = match self.spacing {
            Some(Spacing::Unequal) => {
                Outline::from_polar(self.values.into_iter().zip(self.angles), &mut points)
            }
            _ => Outline::from_radii(self.values, &mut points),
        };
        outline?;
        Ok(points)
    }

    /// Depths at equal angles.
    fn ring(self) -> Option<Vec<Length>> {
        (self.spacing == Some(Spacing::Equal)).then_some(self.values)
    }
}

/// The shape of the other eye.
fn mirror(shape: &Shape) -> Shape {
    let mut points = vec![Point::ORIGIN; shape.points.len()];
    // Points that make an outline make one in a mirror.
    if let Ok(outline) = shape.outline() {
        let _ = outline.mirror(&mut points);
    }
    let depths = shape.depths.as_ref().and_then(|depths| {
        (0..depths.len()).map(|point| mirrored(point, depths.len()).map(|from| depths[from])).collect()
    });
    Shape { points, depths, mirrored: true }
}

/// A line as it is shown in an error: without control characters, and not all of a long one.
fn shown(line: Option<Line<'_>>) -> String {
    let text = line.map_or("", |line| line.text.trim());
    let mut shown: String = plain(text).take(SHOWN).collect();
    if text.chars().count() > SHOWN {
        shown.push('…');
    }
    shown
}

// The blocks are told apart by the number of their layer.
const _: () = assert!(Layer::Radius as usize == 0 && Layer::Depth as usize == 1);
