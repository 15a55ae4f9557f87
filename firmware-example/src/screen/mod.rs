//! A screen as data: what is asked, what stands there, what each key answers.
//!
//! The application makes a [`Screen`]; a renderer draws it. There are two, for the same data: [`text`] for a terminal,
//! [`graphics`] for a [`Canvas`] of 128 × 64 pixels, which a board sends to its display.
//!
//! One question a screen. Job, eye, what the console has not got yet, and whether a console is there always show.

use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use core::fmt;
use heapless::{String, Vec};

mod canvas;
#[cfg(test)]
pub(crate) mod cut;
pub mod graphics;
mod legend;
mod lens;
#[cfg(test)]
mod samples;
mod scale;
pub mod text;
mod words;

pub use canvas::{Canvas, HEIGHT, PAGE_ROWS, Plane, Shade, WIDTH};
pub use legend::{ANSWER_COLUMNS, Answers, Held, HeldKeys};
pub use lens::{Lens, MarkedLens, Marks, Part};

/// The characters of a line: what a display of 128 pixels holds in a font 6 pixels wide.
pub const COLUMNS: usize = 21;

/// The characters of an item of a list.
pub const LIST_COLUMNS: usize = COLUMNS - 3;

/// The lines of a list that show at once.
pub const LIST_LINES: usize = 4;

/// The characters of a word as big as a figure; more are cut off.
pub const WORD_COLUMNS: usize = 3;

/// The characters of a line beside such a word.
pub const BESIDE_COLUMNS: usize = 16;

/// A line of text; what does not fit is cut off, and longer words are the writer's mistake.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Line(String<{ COLUMNS * 3 }, u8>);

impl Line {
    /// From whatever can be shown, cut at [`COLUMNS`] characters.
    pub fn new(shown: impl fmt::Display) -> Self {
        Self::written(format_args!("{shown}"))
    }

    /// Out of line, for it is called from everywhere.
    #[inline(never)]
    fn written(shown: fmt::Arguments<'_>) -> Self {
        let mut line = Self::default();
        // Cutting never fails; a part that does not fit is what is meant to be lost.
        let _ = fmt::write(&mut line, shown);
        line
    }

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether nothing stands there.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl fmt::Display for Line {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

impl fmt::Write for Line {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        let left = COLUMNS.saturating_sub(self.0.chars().count());
        #[cfg(test)]
        cut::note(text, left);
        for character in text.chars().take(left) {
            let _ = self.0.push(character);
        }
        Ok(())
    }
}

/// Lines of text; what exceeds a screen is left off.
#[derive(Default)]
struct Lines {
    lines: Vec<Line, LIST_LINES>,
    ended: usize,
}

impl fmt::Write for Lines {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        for letter in text.chars() {
            self.ended += usize::from(letter == '\n');
            while self.lines.len() <= self.ended && self.lines.push(Line::default()).is_ok() {}
            match self.lines.get_mut(self.ended) {
                _ if letter == '\n' => {}
                Some(line) => line.write_char(letter)?,
                #[cfg(test)]
                None => cut::note(letter.encode_utf8(&mut [0; 4]), 0),
                #[cfg(not(test))]
                None => {}
            }
        }
        Ok(())
    }
}

/// The steps in which a held key shows how far it has come.
pub const HOLD_STEPS: u8 = 7;

/// What always shows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Header {
    /// The job's number, or how a job without one is called; empty when no job is open.
    pub job: Line,
    /// The eye in hand.
    pub eye: Option<Eye>,
    /// Records that the console has not got yet.
    pub unsynced: u16,
    /// Whether a console was heard a moment ago.
    pub console: bool,
    /// Whether a press was just not taken, because it came too fast behind one that was recorded.
    pub too_fast: bool,
    /// How far a key that is being held has come toward its long press, in [`HOLD_STEPS`]; 0 for none.
    pub hold: u8,
}

/// How a screen speaks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tone {
    /// The next step of the line.
    #[default]
    Plain,
    /// Something is unusual; it can be gone past.
    Warning,
    /// Something was refused.
    Refusal,
}

/// A picture beside the figure.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Picture {
    /// None.
    #[default]
    None,
    /// The axis dial: a half circle from 0 on the right over 90 at the top to 180 on the left, with a hand at the
    /// axis, in whole degrees from 1 to 180.
    Axis(u16),
    /// The size of this lens in this rim, as offsets from the traced shape.
    Gauge {
        /// The size that stands in the figure.
        now: Length,
        /// The smallest size at which it was still too big.
        too_big: Option<Length>,
        /// The smallest size at which it fitted.
        fits: Option<Length>,
    },
    /// An uncut lens.
    Uncut(MarkedLens),
}

/// What a screen shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Body {
    /// One question with one figure.
    Question {
        /// What is asked.
        question: Line,
        /// What stands there, in big figures; at most 8 characters.
        figure: Line,
        /// What else is known.
        detail: Line,
        /// A picture.
        picture: Picture,
    },
    /// Both parts of a prism at once, each in words and drawn toward its base.
    Prism {
        /// What is asked.
        question: Line,
        /// The lens.
        lens: Lens,
        /// The part that the arrows change; while there is one, a part that is zero shows too.
        changed: Option<Part>,
        /// What else is known; none where up or down answers something.
        detail: Line,
    },
    /// Something to choose from; up and down move the choice and are not written out.
    List {
        /// What is chosen.
        title: Line,
        /// The items that show.
        items: Vec<Line, LIST_LINES>,
        /// Which of them is chosen, from 0.
        selected: usize,
        /// Whether more items lie above and below those that show.
        more: (bool, bool),
    },
    /// One word as big as a figure, and up to four lines beside it; in three where up or down answers something.
    Large {
        /// What it is about.
        title: Line,
        /// The word, in at most [`WORD_COLUMNS`] characters.
        word: &'static str,
        /// What is said, each in at most [`BESIDE_COLUMNS`] characters.
        lines: Vec<Line, LIST_LINES>,
    },
    /// The eye that is in hand from now on, and nothing else: for a moment, when it changes.
    Eye(Eye),
    /// Something said, in up to four lines; in three where up or down answers something.
    Message {
        /// What it is about.
        title: Line,
        /// What is said.
        lines: Vec<Line, LIST_LINES>,
    },
}

impl Body {
    /// One question with its figure.
    pub fn question(
        question: impl fmt::Display,
        figure: impl fmt::Display,
        detail: impl fmt::Display,
        picture: Picture,
    ) -> Self {
        Self::asked([&question, &figure, &detail], picture)
    }

    /// Out of line, for it is called with whatever can be shown.
    #[inline(never)]
    fn asked(parts: [&dyn fmt::Display; 3], picture: Picture) -> Self {
        let [question, figure, detail] = parts.map(Line::new);
        Self::Question { question, figure, detail, picture }
    }

    /// A lens with its prism.
    pub fn prism(question: impl fmt::Display, lens: Lens, detail: Line) -> Self {
        Self::Prism { question: Line::new(question), lens, changed: None, detail }
    }

    /// One word as big as a figure, and beside it something said, as in a message.
    #[inline(never)]
    pub fn large(title: Line, word: &'static str, said: fmt::Arguments<'_>) -> Self {
        Self::Large { title, word, lines: said_in_lines(said) }
    }

    /// Something said, with line ends in it; what exceeds [`LIST_LINES`] lines is left off.
    pub fn message(title: impl fmt::Display, said: impl fmt::Display) -> Self {
        Self::said(Line::new(title), format_args!("{said}"))
    }

    /// Out of line, for it is called from everywhere.
    #[inline(never)]
    fn said(title: Line, said: fmt::Arguments<'_>) -> Self {
        Self::Message { title, lines: said_in_lines(said) }
    }
}

fn said_in_lines(said: fmt::Arguments<'_>) -> Vec<Line, LIST_LINES> {
    let mut lines = Lines::default();
    // As for a line.
    let _ = fmt::write(&mut lines, said);
    lines.lines
}

/// One screen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Screen {
    /// What always shows.
    pub header: Header,
    /// What it shows.
    pub body: Body,
    /// What the keys answer.
    pub answers: Answers,
    /// How it speaks. A sign in front takes two columns of a warning's title and three of a refusal's.
    pub tone: Tone,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_cut_at_its_columns_whatever_its_letters() {
        assert_eq!(Line::new("0123456789012345678901234").as_str(), "012345678901234567890");
        assert_eq!(Line::new("⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀⌀").as_str().chars().count(), COLUMNS);
        assert_eq!(Line::new(format_args!("{} of {}", 1, 2)).as_str(), "1 of 2");
    }

    #[test]
    fn what_is_said_breaks_at_its_line_ends_and_ends_with_the_screen() {
        let shown =
            Body::message("title", format_args!("{}b\n\nlonger than {}\n4\n5\n6", "a", "a line is wide"));
        let lines = ["ab", "", "longer than a line is", "4"].map(Line::new);
        assert_eq!(shown, Body::Message { title: Line::new("title"), lines: lines.into_iter().collect() });
    }
}
