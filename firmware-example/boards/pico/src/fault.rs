//! After a panic the watchdog starts the board again within eight seconds, its controllers and buses with it: what was saved
//! is saved, and the screen comes back to the step in hand.

use core::panic::PanicInfo;

#[panic_handler]
fn stand_still(_: &PanicInfo<'_>) -> ! {
    defmt::error!("a defect: the watchdog starts it again");
    // Nothing feeds the watchdog any more.
    cortex_m::interrupt::disable();
    loop {
        core::hint::spin_loop();
    }
}
