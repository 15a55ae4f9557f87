//! A screen in letters: eight rows of [`COLUMNS`] characters, for a terminal and for tests.
//!
//! - Row 0, the header: the job and the eye on the left, on the right the console. `3 to console` means that a
//!   console is there and still lacks 3 records, `3 held alone` that none is.
//! - Row 1: what is asked; `! ` in front of a warning, `NO ` in front of a refusal.
//! - A question: row 2 the figure, row 3 the detail, row 4 the picture.
//! - A list: rows 2 to 5, `>` at the chosen item, `↑` and `↓` where more items lie beyond.
//! - A message: rows 2 to 5.
//! - The last rows, what the keys answer: up and down, left and right, the centre (`●`). In a list up and down move
//!   the choice and are not written. A message that answers up or down has three lines; a fourth gives way.
//!
//! The picture of a size is a scale with larger sizes to the right: `F` the smallest that fitted, `B` the smallest
//! still too big, `#` what is therefore too big as well, `.` what lies below a fit, `|` the size that stands there.
//! Where `|` falls on `F` or `B` it takes its place. The picture of an axis runs as the half circle does, from 180
//! on the left over 90 (`+`) to 0 on the right.
//!
//! What is too long is cut off.

use super::scale::Scale;
use super::{ANSWER_COLUMNS, Answers, Body, COLUMNS, Header, Line, Picture, Screen, words};
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
        Body::Question { question, .. } => question,
        Body::List { title, .. } | Body::Message { title, .. } => title,
    };
    text.set(1, format_args!("{}{}", words::sign(screen.tone), title));
    body(&screen.body, &mut text);
    let moves_choice = matches!(screen.body, Body::List { .. });
    answers(&screen.answers, moves_choice, &mut text);
    text
}

fn header(header: &Header, text: &mut TextScreen) {
    let link = words::link(header);
    let width = link.as_str().chars().count();
    let eye = header.eye.map(Eye::letter);
    let room = COLUMNS.saturating_sub(width + 1 + if eye.is_some() { 2 } else { 0 });
    let job = words::job(header, room);
    let left = match eye {
        Some(eye) => Line::new(format_args!("{job} {eye}")),
        None => job,
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
            }
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
                text.set(BODY + index, format_args!("{mark} {:<1$.1$}{beyond}", item, COLUMNS - 3));
            }
        }
        Body::Message { lines, .. } => {
            for (index, line) in lines.iter().enumerate() {
                text.set(BODY + index, line);
            }
        }
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
    let cells = |first: (&str, &str), second: (&str, &str)| {
        let cell = |(key, says): (&str, &str)| match says {
            "" => Line::default(),
            says => Line::new(format_args!("{key} {says:.ANSWER_COLUMNS$}")),
        };
        let (first, second) = (cell(first), cell(second));
        Line::new(format_args!("{:<2$} {}", first, second, ANSWER_COLUMNS + 2))
    };
    let vertical = !(moves_choice || answers.up.is_empty() && answers.down.is_empty());
    if vertical {
        text.set(ROWS - 3, cells(("↑", answers.up), ("↓", answers.down)));
    }
    text.set(ROWS - 2, cells(("←", answers.left), ("→", answers.right)));
    text.set(ROWS - 1, cells(("●", answers.centre), ("", "")));
}

#[cfg(test)]
mod tests {
    use super::super::{Tone, samples};
    use super::*;
    use std::string::{String, ToString};
    use std::vec::Vec;

    fn text(screen: &Screen) -> String {
        render(screen).to_string()
    }

    fn lines(rows: [&str; ROWS]) -> String {
        rows.join("\n")
    }

    #[test]
    fn a_pass_with_its_four_outcomes_at_the_arrows() {
        let expected = lines([
            "job 12 R 3 to console",
            "cut, then: how is it?",
            "    +0.35",
            "offset mm, pass 2",
            "-----|---------B#####",
            "↑ far      ↓ fits",
            "← loose    → just",
            "● size",
        ]);
        assert_eq!(text(&samples::sizing()), expected);
    }

    #[test]
    fn a_size_below_the_smallest_that_fitted_warns() {
        let expected = lines([
            "job 12 R 5 held alone",
            "! below what fitted",
            "    +0.15",
            "+0.20 fits",
            "...|.F-----------B###",
            "↑ +        ↓ -",
            "← --       → ++",
            "● take",
        ]);
        assert_eq!(text(&samples::guarded()), expected);
    }

    #[test]
    fn an_axis_stands_on_its_half_circle() {
        let expected = lines([
            "own 3 L         alone",
            "wheel: sharp at",
            "    15",
            "ordered 20",
            "180--------+------|-0",
            "↑ +        ↓ -",
            "← --       → ++",
            "● so",
        ]);
        assert_eq!(text(&samples::axis()), expected);
    }

    #[test]
    fn a_list_shows_what_is_chosen_and_that_there_is_more() {
        let expected = lines([
            "no job        console",
            "which job?",
            "  11 Ash 52-18      ↑",
            "> 12 Birch 50-20",
            "  13 Cedar 54⌀16",
            "  14                ↓",
            "← back",
            "● open",
        ]);
        assert_eq!(text(&samples::list()), expected);
    }

    #[test]
    fn a_refusal_says_no_and_how_much_is_held() {
        let expected = lines([
            "1234 L 487 held alone",
            "NO memory full",
            "Nothing more is kept",
            "until a console took",
            "what is held here.",
            "Plug in the cable.",
            "",
            "● seen",
        ]);
        assert_eq!(text(&samples::refusal()), expected);
    }

    #[test]
    fn whatever_is_too_long_is_cut_and_every_answer_still_shows() {
        for tone in [Tone::Plain, Tone::Warning, Tone::Refusal] {
            for screen in samples::full("Å", tone) {
                let text = render(&screen);
                let rows: Vec<&str> = text.rows().collect();
                assert_eq!(rows.len(), ROWS);
                assert!(rows.iter().all(|row| row.chars().count() <= COLUMNS), "{text}");
                assert!(rows[0].ends_with("~ R 65535 to console"), "{text}");
                assert_eq!(rows[6], "← gggggggg → ÅÅÅÅÅÅÅÅ");
                assert_eq!(rows[7], "● WWWWWWWW");
            }
        }
    }

    #[test]
    fn the_axis_runs_from_180_on_the_left_to_0_on_the_right() {
        assert_eq!(axis(180).as_str(), "180|-------+--------0");
        assert_eq!(axis(90).as_str(), "180--------|--------0");
        assert_eq!(axis(1).as_str(), "180--------+-------|0");
    }

    #[test]
    fn sizes_that_differ_by_little_keep_their_places_apart() {
        let mm = Length::from_milli;
        assert_eq!(gauge(mm(490), Some(mm(500)), Some(mm(-500))).as_str(), "...F------------|B###");
        assert_eq!(gauge(mm(500), Some(mm(500)), None).as_str(), "----------|##########");
        assert_eq!(gauge(mm(500), None, None).as_str(), "----------|----------");
    }
}
