//! The keys of a terminal as those of a keypad.

use bevelbook_keypad::keys::{Key, Press};
use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

/// What a key of the terminal is meant for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::cli) enum Meant {
    Press(Press),
    Quit,
    Yes,
    No,
    Nothing,
}

pub(in crate::cli) fn meant(key: KeyEvent) -> Meant {
    let capital = matches!(key.code, KeyCode::Char('U' | 'D' | 'L' | 'R' | 'C'));
    let held = capital || key.modifiers.contains(KeyModifiers::SHIFT);
    let press = |key| Meant::Press(Press { key, held });
    match key.code {
        _ if key.kind == KeyEventKind::Release => Meant::Nothing,
        KeyCode::Char('c' | 'd') if key.modifiers.contains(KeyModifiers::CONTROL) => Meant::Quit,
        KeyCode::Char('q') => Meant::Quit,
        KeyCode::Up | KeyCode::Char('U') => press(Key::Up),
        KeyCode::Down | KeyCode::Char('D') => press(Key::Down),
        KeyCode::Left | KeyCode::Char('L') => press(Key::Left),
        KeyCode::Right | KeyCode::Char('R') => press(Key::Right),
        KeyCode::Enter | KeyCode::Char(' ' | 'C') => press(Key::Centre),
        KeyCode::Char('y') => Meant::Yes,
        KeyCode::Char('n') => Meant::No,
        _ => Meant::Nothing,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shift_or_a_capital_holds_a_key() {
        let key = |code, modifiers| meant(KeyEvent::new(code, modifiers));
        assert_eq!(key(KeyCode::Left, KeyModifiers::NONE), Meant::Press(Press::short(Key::Left)));
        assert_eq!(key(KeyCode::Left, KeyModifiers::SHIFT), Meant::Press(Press::long(Key::Left)));
        assert_eq!(key(KeyCode::Char('C'), KeyModifiers::SHIFT), Meant::Press(Press::long(Key::Centre)));
        assert_eq!(key(KeyCode::Char('c'), KeyModifiers::CONTROL), Meant::Quit);
    }
}
