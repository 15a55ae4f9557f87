//! What the page calls. Bytes cross in one shared place ([`place`]): the page reads there what a call left, or puts there
//! what the next call takes. Times are milliseconds since the keypad was plugged in.
//!
//! A name that the page can call is what `unsafe` is needed for here, and nothing else.
#![expect(unsafe_code, reason = "a function that the page finds by its name")]

use crate::keypad::Keypad;
use crate::ram::BYTES;
use bevelbook_keypad::keys::HOLD_MS;
use std::cell::RefCell;

thread_local! {
    /// There is one keypad on a page, and one thread.
    static KEYPAD: RefCell<Option<Keypad>> = const { RefCell::new(None) };
    static SHARED: RefCell<Vec<u8>> = RefCell::new(vec![0; BYTES]);
}

/// Asks the keypad that is plugged in; without one, the answer is none.
fn ask<T: Default>(question: impl FnOnce(&mut Keypad) -> T) -> T {
    KEYPAD.with_borrow_mut(|keypad| keypad.as_mut().map(question).unwrap_or_default())
}

/// Leaves `bytes` in the shared place. How many there are.
fn leave(bytes: &[u8]) -> usize {
    SHARED.with_borrow_mut(|shared| {
        shared.iter_mut().zip(bytes).for_each(|(place, byte)| *place = *byte);
        shared.len().min(bytes.len())
    })
}

/// The first `count` bytes of the shared place.
fn shared(count: usize) -> Vec<u8> {
    SHARED.with_borrow(|shared| shared.iter().take(count).copied().collect())
}

/// Where the shared place is.
#[unsafe(no_mangle)]
extern "C" fn place() -> *const u8 {
    // What a panic says goes there too, behind a zero, since there is nobody else to tell it to.
    std::panic::set_hook(Box::new(|why| {
        leave(format!("{why}\0").as_bytes());
    }));
    SHARED.with_borrow(Vec::as_ptr)
}

/// Plugs a keypad in, with so many bytes of the shared place in its memory.
#[unsafe(no_mangle)]
extern "C" fn start(kept: usize, entropy: u64) {
    let keypad = Keypad::start(&shared(kept), entropy);
    KEYPAD.set(Some(keypad));
}

/// Takes which keys are down, a bit each: up, down, left, right, centre.
#[unsafe(no_mangle)]
extern "C" fn keys(closed: u32, now_ms: f64) {
    ask(|keypad| keypad.keys(closed as u8, now_ms as u64));
}

/// One turn of the loop. 1: the picture is another one.
#[unsafe(no_mangle)]
extern "C" fn turn(stir: u32, now_ms: f64) -> u32 {
    ask(|keypad| keypad.turn(stir, now_ms as u64)).into()
}

/// How many milliseconds may pass before the next turn, if no key moves.
#[unsafe(no_mangle)]
extern "C" fn rests(now_ms: f64) -> f64 {
    ask(|keypad| keypad.rests_ms(now_ms as u64)) as f64
}

/// Leaves the picture: a bit a pixel, in eight pages of eight rows, a byte a column, the lowest bit on top.
#[unsafe(no_mangle)]
extern "C" fn picture() -> usize {
    ask(|keypad| leave(keypad.picture()))
}

/// Leaves what shows, in UTF-8: a line a key with its answer, a tab and what it does when held; then the screen's rows.
#[unsafe(no_mangle)]
extern "C" fn said(now_ms: f64) -> usize {
    ask(|keypad| leave(keypad.said(now_ms as u64).as_bytes()))
}

/// Leaves what a buzzer sounds: milliseconds of sound and of silence, in turn, two bytes each, the lower one first.
#[unsafe(no_mangle)]
extern "C" fn sound() -> usize {
    ask(|keypad| leave(&keypad.sound().iter().flat_map(|ms| ms.to_le_bytes()).collect::<Vec<u8>>()))
}

/// How long a key is held for a long press, in milliseconds.
#[unsafe(no_mangle)]
extern "C" fn hold() -> u32 {
    HOLD_MS
}

/// 1: a log is begun.
#[unsafe(no_mangle)]
extern "C" fn begun() -> u32 {
    ask(|keypad| keypad.is_begun()).into()
}

/// Hands over the demo orders, where a log is begun to which they can be given.
#[unsafe(no_mangle)]
extern "C" fn order(now_ms: f64) {
    ask(|keypad| keypad.order(now_ms as u64));
}

/// How many pages of the memory were written since the start.
#[unsafe(no_mangle)]
extern "C" fn writes() -> u32 {
    ask(|keypad| keypad.writes())
}

/// Leaves all that the memory holds.
#[unsafe(no_mangle)]
extern "C" fn chip() -> usize {
    ask(|keypad| leave(&keypad.memory()))
}

/// Takes so many bytes of the shared place as a console's.
#[unsafe(no_mangle)]
extern "C" fn feed(count: usize, now_ms: f64) {
    ask(|keypad| keypad.feed(&shared(count), now_ms as u64));
}

/// Leaves the keypad's next bytes to a console; 0: there are none.
#[unsafe(no_mangle)]
extern "C" fn transmit(now_ms: f64) -> usize {
    ask(|keypad| keypad.transmit(now_ms as u64).map_or(0, |bytes| leave(&bytes)))
}
