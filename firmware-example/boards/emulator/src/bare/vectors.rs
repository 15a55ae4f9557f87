//! The interrupts that are used: that of UART0.

use cortex_m::interrupt::InterruptNumber;
use cortex_m::peripheral::NVIC;

/// UART0, interrupt 5 of the chip.
#[derive(Clone, Copy)]
struct Uart0Interrupt;

// SAFETY: the number is the one of UART0 in the chip's table of vectors, and does not change.
unsafe impl InterruptNumber for Uart0Interrupt {
    fn number(self) -> u16 {
        5
    }
}

unsafe extern "C" {
    fn Uart0();
}

/// One entry of the table of vectors.
#[derive(Clone, Copy)]
union Vector {
    handler: unsafe extern "C" fn(),
    reserved: usize,
}

/// The chip's interrupts 0 to 5; the linker script puts them behind the processor's own.
// SAFETY: name and section are those in which the start-up code's linker script expects the table.
#[unsafe(link_section = ".vector_table.interrupts")]
#[unsafe(no_mangle)]
static __INTERRUPTS: [Vector; 6] = {
    let none = Vector { reserved: 0 };
    [none, none, none, none, none, Vector { handler: Uart0 }]
};

/// Lets UART0 interrupt.
pub(crate) fn enable() {
    // SAFETY: no code counts on this interrupt being off; what it shares with the main loop lies in a mutex.
    unsafe { NVIC::unmask(Uart0Interrupt) }
}
