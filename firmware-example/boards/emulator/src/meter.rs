//! What it costs: ticks from a press to the display and to the line, and what moved on the buses meanwhile. It goes
//! into the log, and into [`METER`], where the tests of the emulator read it.

use crate::clock;
use core::sync::atomic::{AtomicU32, Ordering};

/// What was counted, in words; all counts go on from the start.
#[repr(C)]
pub(crate) struct Meter {
    /// Pages read and written.
    page_reads: AtomicU32,
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
}

const fn zero() -> AtomicU32 {
    AtomicU32::new(0)
}

/// The counts; the tests find them by this name.
#[used]
pub(crate) static METER: Meter = Meter {
    page_reads: zero(),
    page_writes: zero(),
    display_bytes: zero(),
    pictures: zero(),
    boot_ticks: zero(),
    press_ticks: zero(),
    show_ticks: zero(),
    send_ticks: zero(),
    presses: zero(),
};

fn add(count: &AtomicU32, more: usize) {
    // One processor, and no interrupt counts: what is added is not lost.
    count.store(count.load(Ordering::Relaxed).wrapping_add(more as u32), Ordering::Relaxed);
}

pub(crate) fn page_read() {
    add(&METER.page_reads, 1);
}

pub(crate) fn page_written() {
    add(&METER.page_writes, 1);
}

pub(crate) fn displayed(bytes: usize) {
    add(&METER.display_bytes, bytes);
    add(&METER.pictures, 1);
}

pub(crate) fn booted() {
    METER.boot_ticks.store(clock::ticks() as u32, Ordering::Relaxed);
    let (reads, writes) =
        (METER.page_reads.load(Ordering::Relaxed), METER.page_writes.load(Ordering::Relaxed));
    defmt::info!("started in {=u64} ms: {=u32} pages read, {=u32} written", clock::now_ms(), reads, writes);
}

/// What one turn of the main loop measures.
#[derive(Default)]
pub(crate) struct Lap {
    begun: u64,
    waits_for_byte: bool,
}

impl Lap {
    /// A turn in which contacts changed begins.
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
