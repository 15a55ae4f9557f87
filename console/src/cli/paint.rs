//! Pieces of text and how they are told apart: by a sign or a word, and beside that by a colour.
//!
//! Of the sixteen colours of a terminal only those are used that stand out on a light and on a dark ground; whatever a colour
//! says is also said in words, since `NO_COLOR` takes it away and not everybody sees it.

use bevelbook_core::link::plain;
use ratatui::buffer::Buffer;
use ratatui::layout::Size;
use ratatui::style::{Color, Modifier, Style};
use ratatui::text::{Line, Span};

/// How a piece of text is meant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::cli) enum Tone {
    #[default]
    Plain,
    /// A heading, or what comes next.
    Strong,
    /// Within, fits, connected.
    Good,
    /// Out, loose, lost.
    Bad,
    /// To be looked at.
    Look,
    /// A question, and the keys.
    Bar,
}

/// A piece of text.
#[derive(Clone, Debug, Default, PartialEq)]
pub(in crate::cli) struct Said {
    pub(in crate::cli) tone: Tone,
    pub(in crate::cli) text: String,
}

impl Said {
    pub(in crate::cli) fn new(tone: Tone, text: impl Into<String>) -> Self {
        Self { tone, text: text.into() }
    }

    pub(in crate::cli) fn plain(text: impl Into<String>) -> Self {
        Self::new(Tone::Plain, text)
    }
}

/// Whether a terminal of that size shows what takes at least so much.
pub(in crate::cli) const fn fits(size: Size, least: Size) -> bool {
    size.width >= least.width && size.height >= least.height
}

/// Whether colours are used.
#[derive(Clone, Copy, Debug)]
pub(in crate::cli) struct Paint {
    pub(in crate::cli) colour: bool,
}

impl Paint {
    /// As the environment asks (no-color.org).
    pub(in crate::cli) fn of_environment() -> Self {
        Self { colour: std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty()) }
    }

    fn style(self, tone: Tone) -> Style {
        let coloured = |colour| if self.colour { Style::new().fg(colour) } else { Style::new() };
        match tone {
            Tone::Plain => Style::new(),
            Tone::Strong => Style::new().add_modifier(Modifier::BOLD),
            Tone::Good => coloured(Color::Green),
            Tone::Bad => coloured(Color::Red).add_modifier(Modifier::BOLD),
            Tone::Look => coloured(Color::Magenta),
            Tone::Bar => Style::new().add_modifier(Modifier::REVERSED),
        }
    }

    /// Says that a terminal is too small to show anything else; whether it is.
    pub(in crate::cli) fn is_too_small(self, buffer: &mut Buffer, least: Size) -> bool {
        let size = buffer.area.as_size();
        let small = !fits(size, least);
        if small {
            let said = Said::plain(format!("too small: {size}, {least} needed"));
            self.put(buffer, (0, 0), size.width, &[said]);
        }
        small
    }

    /// Writes pieces side by side into `width` columns, letters alone; what is too long ends in dots.
    pub(in crate::cli) fn put(self, buffer: &mut Buffer, (x, y): (u16, u16), width: u16, row: &[Said]) {
        let cleaned = row.iter().map(|said| (plain(&said.text).collect::<String>(), self.style(said.tone)));
        let line = Line::from_iter(cleaned.map(|(text, style)| Span::styled(text, style)));
        let cut = line.width() > width.into();
        buffer.set_line(x, y, &line, width);
        if cut && width > 0 {
            buffer.set_string(x + width - 1, y, "…", Style::new());
        }
    }
}
