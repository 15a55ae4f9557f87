//! Refers to every entry point of the core that a keypad has a use for, and keeps what it would keep, so that the linker
//! takes in what they need and nothing else.
//!
//! The host's end of the link, and reading and writing a trace file, are the console's. What derives from serde is in by
//! the records and cards that are encoded and decoded.
#![no_std]
#![no_main]

mod entries;
mod kept;

use core::hint::black_box;
use core::panic::PanicInfo;

/// Where the image begins. It is linked and read, not run.
#[unsafe(no_mangle)]
extern "C" fn _start() -> ! {
    black_box(entries::ENTRIES);
    entries::generic();
    kept::keep();
    #[cfg(feature = "float")]
    black_box(black_box(1.0_f32) / black_box(3.0_f32));
    loop {
        black_box(());
    }
}

#[panic_handler]
fn panic(info: &PanicInfo<'_>) -> ! {
    // What is said, and where, is part of a firmware's size.
    black_box(info);
    loop {
        black_box(());
    }
}
