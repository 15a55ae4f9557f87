//! The interrupts that are used: that of UART0.

use bevelbook_emulated::vectors::{self, Vector};

/// UART0, interrupt 5 of the chip.
const UART0: u16 = 5;

unsafe extern "C" {
    fn Uart0();
}

/// The chip's interrupts from 0 on; the linker script puts them behind the processor's own.
// SAFETY: name and section are those in which the start-up code's linker script expects the table.
#[unsafe(link_section = ".vector_table.interrupts")]
#[unsafe(no_mangle)]
static __INTERRUPTS: [Vector; UART0 as usize + 1] = vectors::last_of(Uart0);

/// Lets UART0 interrupt.
pub(crate) fn enable() {
    vectors::enable(UART0);
}
