//! What a keypad keeps of the core's types for as long as it is on.

use bevelbook_core::frame::Point;
use bevelbook_core::link::{Card, KeypadSession, MAX_WIRE};
use bevelbook_core::record::JobState;
use bevelbook_core::tolerance::Limits;
use core::cell::UnsafeCell;
use core::hint::black_box;
use core::mem::MaybeUninit;

/// Room for a value, in RAM from the start.
struct Room<T>(UnsafeCell<MaybeUninit<T>>);

// SAFETY: nothing runs; the image is only measured.
unsafe impl<T> Sync for Room<T> {}

impl<T> Room<T> {
    const fn new() -> Self {
        Self(UnsafeCell::new(MaybeUninit::uninit()))
    }
}

/// The session with the console.
static SESSION: Room<KeypadSession> = Room::new();
/// The bytes that are being sent.
static WIRE: Room<[u8; MAX_WIRE]> = Room::new();
/// The job in hand.
static CARD: Room<Card> = Room::new();
static STATE: Room<JobState> = Room::new();
/// What its lenses may be off.
static LIMITS: Room<Limits> = Room::new();
/// An outline of 400 points, as many as a trace usually has.
static OUTLINE: Room<[Point; 400]> = Room::new();

pub fn keep() {
    black_box((&SESSION, &WIRE, &CARD, &STATE, &LIMITS, &OUTLINE));
}
