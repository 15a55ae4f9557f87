//! The interrupts that are used: that of what UART0 receives.

use bevelbook_emulated::vectors::{self, Vector};

/// UART0 has received, interrupt 32 of the board.
const UART0_RECEIVES: u16 = 32;

unsafe extern "C" {
    fn Uart0Receives();
}

/// The board's interrupts from 0 on; the linker script puts them behind the processor's own.
// SAFETY: name and section are those in which the start-up code's linker script expects the table.
#[unsafe(link_section = ".vector_table.interrupts")]
#[unsafe(no_mangle)]
static __INTERRUPTS: [Vector; UART0_RECEIVES as usize + 1] = vectors::last_of(Uart0Receives);

/// Lets UART0 interrupt.
pub(crate) fn enable() {
    vectors::enable(UART0_RECEIVES);
}
