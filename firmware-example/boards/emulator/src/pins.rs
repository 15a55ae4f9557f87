//! Which pin does what: the one table that the firmware, and whoever wires a board, goes by.
//!
//! | pin | what |
//! |---|---|
//! | A0, A1 | UART0: the console, 115200 baud, 8 data bits, no parity, 1 stop bit |
//! | D2, D3 | UART1: the log |
//! | A2, A5 | SSI0 clock and data: the display (SSD0323, 128 × 64, 16 shades) |
//! | C7 | the display's data/command, high for data |
//! | D0 | the display's select on this board: high selects it, low the card reader beside it |
//! | B2, B3 | I2C clock and data: the memory (24LC256 class) at address 0x50 |
//! | E0, E1, E2, E3 | keys up, down, left, right, to ground |
//! | F1 | key centre, to ground |

use crate::bare::Block;
use bevelbook_keypad::keys::Key;

/// A pin of a port.
#[derive(Clone, Copy)]
pub(crate) struct Pin {
    /// Its port.
    pub(crate) port: Block,
    /// Its bit in the port.
    pub(crate) bit: u8,
}

/// The keys, in the order of [`Key::ALL`]; a closed contact reads low.
pub(crate) const KEYS: [Pin; Key::ALL.len()] = [
    Pin { port: Block::PortE, bit: 0 },
    Pin { port: Block::PortE, bit: 1 },
    Pin { port: Block::PortE, bit: 2 },
    Pin { port: Block::PortE, bit: 3 },
    Pin { port: Block::PortF, bit: 1 },
];

/// High: what is sent to the display is data.
pub(crate) const DISPLAY_DATA: Pin = Pin { port: Block::PortC, bit: 7 };

/// High: the display listens.
pub(crate) const DISPLAY_SELECT: Pin = Pin { port: Block::PortD, bit: 0 };
