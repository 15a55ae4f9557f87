//! The contacts of the keys, looked at beside the loop, so that no press is missed while it waits for the memory.

use crate::beside::Beside;
use bevelbook_keypad::keys::{Changes, Key};
use core::cell::RefCell;
use embassy_rp::Peri;
use embassy_rp::gpio::{AnyPin, Input, Pull};
use embassy_sync::blocking_mutex::Mutex;
use embassy_sync::blocking_mutex::raw::CriticalSectionRawMutex;
use embassy_time::{Duration, Instant, Ticker};

/// How often they are looked at; the loop is woken by it.
const LOOK: Duration = Duration::from_millis(2);

static CHANGES: Mutex<CriticalSectionRawMutex, RefCell<Changes>> = Mutex::new(RefCell::new(Changes::new()));

/// Begins to look. Pins are in the order of the library's keys.
pub(crate) fn start(beside: Beside, pins: [Peri<'static, AnyPin>; Key::ALL.len()]) {
    beside.run(watch(pins.map(|pin| Input::new(pin, Pull::Up))));
}

#[embassy_executor::task]
async fn watch(keys: [Input<'static>; Key::ALL.len()]) {
    let mut looks = Ticker::every(LOOK);
    loop {
        let closed = (0..).zip(&keys).fold(0, |closed, (bit, key)| closed | u8::from(key.is_low()) << bit);
        let now_ms = Instant::now().as_millis() as u32;
        CHANGES.lock(|changes| changes.borrow_mut().look(closed, now_ms));
        looks.next().await;
    }
}

/// The oldest change that was not taken yet.
pub(crate) fn take_change() -> Option<(u8, u32)> {
    CHANGES.lock(|changes| changes.borrow_mut().take())
}
