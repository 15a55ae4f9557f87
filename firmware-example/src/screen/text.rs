//! A screen in letters: eight rows of [`COLUMNS`] characters, for a terminal and for tests.
//!
//! - Row 0, the header: the eye and the job on the left, on the right the console. `3 to send` means that a
//!   console is there and still lacks 3 records, `3 held` that none is.
//! - Row 1: what is asked; `! ` in front of a warning, `STOP ` in front of a refusal.
//! - A question: row 2 the figure, row 3 the detail, row 4 the picture.
//! - A prism: its parts in rows 2 and 3, each with an arrow toward its base, `>` at the one that is changed; then the detail.
//! - A list: rows 2 to 5, `>` at the chosen item, `↑` and `↓` where more items lie beyond.
//! - A message: rows 2 to 5; beside a large word they begin behind it.
//! - A press that came too fast and was not taken shows in the header for a moment. At the end of the last row a bar grows
//!   while a key is held that then does something.
//! - The last rows, what the keys answer: up and down, left and right, the centre (`●`); in brackets what they do when they
//!   are held. In a list up and down move
//!   the choice and are not written. A message that answers up or down has three lines; a fourth gives way.
//!
//! The picture of a size is a scale with larger sizes to the right: `F` the smallest that fitted, `B` the smallest
//! still too big, `#` what is therefore too big as well, `.` what lies below a fit, `|` the size that stands there.
//! Where `|` falls on `F` or `B` it takes its place. The picture of an axis runs as the half circle does, from 180
//! on the left over 90 (`+`) to 0 on the right.
//!
//! What is too long is cut off.

#[cfg(test)]
mod tests;

use super::scale::Scale;
use super::{
    ANSWER_COLUMNS, Answers, BESIDE_COLUMNS, Body, COLUMNS, HOLD_STEPS, Header, Held, HeldKeys, LIST_COLUMNS,
    Line, MarkedLens, Marks, Picture, Screen, WORD_COLUMNS, words,
};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use core::fmt;

/// The rows of a screen.
pub const ROWS: usize = 8;

/// The row at which the body begins.
const BODY: usize = 2;

/// A screen in letters. Its `Display` writes the rows with line ends between them, without spaces at their ends.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TextScreen {
    rows: [Line; ROWS],
}

impl TextScreen {
    /// The rows from the top, each of at most [`COLUMNS`] characters.
    pub fn rows(&self) -> impl Iterator<Item = &str> {
        self.rows.iter().map(Line::as_str)
    }

    fn set(&mut self, row: usize, shown: impl fmt::Display) {
        if let Some(place) = self.rows.get_mut(row) {
            let written = Line::new(shown);
            *place = Line::new(written.as_str().trim_end());
        }
    }
}

impl fmt::Display for TextScreen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (row, text) in self.rows().enumerate() {
            f.write_str(if row == 0 { "" } else { "\n" })?;
            f.write_str(text)?;
        }
        Ok(())
    }
}

/// The screen in letters.
#[must_use]
pub fn render(screen: &Screen) -> TextScreen {
    let mut text = TextScreen::default();
    header(&screen.header, &mut text);
    let title = match &screen.body {
        Body::Question { question, .. } | Body::Prism { question, .. } => question,
        Body::List { title, .. } | Body::Large { title, .. } | Body::Message { title, .. } => title,
        Body::Eye(_) => &Line::default(),
    };
    text.set(1, format_args!("{}{}", words::sign(screen.tone), title));
    body(&screen.body, &mut text);
    let moves_choice = matches!(screen.body, Body::List { .. });
    answers(&screen.answers, moves_choice, &mut text);
    if screen.header.hold > 0 {
        let grown = &"======="[..usize::from(screen.header.hold.min(HOLD_STEPS))];
        text.set(ROWS - 1, format_args!("{:<1$}{grown}", text.rows[ROWS - 1].clone(), COLUMNS - 7));
    }
    text
}

fn header(header: &Header, text: &mut TextScreen) {
    let link = words::link(header);
    let width = link.as_str().chars().count();
    let room = |eye: usize| COLUMNS.saturating_sub(width + 1 + eye);
    let left = match header.eye {
        None => words::job(header, room(0)),
        Some(eye) => {
            // In full where the job leaves room for it.
            let (name, job) = (words::eye(eye), header.job.as_str().chars().count());
            let name = if job <= room(name.len() + 1) { name } else { &name[..1] };
            Line::new(format_args!("{name} {}", words::job(header, room(name.len() + 1))))
        }
    };
    text.set(0, format_args!("{:<2$} {}", left, link, COLUMNS.saturating_sub(width + 1)));
}

fn body(body: &Body, text: &mut TextScreen) {
    match body {
        Body::Question { figure, detail, picture, .. } => {
            text.set(BODY, format_args!("    {figure}"));
            text.set(BODY + 1, detail);
            match *picture {
                Picture::None => {}
                Picture::Axis(degrees) => text.set(BODY + 2, axis(degrees)),
                Picture::Gauge { now, too_big, fits } => text.set(BODY + 2, gauge(now, too_big, fits)),
                Picture::Uncut(lens) => {
                    if let Some(degrees) = lens.axis {
                        text.set(BODY + 2, axis(degrees));
                    }
                    text.set(BODY + 2 + usize::from(lens.axis.is_some()), uncut(&lens));
                }
            }
        }
        Body::Prism { lens, changed, detail, .. } => {
            let parts = words::parts(lens, *changed);
            for (row, part) in parts.iter().enumerate() {
                let mark = if part.changed { '>' } else { ' ' };
                text.set(BODY + row, format_args!("{mark} {} {}", part.words, toward(part.way)));
            }
            text.set(BODY + parts.len(), detail);
        }
        Body::List { items, selected, more, .. } => {
            let last = items.len().saturating_sub(1);
            for (index, item) in items.iter().enumerate() {
                let mark = if index == *selected { '>' } else { ' ' };
                let beyond = match (index, *more) {
                    (0, (true, _)) => '↑',
                    (index, (_, true)) if index == last => '↓',
                    _ => ' ',
                };
                text.set(BODY + index, format_args!("{mark} {item:<LIST_COLUMNS$.LIST_COLUMNS$}{beyond}"));
            }
        }
        Body::Large { word, lines, .. } => {
            text.set(BODY, format_args!("{word:.WORD_COLUMNS$}"));
            for (index, line) in lines.iter().enumerate() {
                let word = if index == 0 { *word } else { "" };
                text.set(
                    BODY + index,
                    format_args!("{word:<WORD_COLUMNS$.WORD_COLUMNS$}  {line:.BESIDE_COLUMNS$}"),
                );
            }
        }
        Body::Eye(eye) => {
            let rule = "#####################";
            text.set(BODY, rule);
            text.set(BODY + 2, format_args!("{:^1$}", words::eye(*eye), COLUMNS));
            text.set(BODY + 4, rule);
        }
        Body::Message { lines, .. } => {
            for (index, line) in lines.iter().enumerate() {
                text.set(BODY + index, line);
            }
        }
    }
}

/// An arrow that way: to the right and up.
const fn toward(way: (i32, i32)) -> char {
    match way {
        (1.., _) => '→',
        (..0, _) => '←',
        (0, 1..) => '↑',
        (0, ..0) => '↓',
        (0, 0) => ' ',
    }
}

/// The half circle rolled out: 180 on the left, 0 on the right.
fn axis(degrees: u16) -> Line {
    const PLACES: u16 = 17;
    let from_left = 180 - degrees.min(180);
    let hand = (from_left * (PLACES - 1) + 90) / 180;
    let mut row = heapless::String::<{ PLACES as usize }>::new();
    for place in 0..PLACES {
        let letter = if place == hand {
            '|'
        } else if 2 * place == PLACES - 1 {
            '+'
        } else {
            '-'
        };
        // The row is as long as its places.
        let _ = row.push(letter);
    }
    Line::new(format_args!("180{row}0"))
}

/// Its marks from the left to the right, in brackets where it is blocked, and at which end the nose is.
fn uncut(lens: &MarkedLens) -> Line {
    let marks = match (lens.marks, lens.eye) {
        (Marks::Dots, _) => "•  ●  •",
        (Marks::Segment, Eye::Right) => "•  ●u •",
        (Marks::Segment, Eye::Left) => "• u●  •",
        (Marks::Cross, _) => "o  +  o",
    };
    let [open, close] = if lens.blocked { ["[", "]"] } else { [" ", " "] };
    let [before, behind] = if lens.eye == Eye::Right { ["    ", " nose"] } else { ["nose", ""] };
    Line::new(format_args!("{before} ({open}{marks}{close}){behind}"))
}

fn gauge(now: Length, too_big: Option<Length>, fits: Option<Length>) -> Line {
    const PLACES: i32 = COLUMNS as i32;
    let scale = Scale::over(now, too_big, fits);
    let at = |size: Length| scale.place(size, PLACES);
    let (big_at, fits_at) = (too_big.map(at), fits.map(at));
    let mut hand = at(now);
    // Sizes that differ do not share a place while there is another.
    if let (Some(big), Some(place)) = (too_big, big_at)
        && now < big
    {
        hand = hand.min(place - 1);
    }
    if let (Some(fit), Some(place)) = (fits, fits_at)
        && now > fit
    {
        hand = hand.max(place + 1);
    }
    let mut row = heapless::String::<COLUMNS>::new();
    for place in 0..PLACES {
        let letter = if place == hand {
            '|'
        } else if Some(place) == big_at {
            'B'
        } else if Some(place) == fits_at {
            'F'
        } else if big_at.is_some_and(|big| place > big) {
            '#'
        } else if fits_at.is_some_and(|fit| place < fit) {
            '.'
        } else {
            '-'
        };
        // The row is as long as its places.
        let _ = row.push(letter);
    }
    Line::new(row)
}

fn answers(answers: &Answers, moves_choice: bool, text: &mut TextScreen) {
    let cell = |key: &str, says: &str, held: Held| match (says, held.words()) {
        ("", "") => Line::default(),
        (says, "") => Line::new(format_args!("{key} {says:.ANSWER_COLUMNS$}")),
        (says, held) => Line::new(format_args!("{key} {says:.ANSWER_COLUMNS$}[{held}]")),
    };
    let row = |first: Line, second: Line| {
        // The second begins in the middle, or as far behind as it can.
        let width = COLUMNS.saturating_sub(second.as_str().chars().count()).min(ANSWER_COLUMNS + 3);
        Line::new(format_args!("{first:<width$}{second}"))
    };
    let HeldKeys { up, left, centre } = answers.held;
    let vertical = !(moves_choice || answers.up.is_empty() && answers.down.is_empty());
    if vertical {
        text.set(ROWS - 3, row(cell("↑", answers.up, up), cell("↓", answers.down, Held::Nothing)));
    }
    text.set(ROWS - 2, row(cell("←", answers.left, left), cell("→", answers.right, Held::Nothing)));
    text.set(ROWS - 1, cell("●", answers.centre, centre));
}
