//! The log: defmt's frames, each with the milliseconds since the start.

use crate::clock;
use core::cell::{Cell, UnsafeCell};
use defmt::Encoder;

struct State {
    send: Cell<fn(u8)>,
    taken: Cell<bool>,
    restore: Cell<critical_section::RestoreState>,
    encoder: UnsafeCell<Encoder>,
}

// SAFETY: it is used only between `acquire` and `release`, with interrupts off, on the one processor there is; and by `serve`,
// before anything is logged.
unsafe impl Sync for State {}

static STATE: State = State {
    send: Cell::new(|_| ()),
    taken: Cell::new(false),
    restore: Cell::new(critical_section::RestoreState::invalid()),
    encoder: UnsafeCell::new(Encoder::new()),
};

/// Says how a byte of the log is sent.
pub(crate) fn serve(send: fn(u8)) {
    STATE.send.set(send);
}

#[defmt::global_logger]
struct Log;

fn send(bytes: &[u8]) {
    bytes.iter().for_each(|byte| (STATE.send.get())(*byte));
}

// SAFETY: `acquire` turns interrupts off and refuses a second holder; `release` undoes it.
unsafe impl defmt::Logger for Log {
    fn acquire() {
        // SAFETY: `release` is called once for each call of `acquire`.
        let restore = unsafe { critical_section::acquire() };
        // Whoever logs while logging would spoil a frame. It cannot happen; if it did, standing still shows it.
        while STATE.taken.replace(true) {}
        STATE.restore.set(restore);
        // SAFETY: this is the only holder.
        unsafe { (*STATE.encoder.get()).start_frame(send) }
    }

    unsafe fn flush() {}

    unsafe fn release() {
        // SAFETY: this is the only holder.
        unsafe { (*STATE.encoder.get()).end_frame(send) }
        STATE.taken.set(false);
        // SAFETY: the state is the one that `acquire` was given.
        unsafe { critical_section::release(STATE.restore.get()) }
    }

    unsafe fn write(bytes: &[u8]) {
        // SAFETY: this is the only holder.
        unsafe { (*STATE.encoder.get()).write(bytes, send) }
    }
}

defmt::timestamp!("{=u64:ms}", clock::now_ms());
