//! After a panic the watchdog starts the board again within eight seconds, its controllers and buses with it: what was saved
//! is saved, and the screen comes back to the step in hand.

use core::panic::PanicInfo;

#[panic_handler]
fn stand_still(info: &PanicInfo<'_>) -> ! {
    if let Some(place) = info.location() {
        defmt::error!("panic at {=str}:{=u32}", place.file(), place.line());
    }
    // Nothing feeds the watchdog any more.
    cortex_m::interrupt::disable();
    loop {
        core::hint::spin_loop();
    }
}
