//! What it costs: ticks from a press to the display and to the line, and what moved on the buses meanwhile. It goes
//! into the log, and into [`METER`], where the tests of the emulator read it.

use crate::clock;
use bevelbook_keypad::memory::PAGE;
use core::sync::atomic::{AtomicU32, Ordering};

/// What was counted, in words; all counts go on from the start.
#[repr(C)]
pub(crate) struct Meter {
    /// Bytes read from the memory, and pages written to it.
    bytes_read: AtomicU32,
    page_writes: AtomicU32,
    /// Bytes sent to the display, and pictures.
    display_bytes: AtomicU32,
    pictures: AtomicU32,
    /// Ticks from the start of the tick to the end of opening the memory.
    boot_ticks: AtomicU32,
    /// Ticks that the last press took, until it was taken; until it showed; until the first byte behind it was sent.
    press_ticks: AtomicU32,
    show_ticks: AtomicU32,
    send_ticks: AtomicU32,
    /// Presses that changed the screen.
    presses: AtomicU32,
    /// Bits on the memory's bus: nine a byte, one a start and one a stop.
    bus_bits: AtomicU32,
}

const fn zero() -> AtomicU32 {
    AtomicU32::new(0)
}

/// The counts; the tests find them by this name.
#[used]
pub(crate) static METER: Meter = Meter {
    bytes_read: zero(),
    page_writes: zero(),
    display_bytes: zero(),
    pictures: zero(),
    boot_ticks: zero(),
    press_ticks: zero(),
    show_ticks: zero(),
    send_ticks: zero(),
    presses: zero(),
    bus_bits: zero(),
};

fn add(count: &AtomicU32, more: usize) {
    // One processor, and no interrupt counts: what is added is not lost.
    count.store(count.load(Ordering::Relaxed).wrapping_add(more as u32), Ordering::Relaxed);
}

/// A part of a transfer: a start, the chip's address and the bytes; and its stop, or the one before the next.
fn on_bus(bytes: usize) {
    add(&METER.bus_bits, 9 * (1 + bytes) + 2);
}

pub(crate) fn read_on_bus(bytes: usize) {
    on_bus(bytes);
    add(&METER.bytes_read, bytes);
}

pub(crate) fn written_on_bus(bytes: usize) {
    on_bus(bytes);
    // More than a place in it.
    add(&METER.page_writes, usize::from(bytes > 2));
}

/// So many bytes of a picture were sent to the display.
pub fn displayed(bytes: usize) {
    add(&METER.display_bytes, bytes);
    add(&METER.pictures, 1);
}

pub(crate) fn booted() {
    METER.boot_ticks.store(clock::ticks() as u32, Ordering::Relaxed);
    let [bytes, writes] = [&METER.bytes_read, &METER.page_writes].map(|count| count.load(Ordering::Relaxed));
    let reads = bytes / PAGE as u32;
    defmt::info!("started in {=u64} ms: {=u32} pages read, {=u32} written", clock::now_ms(), reads, writes);
}

/// What one turn of the main loop measures.
#[derive(Default)]
pub(crate) struct Lap {
    begun: u64,
    waits_for_byte: bool,
}

impl Lap {
    /// A turn begins.
    pub(crate) fn begin(&mut self) {
        self.begun = clock::ticks();
    }

    /// What the contacts did was taken.
    pub(crate) fn taken(&mut self) {
        METER.press_ticks.store(self.since(), Ordering::Relaxed);
    }

    /// It shows.
    pub(crate) fn shown(&mut self) {
        METER.show_ticks.store(self.since(), Ordering::Relaxed);
        add(&METER.presses, 1);
        self.waits_for_byte = true;
    }

    /// Bytes were sent.
    pub(crate) fn sent(&mut self) {
        if core::mem::take(&mut self.waits_for_byte) {
            METER.send_ticks.store(self.since(), Ordering::Relaxed);
        }
    }

    fn since(&self) -> u32 {
        clock::ticks().wrapping_sub(self.begun) as u32
    }
}
