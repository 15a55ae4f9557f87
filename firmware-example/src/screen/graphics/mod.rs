//! A screen in pixels, on a [`Canvas`].
//!
//! | rows | a question | a list | a message |
//! |---|---|---|---|
//! | 0–8 | header, underlined | header | header |
//! | 9–18 | what is asked | what is chosen | what it is about |
//! | 20–39 | figure, picture on the right | items, the chosen one inverted | lines |
//! | 40–47 | detail | items | lines |
//! | 48–55 | up, down | items | lines, or up and down |
//! | 56–63 | left, centre, right | left, centre, right | left, centre, right |
//!
//! A prism has its two parts in rows 20–47 with the lens beside them, and its detail where up and down would be answered.
//!
//! While a key is held that then does something, the line below the header is a bar that grows. A press that was not taken
//! stands inverted in the header for a moment. Both change the header alone ([`draw_header`]).
//!
//! The eye in hand stands beside header and title, as bold as a figure; for a moment it is all there is, when it changes
//! ([`Body::Eye`]). The title is inverted, with a sign in front, where the tone is a warning or a
//! refusal. A picture reaches down beside a short detail. A list has the arrows up and down at its right edge where
//! more items lie beyond. A message that answers up or down has three lines; a fourth gives way.
//!
//! What is too long is cut off; nothing is drawn outside.
//!
//! On a display with shades the header, the detail and the scales of pictures are dim, so that the figure, the title and
//! the answers stand out.

mod answers;
mod ink;
mod lens;
mod letters;
mod picture;
mod prism;
#[cfg(test)]
mod tests;
mod turn;

#[cfg(test)]
pub(crate) use answers::holds;

use super::canvas::Canvas;
use super::{
    Answers, Body, COLUMNS, HOLD_STEPS, Header, LIST_LINES, Line, Picture, Screen, Tone, WORD_COLUMNS, words,
};
use bevelbook_core::prescription::Eye;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use ink::{HEIGHT, Ink, WIDTH};
use letters::Font;

/// The line below the header.
const RULE: i32 = 8;
const TITLE_TOP: i32 = 9;
const TITLE_HEIGHT: u32 = 10;
const BODY_TOP: i32 = 20;
const FIGURE_HEIGHT: u32 = 20;
const DETAIL_TOP: i32 = 40;
const DETAIL_HEIGHT: u32 = 8;
const VERTICAL_TOP: i32 = 48;
const HORIZONTAL_TOP: i32 = 56;
const ITEM_HEIGHT: i32 = 9;
/// How wide the eye in hand is.
const EYE_WIDTH: i32 = 14;
/// Where lines begin beside a large word.
const BESIDE_LEFT: i32 = 46;

/// Draws `screen`, over whatever stood there.
#[inline(never)]
pub fn draw(screen: &Screen, canvas: &mut Canvas) {
    let ink = &mut Ink::new(canvas);
    ink.wipe(Rectangle::new(Point::zero(), Size::new(WIDTH, HEIGHT)));
    header(&screen.header, ink);
    if let Some(eye) = screen.header.eye {
        eye_in_hand(eye, ink);
    }
    let title =
        |text: &Line, tone: Tone, ink: &mut Ink<'_>| title(text, tone, title_left(&screen.header), ink);
    match &screen.body {
        Body::Eye(eye) => return all_eye(*eye, ink),
        Body::Question { question, figure, detail, picture } => {
            title(question, screen.tone, ink);
            let low = answers::are_vertical(&screen.answers);
            Places::of(figure, detail, *picture, low).draw(figure, detail, *picture, ink);
            answers::draw_vertical(&screen.answers, VERTICAL_TOP, ink);
        }
        Body::Prism { question, lens, changed, detail } => {
            title(question, screen.tone, ink);
            prism::draw(lens, *changed, BODY_TOP, ink);
            ink.dimmed().write(letters::SMALL, Point::new(0, VERTICAL_TOP), detail.as_str());
            answers::draw_vertical(&screen.answers, VERTICAL_TOP, ink);
        }
        Body::List { title: chosen, items, selected, more } => {
            title(chosen, screen.tone, ink);
            list(items, *selected, *more, ink);
        }
        Body::Large { title: about, word, lines } => {
            title(about, screen.tone, ink);
            let word = letters::cut(word, WORD_COLUMNS);
            let letters::FigureFont { font, skip } = letters::figure_font(word, WIDTH);
            ink.write_large(font, Point::new(0, BODY_TOP - skip), word, letters::TIMES);
            said(lines, letters::SMALL, BESIDE_LEFT, &screen.answers, ink);
        }
        Body::Message { title: about, lines } => {
            title(about, screen.tone, ink);
            said(lines, letters::SAID, 1, &screen.answers, ink);
        }
    }
    let moves_choice = matches!(screen.body, Body::List { .. });
    answers::draw_horizontal(&screen.answers, moves_choice, HORIZONTAL_TOP, ink);
}

/// Lines from `left` on, and the answers of up and down, before which a fourth line gives way.
fn said(lines: &[Line], font: &Font, left: i32, answers: &Answers, ink: &mut Ink<'_>) {
    let room = if answers::are_vertical(answers) { LIST_LINES - 1 } else { LIST_LINES };
    for (row, line) in (0..).zip(lines.iter().take(room)) {
        let shown = letters::cut(line.as_str(), columns(font, left));
        ink.write(font, Point::new(left, BODY_TOP + row * ITEM_HEIGHT), shown);
    }
    answers::draw_vertical(answers, VERTICAL_TOP, ink);
}

/// The letters that there is room for from `left` on.
const fn columns(font: &Font, left: i32) -> usize {
    WIDTH.saturating_sub(left.unsigned_abs()) as usize / font.width as usize
}

/// Draws the header anew, over a screen that stands there with another one of the same eye.
pub fn draw_header(screen: &Screen, canvas: &mut Canvas) {
    if !matches!(screen.body, Body::Eye(_)) {
        header(&screen.header, &mut Ink::new(canvas));
    }
}

#[inline(never)]
fn header(header: &Header, ink: &mut Ink<'_>) {
    let font = letters::SMALL;
    let left = title_left(header);
    let (corner, end) = (Point::new(left, 0), Point::new(WIDTH as i32 - 1, RULE));
    ink.wipe(Rectangle::with_corners(corner, end));
    let link = words::link(header);
    let link_left = WIDTH as i32 - letters::text_width(font, link.as_str()) as i32;
    let room = (link_left - left - 4) / font.width as i32;
    let job = words::job(header, usize::try_from(room).unwrap_or(0).min(COLUMNS));
    ink.dimmed().write(font, corner, job.as_str());
    let at = Point::new(link_left, 0);
    if header.too_fast {
        ink.span(at - Point::new(2, 0), end);
        ink.inverted().write(font, at, link.as_str());
    } else {
        ink.dimmed().write(font, at, link.as_str());
    }
    match header.hold {
        0 => ink.dimmed().line(Point::new(left, RULE), end),
        hold => {
            let grown = (end.x - left) * i32::from(hold.min(HOLD_STEPS)) / i32::from(HOLD_STEPS);
            ink.span(Point::new(left, RULE - 1), Point::new(left + grown, RULE));
        }
    }
}

/// The eye in hand, as large as header and title are high.
fn eye_in_hand(eye: Eye, ink: &mut Ink<'_>) {
    let mut letter = [0; 4];
    let letter = eye.letter().encode_utf8(&mut letter);
    let letters::FigureFont { font, skip } = letters::figure_font(letter, WIDTH);
    ink.write_large(font, Point::new(0, -skip), letter, letters::TIMES);
}

/// The eye's name over all the display.
fn all_eye(eye: Eye, ink: &mut Ink<'_>) {
    const TIMES: u32 = 4;
    ink.fill(Rectangle::new(Point::zero(), Size::new(WIDTH, HEIGHT)));
    let name = words::eye(eye);
    let width = letters::text_width(letters::TITLE, name) * TIMES;
    // The height of a capital, seven pixels below an empty row.
    let at = Point::new((WIDTH - width) as i32 / 2 + 2, (HEIGHT - 7 * TIMES) as i32 / 2 - TIMES as i32);
    ink.inverted().write_large(letters::TITLE, at, name, TIMES);
}

/// Where the title begins.
const fn title_left(header: &Header) -> i32 {
    if header.eye.is_some() { EYE_WIDTH + 2 } else { 0 }
}

fn title(title: &Line, tone: Tone, left: i32, ink: &mut Ink<'_>) {
    let sign = words::sign(tone);
    let room = |font: &Font| columns(font, left + 1).saturating_sub(sign.len());
    let (font, lower) = match title.as_str().chars().count() {
        long if long <= room(letters::TITLE) => (letters::TITLE, 0),
        _ => (letters::SMALL, 1),
    };
    let title = letters::cut(title.as_str(), room(font));
    let at = Point::new(left + 1, TITLE_TOP + lower);
    let behind = at + Point::new(letters::text_width(font, sign) as i32, 0);
    if tone == Tone::Plain {
        return ink.write(font, at, title);
    }
    ink.fill(Rectangle::new(Point::new(left, TITLE_TOP), Size::new(WIDTH - left as u32, TITLE_HEIGHT)));
    let mut inverted = ink.inverted();
    inverted.write(font, at, sign);
    inverted.write(font, behind, title);
}

fn list(items: &[Line], selected: usize, more: (bool, bool), ink: &mut Ink<'_>) {
    let edge = WIDTH as i32 - answers::SHAPE;
    for (row, (index, item)) in (0..).zip(items.iter().take(LIST_LINES).enumerate()) {
        let top = BODY_TOP + row * ITEM_HEIGHT;
        let at = Point::new(3, top + 1);
        if index == selected {
            ink.fill(Rectangle::new(Point::new(0, top), Size::new(edge as u32 - 2, ITEM_HEIGHT as u32)));
            ink.inverted().write(letters::SMALL, at, item.as_str());
        } else {
            ink.write(letters::SMALL, at, item.as_str());
        }
    }
    if more.0 {
        ink.shape(Point::new(edge, BODY_TOP + 1), &answers::UP, answers::SHAPE);
    }
    if more.1 {
        let last = BODY_TOP + (LIST_LINES as i32 - 1) * ITEM_HEIGHT;
        ink.shape(Point::new(edge, last + 1), &answers::DOWN, answers::SHAPE);
    }
}

/// Where the parts of a question stand; they never overlap.
struct Places {
    figure: Rectangle,
    detail: Rectangle,
    picture: Option<Rectangle>,
}

impl Places {
    /// Between the figure and its picture.
    const GAP: u32 = 2;

    /// The figure as big as its picture lets it be, the picture in what is left. A lens also takes the rows of up and down
    /// where those answer nothing; a long detail goes there.
    fn of(figure: &Line, detail: &Line, picture: Picture, answered: bool) -> Self {
        let pictured = picture != Picture::None;
        let room = if pictured { WIDTH - picture::LEAST_WIDTH - Self::GAP } else { WIDTH };
        let text = letters::cut(figure.as_str(), letters::FIGURE_COLUMNS);
        let figure_width = letters::figure_font(text, room).width(text);
        let detail_width = letters::text_width(letters::SMALL, detail.as_str());
        let left = (figure_width + Self::GAP).max(WIDTH / 2);
        let lower = if answered || !matches!(picture, Picture::Uncut(_)) { 0 } else { DETAIL_HEIGHT };
        // A short detail leaves its own rows to the picture.
        let (height, lowered) = match detail_width <= left {
            true => (FIGURE_HEIGHT + DETAIL_HEIGHT + lower, 0),
            false => (FIGURE_HEIGHT + lower, lower),
        };
        let beside = Rectangle::new(Point::new(left as i32, BODY_TOP), Size::new(WIDTH - left, height));
        Self {
            figure: Rectangle::new(Point::new(0, BODY_TOP), Size::new(figure_width, FIGURE_HEIGHT)),
            detail: Rectangle::new(
                Point::new(0, DETAIL_TOP + lowered as i32),
                Size::new(detail_width, DETAIL_HEIGHT),
            ),
            picture: pictured.then_some(beside),
        }
    }

    fn draw(&self, figure: &Line, detail: &Line, picture: Picture, ink: &mut Ink<'_>) {
        let text = letters::cut(figure.as_str(), letters::FIGURE_COLUMNS);
        let letters::FigureFont { font, skip } = letters::figure_font(text, self.figure.size.width);
        ink.write_large(font, self.figure.top_left - Point::new(0, skip), text, letters::TIMES);
        ink.dimmed().write(letters::SMALL, self.detail.top_left, detail.as_str());
        if let Some(area) = self.picture {
            picture::draw(picture, area, ink);
        }
    }
}
