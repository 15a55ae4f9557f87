//! A screen in pixels: 128 × 64 in the upper left corner of any display that has a colour for on and one for off.
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
//! The eye is inverted in the header; the title is inverted, with a sign in front, where the tone is a warning or a
//! refusal. A picture reaches down beside a short detail. A list has the arrows up and down at its right edge where
//! more items lie beyond. A message that answers up or down has three lines; a fourth gives way.
//!
//! What is too long is cut off; nothing is drawn outside.
//!
//! On a display with shades the header, the detail and the scales of pictures are dim, so that the figure, the title and
//! the answers stand out ([`draw_in_shades`]).

mod answers;
mod ink;
mod letters;
mod picture;
mod prism;
#[cfg(test)]
mod tests;

pub use ink::{HEIGHT, WIDTH};

use super::{Body, COLUMNS, Header, LIST_LINES, Line, Picture, Screen, Tone, words};
use embedded_graphics::pixelcolor::BinaryColor;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use ink::{Ink, Shade};

const TITLE_TOP: i32 = 9;
const TITLE_HEIGHT: u32 = 10;
const BODY_TOP: i32 = 20;
const FIGURE_HEIGHT: u32 = 20;
const DETAIL_TOP: i32 = 40;
const DETAIL_HEIGHT: u32 = 8;
const VERTICAL_TOP: i32 = 48;
const HORIZONTAL_TOP: i32 = 56;
const ITEM_HEIGHT: i32 = 9;

/// Draws `screen`, over whatever stood there.
///
/// # Errors
/// What the display answers when it cannot be drawn to.
pub fn draw<D>(screen: &Screen, display: &mut D) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: From<BinaryColor>,
{
    draw_in_shades(screen, display, BinaryColor::On.into())
}

/// As [`draw`], with `dim` for what is looked at second.
///
/// # Errors
/// As [`draw`].
pub fn draw_in_shades<D>(screen: &Screen, display: &mut D, dim: D::Color) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: From<BinaryColor>,
{
    let mut drawn = Ok(());
    let mut fill = |area: &Rectangle, shade: Shade| {
        let color = match shade {
            Shade::Off => BinaryColor::Off.into(),
            Shade::Dim => dim,
            Shade::On => BinaryColor::On.into(),
        };
        if drawn.is_ok() {
            drawn = display.fill_solid(area, color);
        }
    };
    paint(screen, &mut Ink::new(&mut fill));
    drawn
}

/// Out of line and once for all displays: each only fills rectangles.
#[inline(never)]
fn paint(screen: &Screen, ink: &mut Ink<'_>) {
    ink.wipe(Rectangle::new(Point::zero(), Size::new(WIDTH, HEIGHT)));
    header(&screen.header, &mut ink.dimmed());
    match &screen.body {
        Body::Question { question, figure, detail, picture } => {
            title(question, screen.tone, ink);
            Places::of(figure, detail, *picture).draw(figure, detail, *picture, ink);
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
        Body::Message { title: about, lines } => {
            title(about, screen.tone, ink);
            let vertical = !(screen.answers.up.is_empty() && screen.answers.down.is_empty());
            let room = if vertical { LIST_LINES - 1 } else { LIST_LINES };
            for (row, line) in (0..).zip(lines.iter().take(room)) {
                ink.write(letters::SAID, Point::new(1, BODY_TOP + row * ITEM_HEIGHT), line.as_str());
            }
            answers::draw_vertical(&screen.answers, VERTICAL_TOP, ink);
        }
    }
    answers::draw_horizontal(&screen.answers, HORIZONTAL_TOP, ink);
}

fn header(header: &Header, ink: &mut Ink<'_>) {
    const EYE_WIDTH: i32 = 9;
    let font = letters::SMALL;
    let link = words::link(header);
    let link_left = WIDTH as i32 - letters::text_width(font, link.as_str()) as i32;
    let eye_width = if header.eye.is_some() { EYE_WIDTH } else { 0 };
    let room = (link_left - eye_width - 4) / font.character_size.width as i32;
    let job = words::job(header, usize::try_from(room).unwrap_or(0).min(COLUMNS));
    ink.write(font, Point::zero(), job.as_str());
    if let Some(eye) = header.eye {
        let left = letters::text_width(font, job.as_str()) as i32 + 1;
        ink.fill(Rectangle::new(Point::new(left, 0), Size::new(EYE_WIDTH as u32, 8)));
        let mut letter = [0; 4];
        let letter = eye.letter().encode_utf8(&mut letter);
        ink.inverted().write(font, Point::new(left + 2, 0), letter);
    }
    ink.write(font, Point::new(link_left, 0), link.as_str());
    ink.line(Point::new(0, 8), Point::new(WIDTH as i32 - 1, 8), 1);
}

fn title(title: &Line, tone: Tone, ink: &mut Ink<'_>) {
    let sign = words::sign(tone);
    let letters_long = sign.len() + title.as_str().chars().count();
    let (font, lower) = if letters_long <= COLUMNS { (letters::TITLE, 0) } else { (letters::SMALL, 1) };
    let at = Point::new(1, TITLE_TOP + lower);
    let behind = at + Point::new(letters::text_width(font, sign) as i32, 0);
    if tone == Tone::Plain {
        return ink.write(font, at, title.as_str());
    }
    ink.fill(Rectangle::new(Point::new(0, TITLE_TOP), Size::new(WIDTH, TITLE_HEIGHT)));
    let mut inverted = ink.inverted();
    inverted.write(font, at, sign);
    inverted.write(font, behind, title.as_str());
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

    /// The figure as big as its picture lets it be, the picture in what is left.
    fn of(figure: &Line, detail: &Line, picture: Picture) -> Self {
        let pictured = picture != Picture::None;
        let room = if pictured { WIDTH - picture::LEAST_WIDTH - Self::GAP } else { WIDTH };
        let text = letters::cut(figure.as_str(), letters::FIGURE_COLUMNS);
        let figure_width = letters::figure_font(text, room).width(text);
        let detail_width = letters::text_width(letters::SMALL, detail.as_str());
        let beside = |left: u32| {
            // A short detail leaves its own rows to the picture.
            let height = if detail_width <= left { FIGURE_HEIGHT + DETAIL_HEIGHT } else { FIGURE_HEIGHT };
            Rectangle::new(Point::new(left as i32, BODY_TOP), Size::new(WIDTH - left, height))
        };
        Self {
            figure: Rectangle::new(Point::new(0, BODY_TOP), Size::new(figure_width, FIGURE_HEIGHT)),
            detail: Rectangle::new(Point::new(0, DETAIL_TOP), Size::new(detail_width, DETAIL_HEIGHT)),
            picture: pictured.then(|| beside((figure_width + Self::GAP).max(WIDTH / 2))),
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
