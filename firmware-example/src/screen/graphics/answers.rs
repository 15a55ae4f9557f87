//! What the keys answer, each beside the arrow of its key: up and down in one row, left, centre and right below it.

use super::super::{ANSWER_COLUMNS, Answers};
use super::ink::Ink;
use super::{WIDTH, letters};
use embedded_graphics::mono_font::MonoFont;
use embedded_graphics::prelude::*;

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

/// Draws up and down in the row that begins at `y`.
pub(super) fn draw_vertical(answers: &Answers, y: i32, ink: &mut Ink<'_>) {
    draw(&UP, answers.up, letters::SMALL, Point::new(0, y), ink);
    draw(&DOWN, answers.down, letters::SMALL, Point::new(WIDTH as i32 / 2, y), ink);
}

/// Draws left, centre and right in the row that begins at `y`: the centre between what the other two leave free.
/// Three long answers take the smallest letters.
pub(super) fn draw_horizontal(answers: &Answers, y: i32, ink: &mut Ink<'_>) {
    let total = |font| {
        let answers = [answers.left, answers.centre, answers.right];
        answers.iter().map(|says| width(says, font)).sum::<i32>() + 2 * GAP
    };
    let font = if total(letters::SMALL) <= WIDTH as i32 { letters::SMALL } else { letters::SMALLEST };
    let left_end = width(answers.left, font);
    let right_start = WIDTH as i32 - width(answers.right, font);
    // In the middle of the display if that is free, else in the middle of what is.
    let centre_width = width(answers.centre, font);
    let middle = (WIDTH as i32 - centre_width) / 2;
    let free = middle >= left_end + GAP && middle + centre_width + GAP <= right_start;
    let centre = if free { middle } else { (left_end + right_start - centre_width) / 2 };
    draw(&LEFT, answers.left, font, Point::new(0, y), ink);
    draw(&CENTRE, answers.centre, font, Point::new(centre, y), ink);
    draw(&RIGHT, answers.right, font, Point::new(right_start, y), ink);
}

/// The pixels of an answer with its arrow.
fn width(says: &str, font: &MonoFont<'_>) -> i32 {
    match letters::cut(says, ANSWER_COLUMNS) {
        "" => 0,
        says => SHAPE + GAP + letters::text_width(font, says) as i32,
    }
}

fn draw(shape: &Shape, says: &str, font: &MonoFont<'_>, at: Point, ink: &mut Ink<'_>) {
    let says = letters::cut(says, ANSWER_COLUMNS);
    if says.is_empty() {
        return;
    }
    ink.shape(at, shape, SHAPE);
    let lower = (8 - font.character_size.height as i32) / 2;
    ink.write(font, at + Point::new(SHAPE + GAP, lower), says);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_answers_of_full_length_fit_in_the_smallest_letters() {
        let widest = width("12345678", letters::SMALLEST);
        assert!(3 * widest + 2 * GAP <= WIDTH as i32, "{widest}");
        assert!(width("12345678", letters::SMALL) < WIDTH as i32 / 2);
    }
}
