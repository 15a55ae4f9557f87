//! After a panic the board starts again: what was saved is saved, and the screen comes back to the step in hand.

use core::panic::PanicInfo;

#[panic_handler]
fn restart(info: &PanicInfo<'_>) -> ! {
    defmt::error!("{}", defmt::Display2Format(info));
    cortex_m::peripheral::SCB::sys_reset()
}
