//! The keys as lines of text, for a pipe.

use bevelbook_tests::emulator::{Emulator, Key, QmpError};
use std::io::BufRead;
use std::time::Duration;

/// Takes lines until they end.
pub(crate) fn serve(emulator: &mut Emulator) -> Result<(), QmpError> {
    for line in std::io::stdin().lock().lines() {
        let line = line?;
        let words: Vec<&str> = line.split_whitespace().collect();
        match words[..] {
            [] => {}
            ["screen"] => print!("{}", emulator.picture()?.braille()),
            ["wait", ms] if ms.parse::<u64>().is_ok() => {
                std::thread::sleep(Duration::from_millis(ms.parse().unwrap_or(0)));
            }
            ["hold", name] if Key::named(name).is_some() => {
                Key::named(name).map_or(Ok(()), |key| emulator.hold(key))?;
            }
            [name] if Key::named(name).is_some() => {
                Key::named(name).map_or(Ok(()), |key| emulator.press(key))?;
            }
            _ => eprintln!("`{line}` is none of: up, down, left, right, centre, hold KEY, wait MS, screen"),
        }
    }
    Ok(())
}
