//! A terminal as a whole screen: taken, read and put back as it was.

use crossterm::cursor::{Hide, Show};
use crossterm::event::{self, Event};
use crossterm::execute;
use crossterm::terminal::{
    EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode, is_raw_mode_enabled,
};
use std::io;
use std::sync::Once;
use std::sync::mpsc::{Receiver, sync_channel};
use std::thread;

/// A terminal in raw mode, put back when this is dropped, and before a panic is printed.
pub(super) struct Terminal {
    /// What is pressed, and changes of size.
    pub(super) events: Receiver<Event>,
}

impl Terminal {
    pub(super) fn take() -> io::Result<Self> {
        static HOOK: Once = Once::new();
        HOOK.call_once(|| {
            let before = std::panic::take_hook();
            std::panic::set_hook(Box::new(move |info| {
                put_back();
                before(info);
            }));
        });
        enable_raw_mode()?;
        // On a thread of its own: this reading waits within an unfinished escape sequence, and on a terminal that was
        // closed it never returns.
        let (sender, events) = sync_channel(64);
        thread::spawn(move || while event::read().is_ok_and(|event| sender.send(event).is_ok()) {});
        let terminal = Self { events };
        execute!(io::stdout(), EnterAlternateScreen, Hide)?;
        Ok(terminal)
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        put_back();
    }
}

/// Puts a terminal that was taken back; first what needs no reader of the output.
pub(super) fn put_back() {
    if is_raw_mode_enabled().unwrap_or(false) {
        let _ = disable_raw_mode();
        let _ = execute!(io::stdout(), Show, LeaveAlternateScreen);
    }
}
