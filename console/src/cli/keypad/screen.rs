//! The software keypad alone in a terminal: what it is on, its screen, the keys.

use super::keys::{Meant, meant};
use crate::cli::paint::{Paint, Said, Tone, fits};
use crate::cli::picture::{Next, Picture};
use crate::cli::{Failure, Report};
use crate::keypad::Software;
use bevelbook_keypad::screen::{COLUMNS, text::ROWS};
use ratatui::buffer::Buffer;
use ratatui::layout::Size;
use std::io;
use std::sync::atomic::{AtomicBool, Ordering};

/// Rows beside those of the keypad: what it is on, what was found, a ruler above and below, the keys.
const BESIDE: u16 = 5;

/// The least terminal.
const LEAST: Size = Size { width: 4 + COLUMNS as u16, height: ROWS as u16 + BESIDE };

const KEYS: &str = "arrows, Enter   hold: Shift+arrow, or U D L R C   q end";

/// What stands in the terminal.
#[derive(Clone, PartialEq)]
struct Showing {
    title: String,
    found: String,
    rows: Vec<String>,
}

fn draw(shown: &Showing, paint: Paint, buffer: &mut Buffer) {
    if paint.is_too_small(buffer, LEAST) {
        return;
    }
    let size = buffer.area.as_size();
    let mut put = |y, said| paint.put(buffer, (0, y), size.width, &[said]);
    let ruler = "─".repeat(size.width.into());
    put(0, Said::new(Tone::Strong, &shown.title));
    put(1, Said::new(Tone::Look, &shown.found));
    put(2, Said::plain(&ruler));
    (3..).zip(&shown.rows).for_each(|(y, row)| put(y, Said::plain(format!("    {row}"))));
    put(3 + ROWS as u16, Said::plain(ruler));
    put(size.height - 1, Said::plain(KEYS));
}

/// A keypad in the terminal until q is pressed; `turn` moves its bytes.
pub(in crate::cli) fn show(
    mut keypad: Software,
    title: &str,
    stop: &AtomicBool,
    mut turn: impl FnMut(&mut Software) -> io::Result<()>,
) -> Result<Report, Failure> {
    let paint = Paint::of_environment();
    let mut picture = Picture::take()?;
    let found = keypad.found().unwrap_or_default().to_owned();
    while !stop.load(Ordering::Relaxed) {
        turn(&mut keypad).map_err(|error| Failure::Fault(format!("the port failed: {error}")))?;
        let rows = keypad.screen().rows().map(str::to_owned).collect();
        let shown = Showing { title: title.to_owned(), found: found.clone(), rows };
        let size = picture.show(&shown, |shown, buffer| draw(shown, paint, buffer))?;
        match picture.next() {
            Next::Key(key) => match meant(key) {
                Meant::Quit => break,
                // Where the keypad cannot be seen its keys are dead.
                Meant::Press(press) if fits(size, LEAST) => keypad.press(press),
                _ => {}
            },
            Next::Nothing => {}
            Next::Gone => break,
        }
    }
    Ok(Report::default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use ratatui::backend::TestBackend;

    fn letters(shown: &Showing, (width, height): (u16, u16)) -> Vec<String> {
        let mut terminal = ratatui::Terminal::new(TestBackend::new(width, height)).unwrap();
        terminal.draw(|frame| draw(shown, Paint { colour: false }, frame.buffer_mut())).unwrap();
        let buffer = terminal.backend().buffer();
        let row = |y| (0..width).map(|x| buffer[(x, y)].symbol()).collect::<String>().trim_end().to_owned();
        (0..height).map(row).collect()
    }

    #[test]
    fn the_keypad_fits_the_least_terminal_and_a_smaller_one_says_so() {
        let rows = (0..ROWS).map(|row| format!("row {row}")).collect();
        let shown = Showing { title: "port".into(), found: "2 pages".into(), rows };
        let drawn = letters(&shown, (LEAST.width, LEAST.height));
        assert_eq!(
            (drawn[0].as_str(), drawn[1].as_str(), drawn[3].as_str()),
            ("port", "2 pages", "    row 0")
        );
        assert_eq!((drawn[10].as_str(), drawn[12].chars().last()), ("    row 7", Some('…')));
        for size in [(LEAST.width - 1, LEAST.height), (LEAST.width, LEAST.height - 1), (1, 1)] {
            assert!(letters(&shown, size)[0].starts_with('t') || size.0 == 1, "{size:?}");
            assert!(!fits(size.into(), LEAST));
        }
    }
}
