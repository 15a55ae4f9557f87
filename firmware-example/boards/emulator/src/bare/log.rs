//! The log: defmt's frames on UART1, each with the milliseconds since the start.

use super::Block;
use crate::{clock, uart};
use core::cell::{Cell, UnsafeCell};
use defmt::Encoder;

struct State {
    taken: Cell<bool>,
    restore: Cell<critical_section::RestoreState>,
    encoder: UnsafeCell<Encoder>,
}

// SAFETY: it is used only between `acquire` and `release`, with interrupts off, on the one processor there is.
unsafe impl Sync for State {}

static STATE: State = State {
    taken: Cell::new(false),
    restore: Cell::new(critical_section::RestoreState::invalid()),
    encoder: UnsafeCell::new(Encoder::new()),
};

#[defmt::global_logger]
struct Log;

fn send(bytes: &[u8]) {
    for byte in bytes {
        uart::send(Block::Uart1, *byte);
    }
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

/// Makes the log's line ready.
pub(crate) fn serve_log() {
    uart::start(Block::Uart1, false);
}
