//! What happens after a defect. After a panic the board starts again at once, its controllers and buses with it; when its
//! loop stands still the watchdog starts it. What was saved is saved, and the screen comes back to the step in hand.
//!
//! Where a panic was is not known by name, which would cost 14 kB of flash. The calls that led there are taken from the
//! stack instead, kept across the restart in the watchdog's scratch registers, and logged then: `addr2line -fiCe IMAGE
//! ADDRESS…` names the places. The innermost may be missing, since what never returns keeps no address.

use core::panic::PanicInfo;
use embassy_rp::Peripherals;
use embassy_rp::watchdog::{ResetReason, Watchdog};

/// How many addresses are kept: one in each scratch register that the boot ROM has no use for.
const KEPT: usize = 4;

/// How many words of the stack are looked at.
const LOOKED_AT: usize = 256;

#[allow(unsafe_code, reason = "places that the linker knows; only their addresses are taken")]
unsafe extern "C" {
    static __stext: u32;
    static __etext: u32;
    static _stack_start: u32;
}

#[panic_handler]
fn start_again(_: &PanicInfo<'_>) -> ! {
    cortex_m::interrupt::disable();
    defmt::error!("a defect: it starts again");
    #[allow(unsafe_code, reason = "nothing else runs any more")]
    // SAFETY: interrupts are off for good, so nobody else has hold of it.
    let mut watchdog = Watchdog::new(unsafe { Peripherals::steal() }.WATCHDOG);
    for (place, address) in (0..).zip(calls()) {
        watchdog.set_scratch(place, address);
    }
    watchdog.trigger_reset();
    loop {
        core::hint::spin_loop();
    }
}

/// Where the innermost calls were that the stack knows of; zeros behind the last. A pointer to a function, which a stack
/// also holds, can be among them.
#[allow(unsafe_code, reason = "the stack is read as words")]
fn calls() -> [u32; KEPT] {
    let mut found = [0; KEPT];
    let here = &raw const found as usize;
    let mut places = found.iter_mut();
    let end = (&raw const _stack_start as usize).min(here + 4 * LOOKED_AT);
    let code = &raw const __stext as usize + 4..&raw const __etext as usize;
    for at in (here..end).step_by(4) {
        // SAFETY: a word of the stack, all of which is RAM.
        let word = unsafe { core::ptr::read_volatile(at as *const u32) };
        // Thumb code: the lowest bit says so.
        let to = word as usize & !1;
        if word & 1 == 0 || !code.contains(&to) {
            continue;
        }
        // SAFETY: two halfwords of code.
        let before = unsafe { [to - 4, to - 2].map(|at| core::ptr::read_volatile(at as *const u16)) };
        // A `bl` of two halfwords, or a `blx` of one (ARMv6-M reference manual, A6.7.13 and A6.7.14,
        // from memory, unconfirmed).
        if (before[0] & 0xf800 == 0xf000 && before[1] & 0xd000 == 0xd000) || before[1] & 0xff87 == 0x4780 {
            let Some(place) = places.next() else { break };
            *place = to as u32 - 2;
        }
    }
    found
}

/// Logs why the board was started, if a defect was the reason.
pub(crate) fn tell(watchdog: &mut Watchdog) {
    match watchdog.reset_reason() {
        Some(ResetReason::TimedOut) => defmt::warn!("its loop stood still: the watchdog started it"),
        // Nothing but the panic handler asks for a restart.
        Some(ResetReason::Forced) => {
            let [a, b, c, d]: [u32; KEPT] = core::array::from_fn(|place| watchdog.get_scratch(place));
            defmt::warn!(
                "started after a defect, called from {=u32:x} {=u32:x} {=u32:x} {=u32:x}",
                a,
                b,
                c,
                d
            );
        }
        None => {}
    }
}
