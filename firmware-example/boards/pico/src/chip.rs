//! Where the two boards differ: a Pico has an RP2040, a Pico 2 an RP2350. The target that is built for says which: by it
//! Cargo.toml picks the chip's drivers, and `build.rs` its memory and what its boot ROM looks for.

use embassy_rp::Peri;
use embassy_rp::peripherals::FLASH;

/// What the console calls it until it is adopted.
pub(crate) const NAME: &str = if cfg!(rp2350) { "pico 2" } else { "pico" };

/// A number that no other board has; zero where it cannot be read.
pub(crate) fn id(flash: Peri<'static, FLASH>) -> u64 {
    read_id(flash).unwrap_or_else(|| {
        defmt::warn!("it does not know its number");
        0
    })
}

/// The number that the flash chip's maker gave it; the RP2040 itself has none.
#[cfg(not(rp2350))]
fn read_id(flash: Peri<'static, FLASH>) -> Option<u64> {
    /// Bytes of flash, the least that a Pico has.
    const BYTES: usize = 2 * 1024 * 1024;
    let mut id = [0; 8];
    embassy_rp::flash::Flash::<_, _, BYTES>::new_blocking(flash).blocking_unique_id(&mut id).ok()?;
    Some(u64::from_be_bytes(id))
}

/// The number that the chip's maker gave it, which stands in its memory that is written once.
#[cfg(rp2350)]
fn read_id(_: Peri<'static, FLASH>) -> Option<u64> {
    embassy_rp::otp::get_chipid().ok()
}
