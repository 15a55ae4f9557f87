//! A pair drawn in plain characters, as one faces the wearer: both boxes, and what is laid out in them.

use crate::desk::Order;
use crate::plan::{EyePlan, LaidOutBy, Plan};
use bevelbook_core::frame::Decentration;
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use std::fmt;

/// The most columns that it takes.
const COLUMNS: i32 = 76;
/// The least that a column stands for, in micrometres; a row stands for twice as much, as letters are high.
const LEAST: i32 = 1500;

const BOXED: char = '+';
const LAID_OUT: char = 'x';
const SEGMENT: char = '=';

/// The drawing, the lowest row last, and what its marks mean.
pub(crate) struct PairDrawing {
    rows: Vec<Vec<char>>,
    /// What a column stands for.
    column: Length,
    marks: Vec<String>,
}

impl PairDrawing {
    pub(crate) fn of(order: &Order, plan: &Plan) -> Self {
        let size = &order.frame.size;
        let (a, b) = (size.a.milli(), size.b.milli());
        let across = 2 * a + size.dbl.milli();
        let column = LEAST.max(divided_up(across, COLUMNS - 1));
        let mut drawn = Self {
            rows: vec![vec![' '; index(across, column) + 1]; index(b, 2 * column) + 1],
            column: Length::from_milli(column),
            marks: vec![format!("{BOXED} boxed centre")],
        };
        for (eye, left) in [(Eye::Right, 0), (Eye::Left, a + size.dbl.milli())] {
            drawn.draw_box(left, (a, b));
            if let Some(plan) = &plan.eyes[eye.index()] {
                drawn.draw_lens(plan, (left, a, b));
            }
            drawn.write(left + a / 2, &eye.to_string());
        }
        drawn
    }

    fn draw_box(&mut self, left: i32, (a, b): (i32, i32)) {
        let right = left + a;
        self.across(left..=right, b, '-');
        self.across(left..=right, 0, '-');
        for row in 0..self.rows.len() {
            let up = 2 * self.column.milli() * i32::try_from(row).unwrap_or_default();
            let corner = up == 0 || row + 1 == self.rows.len();
            let side = if corner { '.' } else { '|' };
            self.put(left, up, side);
            self.put(right, up, side);
        }
    }

    fn draw_lens(&mut self, plan: &EyePlan, (left, a, b): (i32, i32, i32)) {
        let nose = if plan.eye == Eye::Right { 1 } else { -1 };
        let at = |place: Decentration| (left + a / 2 + nose * place.inward.milli(), b / 2 + place.up.milli());
        self.put(left + a / 2, b / 2, BOXED);
        if let Some(segment) = plan.layout.segment.filter(|segment| segment.drop.is_some()) {
            let (middle, up) = at(plan.layout.measured_to());
            let width = segment.ordered.and_then(|ordered| ordered.width).map_or(2 * a, Length::milli);
            let (from, to) = ((middle - width / 2).max(left), (middle + width / 2).min(left + a));
            self.across(from..=to, up, SEGMENT);
            self.mark(SEGMENT, "top of the segment");
        }
        let (x, y) = at(plan.layout.dot());
        self.put(x, y, LAID_OUT);
        self.mark(
            LAID_OUT,
            match plan.layout.by {
                LaidOutBy::OpticalCentre | LaidOutBy::Segment => "optical centre",
                LaidOutBy::PrismDot => "dot with the prism",
                LaidOutBy::FittingCross => "fitting cross",
            },
        );
    }

    /// Says what a mark means; the dots of two lenses may mean two things.
    fn mark(&mut self, mark: char, means: &str) {
        let said = format!("{mark} {means}");
        if !self.marks.contains(&said) {
            self.marks.push(said);
        }
    }

    fn across(&mut self, places: std::ops::RangeInclusive<i32>, up: i32, letter: char) {
        let column = self.column.milli();
        let (from, to) = (index(*places.start(), column), index(*places.end(), column));
        (from..=to).for_each(|at| self.put_at(at, up, letter));
    }

    /// Puts a letter where this place lies, in micrometres from the left and from below; one beyond the drawing is left out.
    fn put(&mut self, right: i32, up: i32, letter: char) {
        self.put_at(index(right, self.column.milli()), up, letter);
    }

    fn put_at(&mut self, at: usize, up: i32, letter: char) {
        let row = self.rows.len().checked_sub(index(up, 2 * self.column.milli()) + 1);
        if let Some(cell) = row.and_then(|row| self.rows.get_mut(row)?.get_mut(at)) {
            *cell = letter;
        }
    }

    /// Writes a word into the upper edge, its middle here.
    fn write(&mut self, middle: i32, word: &str) {
        let word = format!(" {word} ");
        let from = index(middle, self.column.milli()).saturating_sub(word.len() / 2);
        let cells = self.rows.first_mut().into_iter().flatten().skip(from);
        cells.zip(word.chars()).for_each(|(cell, letter)| *cell = letter);
    }
}

/// Which column or row a place belongs to; one before the first is the first.
fn index(place: i32, step: i32) -> usize {
    usize::try_from((place + step / 2).div_euclid(step.max(1))).unwrap_or_default()
}

fn divided_up(whole: i32, by: i32) -> i32 {
    (whole + by - 1).div_euclid(by.max(1))
}

impl fmt::Display for PairDrawing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for row in &self.rows {
            writeln!(f, "  {}", row.iter().collect::<String>().trim_end())?;
        }
        writeln!(f, "  as you face the wearer, {} mm a column", self.column)?;
        write!(f, "  {}", self.marks.join("   "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::{Segment, SegmentShape, sample};
    use crate::settings::Settings;
    use bevelbook_core::frame::PupillaryDistance;
    use bevelbook_core::prescription::EyeOrder;
    use bevelbook_core::tolerance::Design;

    fn drawn(change: impl FnOnce(&mut Order)) -> Vec<String> {
        let mut order = sample();
        order.frame.size.ed = None;
        change(&mut order);
        let plan = Plan::of(&order, &Settings::defaults().unwrap(), None, [None; 2]).unwrap();
        PairDrawing::of(&order, &plan).to_string().lines().map(str::to_owned).collect()
    }

    /// Where a mark stands: its column behind the margin and its row from above.
    fn found(lines: &[String], mark: char) -> Vec<(usize, usize)> {
        let drawing = lines[..lines.len() - 2].iter().enumerate();
        drawing
            .flat_map(|(row, line)| {
                line.char_indices().filter(|(_, c)| *c == mark).map(move |(at, _)| (at - 2, row))
            })
            .collect()
    }

    #[test]
    fn both_boxes_stand_a_bridge_apart_and_the_centres_where_the_plan_puts_them() {
        // A 50, B 38, DBL 18: 118 mm are 118/75 = 1.574 mm a column; 25 mm are 15.9 and 93 mm 59.1 columns.
        let lines = drawn(|order| order.far_pd = PupillaryDistance::parse("28/31").unwrap());
        assert!(lines.iter().all(|line| line.chars().count() <= 80), "{lines:#?}");
        assert_eq!(found(&lines, BOXED), [(16, 6), (59, 6)]);
        // 34 - 28 = 6 mm in are 31 mm from the left, 19.7 columns; 34 - 31 = 3 mm in are 90 mm, 57.2 columns.
        assert_eq!(found(&lines, LAID_OUT), [(20, 6), (57, 6)]);
        assert!(lines[0].contains(" right ") && lines[0].find(" right ") < lines[0].find(" left "));
        let told = ["  as you face the wearer, 1.574 mm a column", "  + boxed centre   x optical centre"];
        assert_eq!(lines[lines.len() - 2..], told);
    }

    #[test]
    fn a_segment_is_as_wide_as_it_is_and_a_progressive_has_a_cross() {
        let multifocal = |order: &mut Order| {
            order.lens.design = Design::Multifocal;
            order.heights = Some([Length::from_milli(16_000); 2]);
            order.lens.segment =
                Some(Segment { shape: SegmentShape::FlatTop, width: Some(Length::from_milli(28_000)) });
        };
        let lines = drawn(multifocal);
        // 28 mm are 17.8 columns each, some of them under no other mark; 16 of 38 mm are 5.1 of 12 rows from below.
        let tops = found(&lines, SEGMENT);
        assert!((34..=38).contains(&tops.len()) && tops.iter().all(|(_, row)| *row == 7), "{lines:#?}");
        let progressive = |order: &mut Order| {
            order.lens.design = Design::Progressive;
            order.heights = Some([Length::from_milli(22_000); 2]);
        };
        assert!(drawn(progressive).last().unwrap().contains("x fitting cross"));
    }

    #[test]
    fn no_lens_no_mark_and_the_largest_frame_stays_within_the_columns() {
        let lines = drawn(|order| {
            order.left = EyeOrder::parse("none").unwrap();
            order.frame.size.a = Length::from_milli(75_000);
            order.frame.size.dbl = Length::from_milli(35_000);
        });
        assert!(lines.iter().all(|line| line.chars().count() <= 80), "{lines:#?}");
        assert_eq!((found(&lines, BOXED).len(), found(&lines, LAID_OUT).len()), (1, 1));
    }
}
