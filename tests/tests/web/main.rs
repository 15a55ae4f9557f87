//! The keypad on a page: a whole pair in a browser by real clicks, touches and keys, each picture as the library draws it.
//!
//! It needs Chromium (Debian: `chromium`); `BEVELBOOK_BROWSER` names another program that does as well, or `none` where there
//! is none to be had: then nothing is tested here, and that is said. `BEVELBOOK_PICTURES=FOLDER` leaves pictures of the
//! page there, to be looked at.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

mod browser;
mod library;
#[path = "../../../firmware-example/boards/web/src/orders.rs"]
mod orders;
mod page;
#[path = "../../../firmware-example/boards/web/src/ram.rs"]
#[allow(dead_code, reason = "the page keeps its content, these tests do not")]
mod ram;

use bevelbook_keypad::keys::Key::{self, Centre, Down, Left, Right, Up};
use library::Library;
use page::{Page, Way, Window};

/// The browser and beside it the library, pressed alike.
struct Both {
    page: Page,
    library: Library,
}

impl Both {
    /// None where there is no browser.
    fn start(window: Window) -> Option<Self> {
        let both = Self { page: Page::open(window)?, library: Library::start() };
        both.compared("at the start")
    }

    fn compared(mut self, when: &str) -> Option<Self> {
        self.compare(when);
        Some(self)
    }

    /// Waits until the page shows what the library draws.
    fn compare(&mut self, when: &str) {
        self.page.until_shown(&self.library.picture(), when);
        assert_eq!(self.page.letters(), self.library.letters(), "{when}");
    }

    fn press(&mut self, way: Way, key: Key) {
        self.library.press(key, 80);
        self.page.press(way, key, 80);
        self.compare(&format!("after {} by {way:?}", key.name()));
    }

    fn hold(&mut self, way: Way, key: Key) {
        self.library.press(key, 900);
        self.page.press(way, key, 900);
        self.compare(&format!("after {} was held by {way:?}", key.name()));
    }
}

const DESKTOP: Window = Window { width: 1280, height: 1000, dots: 1 };
/// Narrow, with three dots to each pixel of a style sheet.
const PHONE: Window = Window { width: 360, height: 740, dots: 3 };

impl Both {
    /// A log is begun, and the demo orders lie there.
    fn with_orders(window: Window, way: Way) -> Option<Self> {
        let mut both = Self::start(window)?;
        assert_eq!(both.page.value("document.getElementById('order').disabled"), true);
        both.hold(way, Centre);
        both.page.click("#order");
        both.library.order();
        both.compare("with the demo orders");
        Some(both)
    }

    fn presses(&mut self, way: Way, keys: &[Key]) {
        keys.iter().for_each(|key| self.press(way, *key));
    }
}

#[test]
fn a_whole_pair_by_mouse_finger_and_keyboard_shows_what_the_library_draws() {
    let Some(mut both) = Both::with_orders(DESKTOP, Way::Mouse) else { return };
    // The job, and its right lens read and spotted.
    both.presses(Way::Mouse, &[Centre; 6]);
    both.presses(Way::Finger, &[Centre; 5]);
    both.page.keep_picture("page-size.png");
    // Two passes each, and the bevel.
    both.presses(Way::Keyboard, &[Right, Down, Centre]);
    both.presses(Way::Finger, &[Right, Down]);
    both.presses(Way::Mouse, &[Centre]);
    // In the frame, the PD, and all the rest in one press.
    both.presses(Way::Keyboard, &[Centre; 9]);
    both.presses(Way::Mouse, &[Right]);
    let letters = both.page.letters();
    assert!(letters.contains("pair is done") && letters.contains("within limits"), "{letters}");
    // Undone, and done again.
    both.hold(Way::Keyboard, Left);
    assert!(!both.page.letters().contains("pair is done"));
    both.presses(Way::Keyboard, &[Centre, Centre]);
    assert_eq!(both.page.value("performance.getEntriesByType('resource').length"), 0, "nothing is loaded");
}

/// By finger alone, and the memory through a power cut, a page that is loaded again, and a new beginning.
#[test]
fn on_a_phone_nothing_hangs_over_and_what_is_kept_is_kept() {
    let Some(mut both) = Both::with_orders(PHONE, Way::Finger) else { return };
    both.presses(Way::Finger, &[Centre, Up, Up, Centre]);
    assert_eq!(both.page.overhang(), 0);
    both.page.keep_picture("page-phone.png");
    let blank = Library::start();
    // What is in the memory is there after a power cut; what was being entered is not.
    both.page.click("#pull");
    both.library.cut_power();
    both.compare("after the plug was pulled");
    // Nothing is kept unasked.
    both.page.click("#keep");
    both.page.load();
    both.library.cut_power();
    both.compare("after the page was loaded again");
    assert_eq!(both.page.value("localStorage.length"), 1);
    both.page.click("#anew");
    both.library = blank;
    both.compare("after it was begun anew");
    assert_eq!(both.page.value("localStorage.length"), 0);
    both.page.load();
    both.compare("when nothing is kept");
}

/// Whoever sees nothing, or holds nothing, has names, words, and a key that is held for them.
#[test]
fn keys_have_names_and_the_display_is_spoken() {
    let Some(mut both) = Both::start(DESKTOP) else { return };
    both.page.click("#latch");
    both.page.value("document.querySelector('[data-key=\"4\"]').click()");
    both.library.press(Centre, 900);
    both.compare("when a key is held for somebody");
    both.page.click("#order");
    both.library.order();
    both.compare("when the orders are in");
    both.press(Way::Keyboard, Centre);
    let label = |key: Key| format!("document.querySelector('[data-key=\"{}\"]').ariaLabel", key as u8);
    assert_eq!(both.page.value(&label(Centre)), "centre: sharp; held: menu");
    assert_eq!(both.page.value(&label(Right)), "right: much more");
    let spoken = both.page.value("document.querySelector('[aria-live]').textContent");
    assert!(spoken.as_str().unwrap().contains("uncut sphere line\n    -1.25"), "{spoken}");
    // Enter on a key that has the focus presses that key.
    both.page.value("document.querySelector('[data-key=\"0\"]').focus()");
    both.library.press(Up, 80);
    both.page.press(Way::Keyboard, Centre, 80);
    both.compare("by Enter on the key that has the focus");
    // As large as it is on a module, and large again.
    both.page.click("[value^=\"55\"]");
    assert_eq!(both.page.value("document.getElementById('display').style.width"), "55.01mm");
    both.page.click("[name=size]");
    both.compare("when it is large again");
    // What is saved is heard, by who wants to.
    let tones = "window.tones = 0; window.AudioContext = class { currentTime = 0;
        createOscillator() { tones++; return { frequency: {}, connect: (to) => to, start() {}, stop() {} } }
        createGain() { return { gain: {}, connect() {} } } }";
    both.page.value(tones);
    both.presses(Way::Mouse, &[Down, Centre, Centre, Centre]);
    both.page.click("#buzzer");
    assert_eq!(both.page.value("tones"), 0);
    both.presses(Way::Mouse, &[Centre]);
    assert_eq!(both.page.value("tones"), 1, "a reading was saved");
    both.presses(Way::Mouse, &[Centre]);
    assert_eq!(both.page.value("tones"), 3, "the other eye is in hand");
    both.page.darken();
    both.compare("on a dark page");
    both.page.keep_picture("page-dark.png");
}
