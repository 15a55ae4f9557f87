//! The board's pins under the names that the table of wires gives them.

use embassy_rp::Peri;
use embassy_rp::peripherals;

macro_rules! take {
    (signals { $($name:ident $pin:ident $part:ident $mark:literal;)* } supplies { $($supply:tt)* }) => {
        /// The pins that wires go to.
        pub(crate) struct Wires {
            $(pub(crate) $name: Peri<'static, peripherals::$pin>,)*
        }

        /// Takes them from the board's peripherals.
        macro_rules! wires_of {
            ($board:ident) => { $crate::wiring::Wires { $($name: $board.$pin,)* } };
        }
    };
}

wires!(take);
