//! The board's own table of wires, as data.

#[path = "../../../firmware-example/boards/pico/src/pins.rs"]
#[macro_use]
mod pins;

/// What is wired to the board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    Keys,
    Display,
    Memory,
    Buzzer,
}

/// A wire that carries a signal.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Signal {
    pub(crate) name: &'static str,
    pin: &'static str,
    pub(crate) part: Part,
    pub(crate) mark: &'static str,
}

/// A wire that carries a supply; `edge` is the pin of the board's edge.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Supply {
    pub(crate) part: Part,
    pub(crate) mark: &'static str,
    pub(crate) edge: u8,
}

macro_rules! tables {
    (
        signals { $($name:ident $pin:ident $part:ident $mark:literal;)* }
        supplies { $($supplied:ident $supply:literal $edge:literal;)* }
    ) => {
        pub(crate) const SIGNALS: &[Signal] = &[
            $(Signal { name: stringify!($name), pin: stringify!($pin), part: Part::$part, mark: $mark },)*
        ];
        pub(crate) const SUPPLIES: &[Supply] = &[
            $(Supply { part: Part::$supplied, mark: $supply, edge: $edge },)*
        ];
    };
}

wires!(tables);

/// The pins of the board's edge, from 1, with the printed side up and the USB socket at the top: down the left side, up
/// the right one (Raspberry Pi Pico data sheet, figure "pinout").
pub(crate) const EDGE: [&str; 40] = [
    "GP0", "GP1", "GND", "GP2", "GP3", "GP4", "GP5", "GND", "GP6", "GP7", "GP8", "GP9", "GND", "GP10",
    "GP11", "GP12", "GP13", "GND", "GP14", "GP15", "GP16", "GP17", "GND", "GP18", "GP19", "GP20", "GP21",
    "GND", "GP22", "RUN", "GP26", "GP27", "GND", "GP28", "ADC_VREF", "3V3", "3V3_EN", "GND", "VSYS", "VBUS",
];

impl Signal {
    /// The RP2040's pin.
    pub(crate) fn gpio(self) -> u8 {
        self.pin.strip_prefix("PIN_").unwrap().parse().unwrap()
    }

    /// The pin of the board's edge.
    pub(crate) fn edge(self) -> u8 {
        let name = format!("GP{}", self.gpio());
        let at = EDGE.iter().position(|pin| *pin == name);
        at.unwrap_or_else(|| panic!("{} is on no edge", self.pin)) as u8 + 1
    }
}

/// The pin of a signal, by its name in the firmware.
pub(crate) fn gpio(name: &str) -> u8 {
    SIGNALS.iter().find(|signal| signal.name == name).unwrap().gpio()
}

#[test]
fn no_pin_is_used_twice_and_supplies_are_what_they_are_called() {
    for (n, one) in SIGNALS.iter().enumerate() {
        assert!(
            SIGNALS.iter().skip(n + 1).all(|other| other.pin != one.pin && other.name != one.name),
            "{one:?}"
        );
    }
    for supply in SUPPLIES {
        let at_edge = EDGE[usize::from(supply.edge) - 1];
        assert_eq!(at_edge, if supply.mark == "VCC" { "3V3" } else { "GND" }, "{supply:?}");
    }
}
