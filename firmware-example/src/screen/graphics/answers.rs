//! What the keys answer, each beside the arrow of its key: up and down in one row, left, centre and right below it. What
//! a held key does stands behind that, small and inverted; of the left key in the row above where that has room for it.

use super::super::{ANSWER_COLUMNS, Answers, Held};
use super::ink::{Ink, WIDTH};
use super::letters;
use super::letters::Font;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;

/// A shape of [`SHAPE`] × [`SHAPE`] pixels.
pub(super) type Shape = [u8; SHAPE as usize];

/// The sides of an arrow.
pub(super) const SHAPE: i32 = 7;

pub(super) const UP: Shape =
    [0b000_1000, 0b001_1100, 0b011_1110, 0b111_1111, 0b001_1100, 0b001_1100, 0b001_1100];
pub(super) const DOWN: Shape =
    [0b001_1100, 0b001_1100, 0b001_1100, 0b111_1111, 0b011_1110, 0b001_1100, 0b000_1000];
const LEFT: Shape = [0b000_1000, 0b001_1000, 0b011_1111, 0b111_1111, 0b011_1111, 0b001_1000, 0b000_1000];
const RIGHT: Shape = [0b000_1000, 0b000_1100, 0b111_1110, 0b111_1111, 0b111_1110, 0b000_1100, 0b000_1000];
const CENTRE: Shape = [0b001_1100, 0b011_1110, 0b111_1111, 0b111_1111, 0b111_1111, 0b011_1110, 0b001_1100];

/// Between an arrow and its words.
const GAP: i32 = 2;

/// A key with what it answers when it is pressed and when it is held.
#[derive(Clone, Copy)]
struct Cell<'a> {
    shape: &'a Shape,
    says: &'a str,
    held: &'a str,
}

impl<'a> Cell<'a> {
    fn new(shape: &'a Shape, says: &'a str, held: Held) -> Self {
        Self { shape, says: letters::cut(says, ANSWER_COLUMNS), held: held.words() }
    }

    const fn is_empty(&self) -> bool {
        self.says.is_empty() && self.held.is_empty()
    }

    /// The pixels that it takes.
    fn width(&self, font: &Font) -> i32 {
        let part = |text, font| match text {
            "" => 0,
            text => GAP + letters::text_width(font, text) as i32,
        };
        if self.is_empty() {
            return 0;
        }
        SHAPE + part(self.says, font) + part(self.held, letters::SMALLEST)
    }

    fn draw(&self, font: &Font, at: Point, ink: &mut Ink<'_>) {
        if self.is_empty() {
            return;
        }
        ink.shape(at, self.shape, SHAPE);
        let mut left = at + Point::new(SHAPE + GAP, 0);
        if !self.says.is_empty() {
            let lower = (8 - font.height as i32) / 2;
            ink.write(font, left + Point::new(0, lower), self.says);
            left.x += letters::text_width(font, self.says) as i32 + GAP;
        }
        if !self.held.is_empty() {
            // The last column of a letter's cell is free: the text stands in the middle.
            let width = letters::text_width(letters::SMALLEST, self.held) + 1;
            ink.fill(Rectangle::new(left - Point::new(1, 0), Size::new(width, SHAPE as u32)));
            ink.inverted().write(letters::SMALLEST, left + Point::new(0, 1), self.held);
        }
    }
}

/// Whether up or down answers something.
pub(super) const fn are_vertical(answers: &Answers) -> bool {
    !(answers.up.is_empty() && answers.down.is_empty())
}

/// Up and down, where the second begins, and the held left key where there is room for it behind them.
fn vertical(answers: &Answers) -> (Cell<'_>, Cell<'_>, i32, Option<Cell<'_>>) {
    let up = Cell::new(&UP, answers.up, answers.held.up);
    let down = Cell::new(&DOWN, answers.down, Held::Nothing);
    let left = Cell::new(&LEFT, "", answers.held.left);
    let width = |cell: Cell<'_>| cell.width(letters::SMALL);
    let middle = (WIDTH as i32 / 2).max(width(up) + GAP);
    let fits = are_vertical(answers) && middle + width(down) + GAP + width(left) <= WIDTH as i32;
    (up, down, middle, Some(left).filter(|_| fits))
}

/// Draws up and down in the row that begins at `y`, and behind them what held left does.
pub(super) fn draw_vertical(answers: &Answers, y: i32, ink: &mut Ink<'_>) {
    let (up, down, middle, left) = vertical(answers);
    up.draw(letters::SMALL, Point::new(0, y), ink);
    down.draw(letters::SMALL, Point::new(middle, y), ink);
    if let Some(left) = left {
        left.draw(letters::SMALL, Point::new(WIDTH as i32 - left.width(letters::SMALL), y), ink);
    }
}

/// Left, centre and right.
fn horizontal(answers: &Answers, moves_choice: bool) -> [Cell<'_>; 3] {
    let above = !moves_choice && vertical(answers).3.is_some();
    let left = Cell::new(&LEFT, answers.left, if above { Held::Nothing } else { answers.held.left });
    let centre = Cell::new(&CENTRE, answers.centre, answers.held.centre);
    [left, centre, Cell::new(&RIGHT, answers.right, Held::Nothing)]
}

/// What they take beside each other.
fn total(cells: &[Cell<'_>; 3], font: &Font) -> i32 {
    cells.iter().map(|cell| cell.width(font)).sum::<i32>() + 2 * GAP
}

/// Draws left, centre and right in the row that begins at `y`: the centre between what the other two leave free.
/// Three long answers take the smallest letters.
pub(super) fn draw_horizontal(answers: &Answers, moves_choice: bool, y: i32, ink: &mut Ink<'_>) {
    let cells = horizontal(answers, moves_choice);
    let small = total(&cells, letters::SMALL) <= WIDTH as i32;
    let font = if small { letters::SMALL } else { letters::SMALLEST };
    let [left, centre, right] = cells;
    let left_end = left.width(font);
    let right_start = WIDTH as i32 - right.width(font);
    // In the middle of the display if that is free, else in the middle of what is.
    let centre_width = centre.width(font);
    let middle = (WIDTH as i32 - centre_width) / 2;
    let free = middle >= left_end + GAP && middle + centre_width + GAP <= right_start;
    let middle = if free { middle } else { (left_end + right_start - centre_width) / 2 };
    left.draw(font, Point::new(0, y), ink);
    centre.draw(font, Point::new(middle, y), ink);
    right.draw(font, Point::new(right_start, y), ink);
}

/// Whether all answers have room beside each other.
#[cfg(test)]
pub(crate) fn holds(answers: &Answers, moves_choice: bool) -> bool {
    let (_, down, middle, _) = vertical(answers);
    let cells = horizontal(answers, moves_choice);
    total(&cells, letters::SMALLEST) <= WIDTH as i32
        && (moves_choice || middle + down.width(letters::SMALL) <= WIDTH as i32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_answers_of_full_length_fit_in_the_smallest_letters() {
        let cell = Cell::new(&UP, "12345678", Held::Nothing);
        assert!(3 * cell.width(letters::SMALLEST) + 2 * GAP <= WIDTH as i32);
        assert!(cell.width(letters::SMALL) < WIDTH as i32 / 2);
    }
}
