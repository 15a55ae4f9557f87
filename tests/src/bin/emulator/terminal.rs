//! The display in a terminal, and its keys.

use bevelbook_tests::emulator::{Emulator, HOLD, Key, PRESS, Picture, QmpError};
use crossterm::event::{Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers, poll, read};
use crossterm::{cursor, execute, queue, style, terminal};
use std::io::{Write, stdout};
use std::time::{Duration, Instant};

/// How often the display is looked at.
const LOOK: Duration = Duration::from_millis(80);

/// Undoes what was done to the terminal, however it ends.
struct Raw;

impl Drop for Raw {
    fn drop(&mut self) {
        let _ = execute!(stdout(), cursor::Show);
        let _ = terminal::disable_raw_mode();
        println!();
    }
}

/// Serves a person until they quit.
pub(crate) fn serve(emulator: &mut Emulator) -> Result<(), QmpError> {
    println!("arrows and Enter are the keys; Shift with an arrow, or U D L R C, holds one; q ends it\n");
    terminal::enable_raw_mode()?;
    let raw = Raw;
    execute!(stdout(), cursor::Hide)?;
    let mut shown = None;
    let mut rows = 0;
    // What is down, and until when.
    let mut down: Option<(Key, Instant)> = None;
    loop {
        if let Some((key, until)) = down
            && Instant::now() >= until
        {
            emulator.contacts(&[key], false)?;
            down = None;
        }
        let picture = emulator.picture()?;
        if shown.as_ref() != Some(&picture) {
            rows = draw(&picture, rows)?;
            shown = Some(picture);
        }
        if !poll(LOOK)? {
            continue;
        }
        match read()? {
            Event::Key(event) if quits(event) => break,
            Event::Key(event) if event.kind == KeyEventKind::Press && down.is_none() => {
                if let Some((key, held)) = key_of(event) {
                    emulator.contacts(&[key], true)?;
                    down = Some((key, Instant::now() + if held { HOLD } else { PRESS }));
                }
            }
            Event::Resize(..) => {
                execute!(stdout(), terminal::Clear(terminal::ClearType::All), cursor::MoveTo(0, 0))?;
                (shown, rows) = (None, 0);
            }
            _ => {}
        }
    }
    drop(raw);
    Ok(())
}

fn quits(event: KeyEvent) -> bool {
    event.code == KeyCode::Char('q')
        || event.code == KeyCode::Char('c') && event.modifiers.contains(KeyModifiers::CONTROL)
}

/// The key, and whether it is held.
fn key_of(event: KeyEvent) -> Option<(Key, bool)> {
    let shift = event.modifiers.contains(KeyModifiers::SHIFT);
    Some(match event.code {
        KeyCode::Up => (Key::Up, shift),
        KeyCode::Down => (Key::Down, shift),
        KeyCode::Left => (Key::Left, shift),
        KeyCode::Right => (Key::Right, shift),
        KeyCode::Enter | KeyCode::Char(' ') => (Key::Centre, shift),
        KeyCode::Char('U') => (Key::Up, true),
        KeyCode::Char('D') => (Key::Down, true),
        KeyCode::Char('L') => (Key::Left, true),
        KeyCode::Char('R') => (Key::Right, true),
        KeyCode::Char('C') => (Key::Centre, true),
        _ => return None,
    })
}

/// Draws over what was drawn before, which had `rows` rows; in half blocks where they fit. The rows drawn.
fn draw(picture: &Picture, rows: u16) -> Result<u16, QmpError> {
    let wide = terminal::size().is_ok_and(|(columns, rows)| columns >= 128 && rows >= 36);
    let text = if wide { picture.halves() } else { picture.braille() };
    let mut out = stdout();
    if rows > 0 {
        queue!(out, cursor::MoveUp(rows))?;
    }
    let mut drawn = 0;
    for row in text.lines() {
        queue!(out, cursor::MoveToColumn(0), style::Print(row), style::Print("\n"))?;
        drawn += 1;
    }
    queue!(out, cursor::MoveToColumn(0))?;
    out.flush()?;
    Ok(drawn)
}
